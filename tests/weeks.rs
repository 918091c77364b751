//! Week after week: the built program over the samples' three exports of one
//! board. The expected pages stand in `tests/golden`; `GOLDEN=write cargo test
//! --test weeks` writes them anew.

use std::path::{Path, PathBuf};
use std::process::Command;

const WEEKS: [&str; 3] = [
    "samples/harbour-board.csv",
    "samples/later/harbour-board-2026-02-14.csv",
    "samples/later/harbour-board-2026-02-21.csv",
];
const FIGURES: [&str; 4] = [
    "--comparables",
    "samples/comparables.csv",
    "--profile",
    "samples/profile.toml",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Output and messages of a run that succeeds.
fn run(words: &[&str]) -> (String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(words)
        .current_dir(root())
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let (stdout, stderr) = (text(out.stdout), text(out.stderr));
    assert!(out.status.success(), "{words:?}: {stderr}");
    (stdout, stderr)
}

fn golden(name: &str, text: &str) {
    let path: PathBuf = root().join("tests/golden").join(name);
    if std::env::var_os("GOLDEN").is_some() {
        std::fs::write(&path, text).unwrap();
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        expected == text,
        "{} differs; read the difference, then GOLDEN=write:\n{text}",
        path.display()
    );
}

fn shortlist(files: &[&str], more: &[&str]) -> (String, String) {
    run(&[&["shortlist"], files, &FIGURES, more].concat())
}

fn cars(text: &str) -> Vec<serde_json::Value> {
    let lines = text.lines();
    lines.map(|l| serde_json::from_str(l).unwrap()).collect()
}

fn car<'a>(cars: &'a [serde_json::Value], id: &str) -> &'a serde_json::Value {
    let found = cars.iter().find(|c| c["id"] == id);
    found.unwrap_or_else(|| panic!("no car {id}"))
}

#[test]
fn the_newest_export_shows_what_is_new_cheaper_and_gone() {
    let (list, _) = shortlist(&WEEKS, &["--new", "--top", "8"]);
    golden("weeks-new.txt", &list);
}

#[test]
fn one_car_is_explained_with_all_that_became_of_it() {
    let files = [
        &WEEKS[..],
        &["samples/valley-swap.csv", "samples/depot-list.csv"],
    ]
    .concat();
    // Any id of its ads finds it.
    let page = |id: &str| run(&[&["explain", id], &files[..], &FIGURES].concat()).0;
    golden("weeks-explain.txt", &page("40116"));
    assert_eq!(page("40116"), page("DL-7037"));
}

#[test]
fn every_change_of_the_weeks_is_told() {
    let (list, _) = shortlist(&WEEKS, &["--gone", "--format", "jsonl"]);
    let cars = cars(&list);
    let events = |id: &str| -> Vec<String> {
        let events = car(&cars, id)["history"]["events"].as_array().unwrap();
        let told = events.iter().map(|e| {
            let day = e["day"].as_str().unwrap_or("?");
            format!("{day} {}", e["what"].as_str().unwrap())
        });
        told.collect()
    };
    assert_eq!(
        events("40116"),
        [
            "2026-01-19 listed",
            "2026-02-14 price",
            "2026-02-21 price",
            "2026-02-21 text"
        ]
    );
    // Left out in the second week, there again in the third.
    assert_eq!(
        events("40401"),
        [
            "2026-01-31 listed",
            "2026-02-14 gone",
            "2026-02-21 back",
            "2026-02-21 price",
            "2026-02-21 text"
        ]
    );
    // Under a new number.
    assert_eq!(
        events("40174"),
        [
            "2026-01-22 listed",
            "2026-02-14 listed_again",
            "2026-02-14 text"
        ]
    );
    assert_eq!(events("40183"), ["2026-01-22 listed", "2026-02-14 gone"]);
    let corolla = &car(&cars, "40116")["history"]["withdrawn"];
    assert_eq!(corolla[0]["part"], "clutch");
    assert_eq!(corolla[0]["denied"], false);
    assert_eq!(corolla[0]["told"], "2026-02-14");
    let outback = car(&cars, "40207");
    assert_eq!(outback["miles"], 168_000);
    assert_eq!(outback["miles_basis"], "doubted");
}

#[test]
fn a_fault_that_vanished_from_the_text_still_counts() {
    let jobs = |files: &[&str]| {
        let (list, _) = shortlist(files, &["--format", "jsonl"]);
        let list = cars(&list);
        let car = car(&list, "40116");
        let jobs = car["bill"]["jobs"].as_array().unwrap().clone();
        let chance = |j: &serde_json::Value| (j["job"].clone(), j["chance"].clone());
        (
            jobs.iter().map(chance).collect::<Vec<_>>(),
            car["faults"].clone(),
        )
    };
    let (stated, _) = jobs(&WEEKS[..2]);
    assert_eq!(stated[0].0, "clutch");
    assert_eq!(stated[0].1, 1.0);
    let (suspected, faults) = jobs(&WEEKS);
    assert_eq!(suspected[0].0, "clutch");
    assert!(suspected[0].1.as_f64().unwrap() < 1.0);
    assert!(
        faults
            .as_array()
            .unwrap()
            .iter()
            .any(|f| f["says"] == "suspect")
    );
    // Alone, the newest export knows nothing of it.
    let alone = jobs(&WEEKS[2..]).0;
    assert!(alone.iter().all(|(job, _)| job != "clutch"), "{alone:?}");
}

