//! Out and in again.

use std::fs::File;

use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::{Field, Row};
use serde_json::{Map, Value};

use super::make::{CSV, Column, ads, table};
use super::program::Folder;

const SAMPLES: [&str; 3] = ["harbour-board", "valley-swap", "depot-list"];

fn samples() -> Folder {
    SAMPLES.iter().fold(Folder::new(), |folder, name| {
        let path = format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR"));
        folder.with(&format!("{name}.csv"), std::fs::read(path).unwrap())
    })
}

fn rows(folder: &Folder, name: &str) -> Vec<Value> {
    let file = File::open(folder.path(name)).unwrap();
    let reader = SerializedFileReader::new(file).unwrap();
    let rows = reader.get_row_iter(None).unwrap();
    rows.map(|row| object(&row.unwrap())).collect()
}

fn object(row: &Row) -> Value {
    let fields = row.get_column_iter();
    Value::Object(fields.map(|(name, f)| (name.clone(), value(f))).collect())
}

fn value(field: &Field) -> Value {
    match field {
        Field::Null => Value::Null,
        Field::Str(text) => text.as_str().into(),
        Field::Long(n) => (*n).into(),
        Field::Double(n) if n.fract() == 0.0 => (*n as i64).into(),
        Field::Double(n) => (*n).into(),
        Field::Group(row) => object(row),
        Field::ListInternal(list) => list.elements().iter().map(value).collect(),
        other => panic!("{other:?}"),
    }
}

/// The row of JSON as a table has it: keys of an object as columns of their own,
/// and nothing left out.
fn flat(line: &str, like: &Value) -> Value {
    let row: Value = serde_json::from_str(line).unwrap();
    let columns = like.as_object().unwrap().keys().map(|name| {
        let key = name.strip_prefix("bill_").unwrap_or(name);
        let value = row.get(name).unwrap_or(&row["bill"][key]);
        (name.clone(), whole(value, &like[name.as_str()]))
    });
    Value::Object(columns.collect())
}

/// Keys that JSON leaves out are there and null.
fn whole(value: &Value, like: &Value) -> Value {
    match (value, like) {
        (Value::Array(all), Value::Array(alike)) => {
            let all = all.iter().zip(alike);
            all.map(|(v, like)| whole(v, like)).collect()
        }
        (Value::Object(object), Value::Object(like)) => {
            let all: Map<String, Value> = like
                .iter()
                .map(|(key, like)| {
                    let value = object.get(key).unwrap_or(&Value::Null);
                    (key.clone(), whole(value, like))
                })
                .collect();
            assert!(object.keys().all(|key| all.contains_key(key)), "{object:?}");
            Value::Object(all)
        }
        (Value::Number(n), _) if n.as_f64().is_some_and(|n| n.fract() == 0.0) => {
            (n.as_f64().unwrap() as i64).into()
        }
        _ => value.clone(),
    }
}

#[test]
fn a_table_of_readings_or_bills_says_what_its_json_says() {
    let folder = samples();
    let files = SAMPLES.map(|name| format!("{name}.csv"));
    for command in [&["read", "--with-text"][..], &["price"]] {
        let words: Vec<&str> = command
            .iter()
            .copied()
            .chain(files.iter().map(String::as_str))
            .collect();
        let json = folder.run(&words).ok().out;
        let out = [&words[..], &["--out", "rows.parquet", "--force"]].concat();
        assert_eq!(folder.run(&out).ok().out, "");
        let rows = rows(&folder, "rows.parquet");
        assert_eq!(rows.len(), 194);
        for (row, line) in rows.iter().zip(json.lines()) {
            assert_eq!(*row, flat(line, row));
        }
        // Nothing that JSON has is left out.
        let keys: Value = serde_json::from_str(json.lines().next().unwrap()).unwrap();
        for key in keys.as_object().unwrap().keys().filter(|k| *k != "bill") {
            assert!(rows[0].get(key).is_some(), "{key}");
        }
        let readme = include_str!("../../README.md");
        for column in rows[0].as_object().unwrap().keys() {
            assert!(readme.contains(&format!("`{column}`")), "{column}");
        }
        let piped = folder.command(&[&words[..], &["--format", "parquet"]].concat());
        let piped = { piped }.output().unwrap().stdout;
        assert!(piped == std::fs::read(folder.path("rows.parquet")).unwrap());
    }
}

