//! Afterwards: the built program over the samples' ledger, and what it learns.
//! The expected pages stand in `tests/golden`; `GOLDEN=write cargo test --test
//! ledger` writes them anew.

use std::path::Path;
use std::process::{Command, Output};

use fixworth::ledger::{Factors, Scope};
use fixworth::lexicon::Lexicon;

const FILES: [&str; 7] = [
    "samples/harbour-board.csv",
    "samples/later/harbour-board-2026-02-14.csv",
    "samples/later/harbour-board-2026-02-21.csv",
    "--comparables",
    "samples/comparables.csv",
    "--profile",
    "samples/profile.toml",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn output(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(words)
        .current_dir(root())
        .output()
        .unwrap()
}

fn run(words: &[&str]) -> String {
    let out = output(words);
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(out.status.success(), "{words:?}: {said}");
    String::from_utf8(out.stdout).unwrap()
}

fn refused(words: &[&str]) -> String {
    let out = output(words);
    assert_eq!(out.status.code(), Some(2), "{words:?}");
    String::from_utf8(out.stderr).unwrap()
}

fn golden(name: &str, text: &str) {
    let path = root().join("tests/golden").join(name);
    if std::env::var_os("GOLDEN").is_some() {
        std::fs::write(&path, text).unwrap();
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(expected == text, "{} differs:\n{text}", path.display());
}

/// A ledger of one's own in a folder of its own.
fn ledger(dir: &tempfile::TempDir, rows: &str) -> String {
    let path = dir.path().join("ledger.csv");
    std::fs::write(&path, format!("id,date,what,code,amount,note\n{rows}")).unwrap();
    path.display().to_string()
}

fn learnt(rows: &str) -> Factors {
    let dir = tempfile::tempdir().unwrap();
    let book = ledger(&dir, rows);
    let path = dir.path().join("my-repairs.csv");
    let file = path.display().to_string();
    run(&[&["ledger", &book], &FILES[..], &["--learn", &file]].concat());
    Factors::read(&path, &Lexicon::built_in().unwrap().repairs).unwrap()
}

fn factor(factors: &Factors, scope: &Scope) -> (f64, f64) {
    let row = factors.rows.iter().find(|r| r.scope == *scope).unwrap();
    let number = |d: rust_decimal::Decimal| d.to_string().parse().unwrap();
    (number(row.materials), number(row.hours))
}

#[test]
fn the_ledger_stands_beside_the_estimates() {
    let dir = tempfile::tempdir().unwrap();
    let mine = dir.path().join("my-repairs.csv");
    let file = mine.display().to_string();
    let page = run(&[
        &["ledger", "samples/ledger.csv"],
        &FILES[..],
        &["--learn", &file],
    ]
    .concat());
    golden("ledger.txt", &page);
    golden("my-repairs.csv", &std::fs::read_to_string(&mine).unwrap());
}

#[test]
fn a_car_adds_up() {
    let text = run(&[
        &["ledger", "samples/ledger.csv"],
        &FILES[..],
        &["--format", "json"],
    ]
    .concat());
    let all: serde_json::Value = serde_json::from_str(&text).unwrap();
    let cars = all["cars"].as_array().unwrap();
    // Bought under the number of its second ad; it is one car all the same.
    let buick = cars.iter().find(|c| c["id"] == "40174").unwrap();
    let number = |key: &str| buick[key].as_f64().unwrap();
    assert_eq!(number("bought_for"), 410.0);
    assert_eq!(number("materials"), 62.0);
    assert_eq!(number("hours"), 12.0);
    // Hours count at 14, as the profile says.
    assert_eq!(
        number("margin"),
        2050.0 - 410.0 - 62.0 - 130.0 - 12.0 * 14.0
    );
    assert_eq!(number("margin_per_hour"), 106.67);
    assert_eq!(buick["jobs"][0]["job"], "intake_manifold");
    let open: Vec<_> = cars.iter().filter(|c| c["sold"].is_null()).collect();
    assert_eq!(open.len(), 1);
    assert!(open[0]["margin"].is_null());
    let months = all["months"].as_array().unwrap();
    let sum = |key: &str| -> f64 { months.iter().map(|m| m[key].as_f64().unwrap()).sum() };
    assert_eq!(sum("sold"), 2900.0 + 1990.0 + 4350.0 + 2050.0);
    assert_eq!(sum("cars"), 850.0 + 900.0 + 1320.0 + 410.0 + 1300.0);
    assert_eq!(sum("tools"), 48.0);
}

fn starters(times: usize, hours: f64) -> String {
    let row = |n: usize| {
        format!(
            "40524,2026-03-{:02},part,starter,{},\n40524,2026-03-{:02},hours,starter,{hours},\n",
            n + 1,
            60,
            n + 1
        )
    };
    // Each car is its own evidence: the same job on other cars of the board.
    let ids = ["40524", "40137", "40434", "40454", "40480", "40500"];
    let cars = ids.iter().take(times).map(|id| {
        format!(
            "{}{id},2026-02-23,bought,,850,\n{id},2026-03-14,sold,,2900,\n",
            row(0).replace("40524", id)
        )
    });
    cars.collect()
}

#[test]
fn the_more_evidence_the_further_from_the_table() {
    let job = Scope::Job("starter".to_owned());
    let mut last = 1.0;
    for times in [1, 2, 4, 6] {
        // The table says about 2 hours.
        let (_, hours) = factor(&learnt(&starters(times, 6.0)), &job);
        assert!(hours > last, "{times}: {hours} after {last}");
        last = hours;
    }
    assert!((1.5..3.2).contains(&last), "{last}");
    // Another job of the group is drawn along, less far.
    let all = learnt(&starters(6, 6.0));
    let (_, group) = factor(&all, &Scope::Group("electrical".to_owned()));
    assert!(group > 1.0 && group < last, "{group} {last}");
}

#[test]
fn an_open_car_teaches_nothing() {
    let open: String = starters(3, 6.0)
        .lines()
        .filter(|l| !l.contains("sold"))
        .map(|l| format!("{l}\n"))
        .collect();
    assert!(learnt(&open).rows.is_empty());
}

#[test]
fn a_part_that_cost_nothing_tells_nothing_of_prices() {
    let rows = "40524,2026-02-23,bought,,850,\n40524,2026-02-25,part,starter,0,out of the boot\n\
        40524,2026-02-25,hours,starter,2,\n40524,2026-03-14,sold,,2900,\n";
    let (materials, _) = factor(&learnt(rows), &Scope::Job("starter".to_owned()));
    assert_eq!(materials, 1.0);
}

#[test]
fn the_list_uses_what_was_learnt_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("my-repairs.csv");
    let file = path.display().to_string();
    std::fs::write(
        &path,
        "scope,code,materials,hours,done,seen_materials,seen_hours\njob,starter,2,3,4,,\n",
    )
    .unwrap();
    let line = |more: &[&str]| {
        let page = run(&[&["explain", "40524"], &FILES[..], more].concat());
        let at = page.find("  starter:").unwrap();
        page[at..].lines().take(6).collect::<Vec<_>>().join("\n")
    };
    let (table, mine) = (line(&[]), line(&["--repairs", &file]));
    let hours = |text: &str| -> f64 {
        let at = text.find("own hours ").unwrap() + 10;
        text[at..].split(' ').next().unwrap().parse().unwrap()
    };
    assert!(
        (hours(&mine) - 3.0 * hours(&table)).abs() < 0.2,
        "{table}\n{mine}"
    );
    let words = mine.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("times your own 2 on materials and 3 on hours"),
        "{mine}"
    );
}

