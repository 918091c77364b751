//! Ads priced in parts by an engine for many machines, here two threads of
//! one, and ranked: the same as in one run, also where processes are killed.
//!
//! It needs Java and pyspark with `python3`, or with what `PYTHON` names; where
//! they are missing it says so and passes.

#[path = "../benches/ads.rs"]
mod ads;
#[path = "../program/mod.rs"]
mod program;
#[path = "../random/mod.rs"]
mod random;

use std::fs;
use std::path::Path;
use std::process::Command;

use fixworth::lexicon::Lexicon;
use program::Folder;
use serde_json::Value;

const ADS: usize = 3000;
const MOST: f64 = 2500.0;

fn there(program: &str, words: &[&str]) -> bool {
    let run = Command::new(program).args(words).output();
    run.is_ok_and(|output| output.status.success())
}

#[test]
fn parts_ranked_together_are_what_one_run_ranks() {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    if !there("java", &["-version"]) || !there(&python, &["-c", "import pyspark"]) {
        eprintln!("skipped: Java, or pyspark of {python}, is missing");
        return;
    }
    let rows = ads::objects(ADS, 5, &Lexicon::built_in().unwrap());
    let folder = Folder::new().with("ads.jsonl", rows.concat());
    let bills = folder.run(&["price", "ads.jsonl"]).ok().out;
    let wanted = |bill: &str| {
        let bill: Value = serde_json::from_str(bill).unwrap();
        let sum = bill["ask"].as_f64().zip(bill["bill"]["likely"].as_f64());
        sum.is_some_and(|(ask, bill)| ask + bill <= MOST)
    };
    let candidates = bills.lines().zip(&rows).filter(|(bill, _)| wanted(bill));
    let candidates: String = candidates.map(|(_, ad)| ad.as_str()).collect();
    let count = candidates.lines().count();
    assert!((100..ADS / 2).contains(&count), "{count}");
    let folder = folder.with("candidates.jsonl", &candidates);
    let words = "shortlist candidates.jsonl --as-of 2016 --format jsonl";
    let list = folder.run(&words.split(' ').collect::<Vec<_>>()).ok().out;

    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/spark/rank.py");
    for kill in [None, Some("--kill")] {
        let own = Folder::new();
        let run = Command::new(&python)
            .arg(&script)
            .args([
                Path::new(&program::path()),
                &folder.path("ads.jsonl"),
                &own.path(""),
            ])
            .args(["--most", &MOST.to_string()])
            .args(kill)
            .env("PYSPARK_PYTHON", &python)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr);
        assert!(run.status.success(), "{kill:?}: {said}");
        let told = String::from_utf8_lossy(&run.stdout);
        assert!(
            told.contains(&format!("{ADS} ads in 8 parts, {count} candidates")),
            "{told}"
        );
        let made = |name: &str| fs::read_to_string(own.path(name)).unwrap();
        assert!(made("bills.jsonl") == bills, "{kill:?}");
        assert!(made("candidates.jsonl") == candidates, "{kill:?}");
        assert!(made("list.jsonl") == list, "{kill:?}");
        for process in ["killed-filter", "killed-worker"] {
            assert_eq!(own.path(process).exists(), kill.is_some(), "{process}");
        }
    }
}
