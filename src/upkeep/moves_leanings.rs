//! Learns the weights of `moves_leanings.csv` from labelled ads, as those of
//! parts are learnt ([`super::leanings`]).

use super::labelled::{Labelled, cars};
use super::leanings::{Fit, Learnt, Lesson, table};
use crate::lexicon::Lexicon;
use crate::lexicon::moves_leanings::{ANSWERS, ANY};
use crate::reading::reader::{Reader, Scratch};
use crate::units::DistanceUnit;

/// How closely weights follow the ads.
pub const FIT: Fit = Fit {
    least: 5,
    variance: 0.3,
};
/// What weighs less in every answer is left out.
const LEAST_WEIGHT: f64 = 0.08;

/// The labelled ads of cars.
pub fn lessons(rows: &[Labelled], lexicon: &Lexicon) -> Vec<Lesson<String>> {
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    cars(rows)
        .filter_map(|(ad, row)| {
            let listing = row.text_alone();
            let mut example = reader.moves_example(&listing, &mut scratch);
            example.traits.push(ANY.to_owned());
            Some(Lesson {
                ad,
                traits: example.traits,
                answer: ANSWERS.iter().position(|(_, m)| *m == row.gold.moves)?,
                open: example.open,
            })
        })
        .collect()
}

/// The table's rows.
pub fn rows(learnt: &Learnt<String, { ANSWERS.len() }>) -> Vec<Vec<String>> {
    table(learnt, |word| vec![word.clone()], LEAST_WEIGHT)
}
