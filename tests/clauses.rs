//! Plain clauses side by side: what one tells must not run on into another. The
//! clauses of `data/plain_clauses.csv` are put together by threes and twos in
//! all the ways in which sellers part them, and hardly one may be read wrong.
//! So are clauses made of any part of `data/plain_parts.csv` and any wording of
//! `data/plain_states.csv`: which part it is, and how its state is worded, must
//! hardly matter.
//!
//! `cargo test --test clauses -- --nocapture` lists those that are.

mod ad;
mod random;

use std::collections::BTreeSet;

use ad::read_ad;
use random::Random;

#[derive(Clone)]
struct Clause {
    text: String,
    claims: BTreeSet<String>,
}

fn rows(table: &[u8]) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(table)
        .records()
        .map(Result::unwrap)
        .collect()
}

fn plain_clauses() -> Vec<Clause> {
    rows(include_bytes!("data/plain_clauses.csv"))
        .iter()
        .map(|row| {
            let claims = row[1].split("; ").filter(|c| !c.is_empty());
            Clause {
                text: row[0].to_owned(),
                claims: claims.map(str::to_owned).collect(),
            }
        })
        .collect()
}

/// A wording said of one thing or of many: `# [is|are] bad`.
fn said_of(wording: &str, name: &str, many: bool) -> String {
    let mut text = String::new();
    let mut rest = wording;
    while let Some((before, behind)) = rest.split_once('[') {
        let (choice, after) = behind.split_once(']').unwrap();
        let (one, more) = choice.split_once('|').unwrap();
        text.push_str(before);
        text.push_str(if many { more } else { one });
        rest = after;
    }
    text.push_str(rest);
    text.replace('#', name)
}

/// Every part with every wording of a state.
fn made_clauses() -> Vec<Clause> {
    let parts = rows(include_bytes!("data/plain_parts.csv"));
    let states = rows(include_bytes!("data/plain_states.csv"));
    assert!(parts.len() > 120 && states.len() > 180);
    let of_part = |part: &csv::StringRecord| {
        let (name, code, many) = (part[0].to_owned(), part[1].to_owned(), &part[2] == "many");
        states
            .iter()
            .map(|state| Clause {
                text: said_of(&state[1], &name, many),
                claims: BTreeSet::from([format!("{code} {}", &state[0])]),
            })
            .collect::<Vec<_>>()
    };
    parts.iter().flat_map(of_part).collect()
}

fn read_claims(text: &str) -> BTreeSet<String> {
    ad::claims(&read_ad("2004 Chevrolet Impala", text))
        .into_iter()
        .map(|(code, says)| format!("{code} {says}"))
        .collect()
}

const SIGNS: [&str; 10] = [
    ", ", ". ", " and ", ", and ", "; ", " - ", "\n", " but ", " / ", ", also ",
];

/// Clauses that speak of different parts.
fn chosen<'c>(all: &'c [Clause], many: usize, random: &mut Random) -> Vec<&'c Clause> {
    let code = |claim: &String| claim.split(' ').next().map(str::to_owned);
    loop {
        let some: Vec<_> = (0..many).map(|_| &all[random.below(all.len())]).collect();
        let codes = some.iter().flat_map(|c| c.claims.iter().map(code));
        let mut texts: Vec<_> = some.iter().map(|c| &c.text).collect();
        let told = codes.clone().count();
        texts.sort();
        texts.dedup();
        if codes.collect::<BTreeSet<_>>().len() == told && texts.len() == many {
            return some;
        }
    }
}

/// Of so many texts of so many clauses at most this share is read wrong.
fn holds(all: &[Clause], texts: usize, many: usize, most: f64) {
    assert!(all.len() > 80, "{} clauses", all.len());
    let mut random = Random(7);
    let mut wrong = 0;
    for _ in 0..texts {
        let some = chosen(all, many, &mut random);
        let mut text = some[0].text.clone();
        for clause in &some[1..] {
            text.push_str(SIGNS[random.below(SIGNS.len())]);
            text.push_str(&clause.text);
        }
        let read = read_claims(&text);
        let told: BTreeSet<_> = some.iter().flat_map(|c| c.claims.iter().cloned()).collect();
        if read != told {
            wrong += 1;
            println!("{text:?}: read {read:?}");
        }
    }
    let share = f64::from(wrong) / texts as f64;
    println!("{wrong} of {texts} texts of {many} clauses are read wrong");
    assert!(share <= most, "{wrong} of {texts}, {share:.4}");
}

#[test]
fn two_plain_clauses_keep_what_each_tells() {
    holds(&plain_clauses(), 6_000, 2, 0.0033);
}

#[test]
fn three_plain_clauses_keep_what_each_tells() {
    holds(&plain_clauses(), 6_000, 3, 0.0072);
}

#[test]
fn any_part_has_its_state_in_any_wording() {
    holds(&made_clauses(), 6_000, 1, 0.0006);
}

#[test]
fn any_two_parts_keep_what_is_said_of_each() {
    holds(&made_clauses(), 6_000, 2, 0.0063);
}

#[test]
fn any_three_parts_keep_what_is_said_of_each() {
    holds(&made_clauses(), 6_000, 3, 0.0072);
}
