//! The sheet of the claims: what was read, and the words it rests on.

use super::cells::{Cell, Column};
use crate::lexicon::Lexicon;
use crate::report::shortlist::{Entry, Shortlist};
use crate::report::text::{part_words, shown};

pub(super) const COLUMNS: &[Column] = &[
    Column::short("#", 5.0),
    Column::short("id", 12.0),
    Column::short("car", 26.0),
    Column::short("part or symptom", 22.0),
    Column::short("says", 10.0),
    Column::text("what it means", 34.0),
    Column::text("words of the ad", 50.0),
    Column::text("rule", 40.0),
    Column::short("done at miles", 12.0),
    Column::short("done in", 9.0),
];

pub(super) fn rows(list: &Shortlist, entries: &[Entry<'_>], lexicon: &Lexicon) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for ((car, entry), rank) in list.cars.iter().zip(entries).zip(1..) {
        for claim in &entry.appraisal.reading.claims {
            let words = claim.evidence.iter();
            let words: Vec<_> = words
                .filter_map(|e| entry.listing.text.get(e.range.clone()))
                .map(shown)
                .collect();
            let rules: Vec<_> = claim.evidence.iter().map(|e| shown(&e.rule)).collect();
            let number = |n: Option<u32>| n.map_or(Cell::Empty, |n| Cell::Number(f64::from(n)));
            rows.push(vec![
                Cell::Number(f64::from(rank)),
                Cell::text(&car.id),
                Cell::text(&car.name()),
                Cell::text(&part_words(lexicon, claim.part)),
                Cell::text(claim.says.word()),
                Cell::text(&lexicon.parts.get(claim.part).meaning),
                Cell::text(&words.join(" ... ")),
                Cell::text(&rules.join("; ")),
                number(claim.done_at.map(|m| m.0)),
                number(claim.done_in.map(|y| u32::from(y.0))),
            ]);
        }
    }
    rows
}
