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

use std::collections::{HashMap, HashSet};
use std::fs;
use std::path::Path;
use std::process::Command;

use fixworth::lexicon::Lexicon;
use program::Folder;
use random::Random;
use serde_json::{Value, json};

const ADS: usize = 3000;
/// Cars that have nothing wrong with them, from which worth is learnt.
const SOUND: usize = 150;
/// Each so many of all ads stands a second time, far behind and at another price.
const AGAIN: usize = 12;
const MOST: f64 = 2500.0;
const AS_OF: &str = "2016";

fn there(program: &str, words: &[&str]) -> bool {
    let run = Command::new(program).args(words).output();
    run.is_ok_and(|output| output.status.success())
}

fn ads() -> Vec<Value> {
    let lexicon = Lexicon::built_in().unwrap();
    let made_up = ads::objects(ADS, 5, &lexicon);
    let mut ads: Vec<Value> = made_up
        .iter()
        .map(|row| serde_json::from_str(row).unwrap())
        .collect();
    let mut random = Random(9);
    let cars = ["Toyota Corolla", "Mazda Protege", "Saab 900", "Volvo V70"];
    for number in 0..SOUND {
        let year = 1996 + random.below(14);
        let title = format!("{year} {}", cars[random.below(cars.len())]);
        ads.push(json!({
            "id": format!("sound {number}"),
            "title": title,
            "description": format!("Runs and drives great, clean title. Viewing at gate {number}."),
            "price": (1000 + 100 * random.below(70)).to_string(),
            "odometer": (60_013 + random.below(120_000)).to_string(),
            "year": year.to_string(),
        }));
    }
    for at in (0..ads.len()).step_by(AGAIN) {
        let mut ad = ads[at].clone();
        let price: f64 = ad["price"].as_str().unwrap().parse().unwrap();
        let price = (price * (0.6 + 0.1 * random.below(9) as f64)).round();
        ad["id"] = format!("again {at}").into();
        ad["price"] = price.to_string().into();
        let title = ad["title"].as_str().unwrap();
        let title = title.split(" $").next().unwrap().to_owned();
        ad["title"] = title.into();
        ads.push(ad);
    }
    ads
}

/// Objects of a line each.
fn objects(lines: &str) -> Vec<Value> {
    let lines = lines.lines();
    lines.map(|l| serde_json::from_str(l).unwrap()).collect()
}

fn text(objects: &[&Value]) -> String {
    objects.iter().map(|object| format!("{object}\n")).collect()
}

fn wanted(bill: &Value) -> bool {
    let sum = bill["ask"].as_f64().zip(bill["bill"]["likely"].as_f64());
    sum.is_some_and(|(ask, bill)| ask + bill <= MOST)
}

/// What tells that other ads are of the same car.
fn cars(bill: &Value) -> Vec<String> {
    let facts = ["make", "model", "year", "miles"].map(|key| &bill[key]);
    let told = facts.iter().all(|fact| !fact.is_null());
    let facts = told.then(|| format!("{facts:?}"));
    facts
        .into_iter()
        .chain(bill["vin"].as_str().map(str::to_owned))
        .collect()
}

/// The ads that are kept of all, in their order.
fn candidates<'a>(ads: &'a [Value], bills: &[Value]) -> Vec<&'a Value> {
    let own: Vec<bool> = bills
        .iter()
        .map(|bill| wanted(bill) || !bill["sound_at"].is_null())
        .collect();
    let of_own = bills.iter().zip(&own).filter(|(_, own)| **own);
    let known: HashSet<String> = of_own.flat_map(|(bill, _)| cars(bill)).collect();
    let rows = ads.iter().zip(bills).zip(own);
    rows.filter(|((_, bill), own)| *own || cars(bill).iter().any(|car| known.contains(car)))
        .map(|((ad, _), _)| ad)
        .collect()
}

