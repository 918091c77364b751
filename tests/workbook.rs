//! The workbook: what stands in its file, and what LibreOffice makes of it
//! after a price was changed.
#![cfg(feature = "workbook")]

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::Command;

use regex::Regex;
use serde_json::Value;

const BOARDS: [&str; 3] = [
    "samples/harbour-board.csv",
    "samples/valley-swap.csv",
    "samples/depot-list.csv",
];
const FIGURES: [&str; 4] = [
    "--comparables",
    "samples/comparables.csv",
    "--profile",
    "samples/profile.toml",
];

#[track_caller]
fn run(words: &[&str]) -> Vec<u8> {
    let ran = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(words)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{words:?}\n{said}");
    ran.stdout
}

/// The list of the samples as a workbook.
fn samples() -> Vec<u8> {
    let words = [&["shortlist"], &BOARDS[..], &FIGURES, &["--format", "xlsx"]];
    run(&words.concat())
}

/// The files within a workbook.
fn files(book: &[u8]) -> BTreeMap<String, String> {
    let mut archive = zip::ZipArchive::new(Cursor::new(book)).unwrap();
    (0..archive.len())
        .map(|at| {
            let mut file = archive.by_index(at).unwrap();
            let mut text = String::new();
            file.read_to_string(&mut text).unwrap();
            (file.name().unwrap().into_owned(), text)
        })
        .collect()
}

/// The same once a file in it was changed.
fn changed(book: &[u8], change: impl Fn(&str, String) -> String) -> Vec<u8> {
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    for (name, text) in files(book) {
        out.start_file(&name, options).unwrap();
        out.write_all(change(&name, text).as_bytes()).unwrap();
    }
    out.finish().unwrap().into_inner()
}

const LIST: &str = "xl/worksheets/sheet1.xml";
const SUMS: &str = "xl/worksheets/sheet2.xml";

#[test]
fn the_same_list_gives_the_same_bytes() {
    assert!(samples() == samples());
}

#[test]
fn the_header_stays_and_rows_can_be_filtered_and_money_is_a_number() {
    let files = files(&samples());
    for sheet in [LIST, SUMS, "xl/worksheets/sheet3.xml"] {
        let text = &files[sheet];
        assert!(text.contains("ySplit=\"1\""), "{sheet}");
        assert!(text.contains("state=\"frozen\""), "{sheet}");
        assert!(text.contains("<autoFilter ref=\"A1:"), "{sheet}");
        assert!(text.contains("<col min="), "{sheet}");
    }
    // `asked` of the first car, and the margin as a formula of its price.
    let cell = |at: &str| {
        let pattern = format!("<c r=\"{at}\"[^>]*>(.*?)</c>");
        let found = Regex::new(&pattern)
            .unwrap()
            .captures(&files[LIST])
            .unwrap();
        found[1].to_owned()
    };
    let words = [&["shortlist"], &BOARDS[..], &FIGURES, &["--format", "json"]];
    let list: Value = serde_json::from_slice(&run(&words.concat())).unwrap();
    assert_eq!(cell("F2"), format!("<v>{}</v>", list["cars"][0]["ask"]));
    assert!(
        cell("H2").starts_with("<f>IF(G2=\"\",\"\",ROUND(SUMIFS(Sums!"),
        "{}",
        cell("H2")
    );
    assert!(files["xl/styles.xml"].contains("&quot;$&quot;#,##0"));
    assert!(files[LIST].contains("<dataValidation type=\"decimal\""));
}