#[test]
fn nothing_is_written_over_without_force() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("my-repairs.csv");
    std::fs::write(&path, "mine\n").unwrap();
    let file = path.display().to_string();
    let words = [
        &["ledger", "samples/ledger.csv"],
        &FILES[..],
        &["--learn", &file],
    ]
    .concat();
    assert!(refused(&words).contains("is there already; --force writes over it"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine\n");
    run(&[&words[..], &["--force"]].concat());
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .starts_with("scope,code,")
    );
}

#[test]
fn mistakes_are_told_with_line_and_column() {
    let dir = tempfile::tempdir().unwrap();
    for (row, said) in [
        (
            "40524,2026-02-23,buy,,850,",
            "line 2, column 'what': 'buy' is none of: bought, part",
        ),
        (
            "40524,Feb 23,bought,,850,",
            "line 2, column 'date': give a date such as 2016-05-03",
        ),
        (
            "40524,2026-02-23,bought,,lots,",
            "line 2, column 'amount': 'lots' is no figure",
        ),
        (
            "40524,2026-02-23,part,flux,5,",
            "line 2, column 'code': 'flux' is no job",
        ),
        (
            ",2026-02-23,part,starter,5,",
            "line 2, column 'id': only a tool needs no car",
        ),
    ] {
        let book = ledger(&dir, &format!("{row}\n"));
        let told = refused(&[&["ledger", &book], &FILES[..]].concat());
        assert!(told.contains(said), "{told}");
    }
    let path = dir.path().join("mine.csv");
    let file = path.display().to_string();
    let head = "scope,code,materials,hours,done,seen_materials,seen_hours\n";
    for (text, said) in [
        ("scope,code\n", "no column 'materials'"),
        (
            &*format!("{head}job,flux,1,1,1,,\n"),
            "column 'code': 'flux' is no job of repairs.csv",
        ),
        (
            &*format!("{head}job,starter,50,1,1,,\n"),
            "column 'materials': 50 is not between",
        ),
        (
            &*format!("{head}part,starter,1,1,1,,\n"),
            "column 'scope': write job or group",
        ),
    ] {
        std::fs::write(&path, text).unwrap();
        let told = refused(&[&["shortlist"], &FILES[..], &["--repairs", &file]].concat());
        assert!(told.contains(said), "{told}");
    }
}

#[test]
fn a_car_without_an_ad_is_counted_and_said() {
    let dir = tempfile::tempdir().unwrap();
    let book = ledger(
        &dir,
        "nobody,2026-02-23,bought,,850,\nnobody,2026-03-01,part,starter,60,\n",
    );
    let page = run(&[&["ledger", &book], &FILES[..]].concat());
    assert!(
        page.contains("No ad with the id 'nobody' is among the files"),
        "{page}"
    );
    assert!(page.contains("bought 2026-02-23 for 850"), "{page}");
}
