//! What `read` prints for programs: the keys and values of the contract on
//! every ad of the samples, and evidence that lies within the text whatever
//! the text is.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::process::Command;
use std::sync::LazyLock;

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::reading::Reader;
use fixworth::report::ReadRow;
use fixworth::units::DistanceUnit;
use proptest::prelude::*;
use serde_json::Value;

/// Keys of the contract, then those that stand beside them.
const CONTRACT: [&str; 15] = [
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
];
const BESIDE: [&str; 5] = ["in_passing", "evidence", "codes", "currency", "warnings"];

/// Values that a key may have where they are few.
const WORDS: [(&str, &[&str]); 6] = [
    ("kind", &["car", "parts", "other"]),
    (
        "ask_basis",
        &[
            "plain",
            "negotiable",
            "firm",
            "placeholder",
            "deposit",
            "none",
        ],
    ),
    (
        "miles_basis",
        &["stated", "rounded", "masked", "doubted", "none"],
    ),
    (
        "title",
        &[
            "clean",
            "salvage",
            "rebuilt",
            "lien",
            "missing",
            "bill_of_sale",
            "junk",
            "unstated",
        ],
    ),
    ("moves", &["drives", "runs_only", "no_start", "unstated"]),
    ("gearbox", &["manual", "automatic", "cvt", "unstated"]),
];
const SAYS: [&str; 5] = ["bad", "suspect", "renewed", "sound", "spare"];
const VAGUE: [&str; 9] = [
    "needs_work",
    "unnamed_fault",
    "cheap_fix",
    "mechanic_special",
    "stale",
    "as_is",
    "third_hand",
    "pressure",
    "no_check",
];

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());
static READER: LazyLock<Reader<'static>> =
    LazyLock::new(|| Reader::new(&LEXICON, DistanceUnit::Miles));

/// Holds one object against the contract; `text` is what its evidence points
/// into.
#[track_caller]
fn hold(line: &Value, text: &str) {
    let object = line.as_object().unwrap();
    let keys: BTreeSet<&str> = object.keys().map(String::as_str).collect();
    let wanted: BTreeSet<&str> = CONTRACT.into_iter().chain(BESIDE).collect();
    let keys: BTreeSet<&str> = keys.into_iter().filter(|k| *k != "text").collect();
    assert_eq!(keys, wanted);
    for (key, words) in WORDS {
        let word = line[key].as_str().unwrap();
        assert!(words.contains(&word), "{key} {word}");
    }
    assert!(line["id"].as_str().is_some_and(|id| !id.is_empty()));
    for key in ["make", "model", "vin"] {
        assert!(line[key].is_null() || line[key].is_string(), "{key}");
    }
    let year = &line["year"];
    assert!(
        year.is_null() || year.as_u64().is_some_and(|y| (1900..2100).contains(&y)),
        "{year}"
    );
    let miles = &line["miles"];
    assert!(miles.is_null() || miles.is_u64(), "{miles}");
    let basis = |key: &str| line[key].as_str().unwrap();
    match basis("ask_basis") {
        "placeholder" | "deposit" | "none" => assert!(line["ask"].is_null(), "{line}"),
        _ => assert!(line["ask"].as_f64().is_some_and(|a| a > 0.0), "{line}"),
    }
    if miles.is_u64() {
        assert_ne!(basis("miles_basis"), "none", "{line}");
    }
    let mut claims = BTreeSet::new();
    for claim in line["claims"].as_array().unwrap() {
        let (part, says) = (
            claim["part"].as_str().unwrap(),
            claim["says"].as_str().unwrap(),
        );
        assert!(LEXICON.parts.find(part).is_some(), "{part}");
        assert!(SAYS.contains(&says), "{says}");
        assert!(claims.insert((part, says)), "twice: {part} {says}");
        let keys: Vec<_> = claim.as_object().unwrap().keys().collect();
        assert!(
            keys.iter()
                .all(|k| ["part", "says", "done_at", "done_in"].contains(&k.as_str()))
        );
    }
    let mut vague = BTreeSet::new();
    for code in line["vague"].as_array().unwrap() {
        let code = code.as_str().unwrap();
        assert!(VAGUE.contains(&code) && vague.insert(code), "{code}");
    }
    let mut shown = BTreeSet::new();
    for place in line["evidence"].as_array().unwrap() {
        let at = place["at"].as_str().unwrap();
        assert!(line.pointer(at).is_some(), "{at} points nowhere");
        assert!(!place["rule"].as_str().unwrap().is_empty(), "{at}");
        let end = |key: &str| usize::try_from(place[key].as_u64().unwrap()).unwrap();
        let range = end("start")..end("end");
        assert!(
            !range.is_empty() && text.get(range.clone()).is_some(),
            "{at} {range:?}"
        );
        shown.insert(at);
    }
    // Every claim and every vague code has its place.
    for (key, count) in [("claims", claims.len()), ("vague", vague.len())] {
        for i in 0..count {
            assert!(
                shown.contains(format!("/{key}/{i}").as_str()),
                "/{key}/{i} without place"
            );
        }
    }
}

