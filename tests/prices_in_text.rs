//! Price cells are read as an independent reader reads them, but for the kinds
//! named below.
//!
//! The table was made with the Python package price-parser 0.5.1 by
//! `tests/oracles/price_strings.py`.

use fixworth::reading::price::of_cell;

#[test]
fn price_cells_agree_with_an_independent_reader() {
    let rows: Vec<csv::StringRecord> = csv::Reader::from_path("tests/data/price_strings.csv")
        .expect("the table is there")
        .records()
        .collect::<Result<_, _>>()
        .expect("the table is sound");
    assert!(rows.len() >= 200, "{} rows", rows.len());
    let mut on_purpose = Vec::new();
    let mut differ = Vec::new();
    for row in &rows {
        let (text, want) = (&row[0], row[1].parse::<f64>().ok());
        let got = of_cell(text);
        let same = match (got, want) {
            (Some(a), Some(b)) => (a - b).abs() < 0.005,
            (None, None) => true,
            _ => false,
        };
        if same {
            continue;
        }
        if ON_PURPOSE.iter().any(|(t, _)| *t == text) {
            on_purpose.push((text.to_owned(), got));
        } else {
            differ.push(format!("{text:?}: {got:?}, not {want:?}"));
        }
    }
    assert!(differ.is_empty(), "{differ:#?}");
    let listed: Vec<_> = ON_PURPOSE.map(|(t, v)| (t.to_owned(), v)).to_vec();
    assert_eq!(on_purpose, listed);
}

/// Where we read otherwise, in the table's order, five in all: `k` behind a
/// figure is thousands (the other reader drops it), and the word `free` is no
/// price of 0, for in a price column it is more often `free delivery`.
const ON_PURPOSE: [(&str, Option<f64>); 5] = [
    ("free", None),
    ("2.5k", Some(2500.0)),
    ("$3K", Some(3000.0)),
    ("1.8k obo", Some(1800.0)),
    ("£2k", Some(2000.0)),
];
