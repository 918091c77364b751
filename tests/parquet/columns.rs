//! How a table's columns are taken, told as for CSV.

use fixworth::intake::{Options, survey};
use fixworth::lexicon::Lexicon;
use serde_json::{Value, json};

use super::make::{CSV, Column, ads, table};
use super::program::Folder;

fn told(folder: &Folder, words: &str) -> Value {
    let words: Vec<&str> = words.split(' ').collect();
    let out = folder.run(&[&words[..], &["--format", "json"]].concat());
    serde_json::from_str(&out.ok().out).unwrap()
}

/// A cell for each kind of column, and lists and records, which are none.
fn mixed() -> Vec<u8> {
    table(
        "message mixed {
            optional int64 nr;
            optional binary words (utf8);
            optional double cost;
            repeated binary tags (utf8);
            optional group seller { optional binary name (utf8); }
        }",
        &[
            Column::Int64(vec![Some(7), Some(7), None]),
            Column::Text(vec![
                Some("2004 Saab 9-5, clutch slips, call 503-555-0142"),
                None,
                Some("2009 Mazda 3 that needs a starter"),
            ]),
            Column::Double(vec![Some(900.5), Some(700.0), None]),
            Column::Text(vec![None, None, None]),
            Column::Text(vec![None, None, None]),
        ],
        2,
    )
}

#[test]
fn a_table_is_told_as_the_same_csv() {
    let folder = Folder::new().with("a.parquet", ads()).with("a.csv", CSV);
    for options in ["", " --column text=Title"] {
        let csv = told(&folder, &format!("columns a.csv{options}"));
        let mut of_table = told(&folder, &format!("columns a.parquet{options}"));
        assert_eq!(of_table[0]["delimiter"], Value::Null);
        assert_eq!(of_table[0]["encoding"], "UTF-8");
        of_table[0]["encoding"] = csv[0]["encoding"].clone();
        of_table[0]["delimiter"] = csv[0]["delimiter"].clone();
        of_table[0]["file"] = "a.csv".into();
        assert_eq!(of_table, csv, "{options}");
        assert_eq!(csv[0]["columns"].as_array().unwrap().len(), 6);
    }
    let text = |file| folder.run(&["columns", file]).ok().out;
    let below = |text: &str| text.split_once('\n').unwrap().1.to_owned();
    let table = text("a.parquet");
    assert!(table.starts_with("a.parquet: a Parquet table\n"), "{table}");
    assert_eq!(below(&table), below(&text("a.csv")));
}

#[test]
fn what_is_no_cell_and_what_may_be_the_text_are_told() {
    let folder = Folder::new().with("mixed.parquet", mixed());
    let file = &told(&folder, "columns mixed.parquet")[0];
    let of = |key: &str| {
        let columns = file["columns"].as_array().unwrap();
        columns.iter().map(|c| c[key].clone()).collect::<Vec<_>>()
    };
    assert_eq!(of("header"), ["nr", "words", "cost", "tags", "seller"]);
    let why = of("why");
    assert_eq!(why[3], "it holds lists, which are no cells");
    assert_eq!(why[4], "it holds records, which are no cells");
    let samples = of("samples");
    assert_eq!(samples[0], json!(["7"]));
    // Contacts are masked, and the long cell is cut.
    let words = samples[1].as_array().unwrap();
    assert_eq!(words.len(), 2);
    assert!(!words[0].as_str().unwrap().contains("0142"), "{words:?}");
    assert_eq!(samples[2], json!(["900.5", "700"]));
    assert_eq!(samples[3], json!([]));
    let said = of("say")[1].clone();
    assert_eq!(said, "--column text=words");
    let problem = file["problem"].as_str().unwrap();
    assert!(problem.contains("'words' looks like"), "{problem}");
    // Done as it says, the table is one of ads.
    let again = &told(&folder, "columns mixed.parquet --column text=words")[0];
    assert_eq!(again["problem"], Value::Null);
    // A list cannot be the text, and that is said.
    let listed = &told(&folder, "columns mixed.parquet --column text=tags")[0];
    let problem = listed["problem"].as_str().unwrap();
    assert!(
        problem.contains("'tags'") && problem.contains("lists"),
        "{problem}"
    );
}

#[test]
fn whoever_wants_to_hear_more_is_told_in_a_line() {
    let folder = Folder::new().with("a.parquet", ads());
    let err = folder.run(&["read", "a.parquet", "-v"]).ok().err;
    let line = "a.parquet: a Parquet table; id 'id', headline 'title', ";
    assert!(err.contains(line), "{err}");
}

#[test]
fn damage_is_told_and_does_no_harm() {
    let whole = ads();
    let folder = Folder::new().with("cut.parquet", &whole[..whole.len() / 2]);
    folder.fails(
        &["columns", "cut.parquet"],
        "cut.parquet: this Parquet table is cut off: its index, which stands at its end, is missing; \
         copy or export it again",
    );
    let lexicon = Lexicon::built_in().unwrap();
    let path = folder.path("damaged.parquet");
    let (mut refused, mut harmed, mut unharmed) = (0, 0, 0);
    for at in 4..whole.len() {
        let mut bytes = whole.clone();
        bytes[at] ^= 0xff;
        std::fs::write(&path, bytes).unwrap();
        let told = match survey(&path, &Options::default(), &lexicon.headers) {
            Ok(survey) => survey.problem,
            Err(problem) => {
                refused += 1;
                Some(problem)
            }
        };
        match told {
            Some(problem) => assert!(problem.to_string().len() < 1_000, "{at}: {problem}"),
            None => unharmed += 1,
        }
        harmed += 1;
    }
    harmed -= refused + unharmed;
    assert!(
        refused > 50 && harmed > 50 && unharmed > 50,
        "{refused} {harmed} {unharmed}"
    );
}
