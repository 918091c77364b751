//! Numbers with units, held to what the library quantulum3 reads in the same
//! strings (`tests/data/quantities.csv`, made by `tests/oracles/quantities.py`).
//! Where the reading differs on purpose, the row says why, and the number of
//! such rows is counted here.

mod ad;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use ad::LEXICON;
use fixworth::lexicon::phrases::NumberRole;
use fixworth::reading::numbers;
use fixworth::reading::roles;
use fixworth::reading::scan::Scanner;
use fixworth::reading::tokens::Tokens;

const TABLE: &str = include_str!("data/quantities.csv");

static SCANNER: LazyLock<Scanner> = LazyLock::new(|| Scanner::new(&LEXICON));

/// Why the reading differs, and in how many rows.
const ON_PURPOSE: [(&str, usize); 9] = [
    ("a k is a thousand of what the number counts", 9),
    ("grand and thou are a thousand", 4),
    ("hidden digits stand for the middle of their range", 5),
    ("letters glued to digits are a unit of distance", 4),
    ("no k where a word begins with it", 2),
    ("pounds are money", 2),
    ("prices are said without hundred", 3),
    ("the word beside a bare figure says that it is a price", 7),
    ("words for small numbers are no figure", 5),
];

/// The first number of a text and its unit, by the words beside it.
fn first(text: &str) -> Option<(f64, &'static str)> {
    let mut tokens = Tokens::default();
    tokens.fill(text);
    let (mut hits, mut found) = (Vec::new(), Vec::new());
    SCANNER.scan(&mut tokens, &mut Vec::new(), &mut hits);
    numbers::find(&tokens, &mut found);
    let number = found.first()?;
    let roles = roles::of(number, &tokens, &hits, &SCANNER);
    let unit = if roles.has(NumberRole::UnitMiles) {
        "mile"
    } else if roles.has(NumberRole::UnitKm) {
        "km"
    } else if roles.has(NumberRole::Distance) {
        // In the unit of the ad, which is miles where nothing else is said.
        "mile"
    } else if number.money || roles.has(NumberRole::Ask) {
        "money"
    } else {
        ""
    };
    Some((number.value, unit))
}

struct Row {
    text: String,
    theirs: Option<(f64, String)>,
    differs: String,
    ours: Option<(f64, String)>,
}

fn rows() -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(TABLE.as_bytes());
    let pair = |value: &str, unit: &str| {
        let number = |text: &str| text.parse().unwrap_or_else(|_| panic!("'{text}'"));
        (!value.is_empty()).then(|| (number(value), unit.to_owned()))
    };
    reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            Row {
                text: row[0].to_owned(),
                theirs: pair(&row[1], &row[2]),
                differs: row[3].to_owned(),
                ours: pair(&row[4], &row[5]),
            }
        })
        .collect()
}

fn same(ours: Option<(f64, &str)>, wanted: Option<&(f64, String)>) -> bool {
    match (ours, wanted) {
        (None, None) => true,
        (Some((a, u)), Some((b, v))) => (a - b).abs() < 1e-6 && u == v,
        _ => false,
    }
}

#[test]
fn numbers_agree_with_the_library_wherever_no_reason_is_given() {
    let rows = rows();
    let held: Vec<_> = rows.iter().filter(|r| r.differs.is_empty()).collect();
    assert!(held.len() >= 150, "{}", held.len());
    let wrong: Vec<_> = held
        .iter()
        .filter(|r| !same(first(&r.text), r.theirs.as_ref()))
        .map(|r| format!("{}: {:?} against {:?}", r.text, first(&r.text), r.theirs))
        .collect();
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        held.len(),
        wrong.join("\n")
    );
}

#[test]
fn where_numbers_differ_on_purpose_they_are_as_the_row_says() {
    let mut counted: BTreeMap<String, usize> = BTreeMap::new();
    let mut wrong = Vec::new();
    for r in rows().into_iter().filter(|r| !r.differs.is_empty()) {
        let ours = first(&r.text);
        if !same(ours, r.ours.as_ref()) {
            wrong.push(format!("{}: {ours:?} instead of {:?}", r.text, r.ours));
        }
        if same(ours, r.theirs.as_ref()) {
            wrong.push(format!("{}: differs no more", r.text));
        }
        *counted.entry(r.differs).or_default() += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let counted: Vec<_> = counted.iter().map(|(why, n)| (why.as_str(), *n)).collect();
    assert_eq!(counted, ON_PURPOSE);
}

// NIST SP 811: 1 mile = 1.609344 km exactly.
#[test]
fn kilometers_are_turned_into_miles_by_the_published_factor() {
    for (km, miles) in [
        (160_934, 100_000),
        (1_609_344, 1_000_000),
        (214_000, 132_973),
        (1, 1),
    ] {
        assert_eq!(fixworth::units::Miles::from_km(km).0, miles, "{km} km");
        let read = ad::read(&format!("Runs well, {km} km."));
        if km > 1000 && km < 1_000_000 {
            assert_eq!(read.miles.map(|m| m.0), Some(miles), "{km} km");
        }
    }
}
