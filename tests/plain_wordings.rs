//! The plain fields in the many wordings of sellers, one sentence a row of
//! `data/plain_fields.csv`. The sentences are invented.

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::reading::{AskBasis, Gearbox, MilesBasis, Moves, Reader, Title, Vague};
use fixworth::units::DistanceUnit;

const TABLE: &str = include_str!("data/plain_fields.csv");

struct Row {
    text: String,
    field: String,
    value: String,
}

fn rows(field: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(TABLE.as_bytes());
    let rows = reader.records().map(|row| {
        let row = row.unwrap();
        Row {
            text: row[0].to_owned(),
            field: row[1].to_owned(),
            value: row[2].to_owned(),
        }
    });
    rows.filter(|r| r.field == field).collect()
}

/// Reads every sentence of a field and names all that are misread.
fn holds(field: &str, at_least: usize, right: impl Fn(&fixworth::reading::Reading, &str) -> bool) {
    let lexicon = Lexicon::built_in().unwrap();
    let reader = Reader::new(&lexicon, DistanceUnit::Miles);
    let rows = rows(field);
    assert!(rows.len() >= at_least, "{} rows of {field}", rows.len());
    let wrong: Vec<String> = rows
        .iter()
        .filter(|row| {
            let origin = Origin {
                file: "ad".into(),
                line: 1,
            };
            let id = ListingId("1".to_owned());
            let ad = Listing::new(id, origin, "2003 Mazda Protege", &row.text);
            !right(&reader.read(&ad), &row.value)
        })
        .map(|row| format!("{} ({})", row.text, row.value))
        .collect();
    assert!(wrong.is_empty(), "{field} misread in: {wrong:#?}");
}

#[test]
fn whether_it_moves() {
    holds("moves", 200, |r, want| {
        Moves::of_word(want) == Some(r.moves_as_read())
    });
}

#[test]
fn the_gearbox() {
    holds("gearbox", 200, |r, want| {
        Gearbox::of_word(want) == Some(r.gearbox)
    });
}

#[test]
fn papers() {
    holds("title", 180, |r, want| {
        Title::of_word(want) == Some(r.title)
    });
}

#[test]
fn how_the_price_is_meant() {
    holds("ask_basis", 120, |r, want| {
        AskBasis::of_word(want) == Some(r.ask_basis)
    });
}

#[test]
fn the_distance() {
    holds("miles", 70, |r, want| {
        r.miles.map(|m| m.0) == want.parse().ok()
    });
}

#[test]
fn how_the_distance_is_known() {
    holds("miles_basis", 80, |r, want| {
        MilesBasis::of_word(want) == Some(r.miles_basis)
    });
}

#[test]
fn vague_wording() {
    holds("vague", 260, |r, want| match Vague::of_word(want) {
        Some(code) => r.vague.iter().any(|(v, _)| *v == code),
        None => r.vague.is_empty(),
    });
}