#[test]
fn every_line_of_the_samples_keeps_the_contract() {
    let samples = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("samples");
    let files = ["harbour-board.csv", "valley-swap.csv", "depot-list.csv"];
    let ran = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(["read", "--format", "jsonl", "--with-text"])
        .args(files.map(|f| samples.join(f)))
        .output()
        .unwrap();
    assert!(ran.status.success());
    let printed = String::from_utf8(ran.stdout).unwrap();
    let mut ids = BTreeSet::new();
    for line in printed.lines() {
        let line: Value = serde_json::from_str(line).unwrap();
        hold(&line, line["text"].as_str().unwrap());
        assert!(ids.insert(line["id"].to_string()), "twice: {}", line["id"]);
    }
    assert!(ids.len() > 150, "{}", ids.len());
}

/// Reads a text in each of the places that text comes from and holds the
/// result against the contract; the trace must not fail on it either.
fn read_anywhere(headline: &str, body: &str, cell: &str) {
    let origin = Origin {
        file: "any".into(),
        line: 1,
    };
    let mut listing = Listing::new(ListingId("1".to_owned()), origin, headline, body);
    let cell = (!cell.is_empty()).then(|| cell.to_owned());
    listing.price.clone_from(&cell);
    listing.distance.clone_from(&cell);
    listing.year.clone_from(&cell);
    listing.make.clone_from(&cell);
    listing.model = cell;
    let reading = READER.read(&listing);
    let row = ReadRow::new(&listing, &reading, &LEXICON, false);
    hold(&serde_json::to_value(&row).unwrap(), &listing.text);
    assert_eq!(READER.trace(&listing).reading, reading);
}

/// Texts made of what sellers write, so that rules meet in every order.
fn sellers_words() -> impl Strategy<Value = String> {
    let word = prop::sample::select(vec![
        "2004",
        "Saab",
        "Mazda 3",
        "$1,500",
        "187k",
        "187,xxx",
        "miles",
        "asking",
        "obo",
        "needs",
        "new",
        "no",
        "not",
        "brakes",
        "clutch",
        "head gasket",
        "leaks",
        "slips",
        "is shot",
        "and",
        "or",
        "but",
        "if",
        "maybe",
        "replaced",
        "it",
        "P0420",
        "PO3",
        "title",
        "clean title",
        "as is",
        "first",
        "won't start",
        "A/C",
        "£",
        "½",
        "’03",
        "Škoda",
        "é",
        "ß",
        "\n",
        "\n\n",
        ",",
        ".",
        ":",
        "?",
        "-",
        "*",
        "(",
        ")",
        "8/10",
        "80%",
        "JH4KA7561PC008269",
        "two grand",
        "twenty-two fifty",
        "down",
        "a month",
        "09 plate",
        "km",
        "\u{200b}",
        "🚗",
    ]);
    prop::collection::vec(word, 0..40).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_text_is_read_within_the_contract(
        headline in "\\PC{0,40}",
        body in any::<String>(),
        cell in "\\PC{0,12}",
    ) {
        read_anywhere(&headline, &body, &cell);
    }

    #[test]
    fn sellers_words_in_any_order_are_read_within_the_contract(
        headline in sellers_words(),
        body in sellers_words(),
        cell in "[0-9,.kK $£mi]{0,10}",
    ) {
        read_anywhere(&headline.replace('\n', " "), &body, &cell);
    }
}
