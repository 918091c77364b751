//! Input of which a careless reader would make something that grows with the
//! square of its size.

use std::fs;

use super::bounds::{run, run_within};
use super::program::Folder;

/// Texts of which a careless reader makes something that grows with the square
/// of their length: they are as long as a cell may be, and done in seconds.
#[test]
fn long_texts_are_read_in_a_moment() {
    const CELL: usize = 1_000_000;
    let repeated = |unit: &str| unit.repeat(CELL / unit.len());
    let offers: String = (0..80)
        .map(|i| format!("{} Saturn SL{i} $5{i}0. ", 1950 + i))
        .collect();
    let units = [
        "no ",
        "no rust ",
        ",",
        "rust, ",
        "replaced belt at 90k ",
        "new belt 2019, ",
        "(",
        "((rust) ",
        "\" ",
        "a",
        "9",
        "1 ",
        "$500 ",
        "555-0114 ",
        "+12025550124",
        "a@b.c ",
        "P0420 ",
        "<",
        "&",
        "&amp;",
        "<b>",
        "<a href=",
        "Bad: ",
        "rust: ",
        "a/",
        "a.",
        "cluch ",
        "1G1ND52J3Y6123456 ",
        "Toyota Corolla ",
        "187,xxx ",
        "*",
        "a-",
        "a'",
        "é",
        "🚗",
        "\u{200d}",
        "both 1400 ",
        "- clutch\n",
        "or ",
        "[",
        "{",
        "clutch? ",
        "brakes and ",
        "\u{301}",
        "\u{202e}",
        "\\",
        "'",
        "’",
    ];
    let mut rows = "id,title,text,price,miles\n".to_owned();
    let texts = units
        .iter()
        .map(|unit| repeated(unit))
        .chain([repeated(&offers)]);
    for (n, text) in texts.enumerate() {
        let quoted = text.replace('"', "\"\"");
        rows.push_str(&format!("{n},2003 Saab 9-3,\"{quoted}\",900,\n"));
    }
    // And where no text belongs.
    let digits = "9".repeat(CELL);
    rows.push_str(&format!("price,2003 Saab 9-3,runs,{digits},\n"));
    rows.push_str(&format!("miles,2003 Saab 9-3,runs,900,{digits}\n"));
    let count = rows.lines().count();
    assert!(count > units.len());
    let folder = Folder::new().with("ads.csv", rows);
    run(&folder, "read ads.csv --with-text").unwrap();
    let out = fs::read_to_string(folder.path("out")).unwrap();
    assert!(out.lines().count() > units.len(), "{}", out.lines().count());
    assert!(out.contains("the ad has more than 64 KiB"));
}

/// Many rows that are one car, or nearly nothing: cars are found among them in
/// a time that grows with their number only.
#[test]
fn many_like_rows_are_brought_together_in_a_moment() {
    let alike = |text: &str| {
        let rows = (0..30_000).map(|n| format!("{n},2003 Saab 9-3,{text},900\n"));
        "id,title,text,price\n".to_owned() + &rows.collect::<String>()
    };
    let folder = Folder::new()
        .with(
            "ads.csv",
            alike("the very same words with a bad clutch and 150000 miles"),
        )
        .with("words.csv", alike("rust"));
    for file in ["ads.csv", "words.csv"] {
        run(
            &folder,
            &format!("shortlist {file} --as-of 2026 --format jsonl"),
        )
        .unwrap();
        assert!(!fs::read(folder.path("out")).unwrap().is_empty());
    }
}

/// A million rows of a word each: with ids they are ads, without they say one
/// thing a million times.
#[test]
fn a_million_rows_of_one_word_are_read() {
    const ROWS: usize = 1_000_000;
    let words = ["rust", "clutch", "no", "sold", "x"];
    let row = |n: usize| format!("{n},{}\n", words[n % words.len()]);
    let rows = "id,text\n".to_owned() + &(0..ROWS).map(row).collect::<String>();
    let folder = Folder::new()
        .with("ads.csv", rows)
        .with("same.csv", "text\n".to_owned() + &"rust\n".repeat(ROWS));
    let out = || fs::read_to_string(folder.path("out")).unwrap();
    let last = ROWS - 4;
    run_within(60, &folder, &format!("read ads.csv --id {last}")).unwrap();
    assert!(
        out().starts_with(&format!("{{\"id\":\"{last}\"")),
        "{}",
        out()
    );
    assert_eq!(out().lines().count(), 1);
    run_within(60, &folder, "read same.csv").unwrap();
    assert_eq!(out().lines().count(), 1);
    let err = fs::read_to_string(folder.path("err")).unwrap();
    assert!(err.contains("999999 rows are exact repeats"), "{err}");
}

/// A row beyond all bounds is passed over, and the rows behind it are read.
#[test]
fn a_listing_of_fifty_megabytes_costs_its_own_row() {
    let huge = "no rust at all, ".repeat(50 * (1 << 20) / 16);
    let rows =
        format!("id,title,text\n1,2003 Saab,{huge}\n2,2003 Saab,\"{huge}\"\n3,2003 Saab,runs\n");
    let folder = Folder::new().with("ads.csv", rows);
    run(&folder, "read ads.csv").unwrap();
    let out = fs::read_to_string(folder.path("out")).unwrap();
    assert_eq!(out.lines().count(), 1, "{}", &out[..out.len().min(500)]);
    assert!(out.starts_with("{\"id\":\"3\""));
}
