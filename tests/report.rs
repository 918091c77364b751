//! What the renderers make of a few hand-made ads. The expected pages stand in
//! `tests/golden`; `GOLDEN=write cargo test --test report` writes them anew.

mod hand_made;

use std::path::Path;
use std::sync::Arc;

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::margin::{Appraisal, Appraiser, Sort};
use fixworth::profile::Profile;
use fixworth::reading::{AskBasis, Gearbox, Kind, MilesBasis, Moves, Reading, Title, Vague};
use fixworth::report::explain::Explanation;
use fixworth::report::markdown::write_markdown;
use fixworth::report::table::write_table;
use fixworth::report::{Basis, ReadRow, Shortlist, json};
use fixworth::units::{Miles, ModelYear, Money};

struct Batch {
    lexicon: &'static Lexicon,
    basis: Basis,
    ads: Vec<(Listing, Appraisal)>,
}

fn batch() -> Batch {
    let lexicon = hand_made::lexicon();
    let profile = Profile::default();
    let appraiser = Appraiser::new(&profile, lexicon);
    let mut ads = Vec::new();
    let mut add = |id: &str, text: &str, change: &dyn Fn(&mut Reading)| {
        let (head, body) = text.split_once('\n').unwrap();
        let origin = Origin {
            file: Arc::from("ads.csv"),
            line: ads.len() as u64 + 2,
        };
        let listing = Listing::new(ListingId(id.to_owned()), origin, head, body);
        let mut reading = hand_made::reading(lexicon, id);
        change(&mut reading);
        let car = reading.kind == Kind::Car && reading.year.is_some();
        let bill = car.then(|| hand_made::bill(lexicon));
        let worth = car.then(hand_made::worth);
        ads.push((listing, appraiser.appraise(reading, bill, worth)));
    };
    add("7312345678", hand_made::TEXT, &|r| {
        hand_made::vague(r, Vague::AsIs)
    });
    add(
        "T2",
        "Mitsubishi Outlander Sport Limited\nWill not start.",
        &|r| {
            (r.make, r.model) = (Some("Mitsubishi".into()), Some("Outlander Sport".into()));
            (r.ask, r.ask_basis) = (None, AskBasis::None);
            (r.miles, r.miles_basis) = (None, MilesBasis::None);
            (r.moves, r.title, r.gearbox) = (Moves::NoStart, Title::Unstated, Gearbox::Unstated);
            r.claims.clear();
            r.fields.clear();
            hand_made::vague(r, Vague::MechanicSpecial);
        },
    );
    add("T3", "2003 Toyota Corolla\nSame again.", &|r| {
        (r.ask, r.ask_basis) = (Some(Money::whole(2650)), AskBasis::Firm);
        r.miles = Some(Miles(1_148_000));
        r.claims.clear();
        r.fields.clear();
    });
    add(
        "T4",
        "Wheels | =cmd() <b>off</b> a Saab\u{1b}[2J\nFour.",
        &|r| {
            *r = Reading::unread(r.id.clone());
            r.kind = Kind::Parts;
        },
    );
    add("T5", "Old Pontiac\nNeeds love.", &|r| {
        *r = Reading::unread(r.id.clone());
        r.make = Some("Pontiac".into());
        r.ask = Some(Money::whole(500));
    });
    ads.sort_by(|a, b| Sort::Margin.compare(&a.1, &b.1));
    Batch {
        lexicon,
        basis: Basis::new(ModelYear(2016), "given", &profile, Sort::Margin),
        ads,
    }
}

fn list(batch: &Batch) -> Shortlist {
    let ranked = batch.ads.iter().map(|(l, a)| (l, a));
    Shortlist::new(batch.basis.clone(), 5, ranked, batch.lexicon)
}

