//! The first ten minutes: somebody's own file, in whatever shape, without a
//! profile and without known prices. Whatever stands in the way is said, with
//! the way out.

use std::path::PathBuf;
use std::process::Command;

struct Folder(tempfile::TempDir);

struct Ran {
    code: Option<i32>,
    out: String,
    err: String,
}

impl Folder {
    fn with(files: &[(&str, &str)]) -> Self {
        let folder = Folder(tempfile::tempdir().unwrap());
        for (name, text) in files {
            std::fs::write(folder.path(name), text).unwrap();
        }
        folder
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn run(&self, words: &[&str]) -> Ran {
        let ran = Command::new(env!("CARGO_BIN_EXE_fixworth"))
            .args(words)
            .current_dir(self.0.path())
            .output()
            .unwrap();
        Ran {
            code: ran.status.code(),
            out: String::from_utf8(ran.stdout).unwrap(),
            err: String::from_utf8(ran.stderr).unwrap(),
        }
    }
}

const GERMAN: &str = "Titel;Text;Preis;Kilometer;Baujahr;Ort\n\
    VW Golf 4 1.6;\"Kupplung rutscht, TÜV abgelaufen, fährt noch. VB\";1.250 €;187.000 km;2003;Kiel\n\
    Saab 9-3;\"Motor springt nicht an, Batterie neu, Ersatzteile dabei\";450,00 €;143.500;2005;Lübeck\n\
    Volvo V70;\"Kopfdichtung defekt; läuft, aber raucht sehr stark\";€ 1.100,-;298000;2001;Bremen\n";

const ODD: &str = "What;Words of seller;Cost;Miles on it\n\
    2009 Toyota Corolla;\"clutch slips, clean title, drives fine\";$1,900;131k miles\n\
    2004 Saab 9-3;\"wont start, turns over, no rust\";$850 obo;120k miles\n";

#[test]
fn another_language_and_other_money_are_told() {
    let folder = Folder::with(&[("autos.csv", GERMAN)]);
    let ran = folder.run(&["shortlist", "autos.csv", "--width", "50"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    for said in [
        "3 of 3 ads hardly have a word that the tables know; only English is read",
        "3 of 3 ads ask in EUR, which counts as no price, since the profile is in USD",
        "currency = \"EUR\"",
        "--as-of YEAR sets it",
        "Give known prices with --comparables FILE",
    ] {
        assert!(ran.err.contains(said), "'{said}' is not in\n{}", ran.err);
    }
    // The way out that was told works: then there are prices.
    let profile = folder.run(&["profile"]).out;
    let mine = profile.replace("currency = \"USD\"", "currency = \"EUR\"");
    assert_ne!(mine, profile);
    std::fs::write(folder.path("mine.toml"), mine).unwrap();
    let words = [
        "shortlist",
        "autos.csv",
        "--profile",
        "mine.toml",
        "--format",
        "csv",
    ];
    let ran = folder.run(&words);
    assert!(!ran.err.contains("ask in"), "{}", ran.err);
    let mut rows = csv::Reader::from_reader(ran.out.as_bytes());
    let at = rows
        .headers()
        .unwrap()
        .iter()
        .position(|h| h == "ask")
        .unwrap();
    let asks: Vec<String> = rows.records().map(|r| r.unwrap()[at].to_owned()).collect();
    let mut asks: Vec<_> = asks.iter().map(String::as_str).collect();
    asks.sort_unstable();
    assert_eq!(asks, ["1100", "1250", "450"]);
}

#[test]
fn sound_samples_bring_no_such_notes() {
    let ran = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args([
            "shortlist",
            "samples/harbour-board.csv",
            "samples/valley-swap.csv",
        ])
        .args(["samples/depot-list.csv"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let said = String::from_utf8(ran.stderr).unwrap();
    assert!(said.contains("ages are counted to 2026"), "{said}");
    assert!(!said.contains("hardly have a word"), "{said}");
    assert!(!said.contains("ask in"), "{said}");
}

#[test]
fn headers_that_nobody_knows_are_answered_with_the_words_to_type() {
    let folder = Folder::with(&[("odd.csv", ODD)]);
    let ran = folder.run(&["shortlist", "odd.csv"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    let told = "'Words of seller' looks like it: say --column 'text=Words of seller'";
    assert!(ran.err.contains(told), "{}", ran.err);
    let columns = folder.run(&["columns", "odd.csv", "--width", "200"]);
    assert_eq!(columns.code, Some(0));
    for told in [
        "odd.csv: ASCII, cells parted by semicolon",
        "its cells look like a text",
        "--column 'text=Words of seller'\n",
        "--column 'distance=Miles on it'\n",
        "price: its header is in headers.csv",
        "No column for: id, headline, text,",
        "Not readable: ",
    ] {
        assert!(
            columns.out.contains(told),
            "'{told}' is not in\n{}",
            columns.out
        );
    }
    // What was told to be typed does it.
    let list = folder.run(&[
        "shortlist",
        "odd.csv",
        "--column",
        "text=Words of seller",
        "--column",
        "distance=Miles on it",
        "--width",
        "50",
    ]);
    assert_eq!(list.code, Some(0), "{}", list.err);
    assert!(list.out.starts_with("2 of 2 ads"), "{}", list.out);
    assert!(list.out.contains("131,000 mi"), "{}", list.out);
}

#[test]
fn old_cars_without_dates_are_not_taken_for_new_ones() {
    let folder = Folder::with(&[(
        "old.csv",
        "title,description,price\n1994 Volvo 940,\"needs brakes, clean title, drives\",900\n",
    )]);
    let ran = folder.run(&["shortlist", "old.csv", "--format", "json"]);
    let list: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert!(list["as_of"].as_u64().unwrap() >= 2024, "{}", list["as_of"]);
    let said = "the year of the tables, since no ad has a date; --as-of YEAR sets it";
    assert!(ran.err.contains(said), "{}", ran.err);
}

#[test]
fn a_car_without_a_headline_has_a_name() {
    let folder = Folder::with(&[(
        "bare.csv",
        "text,price\n\"Old wagon with a bad clutch, runs, needs to go by the weekend, bring a rope\",400\n",
    )]);
    let ran = folder.run(&["shortlist", "bare.csv"]);
    let named = |line: &str| line.starts_with("1 Old wagon with a bad");
    assert!(ran.out.lines().any(named), "{}", ran.out);
}

#[test]
fn words_in_another_order_are_answered_with_the_order() {
    let folder = Folder::with(&[("odd.csv", ODD)]);
    for (words, told) in [
        (
            &["odd.csv"][..],
            "'fixworth shortlist odd.csv' ranks its ads",
        ),
        (
            &["explain", "odd.csv", "7"],
            "give the id first, then the files",
        ),
        (
            &["call", "odd.csv", "7"],
            "give the id first, then the files",
        ),
        (
            &["sheet", "odd.csv", "7"],
            "give the ids first, then the files",
        ),
    ] {
        let ran = folder.run(words);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{words:?}");
        assert!(ran.err.contains(told), "{words:?}: {}", ran.err);
    }
}

#[test]
fn files_that_are_no_list_say_what_they_are() {
    let folder = Folder::with(&[
        ("page.csv", "<html><body>ads</body></html>"),
        ("data.csv", "[{\"ads\": 1}]"),
        ("book.csv", "PK\u{3}\u{4}rest"),
        ("nothing.csv", ""),
        (
            "quote.csv",
            "title,price\n\"2009 Toyota,1900\n2010 Mazda 3,800\n",
        ),
    ]);
    for (name, says) in [
        ("page.csv", "this is a web page or XML"),
        ("data.csv", "this is JSON"),
        ("book.csv", "this is a spreadsheet"),
        ("nothing.csv", "is empty"),
        (".", "is a folder"),
    ] {
        let ran = folder.run(&["shortlist", name]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{name}");
        assert!(ran.err.contains(says), "{name}: {}", ran.err);
        assert_eq!(ran.err.lines().count(), 1, "{name}: {}", ran.err);
    }
    // One stray quote costs nothing but itself.
    let ran = folder.run(&["shortlist", "quote.csv"]);
    assert!(
        ran.out.starts_with("2 of 2 ads"),
        "{}\n{}",
        ran.out,
        ran.err
    );
}