#[test]
fn a_table_of_ads_is_read_as_the_same_csv() {
    let folder = Folder::new().with("a.parquet", ads()).with("a.csv", CSV);
    for command in ["read", "price"] {
        let csv = folder.run(&[command, "a.csv"]).ok();
        let table = folder.run(&[command, "a.parquet"]).ok();
        assert_eq!(table.out, csv.out);
        assert_eq!(csv.out.lines().count(), 2);
        let left_out = "a.parquet, line 3: neither headline nor text";
        assert!(table.err.contains(left_out), "{}", table.err);
    }
    let piped = folder.command(&["read", "-"]);
    let piped = { piped }
        .stdin(File::open(folder.path("a.parquet")).unwrap())
        .output()
        .unwrap();
    let csv = folder.run(&["read", "a.csv"]).ok().out;
    assert_eq!(String::from_utf8(piped.stdout).unwrap(), csv);
    // Beside CSV, and under a name of its own choice.
    let both = folder.run(&["read", "a.csv", "a.parquet"]).ok().out;
    assert_eq!(both, csv);
    let named = ["read", "a.parquet", "--column", "text=Title"];
    let named = folder.run(&named).ok().out;
    assert!(
        named.contains("\"make\":\"Mazda\"") && !named.contains("clutch"),
        "{named}"
    );
}

#[test]
fn a_table_of_nothing_is_a_table() {
    let folder = Folder::new().with("a.csv", "id,text,price\n1,,\n");
    folder.run(&["read", "a.csv", "--out", "none.parquet"]).ok();
    assert!(rows(&folder, "none.parquet").is_empty());
    let again = folder
        .run(&["read", "none.parquet", "--column", "text=id"])
        .ok();
    assert_eq!(again.out, "");
    assert!(again.err.contains("no ad below them"), "{}", again.err);
}

#[test]
fn what_was_there_stays_where_a_table_cannot_be_finished() {
    let folder = Folder::new()
        .with("a.csv", "id,text\n1,clutch slips\n")
        .with("b.parquet", &ads()[..300])
        .with("out.parquet", "old");
    let words = [
        "read",
        "a.csv",
        "b.parquet",
        "--out",
        "out.parquet",
        "--force",
    ];
    let ran = folder.run(&words);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    let kept = std::fs::read_to_string(folder.path("out.parquet")).unwrap();
    assert_eq!(kept, "old");
    assert_eq!(folder.names(), ["a.csv", "b.parquet", "out.parquet"]);
}

#[test]
fn rows_of_many_groups_come_in_order() {
    let ids: Vec<Option<i64>> = (0..5_000).map(Some).collect();
    let texts = vec![Some("clutch slips"); ids.len()];
    let schema = "message m { optional int64 id; optional binary text (utf8); }";
    let many = table(schema, &[Column::Int64(ids), Column::Text(texts)], 1);
    let folder = Folder::new().with("a.parquet", many);
    let out = folder
        .run(&["read", "a.parquet", "--format", "csv"])
        .ok()
        .out;
    let ids: Vec<_> = out
        .lines()
        .skip(1)
        .map(|l| l.split(',').next().unwrap())
        .collect();
    let expected: Vec<String> = (0..5_000).map(|n| n.to_string()).collect();
    assert_eq!(ids, expected);
    // The same group three times: rows that were read before.
    let again = table(
        "message m { optional binary text (utf8); }",
        &[Column::Text(vec![Some("clutch slips"), Some("no start")])],
        3,
    );
    let folder = Folder::new().with("a.parquet", again);
    let ran = folder.run(&["read", "a.parquet"]).ok();
    assert_eq!(ran.out.lines().count(), 2);
    assert!(ran.err.contains("4 rows are exact repeats"), "{}", ran.err);
}
