//! What is to be distrusted is told, with its reason, and honest ads are left
//! in peace.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Runs the program on a file of ads and gives each car's object.
fn cars(csv: &str) -> BTreeMap<String, serde_json::Value> {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ads.csv");
    std::fs::write(&path, csv).unwrap();
    run(&[&path.display().to_string(), "--format", "jsonl"])
}

fn run(words: &[&str]) -> BTreeMap<String, serde_json::Value> {
    let out = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .arg("shortlist")
        .args(words)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let text = String::from_utf8(out.stdout).unwrap();
    let cars = text
        .lines()
        .map(|l| serde_json::from_str::<serde_json::Value>(l).unwrap());
    cars.map(|c| (c["id"].as_str().unwrap().to_owned(), c))
        .collect()
}

fn codes(car: &serde_json::Value) -> Vec<&str> {
    let warnings = car["warnings"].as_array().unwrap();
    warnings
        .iter()
        .map(|w| w["code"].as_str().unwrap())
        .collect()
}

/// Text, price and the codes that it must show, no more and no fewer.
const ADS: &[(&str, &str, &[&str])] = &[
    (
        "Runs well. Payment by wire transfer only.",
        "3000",
        &["untraceable_pay"],
    ),
    (
        "Drives. I take gift cards, apple or steam.",
        "3000",
        &["untraceable_pay"],
    ),
    (
        "Drives fine. Half now in bitcoin, rest later.",
        "3000",
        &["untraceable_pay"],
    ),
    (
        "Drives. It will be delivered to your home by the shipping company.",
        "3000",
        &["agent_ships"],
    ),
    (
        "Drives. The transport agent brings it to you, money is held in escrow.",
        "3000",
        &["agent_ships"],
    ),
    (
        "Drives. I am deployed with the navy, my brother has no key.",
        "3000",
        &["seller_away"],
    ),
    (
        "Runs. I now live abroad and want it gone.",
        "3000",
        &["seller_away"],
    ),
    (
        "Runs and drives. No viewing possible.",
        "3000",
        &["sight_unseen"],
    ),
    (
        "Runs and drives, clean title, no faults.",
        "300",
        &["too_cheap"],
    ),
    (
        "Runs and drives. $500 down and $80 a week, bad credit no problem.",
        "$500 down",
        &["deposit"],
    ),
    (
        "Runs and drives. No title, lost it in the move.",
        "2500",
        &["no_papers"],
    ),
    (
        "Runs and drives, VIN 1G1ZH57B98F204417.",
        "3000",
        &["vin_check"],
    ),
    // Sound by its check digit, but of another year and another maker.
    (
        "Runs and drives, VIN 1M8GDM9AXKP042788.",
        "3000",
        &["vin_year"],
    ),
    // Words that only look like it, or are taken back.
    (
        "Cash only, no wire transfers or gift cards, please.",
        "3000",
        &[],
    ),
    (
        "Drives. I will not take bitcoin. Beware of fake wire payments in my name.",
        "3000",
        &[],
    ),
    (
        "The wire to the fuel pump is new. Towing company is two doors down.",
        "3000",
        &[],
    ),
    (
        "It lived abroad with my uncle until 2015. No inspection due until May.",
        "3000",
        &[],
    ),
    (
        "Was delivered to the first owner in 2008. Money talks.",
        "3000",
        &[],
    ),
    (
        "I can deliver it within ten miles. Deposit holds it until Friday.",
        "3000",
        &[],
    ),
];

#[test]
fn every_reason_is_told_and_no_other() {
    let mut csv = "id,title,text,price,mileage\n".to_owned();
    for (n, (text, price, _)) in ADS.iter().enumerate() {
        let miles = 120_000 + 1_700 * n;
        csv.push_str(&format!(
            "{n},2008 Chevrolet Malibu,\"{text}\",{price},{miles}\n"
        ));
    }
    let cars = cars(&csv);
    let mut wrong = Vec::new();
    for (n, (text, _, expected)) in ADS.iter().enumerate() {
        let found = codes(&cars[&n.to_string()]);
        if found != *expected {
            wrong.push(format!("{text}\n  {found:?}, not {expected:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_grave_reason_goes_before_the_trip() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("ads.csv");
    let text = "2010 Chevrolet Cobalt,\"5 speed, drives, title clean and here. Needs a starter.";
    let csv = format!(
        "id,title,text,price,mileage\n\
         a,{text}\",900,129400\n\
         b,{text} Wire transfer to the shipping company.\",900,139400\n"
    );
    std::fs::write(&path, csv).unwrap();
    let cars = run(&[
        &path.display().to_string(),
        "--comparables",
        "samples/comparables.csv",
        "--as-of",
        "2026",
        "--format",
        "jsonl",
    ]);
    assert_eq!(cars["a"]["action"], "view");
    assert_eq!(cars["b"]["action"], "ask");
    assert!(
        cars["b"]["question"]
            .as_str()
            .unwrap()
            .contains("hold the title")
    );
    // No figure changes by it.
    assert_eq!(cars["b"]["bill"], cars["a"]["bill"]);
    let warning = &cars["b"]["warnings"][0];
    for key in ["words", "why", "advice", "source", "shown_by"] {
        assert!(!warning[key].as_str().unwrap().is_empty(), "{key}");
    }
    assert_eq!(
        warning["shown_by"],
        "Wire transfer to the shipping company."
    );
}

/// The samples have one ad made to be distrusted in each export, and a few
/// whose seller names an ordinary reason for doubt.
#[test]
fn honest_ads_are_left_in_peace() {
    let files = [
        "samples/harbour-board.csv",
        "samples/valley-swap.csv",
        "samples/depot-list.csv",
        "samples/later/harbour-board-2026-02-14.csv",
        "samples/later/harbour-board-2026-02-21.csv",
    ];
    let figures = [
        "--comparables",
        "samples/comparables.csv",
        "--profile",
        "samples/profile.toml",
    ];
    let cars = run(&[&files[..], &figures, &["--gone", "--format", "jsonl"]].concat());
    let mut grave: Vec<&str> = cars
        .iter()
        .filter(|(_, c)| {
            c["warnings"]
                .as_array()
                .unwrap()
                .iter()
                .any(|w| w["grave"] == true)
        })
        .map(|(id, _)| id.as_str())
        .collect();
    grave.sort_unstable();
    assert_eq!(grave, ["40179", "40533"]);
    assert_eq!(codes(&cars["40207"]), ["distance_down"]);
    assert_eq!(codes(&cars["40146"]), ["fault_left_out"]);
    assert_eq!(codes(&cars["40216"]), ["deposit"]);
    assert!(codes(&cars["40558"]).contains(&"no_papers"));
}

#[test]
fn a_page_of_one_car_tells_the_reason_and_what_it_rests_on() {
    let out = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args([
            "explain",
            "40533",
            "samples/later/harbour-board-2026-02-14.csv",
            "--width",
            "80",
        ])
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .output()
        .unwrap();
    let page = String::from_utf8(out.stdout).unwrap();
    let start = page.find("What to distrust").unwrap();
    let end = page.find("What the ad says").unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/warnings-explain.txt");
    let part = &page[start..end];
    if std::env::var_os("GOLDEN").is_some() {
        std::fs::write(&path, part).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), part);
}