#[test]
fn gone_cars_are_left_out_unless_they_are_asked_for() {
    let (list, said) = shortlist(&WEEKS, &["--format", "jsonl"]);
    assert!(
        said.contains("cars that the newest exports leave out are not shown"),
        "{said}"
    );
    assert!(!cars(&list).iter().any(|c| c["history"]["gone"] == true));
    let (all, _) = shortlist(&WEEKS, &["--format", "jsonl", "--gone"]);
    let gone = cars(&all)
        .iter()
        .filter(|c| c["history"]["gone"] == true)
        .count();
    assert_eq!(cars(&all).len(), cars(&list).len() + gone);
    assert!(gone > 20, "{gone}");
}

#[test]
fn the_order_of_the_files_does_not_matter_where_they_have_days() {
    let backwards: Vec<&str> = WEEKS.iter().rev().copied().collect();
    let facts = |files: &[&str]| {
        let (list, _) = shortlist(files, &["--format", "jsonl"]);
        let fact = |c: serde_json::Value| {
            let h = &c["history"];
            let ask = c["ask"].to_string();
            (
                h["first_seen"].to_string(),
                h["last_seen"].to_string(),
                ask,
                c["margin"].to_string(),
            )
        };
        let mut all: Vec<_> = cars(&list).into_iter().map(fact).collect();
        all.sort();
        all
    };
    assert_eq!(facts(&WEEKS), facts(&backwards));
}

#[test]
fn since_a_day_is_what_came_after_it() {
    let changes = |more: &[&str]| {
        let (list, _) = shortlist(&WEEKS, &[more, &["--format", "jsonl"]].concat());
        let words = |c: &serde_json::Value| -> String {
            let all = c["history"]["changes"].as_array().unwrap().iter();
            let all: Vec<_> = all
                .map(|c| c["what"].as_str().unwrap().to_owned())
                .collect();
            format!("{} {}", c["id"].as_str().unwrap(), all.join(","))
        };
        cars(&list).iter().map(words).collect::<Vec<_>>()
    };
    let last = changes(&["--since", "2026-02-14"]);
    let mut newest = changes(&["--new"]);
    newest.sort();
    let mut sorted = last.clone();
    sorted.sort();
    assert_eq!(sorted, newest);
    for expected in [
        "40547 new",
        "40116 cheaper,fault_left_out",
        "40401 back,cheaper",
        "40137 gone",
    ] {
        assert!(last.iter().any(|l| l == expected), "{expected}: {last:#?}");
    }
    let both = changes(&["--since", "2026-02-07"]);
    for expected in ["40524 new", "40183 gone", "40146 cheaper,fault_left_out"] {
        assert!(both.iter().any(|l| l == expected), "{expected}: {both:#?}");
    }
    assert!(changes(&["--since", "2026-02-21"]).is_empty());
}

#[test]
fn a_day_for_a_file_comes_from_the_option_before_its_name() {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let body = "runs well and drives, clutch slips, clean title in hand, ask for Ottil any day";
    let row = |price: u32| format!("id,title,text,price\n7,2005 Saab 9-3,\"{body}\",{price}\n");
    let (a, b) = (
        write("board-2026-03-09.csv", &row(900)),
        write("board-2026-03-02.csv", &row(700)),
    );
    let prices = |more: &[&str]| {
        let words = [&["shortlist", &a, &b, "--format", "jsonl"], more].concat();
        let car = cars(&run(&words).0).remove(0);
        let first = car["history"]["first_seen"].as_str().map(str::to_owned);
        (car["ask"].as_f64().unwrap(), first)
    };
    assert_eq!(prices(&[]), (900.0, Some("2026-03-02".to_owned())));
    let seen = format!("{b}=2026-03-16");
    assert_eq!(
        prices(&["--seen", &seen]),
        (700.0, Some("2026-03-09".to_owned()))
    );
    let wrong = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(["shortlist", &a, "--seen", "bord.csv=2026-03-16"])
        .output()
        .unwrap();
    assert_eq!(wrong.status.code(), Some(2));
    let said = String::from_utf8(wrong.stderr).unwrap();
    assert!(
        said.contains("--seen: no ads are read from 'bord.csv'"),
        "{said}"
    );
}

#[test]
fn files_without_any_date_are_taken_in_the_order_given() {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, price: u32| {
        let path = dir.path().join(name);
        let text = format!("id,title,text,price\n7,2005 Saab 9-3,clutch slips,{price}\n");
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let (a, b) = (write("one.csv", 900), write("two.csv", 700));
    let ask = |files: [&str; 2]| {
        let words = [&["shortlist"], &files[..], &["--format", "jsonl"]].concat();
        let car = cars(&run(&words).0).remove(0);
        assert_eq!(car["history"]["first_seen"], serde_json::Value::Null);
        car["ask"].as_f64().unwrap()
    };
    // Two names that have nothing in common are two boards: the lower ask.
    assert_eq!(ask([&a, &b]), 700.0);
    let (c, d) = (write("board-1.csv", 900), write("board-2.csv", 1_100));
    assert_eq!(ask([&c, &d]), 1_100.0);
    assert_eq!(ask([&d, &c]), 900.0);
}
