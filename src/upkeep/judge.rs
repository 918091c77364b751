//! How a reading compares with its label.
//!
//! Counting: a plain field is right or wrong, judged only where the ad offers
//! a car (`kind` always). A claim is a pair of code and state; claims count
//! right, extra, missed. `fault` are claims that say `bad` or `suspect`,
//! `good` the others, `named` the codes whatever their state. Polarity: of the
//! codes that both name, whether fault and no fault are told apart. The price
//! may be off by a thousandth or half a unit, the distance by a hundredth or
//! 600 miles; names compare by letters and figures alone, a model also where
//! one name begins with the other.

use std::collections::{BTreeMap, BTreeSet};

use super::labelled::{Gold, Labelled, Met};
use super::score::{Counts, Group};
use crate::lexicon::parts::Parts;
use crate::reading::{Kind, Reading, Says, Vague};

/// Pairs on which careful readers disagree; they are not scored.
pub(super) const NOT_SCORED: [(&str, Says); 2] = [
    ("failed_inspection", Says::Sound),
    ("failed_emissions", Says::Sound),
];

/// One thing read otherwise than labelled.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mistake {
    /// A plain field: what was read, what is right.
    Field(&'static str, String, String),
    /// A claim that is not there.
    ExtraClaim(String, Says),
    /// A claim that was not read.
    MissedClaim(String, Says),
    /// Vague wording that is not there.
    ExtraVague(Vague),
    /// Vague wording that was not read.
    MissedVague(Vague),
}

impl std::fmt::Display for Mistake {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Mistake::Field(field, read, right) => write!(f, "{field}: read {read}, is {right}"),
            Mistake::ExtraClaim(code, says) => write!(f, "extra: {code} {says}"),
            Mistake::MissedClaim(code, says) => write!(f, "missed: {code} {says}"),
            Mistake::ExtraVague(vague) => write!(f, "extra: vague {vague}"),
            Mistake::MissedVague(vague) => write!(f, "missed: vague {vague}"),
        }
    }
}

/// What one ad adds to a grade.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Judged {
    /// Fields judged, and whether right.
    pub fields: Vec<(&'static str, bool)>,
    /// Counts by group; all zero where the ad is no car.
    pub groups: BTreeMap<Group, Counts>,
    /// Counts by code and state.
    pub claims: BTreeMap<(String, Says), Counts>,
    /// Codes that both name, and those of them whose polarity is right.
    pub polarity: (u32, u32),
    /// What is wrong, in order.
    pub mistakes: Vec<Mistake>,
    /// Whether the program gave no reading at all.
    pub unanswered: bool,
}

/// Judges one ad.
pub fn judge(row: &Labelled, met: &Met, parts: &Parts) -> Judged {
    let gold = &row.gold;
    let mut out = Judged {
        unanswered: met.reading.is_none(),
        ..Judged::default()
    };
    let read = met.reading.as_ref();
    fields(&mut out, read, gold);
    if gold.kind == Kind::Car {
        claims(&mut out, read, gold, parts);
        vague(&mut out, read, gold);
    }
    out
}

fn words<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(|| "none".to_owned(), |v| v.to_string())
}

fn fields(out: &mut Judged, read: Option<&Reading>, gold: &Gold) {
    let mut mark = |field, right: bool, got: String, want: String| {
        out.fields.push((field, right));
        if !right {
            out.mistakes.push(Mistake::Field(field, got, want));
        }
    };
    macro_rules! same {
        ($name:literal, $field:ident) => {
            mark(
                $name,
                read.is_some_and(|r| r.$field == gold.$field),
                words(read.map(|r| r.$field)),
                gold.$field.to_string(),
            )
        };
    }
    same!("kind", kind);
    if gold.kind != Kind::Car {
        return;
    }
    let ask = read.and_then(|r| r.ask).map(|a| a.to_f64());
    mark(
        "ask",
        near(ask, gold.ask, 0.001, 0.5),
        words(ask),
        words(gold.ask),
    );
    let miles = read.and_then(|r| r.miles).map(|m| f64::from(m.0));
    mark(
        "miles",
        near(miles, gold.miles, 0.01, 600.0),
        words(miles),
        words(gold.miles),
    );
    let year = read.and_then(|r| r.year).map(|y| y.0);
    mark("year", year == gold.year, words(year), words(gold.year));
    let make = read.and_then(|r| r.make.as_deref());
    mark(
        "make",
        letters(make) == letters(gold.make.as_deref()),
        words(make),
        words(gold.make.as_deref()),
    );
    let model = read.and_then(|r| r.model.as_deref());
    mark(
        "model",
        same_model(model, gold.model.as_deref(), gold.make.as_deref()),
        words(model),
        words(gold.model.as_deref()),
    );
    same!("ask_basis", ask_basis);
    same!("miles_basis", miles_basis);
    same!("title", title);
    let moves = read.map(Reading::moves_as_read);
    mark(
        "moves",
        moves == Some(gold.moves),
        words(moves),
        gold.moves.to_string(),
    );
    same!("gearbox", gearbox);
    let vin = read.and_then(|r| r.vin.as_deref());
    mark(
        "vin",
        letters(vin) == letters(gold.vin.as_deref()),
        words(vin),
        words(gold.vin.as_deref()),
    );
}

