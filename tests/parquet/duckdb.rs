//! What DuckDB writes is read as the same CSV is, and what is written DuckDB
//! reads as it reads the JSON lines.

use std::path::Path;
use std::process::Command;

use super::program::{Folder, path};
use fixworth::day::Day;
use fixworth::intake::{self, Options};
use fixworth::lexicon::Lexicon;

/// The ads of the samples, as one CSV whose numbers and dates are plain.
fn csv() -> Vec<u8> {
    let lexicon = Lexicon::built_in().unwrap();
    let paths = ["harbour-board", "valley-swap", "depot-list"]
        .map(|name| format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR")).into());
    let options = Options::default();
    let all = intake::read_all(&paths, &options, &lexicon).unwrap();
    assert_eq!(all.listings.len(), 194);
    let mut out = csv::Writer::from_writer(Vec::new());
    let header = [
        "id",
        "title",
        "description",
        "price",
        "mileage",
        "place",
        "date",
        "url",
    ];
    out.write_record(header).unwrap();
    for ad in &all.listings {
        let cell = |cell: &Option<String>, plain: fn(&str) -> bool| {
            cell.clone().filter(|c| plain(c)).unwrap_or_default()
        };
        let digits = |c: &str| c.bytes().all(|b| b.is_ascii_digit());
        let [price, miles] = [&ad.price, &ad.distance].map(|c| cell(c, digits));
        let date = cell(&ad.date, |date| date.parse::<Day>().is_ok());
        let [place, link] = [&ad.place, &ad.link].map(|c| cell(c, |_| true));
        let prose = [&ad.id.0, ad.headline(), ad.body()];
        let rest = [&price, &miles, &place, &date, &link].map(String::as_str);
        let row = [&prose[..], &rest].concat();
        out.write_record(row).unwrap();
    }
    out.into_inner().unwrap()
}

/// Python that has duckdb.
fn python() -> Option<String> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let asked = Command::new(&python).args(["-c", "import duckdb"]).output();
    if asked.is_ok_and(|output| output.status.success()) {
        return Some(python);
    }
    eprintln!("skipped: duckdb of {python} is missing");
    None
}

#[test]
fn tables_of_duckdb_say_what_csv_and_json_say() {
    let Some(python) = python() else { return };
    let folder = Folder::new().with("ads.csv", csv());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/parquet/tables.py");
    let ran = Command::new(&python)
        .arg(&script)
        .arg(path())
        .arg(folder.path(""))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stdout);
    let failed = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{said}{failed}");
    assert!(said.contains("194 ads"), "{said}");
}

/// The README's commands and script say what stands below them. It is written
/// anew by `tests/readme`, which needs no DuckDB.
#[cfg(unix)]
#[test]
fn the_readme_shows_what_duckdb_finds() {
    let Some(python) = python() else { return };
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = std::fs::read_to_string(&readme).unwrap();
    let block = |kind: &str| super::shell::block(&text, "As a Parquet table", kind);
    let folder = super::shell::Folder::with_samples();
    let command = block("sh")
        .lines()
        .find(|l| l.starts_with("fixworth "))
        .unwrap();
    folder.stdout(command);
    folder.write("ask.py", block("python"));
    let printed = folder.stdout(&format!("'{python}' ask.py"));
    let shown = block("text");
    assert_eq!(shown, printed);
}
