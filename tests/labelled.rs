//! The level reached on the labelled practice ads, held as a floor. The
//! counting is that of the labels' contract: a claim is right when part and
//! state are.

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::reading::{Kind, Reader};
use fixworth::units::DistanceUnit;
use serde_json::Value;
use std::collections::BTreeSet;

/// Least F1 of fault claims.
const FAULT_F1: f64 = 0.90;
/// Least share of each of make, year, ask and distance.
const FIELD: f64 = 0.95;

#[test]
fn practice_ads_are_read_at_the_level_reached() {
    let lexicon = Lexicon::built_in().unwrap();
    let reader = Reader::new(&lexicon, DistanceUnit::Miles);
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/samples/labelled/practice.jsonl"
    );
    let text = std::fs::read_to_string(path).unwrap();
    let (mut right, mut extra, mut missed) = (0.0, 0.0, 0.0);
    let (mut cars, mut fields) = (0.0, [0.0; 4]);
    for line in text.lines().filter(|l| !l.is_empty()) {
        let row: Value = serde_json::from_str(line).unwrap();
        let cell = |key: &str| {
            row[key]
                .as_str()
                .filter(|s| !s.is_empty())
                .map(str::to_owned)
        };
        let gold = &row["gold"];
        if gold["kind"] != Kind::Car.word() {
            continue;
        }
        let origin = Origin {
            file: "practice".into(),
            line: 1,
        };
        let (head, body) = (
            cell("title_text").unwrap_or_default(),
            cell("body").unwrap_or_default(),
        );
        let mut listing = Listing::new(ListingId("1".to_owned()), origin, &head, &body);
        listing.price = cell("price_field");
        listing.distance = cell("odometer_field");
        listing.year = cell("year_field");
        let read = reader.read(&listing);
        cars += 1.0;
        let near = |a: Option<f64>, key: &str, by: f64| match (a, gold[key].as_f64()) {
            (None, None) => true,
            (Some(a), Some(b)) => (a - b).abs() <= by,
            _ => false,
        };
        let held = [
            read.make.as_deref() == gold["make"].as_str(),
            near(read.year.map(|y| f64::from(y.0)), "year", 0.0),
            near(read.ask.map(|a| a.to_f64()), "ask", 1.0),
            near(read.miles.map(|m| f64::from(m.0)), "miles", 600.0),
        ];
        for (sum, ok) in fields.iter_mut().zip(held) {
            *sum += f64::from(u8::from(ok));
        }
        let wanted: BTreeSet<(String, String)> = gold["claims"]
            .as_array()
            .unwrap()
            .iter()
            .map(|c| {
                (
                    c["part"].as_str().unwrap().to_owned(),
                    c["says"].as_str().unwrap().to_owned(),
                )
            })
            .filter(|(_, says)| says == "bad" || says == "suspect")
            .collect();
        let found: BTreeSet<(String, String)> = read
            .claims
            .iter()
            .filter(|c| c.says.is_fault())
            .map(|c| {
                (
                    lexicon.parts.code(c.part).to_owned(),
                    c.says.word().to_owned(),
                )
            })
            .collect();
        right += found.intersection(&wanted).count() as f64;
        extra += found.difference(&wanted).count() as f64;
        missed += wanted.difference(&found).count() as f64;
    }
    let f1 = 2.0 * right / (2.0 * right + extra + missed);
    assert!(f1 >= FAULT_F1, "fault claims: F1 {f1:.3}");
    for (name, sum) in ["make", "year", "ask", "miles"].iter().zip(fields) {
        assert!(sum / cars >= FIELD, "{name}: {:.3}", sum / cars);
    }
}