fn near(read: Option<f64>, gold: Option<f64>, relative: f64, floor: f64) -> bool {
    match (read, gold) {
        (None, None) => true,
        (Some(read), Some(gold)) => (read - gold).abs() <= floor.max(relative * gold.abs()),
        _ => false,
    }
}

/// Letters and figures alone, lower case.
fn letters(name: Option<&str>) -> String {
    let lower = name.unwrap_or_default().to_lowercase();
    lower.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// Whether two model names mean one model; the make before a name is taken
/// off.
fn same_model(read: Option<&str>, gold: Option<&str>, make: Option<&str>) -> bool {
    let make = letters(make);
    let bare = |name: Option<&str>| {
        let name = letters(name);
        match name.strip_prefix(&make) {
            Some(rest) if !make.is_empty() && !rest.is_empty() => rest.to_owned(),
            _ => name,
        }
    };
    let (a, b) = (bare(read), bare(gold));
    let both = !a.is_empty() && !b.is_empty();
    a == b || both && (a.starts_with(&b) || b.starts_with(&a))
}

type Claims = BTreeSet<(String, Says)>;

fn claims(out: &mut Judged, read: Option<&Reading>, gold: &Gold, parts: &Parts) {
    let scored =
        |(code, says): &(String, Says)| !NOT_SCORED.iter().any(|(c, s)| c == code && s == says);
    let read: Claims = read
        .into_iter()
        .flat_map(|r| &r.claims)
        .map(|c| (parts.code(c.part).to_owned(), c.says))
        .filter(scored)
        .collect();
    let gold: Claims = gold
        .claims
        .iter()
        .map(|c| (c.part.clone(), c.says))
        .filter(scored)
        .collect();
    let of = |set: &Claims, fault: bool| -> Claims {
        let side = set.iter().filter(|(_, says)| says.is_fault() == fault);
        side.cloned().collect()
    };
    let codes =
        |set: &Claims| -> BTreeSet<String> { set.iter().map(|(code, _)| code.clone()).collect() };
    for (group, counts) in [
        (Group::All, Counts::of(&read, &gold)),
        (Group::Fault, Counts::of(&of(&read, true), &of(&gold, true))),
        (
            Group::Good,
            Counts::of(&of(&read, false), &of(&gold, false)),
        ),
        (Group::Named, Counts::of(&codes(&read), &codes(&gold))),
    ] {
        out.groups.insert(group, counts);
    }
    let faulty =
        |set: &Claims, code: &String| set.iter().any(|(c, says)| c == code && says.is_fault());
    for code in codes(&read).intersection(&codes(&gold)) {
        out.polarity.0 += 1;
        out.polarity.1 += u32::from(faulty(&read, code) == faulty(&gold, code));
    }
    for pair in read.union(&gold) {
        let (is_read, is_gold) = (read.contains(pair), gold.contains(pair));
        let counts = Counts {
            right: u32::from(is_read && is_gold),
            extra: u32::from(is_read && !is_gold),
            missed: u32::from(!is_read && is_gold),
        };
        out.claims.insert(pair.clone(), counts);
        let (code, says) = pair.clone();
        if !is_gold {
            out.mistakes.push(Mistake::ExtraClaim(code, says));
        } else if !is_read {
            out.mistakes.push(Mistake::MissedClaim(code, says));
        }
    }
}

fn vague(out: &mut Judged, read: Option<&Reading>, gold: &Gold) {
    let read: BTreeSet<Vague> = read
        .into_iter()
        .flat_map(|r| &r.vague)
        .map(|(v, _)| *v)
        .collect();
    let gold: BTreeSet<Vague> = gold.vague.iter().copied().collect();
    out.groups.insert(Group::Vague, Counts::of(&read, &gold));
    let extra = read.difference(&gold).map(|v| Mistake::ExtraVague(*v));
    let missed = gold.difference(&read).map(|v| Mistake::MissedVague(*v));
    out.mistakes.extend(extra.chain(missed));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn models_compare_without_make_and_trim() {
        assert!(same_model(Some("Mazda 3"), Some("3"), Some("Mazda")));
        assert!(same_model(
            Some("Corolla LE"),
            Some("corolla"),
            Some("Toyota")
        ));
        assert!(!same_model(None, Some("Corolla"), Some("Toyota")));
        assert!(same_model(None, None, Some("Toyota")));
    }

    #[test]
    fn figures_may_be_a_little_off() {
        assert!(near(Some(187_500.0), Some(187_000.0), 0.01, 600.0));
        assert!(!near(Some(1851.0), Some(1500.0), 0.001, 0.5));
        assert!(!near(None, Some(1.0), 0.001, 0.5));
    }
}
