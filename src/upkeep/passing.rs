//! Learns the weights of `passing.csv` from labelled ads, as those of parts are
//! learnt ([`super::leanings`]).

use super::judge::NOT_SCORED;
use super::labelled::{Labelled, cars};
use super::leanings::{Fit, Learnt, Lesson, Told, Trait, table};
use crate::lexicon::Lexicon;
use crate::lexicon::passing::{ANSWERS, Found, Passing, Verdict};
use crate::reading::Says;
use crate::reading::reader::{Reader, Scratch};
use crate::reading::scope::Remark;
use crate::units::DistanceUnit;

/// How closely weights follow the sayings. The variance was chosen among 0.025, 0.05,
/// 0.15, 0.3, the least among 3, 5, 10, 20, on 1,500 labelled ads of writers that were
/// not learnt from.
pub const FIT: Fit = Fit {
    least: 20,
    variance: 0.05,
};
/// What weighs less is left out.
const LEAST_WEIGHT: f64 = 0.05;

/// What the rules say in labelled ads of cars, as far as it stays a claim: what
/// another saying of the same part takes the place of tells nothing. With each lesson
/// stands what a rule found.
pub fn lessons(rows: &[Labelled], lexicon: &mut Lexicon) -> (Vec<Lesson>, Vec<Found>) {
    // Else what it leaves out could not be learnt again.
    lexicon.passing = Passing::default();
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let (mut out, mut found) = (Vec::new(), Vec::new());
    for (ad, row) in cars(rows) {
        for (remark, answer) in judged(row, &reader, lexicon, &mut scratch) {
            found.push(remark.found);
            out.push(Lesson {
                ad,
                answer,
                open: true,
                traits: remark.traits,
            });
        }
    }
    (out, found)
}

/// What the rules say in a labelled ad, as far as it stays a claim and is scored, with
/// the right answer.
fn judged(
    row: &Labelled,
    reader: &Reader<'_>,
    lexicon: &Lexicon,
    scratch: &mut Scratch,
) -> Vec<(Remark, usize)> {
    let listing = row.text_alone();
    let claims = reader.read_with(&listing, scratch).claims;
    let answer = |remark: &Remark| {
        let says = |says| says == remark.found.says;
        let mut claims = claims.iter();
        let stays = claims.any(|c| c.part == remark.part && says(c.says));
        let code = lexicon.parts.code(remark.part);
        let scored = !NOT_SCORED.iter().any(|(c, s)| *c == code && says(*s));
        (stays && scored).then(|| right(row, code, remark.found.says))
    };
    let remarks = reader.remarks(&listing.text, scratch);
    let answered = remarks.into_iter().map(|r| (answer(&r), r));
    answered.filter_map(|(a, r)| Some((r, a?))).collect()
}

/// The right answer for a code of which the rules say this.
fn right(row: &Labelled, code: &str, says: Says) -> usize {
    let gold = row.gold.claims.iter().filter(|c| c.part == code);
    let gold: Vec<Says> = gold.map(|c| c.says).collect();
    let right = gold.iter().find(|s| **s == says).or(gold.first());
    place(right.copied())
}

/// Which of the answers this is.
fn place(says: Option<Says>) -> usize {
    let place = ANSWERS.iter().position(|(_, s)| *s == says);
    place.unwrap_or(ANSWERS.len() - 1)
}

/// What the table tells of a saying, beside what the rules say of it.
pub fn tell(found: Found, chances: [f64; ANSWERS.len()]) -> Told {
    Told {
        answer: match Verdict::on(found, chances) {
            Verdict::Stands => None,
            Verdict::Means { says, .. } => Some(place(Some(says))),
            Verdict::InPassing { .. } => Some(place(None)),
        },
        unless: place(Some(found.says)),
    }
}

/// The table's rows.
pub fn rows(learnt: &Learnt<Trait, { ANSWERS.len() }>) -> Vec<Vec<String>> {
    let cells = |(near, word): &Trait| vec![near.word().to_owned(), word.clone()];
    table(learnt, cells, LEAST_WEIGHT)
}