#[test]
fn text_of_ads_stays_text_and_only_links_of_the_web_are_live() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ads.csv");
    let ad = |id: &str, title: &str, text: &str, link: &str| {
        format!("\"{id}\",\"{title}\",\"{text}\",900,\"{link}\",\"+1 Town\"\n")
    };
    let ads = [
        "id,title,description,price,url,town\n".to_owned(),
        ad(
            "=1+1",
            "2009 Toyota Corolla",
            "=cmd|' /C calc'!A0 needs clutch",
            "javascript:alert(1)",
        ),
        ad(
            "@7",
            "=HYPERLINK(\"\"http://x\"\")",
            "@SUM(A1) broken starter",
            "file:///etc/passwd",
        ),
        ad(
            "+7",
            "2010 Mazda 3",
            "-2+3 needs brakes, call 555-010-9988",
            "https://b.example.org/7",
        ),
        ad(
            "-7",
            "2011 Saab 95",
            "noisy belt _x003D_1 \u{1b}[31m",
            "HTTPS://b.example.org/8",
        ),
    ];
    std::fs::write(&path, ads.concat()).unwrap();
    let path = path.to_str().unwrap();
    let files = files(&run(&["shortlist", path, "--format", "xlsx"]));
    // Formulas are those of the program alone.
    let formula = Regex::new("<f>(.*?)</f>").unwrap();
    for (name, text) in &files {
        for found in formula.captures_iter(text) {
            let ours = ["IF(G", "-SUMIF(Shortlist!", "SUM(E"];
            assert!(
                ours.iter().any(|o| found[1].starts_with(o)),
                "{name}: {}",
                &found[1]
            );
        }
        assert!(!text.contains('\u{1b}'), "{name}");
        assert!(!text.contains("555-010-9988"), "{name}");
    }
    let words = &files["xl/sharedStrings.xml"];
    for text in [
        "<t>=1+1</t>",
        "<t>@7</t>",
        "<t>+7</t>",
        "<t>-7</t>",
        "<t>+1 Town</t>",
    ] {
        assert!(words.contains(text), "{text} is not in {words}");
    }
    let links = &files["xl/worksheets/_rels/sheet1.xml.rels"];
    let targets: Vec<_> = Regex::new("Target=\"(.*?)\"")
        .unwrap()
        .captures_iter(links)
        .map(|c| c[1].to_lowercase())
        .collect();
    assert_eq!(targets.len(), 2, "{targets:?}");
    assert!(
        targets
            .iter()
            .all(|t| t.starts_with("https://b.example.org/")),
        "{targets:?}"
    );
    // The same holds in CSV, where a quote keeps it text.
    let csv = String::from_utf8(run(&["shortlist", path, "--format", "csv"])).unwrap();
    let mut rows = csv::Reader::from_reader(csv.as_bytes());
    for row in rows.records() {
        for cell in row.unwrap().iter() {
            let number = cell.parse::<f64>().is_ok();
            assert!(
                number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                "{cell}"
            );
        }
    }
}

#[test]
fn a_list_goes_by_the_ending_of_its_file_and_never_to_a_text() {
    let dir = tempfile::tempdir().unwrap();
    for (name, begins) in [
        ("a.xlsx", &b"PK"[..]),
        ("a.csv", b"rank,id,"),
        ("a.json", b"{"),
        ("a.jsonl", b"{\"schema\":\"urn:fixworth:car:"),
        ("a.md", b"84 of 84 cars"),
        ("a.txt", b"84 of 84 cars"),
    ] {
        let path = dir.path().join(name);
        run(&["shortlist", BOARDS[0], "--out", path.to_str().unwrap()]);
        assert!(std::fs::read(&path).unwrap().starts_with(begins), "{name}");
    }
    // What is named goes before the ending.
    let path = dir.path().join("b.csv");
    run(&[
        "shortlist",
        BOARDS[0],
        "--format",
        "json",
        "--out",
        path.to_str().unwrap(),
    ]);
    assert!(std::fs::read(&path).unwrap().starts_with(b"{"));
}

/// The cells of all sheets as LibreOffice works them out, by name of the
/// sheet; none where it is not there.
fn worked_out(book: &[u8]) -> Option<BTreeMap<String, Vec<Vec<String>>>> {
    let program = std::env::var_os("SOFFICE").map_or_else(|| "soffice".into(), PathBuf::from);
    if Command::new(&program).arg("--version").output().is_err() {
        eprintln!("skipped: no LibreOffice (soffice) here to work out the workbook");
        return None;
    }
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("book.xlsx");
    std::fs::write(&path, book).unwrap();
    // Comma, quote, UTF-8; values as they are, not as they are shown; all sheets.
    let form = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1";
    let ran = Command::new(&program)
        .arg(format!(
            "-env:UserInstallation=file://{}",
            dir.path().join("home").display()
        ))
        .args(["--headless", "--convert-to", form, "--outdir"])
        .arg(dir.path())
        .arg(&path)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stderr);
    let read = |sheet: &str| -> Vec<Vec<String>> {
        let file = dir.path().join(format!("book-{sheet}.csv"));
        assert!(Path::new(&file).exists(), "no sheet {sheet}: {said}");
        let mut rows = csv::ReaderBuilder::new();
        let rows = rows
            .has_headers(false)
            .flexible(true)
            .from_path(file)
            .unwrap();
        let rows = rows.into_records().map(Result::unwrap);
        rows.map(|row| row.iter().map(str::to_owned).collect())
            .collect()
    };
    let names = ["Shortlist", "Sums", "Claims", "About"];
    Some(
        names
            .into_iter()
            .map(|name| (name.to_owned(), read(name)))
            .collect(),
    )
}

/// Without the values that the program wrote beside its formulas, so that they
/// have to be worked out.
fn unsolved(text: String) -> String {
    let value = Regex::new("(</f>)<v>[^<]*</v>").unwrap();
    value.replace_all(&text, "$1").into_owned()
}

fn figure(cell: &str) -> f64 {
    let (number, unit) = match cell.strip_suffix('%') {
        Some(number) => (number, 0.01),
        None => (cell, 1.0),
    };
    let number: f64 = number
        .parse()
        .unwrap_or_else(|_| panic!("'{cell}' is no number"));
    number * unit
}

