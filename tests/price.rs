//! `fixworth price`: each bill by its ad alone, as the shortlist has it.

#[path = "benches/ads.rs"]
mod ads;
mod program;
mod random;

use std::collections::HashMap;
use std::fs;
use std::path::Path;

use fixworth::lexicon::Lexicon;
use program::Folder;
use serde_json::{Map, Value};

fn objects(lines: &str) -> Vec<Map<String, Value>> {
    lines
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn run(folder: &Folder, line: &str) -> String {
    folder.run(&line.split(' ').collect::<Vec<_>>()).ok().out
}

#[test]
fn the_bill_is_that_of_the_shortlist() {
    let folder = Folder::new();
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/harbour-board.csv");
    fs::copy(sample, folder.path("board.csv")).unwrap();
    let priced: HashMap<String, Map<String, Value>> =
        objects(&run(&folder, "price board.csv --as-of 2026"))
            .into_iter()
            .map(|row| (row["id"].as_str().unwrap().to_owned(), row))
            .collect();
    let list = objects(&run(
        &folder,
        "shortlist board.csv --as-of 2026 --format jsonl",
    ));
    // A car of two ads has a bill of its own.
    let alone = |car: &&Map<String, Value>| {
        car["history"]["ads"]
            .as_array()
            .is_some_and(|ads| ads.len() == 1)
    };
    let mut same = 0;
    for car in list.iter().filter(alone) {
        let row = &priced[car["id"].as_str().unwrap()];
        for key in ["kind", "year", "make", "model", "bill"] {
            assert_eq!(row[key], car[key], "{}: {key}", car["id"]);
        }
        same += 1;
    }
    assert!(same > 60, "{same}");
}

/// What a list beyond one machine is put together by.
#[test]
fn bills_tell_which_car_it_is_and_whether_worth_is_learnt_from_it() {
    let folder = Folder::new().with(
        "ads.csv",
        "id,title,text,price,odometer\n\
        sound,2000 Chevrolet Malibu,VIN 1G1ND52J3Y6123456. Runs and drives great.,$2000,\"140,250\"\n\
        faulty,2000 Chevrolet Malibu,Needs a clutch.,$2000,\n\
        vague,2000 Chevrolet Malibu,\"Drives, needs work\",$2000,\n\
        free,2000 Chevrolet Malibu,Drives great.,,\n\
        foreign,2000 Chevrolet Malibu,Drives great.,\u{a3}2000,\n",
    );
    let rows = objects(&run(&folder, "price ads.csv"));
    let told = |key: &str| rows.iter().map(|row| row[key].clone()).collect::<Vec<_>>();
    let null = Value::Null;
    // Seven in a hundred of a plain price are usually given.
    let none = || null.clone();
    assert_eq!(
        told("sound_at"),
        [1860.into(), none(), none(), none(), none()]
    );
    assert_eq!(rows[0]["vin"], "1G1ND52J3Y6123456");
    assert_eq!(
        told("miles"),
        [140_250.into(), none(), none(), none(), none()]
    );
    let csv = run(&folder, "price ads.csv --format csv");
    let mut lines = csv.lines();
    let head: Vec<_> = lines.next().unwrap().split(',').collect();
    let row: Vec<_> = lines.next().unwrap().split(',').collect();
    for (column, value) in [("miles", "140250"), ("sound_at", "1860")] {
        let at = head.iter().position(|name| *name == column).unwrap();
        assert_eq!(row[at], value, "{column}");
    }
}

#[test]
fn objects_say_what_csv_says_and_parts_what_the_whole_says() {
    let lexicon = Lexicon::built_in().unwrap();
    let rows = ads::objects(600, 3, &lexicon);
    let folder = Folder::new()
        .with("ads.csv", ads::csv(600, 3, &lexicon))
        .with("ads.jsonl", rows.concat());
    for line in [
        "price ADS",
        "price ADS --format csv",
        "price ADS --format json",
        "read ADS",
    ] {
        let whole = run(&folder, &line.replace("ADS", "ads.csv"));
        assert_eq!(
            run(&folder, &line.replace("ADS", "ads.jsonl")),
            whole,
            "{line}"
        );
        if line == "price ADS" {
            assert_eq!(objects(&whole).len(), 600);
            let mut parts = String::new();
            for part in rows.chunks(77) {
                fs::write(folder.path("part.jsonl"), part.concat()).unwrap();
                parts += &run(&folder, "price part.jsonl");
            }
            assert_eq!(parts, whole);
        }
    }
}

#[test]
fn your_own_figures_count() {
    let folder = Folder::new()
        .with(
            "ads.csv",
            "id,title,text\n1,2003 Saab 9-3,needs a clutch\n2,Wheels,four wheels\n",
        )
        .with("mine.toml", "skills = []\ntools = []\nhour_value = 30\n")
        .with(
            "my-repairs.csv",
            "scope,code,materials,hours,done,seen_materials,seen_hours\njob,clutch,2,3,4,2,3\n",
        );
    let bill = |options: &str| {
        let rows = objects(&run(&folder, &format!("price ads.csv{options}")));
        assert_eq!((rows.len(), &rows[1]["bill"]), (2, &Value::Null));
        rows[0]["bill"]["likely"].as_f64().unwrap()
    };
    let usual = bill("");
    assert!(bill(" --profile mine.toml") > usual);
    assert!(bill(" --repairs my-repairs.csv") > usual);
    folder.fails(
        &["price", "ads.csv", "--repairs", "missing.csv"],
        "missing.csv: no such file; check the name and the folder",
    );
}
