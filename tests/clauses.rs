//! Plain clauses side by side: what one tells must not run on into another. The
//! clauses of `data/plain_clauses.csv` are put together by threes and twos in
//! all the ways in which sellers part them, and hardly one may be read wrong.
//!
//! `cargo test --test clauses -- --nocapture` lists those that are.

mod ad;
mod random;

use std::collections::BTreeSet;

use ad::read_ad;
use random::Random;

struct Clause {
    text: String,
    claims: BTreeSet<String>,
}

fn clauses() -> Vec<Clause> {
    let table = include_bytes!("data/plain_clauses.csv");
    let mut table = csv::Reader::from_reader(table.as_slice());
    table
        .records()
        .map(|row| {
            let row = row.unwrap();
            let claims = row[1].split("; ").filter(|c| !c.is_empty());
            Clause {
                text: row[0].to_owned(),
                claims: claims.map(str::to_owned).collect(),
            }
        })
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
fn holds(texts: usize, many: usize, most: f64) {
    let all = clauses();
    assert!(all.len() > 80, "{} clauses", all.len());
    let mut random = Random(7);
    let mut wrong = 0;
    for _ in 0..texts {
        let some = chosen(&all, many, &mut random);
        let mut text = some[0].text.clone();
        for clause in &some[1..] {
            text.push_str(SIGNS[random.below(SIGNS.len())]);
            text.push_str(&clause.text);
        }
        let claims = ad::claims(&read_ad("2004 Chevrolet Impala", &text));
        let claims = claims.into_iter();
        let read: BTreeSet<_> = claims
            .map(|(code, says)| format!("{code} {says}"))
            .collect();
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
    holds(6_000, 2, 0.012);
}

#[test]
fn three_plain_clauses_keep_what_each_tells() {
    holds(6_000, 3, 0.022);
}