/// A car of a list without its place among others and in a file.
fn car(mut row: Value) -> (String, Value) {
    fn strip(value: &mut Value) {
        match value {
            Value::Object(map) => {
                for key in ["rank", "line", "file"] {
                    map.remove(key);
                }
                map.values_mut().for_each(strip);
            }
            Value::Array(list) => list.iter_mut().for_each(strip),
            _ => {}
        }
    }
    strip(&mut row);
    (row["id"].as_str().unwrap().to_owned(), row)
}

fn shortlist(folder: &Folder, file: &str) -> String {
    let words = ["shortlist", file, "--as-of", AS_OF, "--format", "jsonl"];
    folder.run(&words).ok().out
}

#[test]
fn parts_ranked_together_are_what_one_run_ranks() {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    if !there("java", &["-version"]) || !there(&python, &["-c", "import pyspark"]) {
        eprintln!("skipped: Java, or pyspark of {python}, is missing");
        return;
    }
    let ads = ads();
    let folder = Folder::new().with("ads.jsonl", text(&ads.iter().collect::<Vec<_>>()));
    let price = ["price", "ads.jsonl", "--as-of", AS_OF];
    let bills = folder.run(&price).ok().out;
    let kept = candidates(&ads, &objects(&bills));
    assert!(
        (300..ads.len() * 2 / 3).contains(&kept.len()),
        "{}",
        kept.len()
    );
    let count = kept.len();
    let kept = text(&kept);
    let folder = folder.with("candidates.jsonl", &kept);
    let list = shortlist(&folder, "candidates.jsonl");
    holds_what_all_ads_together_give(&list, &shortlist(&folder, "ads.jsonl"));

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
            .args(["--most", &MOST.to_string(), "--as-of", AS_OF])
            .args(kill)
            .env("PYSPARK_PYTHON", &python)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr);
        assert!(run.status.success(), "{kill:?}: {said}");
        let told = String::from_utf8_lossy(&run.stdout);
        let expected = format!(
            "{} ads in 8 parts, 0 without a bill, {count} candidates",
            ads.len()
        );
        assert!(told.contains(&expected), "{told}");
        let made = |name: &str| fs::read_to_string(own.path(name)).unwrap();
        let parts: String = (0..8)
            .map(|n| made(&format!("bills/part-{n:05}")))
            .collect();
        assert!(parts == bills, "{kill:?}");
        assert!(made("candidates.jsonl") == kept, "{kill:?}");
        assert!(made("list.jsonl") == list, "{kill:?}");
        for process in ["killed-filter", "killed-worker"] {
            assert_eq!(own.path(process).exists(), kill.is_some(), "{process}");
        }
    }
}

/// What is left out changes nothing: each car of the list is as in the list of
/// all ads, in the same order, and none is missing that is cheap enough.
fn holds_what_all_ads_together_give(list: &str, all: &str) {
    let list: Vec<_> = objects(list).into_iter().map(car).collect();
    let all: Vec<_> = objects(all).into_iter().map(car).collect();
    let places: HashMap<&str, usize> = all
        .iter()
        .enumerate()
        .map(|(place, (id, _))| (id.as_str(), place))
        .collect();
    let mut last = None;
    for (id, row) in &list {
        let place = places[id.as_str()];
        assert_eq!(*row, all[place].1, "{id}");
        assert!(last < Some(place), "{id}");
        last = Some(place);
    }
    let listed: HashSet<&str> = list.iter().map(|(id, _)| id.as_str()).collect();
    let missing: Vec<_> = all
        .iter()
        .filter(|(id, row)| wanted(row) && !listed.contains(id.as_str()))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
    // That this says something: prices are learnt, and cars stand twice.
    let of = |what: &dyn Fn(&Value) -> bool| list.iter().filter(|(_, row)| what(row)).count();
    assert!(of(&|row| row["worth"]["basis"] == "batch") > 300);
    assert!(of(&|row| row["history"]["ads"].as_array().unwrap().len() > 1) > 30);
}
