//! What is printed as JSON keeps to its schema, and a schema refuses what is
//! not in it.
//!
//! `tests/schemas/` holds the schemas as last committed. `GOLDEN=write cargo
//! test --test schemas` writes them anew: raise the version in
//! `src/report/schema.rs` then, its second number where something was added,
//! its first where something went or means something else.

use std::path::{Path, PathBuf};
use std::process::Command;

use fixworth::report::schema::{FORMS, Form};
use jsonschema::Validator;
use serde_json::Value;

const BOARDS: &str = "samples/harbour-board.csv samples/valley-swap.csv samples/depot-list.csv";
const LATER: &str = "samples/harbour-board.csv samples/later/harbour-board-2026-02-14.csv \
    samples/later/harbour-board-2026-02-21.csv";
const FIGURES: &str = "--comparables samples/comparables.csv --profile samples/profile.toml";

#[track_caller]
fn printed(command: &str) -> String {
    let ran = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(command.split_whitespace())
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{command}\n{said}");
    String::from_utf8(ran.stdout).unwrap()
}

fn validator(name: &str) -> Validator {
    let schema = Form::of_name(name).unwrap().schema();
    let options = jsonschema::draft202012::options().should_validate_formats(true);
    options.build(&schema).unwrap()
}

/// Forms, and commands that print them; `true` where each line is one.
fn commands() -> Vec<(&'static str, String, bool)> {
    vec![
        ("read", format!("read {BOARDS}"), true),
        ("read", format!("read {BOARDS} --with-text"), true),
        ("price", format!("price {BOARDS}"), true),
        (
            "shortlist",
            format!("shortlist {BOARDS} {FIGURES} --format json"),
            false,
        ),
        (
            "shortlist",
            "shortlist samples/harbour-board.csv --format json".to_owned(),
            false,
        ),
        (
            "shortlist",
            format!("shortlist {LATER} --new --gone --format json"),
            false,
        ),
        (
            "car",
            format!("shortlist {BOARDS} --top 9 --format jsonl"),
            true,
        ),
        (
            "explain",
            format!("explain 40116 {BOARDS} {FIGURES} --format json"),
            false,
        ),
        (
            "explain",
            format!(
                "explain 40116 {LATER} --what-if clutch=unsaid --what-if ask=900 --format json"
            ),
            false,
        ),
        (
            "plan",
            format!("plan {BOARDS} {FIGURES} --budget 2500 --format json"),
            false,
        ),
        (
            "plan",
            format!("plan {BOARDS} --space 2 --hours 40 --format json"),
            false,
        ),
        (
            "call",
            format!("call DL-7092 {BOARDS} {FIGURES} --format json"),
            false,
        ),
        (
            "decide",
            format!(
                "decide DL-7092 40116 {BOARDS} {FIGURES} --findings samples/findings.csv \
                 --format json"
            ),
            false,
        ),
        (
            "ledger",
            format!("ledger samples/ledger.csv {LATER} --format json"),
            false,
        ),
        ("columns", format!("columns {BOARDS} --format json"), false),
    ]
}

#[test]
fn all_that_is_printed_keeps_to_its_schema() {
    let commands = commands();
    for form in FORMS {
        assert!(
            commands.iter().any(|c| c.0 == form.name),
            "{} is not tried",
            form.name
        );
    }
    for (name, command, lines) in commands {
        let validator = validator(name);
        let text = printed(&command);
        let values: Vec<Value> = if lines {
            text.lines()
                .map(|line| serde_json::from_str(line).unwrap())
                .collect()
        } else {
            vec![serde_json::from_str(&text).unwrap()]
        };
        assert!(!values.is_empty(), "{command}");
        for value in &values {
            let wrong: Vec<_> = validator
                .iter_errors(value)
                .map(|e| format!("{}: {e}", e.instance_path()))
                .take(5)
                .collect();
            assert!(wrong.is_empty(), "{command}\n{wrong:#?}");
        }
        refuses_what_it_does_not_know(&validator, &values[0], &command);
    }
}

/// One key more in any object, or one fewer in the outermost, is refused.
fn refuses_what_it_does_not_know(validator: &Validator, value: &Value, command: &str) {
    let mut paths = Vec::new();
    objects(value, String::new(), &mut paths);
    assert!(!paths.is_empty());
    // Objects of a list are alike: the first of each list will do.
    let is_first = |path: &String| {
        path.split('/').all(|step| {
            step.parse::<usize>().is_ok_and(|n| n == 0) || step.parse::<usize>().is_err()
        })
    };
    for path in paths.iter().filter(|p| is_first(p)) {
        let mut changed = value.clone();
        let object = changed
            .pointer_mut(path)
            .and_then(Value::as_object_mut)
            .unwrap();
        object.insert("surely_not_a_key".to_owned(), Value::Null);
        assert!(
            !validator.is_valid(&changed),
            "{command}: one key more at '{path}' passes"
        );
    }
    let outermost = paths.iter().min_by_key(|p| p.len()).unwrap();
    let keys = value.pointer(outermost).and_then(Value::as_object).unwrap();
    for key in keys.keys().filter(|key| *key != "text") {
        let mut changed = value.clone();
        let object = changed
            .pointer_mut(outermost)
            .and_then(Value::as_object_mut)
            .unwrap();
        object.remove(key);
        assert!(
            !validator.is_valid(&changed),
            "{command}: it passes without '{key}'"
        );
    }
}

fn objects(value: &Value, path: String, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                objects(value, format!("{path}/{key}"), found);
            }
            found.push(path);
        }
        Value::Array(list) => {
            for (at, value) in list.iter().enumerate() {
                objects(value, format!("{path}/{at}"), found);
            }
        }
        _ => {}
    }
}

fn committed(form: &Form) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas");
    folder.join(format!("{}.json", form.name))
}

#[test]
fn schemas_are_those_that_were_committed() {
    for form in FORMS {
        let text = printed(&format!("schema {}", form.name));
        let path = committed(form);
        if std::env::var_os("GOLDEN").is_some_and(|v| v == "write") {
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(&path, &text).unwrap();
        }
        let held = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            held == text,
            "{} differs from what 'fixworth schema {}' prints; GOLDEN=write cargo test --test \
             schemas writes it, raise its version",
            path.display(),
            form.name
        );
    }
}

#[test]
fn every_schema_is_of_the_draft_it_names_and_leaves_nothing_open() {
    for form in FORMS {
        let schema = form.schema();
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
        assert_eq!(
            schema["$id"],
            format!("urn:fixworth:{}:{}", form.name, form.version)
        );
        assert!(
            jsonschema::draft202012::meta::is_valid(&schema),
            "{}",
            form.name
        );
        closed(&schema, form.name);
    }
}

/// Every object of the schema says that there are no other keys.
fn closed(schema: &Value, place: &str) {
    if let Some(map) = schema.as_object() {
        if map.contains_key("properties") {
            let shut = |key: &str| map.get(key) == Some(&Value::Bool(false));
            let is = shut("additionalProperties") || shut("unevaluatedProperties");
            assert!(is, "{place} is open");
        }
        for (key, value) in map {
            closed(value, &format!("{place}/{key}"));
        }
    }
    for (at, value) in schema.as_array().into_iter().flatten().enumerate() {
        closed(value, &format!("{place}/{at}"));
    }
}

#[test]
fn without_a_name_all_schemas_are_listed() {
    let list = printed("schema");
    assert_eq!(list.lines().count(), FORMS.len());
    for (line, form) in list.lines().zip(FORMS) {
        assert!(
            line.starts_with(form.name) && line.contains(form.version),
            "{line}"
        );
    }
}
