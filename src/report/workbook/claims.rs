//! The sheet of the claims: what was read, and the words it rests on.

use super::cells::{Cell, Column};
use crate::lexicon::Lexicon;
use crate::lexicon::parts::PartId;
use crate::reading::Evidence;
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
        let reading = &entry.appraisal.reading;
        let row = |part: PartId, says: &str, evidence: &[Evidence]| {
            let words = evidence.iter();
            let words: Vec<_> = words
                .filter_map(|e| entry.listing.text.get(e.range.clone()))
                .map(shown)
                .collect();
            let rules: Vec<_> = evidence.iter().map(|e| shown(&e.rule)).collect();
            vec![
                Cell::Number(f64::from(rank)),
                Cell::text(&car.id),
                Cell::text(&car.name()),
                Cell::text(&part_words(lexicon, part)),
                Cell::text(says),
                Cell::text(&lexicon.parts.get(part).meaning),
                Cell::text(&words.join(" ... ")),
                Cell::text(&rules.join("; ")),
            ]
        };
        let number = |n: Option<u32>| n.map_or(Cell::Empty, |n| Cell::Number(f64::from(n)));
        for claim in &reading.claims {
            let mut cells = row(claim.part, claim.says.word(), &claim.evidence);
            cells.push(number(claim.done_at.map(|m| m.0)));
            cells.push(number(claim.done_in.map(|y| u32::from(y.0))));
            rows.push(cells);
        }
        for told in reading.in_passing() {
            let mut cells = row(
                told.part,
                "in passing",
                std::slice::from_ref(&told.evidence),
            );
            cells.extend([Cell::Empty, Cell::Empty]);
            rows.push(cells);
        }
    }
    rows
}
