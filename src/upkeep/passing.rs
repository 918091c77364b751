//! Learns the weights of `passing.csv` from labelled ads, as those of parts are
//! learnt ([`super::leanings`]).

use super::judge::NOT_SCORED;
use super::labelled::{Labelled, cars};
use super::leanings::{Fit, Learnt, Lesson, Trait, table};
use crate::lexicon::Lexicon;
use crate::lexicon::passing::{ANSWERS, Passing};
use crate::reading::reader::{Reader, Scratch};
use crate::units::DistanceUnit;

/// How closely weights follow the sayings. The variance was chosen among 0.05, 0.1,
/// 0.3 on labelled ads that were not learnt from.
pub const FIT: Fit = Fit {
    least: 10,
    variance: 0.15,
};
/// What weighs less is left out.
const LEAST_WEIGHT: f64 = 0.08;

/// What the rules say in labelled ads of cars, as far as it stays a claim: what
/// another saying of the same part takes the place of tells nothing.
pub fn lessons(rows: &[Labelled], lexicon: &mut Lexicon) -> Vec<Lesson> {
    // Else what it leaves out could not be learnt again.
    lexicon.passing = Passing::default();
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let mut out = Vec::new();
    for (ad, row) in cars(rows) {
        let listing = row.text_alone();
        let claims = reader.read_with(&listing, &mut scratch).claims;
        for example in reader.told_examples(&listing.text, &mut scratch) {
            let says = |says| Some(says) == example.says;
            let stays = claims
                .iter()
                .any(|c| c.part == example.part && says(c.says));
            let code = lexicon.parts.code(example.part);
            let scored = !NOT_SCORED.iter().any(|(c, s)| *c == code && says(*s));
            if !stays || !scored {
                continue;
            }
            let mut gold = row.gold.claims.iter();
            let meant = gold.any(|c| c.part == code && says(c.says));
            out.push(Lesson {
                ad,
                answer: usize::from(meant),
                open: true,
                traits: example.traits,
            });
        }
    }
    out
}

/// The table's rows.
pub fn rows(learnt: &Learnt<Trait, { ANSWERS.len() }>) -> Vec<Vec<String>> {
    let cells = |(near, word): &Trait| vec![near.word().to_owned(), word.clone()];
    table(learnt, cells, LEAST_WEIGHT)
}