#[test]
fn formulas_come_to_what_the_program_says() {
    let book = changed(&samples(), |_, text| unsolved(text));
    let Some(sheets) = worked_out(&book) else {
        return;
    };
    let words = [&["shortlist"], &BOARDS[..], &FIGURES, &["--format", "json"]];
    let list: Value = serde_json::from_slice(&run(&words.concat())).unwrap();
    let cars = list["cars"].as_array().unwrap();
    let rows = &sheets["Shortlist"];
    assert_eq!(rows.len(), cars.len() + 1);
    // Not worked out anew, these are the values that the program wrote.
    let written = &worked_out(&samples()).unwrap()["Shortlist"];
    let column = |name: &str| rows[0].iter().position(|h| h == name).unwrap();
    let mut compared = 0;
    for (car, row) in cars.iter().zip(&rows[1..]) {
        for (key, head) in [
            ("low", "margin low"),
            ("likely", "margin"),
            ("high", "margin high"),
        ] {
            let cell = &row[column(head)];
            match car["margin"][key].as_f64() {
                Some(expected) => {
                    assert!(
                        (figure(cell) - expected).abs() < 0.011,
                        "{head} of {}",
                        car["id"]
                    );
                    compared += 1;
                }
                None => assert_eq!(cell, "", "{head} of {}", car["id"]),
            }
        }
    }
    assert!(compared > 300, "{compared}");
    let (loss, verdict) = (column("chance of loss"), column("your price is"));
    let mut losses = 0;
    for (worked_out, written) in rows.iter().zip(written).skip(1) {
        assert_eq!(worked_out[verdict], written[verdict]);
        if worked_out[loss].is_empty() || written[loss].is_empty() {
            assert_eq!(worked_out[loss], written[loss]);
            continue;
        }
        let (a, b) = (figure(&worked_out[loss]), figure(&written[loss]));
        assert!((a - b).abs() < 1e-9, "{a} is not {b}");
        losses += usize::from(a > 0.0);
    }
    assert!(losses > 50, "{losses}");
}

#[test]
fn another_price_moves_the_margin_by_as_much() {
    let tried = 10_000.0;
    let book = changed(&samples(), |name, text| {
        let text = unsolved(text);
        if name != LIST {
            return text;
        }
        let price = Regex::new("(<c r=\"G2\"[^>]*>)<v>[^<]*</v>").unwrap();
        assert!(price.is_match(&text));
        price
            .replace(&text, format!("$1<v>{tried}</v>"))
            .into_owned()
    });
    let Some(after) = worked_out(&book) else {
        return;
    };
    let before = worked_out(&samples()).unwrap();
    let column = |name: &str| {
        let head = &before["Shortlist"][0];
        head.iter().position(|h| h == name).unwrap()
    };
    let (was, is) = (&before["Shortlist"][1], &after["Shortlist"][1]);
    let step = figure(&was[column("your price")]) - tried;
    for head in ["margin", "margin low", "margin high"] {
        let moved = figure(&is[column(head)]) - figure(&was[column(head)]);
        assert!(
            (moved - step).abs() < 0.011,
            "{head} moves by {moved}, not {step}"
        );
    }
    assert_eq!(was[column("your price is")], "within pay to");
    assert_eq!(is[column("your price is")], "above pay to");
    // So does the chance of a loss.
    let loss = |row: &[String]| figure(&row[column("chance of loss")]);
    assert!(
        loss(was) < 0.05 && loss(is) > 0.9,
        "{} {}",
        loss(was),
        loss(is)
    );
    // The sum follows too, and no other car's does.
    let sum = |sheets: &BTreeMap<String, Vec<Vec<String>>>, rank: &str, step: &str| {
        let rows = sheets["Sums"].iter();
        let row = rows
            .into_iter()
            .find(|r| r[0] == rank && r[3] == step)
            .unwrap();
        figure(&row[4])
    };
    assert_eq!(sum(&after, "1", "price"), -tried);
    let margin = figure(&is[column("margin")]);
    assert!((sum(&after, "1", "expected margin") - margin).abs() < 0.001);
    for step in ["price", "expected margin"] {
        assert!(
            (sum(&after, "2", step) - sum(&before, "2", step)).abs() < 0.011,
            "{step}"
        );
    }
    let rows = |sheets: &BTreeMap<String, Vec<Vec<String>>>| sheets["Shortlist"][2..].concat();
    let (was, is) = (rows(&before), rows(&after));
    assert_eq!(was.len(), is.len());
    for (was, is) in was.iter().zip(&is) {
        let near = match (was.parse::<f64>(), is.parse::<f64>()) {
            (Ok(was), Ok(is)) => (was - is).abs() < 0.011,
            _ => was == is,
        };
        assert!(near, "'{was}' became '{is}'");
    }
}
