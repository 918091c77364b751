//! What the README shows of a Parquet table, counted from the same readings as
//! JSON lines: a build with the feature, and DuckDB, are needed only to hold
//! the two against each other (`tests/parquet`).

use std::collections::BTreeMap;

use super::{README, WRITING, shell, text};

/// The section of that table.
const SECTION: &str = "As a Parquet table";

/// 1838 as `1,838`.
fn with_commas(whole: f64) -> String {
    let digits = format!("{whole:.0}");
    let groups: Vec<&str> = (digits.len() % 3..=digits.len())
        .step_by(3)
        .scan(0, |from, to| Some(&digits[std::mem::replace(from, to)..to]))
        .filter(|group| !group.is_empty())
        .collect();
    groups.join(",")
}

/// The three parts that most faults are told of, as the README's script asks.
fn most_told(readings: &str) -> String {
    let mut parts: BTreeMap<String, (usize, Vec<f64>)> = BTreeMap::new();
    for line in readings.lines() {
        let reading: serde_json::Value = serde_json::from_str(line).unwrap();
        for claim in reading["claims"].as_array().unwrap() {
            if matches!(claim["says"].as_str(), Some("bad" | "suspect")) {
                let part = claim["part"].as_str().unwrap().to_owned();
                let (ads, asks) = parts.entry(part).or_default();
                *ads += 1;
                asks.extend(reading["ask"].as_f64());
            }
        }
    }
    let mut parts: Vec<_> = parts.into_iter().collect();
    parts.sort_by_key(|(_, (ads, _))| std::cmp::Reverse(*ads));
    let shown = parts.iter().take(3).map(|(part, (ads, asks))| {
        let mean = (asks.iter().sum::<f64>() / asks.len() as f64).round();
        format!(
            "{part:12} {ads:2} ads, {} asked on average\n",
            with_commas(mean)
        )
    });
    shown.collect()
}

#[test]
fn the_parquet_section_shows_what_the_readings_say() {
    assert_eq!(with_commas(1838.0), "1,838");
    assert_eq!(with_commas(838.0), "838");
    let _alone = WRITING.lock();
    let readme = text(README);
    let command = shell::block(&readme, SECTION, "sh")
        .lines()
        .find_map(|l| l.strip_suffix(" --out readings.parquet"))
        .unwrap();
    let printed = most_told(&shell::Folder::with_samples().stdout(command));
    let shown = shell::block(&readme, SECTION, "text");
    if std::env::var_os("UPDATE_README").is_some_and(|v| v == "1") {
        let as_block = |lines: &str| format!("```text\n{lines}```");
        let anew = readme.replacen(&as_block(shown), &as_block(&printed), 1);
        std::fs::write(README, anew).unwrap();
    } else {
        assert_eq!(
            shown, printed,
            "UPDATE_README=1 cargo test --test readme writes it anew"
        );
    }
}