fn text_of(write: impl FnOnce(&mut Vec<u8>) -> std::io::Result<()>) -> String {
    let mut out = Vec::new();
    write(&mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn assert_golden(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden")
        .join(name);
    if std::env::var_os("GOLDEN").is_some_and(|v| v == "write") {
        std::fs::write(&path, text).unwrap();
    }
    let expected = std::fs::read_to_string(&path).unwrap();
    assert_eq!(text, expected, "differs from tests/golden/{name}");
}

#[test]
fn the_table_at_80_columns() {
    let text = text_of(|out| write_table(&list(&batch()), 80, out));
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert_golden("table-80.txt", &text);
}

#[test]
fn the_table_at_120_columns() {
    let text = text_of(|out| write_table(&list(&batch()), 120, out));
    assert_golden("table-120.txt", &text);
}

#[test]
fn the_list_as_csv() {
    assert_golden("list.csv", &text_of(|out| list(&batch()).write_csv(out)));
}

#[test]
fn the_list_as_markdown() {
    assert_golden(
        "list.md",
        &text_of(|out| write_markdown(&list(&batch()), out)),
    );
}

#[test]
fn the_list_as_json() {
    let text = text_of(|out| list(&batch()).write_json(out));
    assert_golden("list.json", &text);
}

#[test]
fn json_lines_are_the_cars_of_the_json() {
    let batch = batch();
    let whole: serde_json::Value =
        serde_json::from_str(&text_of(|out| list(&batch).write_json(out))).unwrap();
    let lines = text_of(|out| list(&batch).write_jsonl(out));
    let car = |line: &str| -> serde_json::Value {
        let mut car: serde_json::Map<String, _> = serde_json::from_str(line).unwrap();
        assert_eq!(car.remove("schema").unwrap(), "urn:fixworth:car:1.1");
        car.into()
    };
    let cars: Vec<serde_json::Value> = lines.lines().map(car).collect();
    assert_eq!(whole["schema"], "urn:fixworth:shortlist:1.1");
    assert_eq!(whole["cars"], serde_json::Value::Array(cars));
}

#[test]
fn nothing_of_an_ad_acts_on_a_terminal() {
    let batch = batch();
    for text in [
        text_of(|out| write_table(&list(&batch), 80, out)),
        text_of(|out| list(&batch).write_csv(out)),
        text_of(|out| write_markdown(&list(&batch), out)),
        text_of(|out| list(&batch).write_jsonl(out)),
    ] {
        assert!(text.contains("T4") && !text.contains('\u{1b}'), "{text}");
    }
}

#[test]
fn an_explanation_in_full() {
    let batch = batch();
    let text = text_of(|out| {
        for (listing, appraisal) in &batch.ads {
            Explanation {
                history: None,
                warnings: &[],
                listing,
                appraisal,
                basis: &batch.basis,
                lexicon: batch.lexicon,
                tornado: None,
            }
            .write(80, out)?;
        }
        Ok(())
    });
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert_golden("explain.txt", &text);
}

#[test]
fn a_reading_has_the_keys_of_the_contract_in_order() {
    let batch = batch();
    let (listing, appraisal) = &batch.ads[0];
    let row = |with_text| {
        let row = ReadRow::new(listing, &appraisal.reading, batch.lexicon, with_text);
        text_of(|out| json::write_line(out, &row))
    };
    let json = row(false);
    let keys = [
        "id",
        "kind",
        "year",
        "make",
        "model",
        "ask",
        "ask_basis",
        "miles",
        "miles_basis",
        "title",
        "moves",
        "gearbox",
        "vin",
        "claims",
        "vague",
        "evidence",
    ];
    let places: Vec<_> = keys
        .iter()
        .map(|k| {
            json.find(&format!("\"{k}\":"))
                .unwrap_or_else(|| panic!("no key {k}"))
        })
        .collect();
    assert!(places.is_sorted(), "{json}");
    assert!(!json.contains("\"text\":"));
    let value: serde_json::Value = serde_json::from_str(&row(true)).unwrap();
    let text = value["text"].as_str().unwrap();
    for place in value["evidence"].as_array().unwrap() {
        let at = place["at"].as_str().unwrap();
        assert!(value.pointer(at).is_some(), "{at} points nowhere");
        let (start, end) = (&place["start"], &place["end"]);
        let range = start.as_u64().unwrap() as usize..end.as_u64().unwrap() as usize;
        assert!(text.get(range).is_some(), "{place}");
    }
    assert_golden("reading.json", &json);
}
