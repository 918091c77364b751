//! A table that is wrong is refused with file, line, column and remedy.

use std::path::Path;

use fixworth::lexicon::Lexicon;
use fixworth::lexicon::table::BUILT_IN;

/// The message for the built-in table with a piece of its text replaced.
fn message(table: &str, from: &str, to: &str) -> String {
    let (_, text) = BUILT_IN.iter().find(|(n, _)| *n == table).unwrap();
    assert!(text.contains(from), "{table} has no '{from}'");
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join(table), text.replacen(from, to, 1)).unwrap();
    let error = Lexicon::from_dir(dir.path())
        .expect_err("refused")
        .to_string();
    let prefix = format!("{}{}", dir.path().display(), std::path::MAIN_SEPARATOR);
    assert!(error.starts_with(&prefix), "{error}");
    error[prefix.len()..].to_owned()
}

fn line_of(table: &str, text: &str) -> usize {
    let (_, all) = BUILT_IN.iter().find(|(n, _)| *n == table).unwrap();
    1 + all.lines().position(|l| l.contains(text)).unwrap()
}

#[test]
fn an_unchanged_table_is_taken() {
    let dir = tempfile::tempdir().unwrap();
    for (name, text) in BUILT_IN {
        std::fs::write(dir.path().join(name), text).unwrap();
    }
    assert!(Lexicon::from_dir(Path::new(dir.path())).is_ok());
}

#[test]
fn wrong_repairs_are_named() {
    let at = line_of("repairs.csv", "radiator,radiator,default");
    assert_eq!(
        message(
            "repairs.csv",
            "radiator,radiator,default",
            "radiator,radiater,default"
        ),
        format!(
            "repairs.csv, line {at}, column 'part': 'radiater' is no code of parts.csv; did you mean 'radiator'?"
        )
    );
    assert_eq!(
        message(
            "repairs.csv",
            "radiator,radiator,default",
            "radiator,radiator,class=boat"
        ),
        format!("repairs.csv, line {at}, column 'when': 'boat' is no class of classes.csv")
    );
    assert_eq!(
        message(
            "repairs.csv",
            "radiator,radiator,default",
            "thermostat_x,radiator,variant"
        ),
        "repairs.csv: part 'radiator' has no job; add a row with it in 'part' and 'default' in 'when'"
    );
    let at = line_of("repairs.csv", "thermostat,thermostat,default");
    assert!(
        message(
            "repairs.csv",
            "thermostat,thermostat,default",
            "radiator,thermostat,default"
        )
        .starts_with(&format!(
            "repairs.csv, line {at}, column 'job': 'radiator' stands twice"
        )),
    );
    let at = line_of("repairs.csv", "cooling_flush,radiator,variant");
    assert_eq!(
        message(
            "repairs.csv",
            "cooling_flush,radiator,variant",
            "cooling_flush,radiator,default"
        ),
        format!(
            "repairs.csv, line {at}, column 'when': 'radiator' holds in the same case; change one of them"
        )
    );
    let at = line_of("repairs.csv", "oil_pan,oil_pan,default");
    assert!(
        message(
            "repairs.csv",
            "oil pan gasket,12,25,60",
            "oil pan gasket,12,125,60"
        )
        .starts_with(&format!(
            "repairs.csv, line {at}, column 'part_new_likely': 12, 125, 60 are out of order"
        )),
    );
    assert!(
        message("repairs.csv", ",engine,puller,", ",engin,puller,")
            .contains("did you mean 'engine'?")
    );
    assert!(
        message("repairs.csv", "machine shop fits valves", "").contains("column 'outwork_why'")
    );
    assert!(
        message("repairs.csv", ",optional,", ",perhaps,")
            .contains("'perhaps' is neither yes nor optional")
    );
}

#[test]
fn wrong_causes_are_named() {
    let at = line_of("causes.csv", "overheats,thermostat,0.22");
    let over = line_of("causes.csv", "overheats,head_gasket");
    assert!(
        message(
            "causes.csv",
            "overheats,thermostat,0.22",
            "overheats,thermostat,0.32"
        )
        .starts_with(&format!(
            "causes.csv, line {over}, column 'weight': the weights of 'overheats' sum to 1.03"
        )),
    );
    assert!(
        message(
            "causes.csv",
            "overheats,thermostat",
            "overheats,thermostatt"
        )
        .starts_with(&format!(
            "causes.csv, line {at}, column 'cause': 'thermostatt' is no job"
        )),
    );
    assert!(
        message("causes.csv", "overheats,radiator", "overheats,thermostat")
            .contains("stands twice")
    );
    assert!(
        message("causes.csv", "overheats,thermostat", "radiator,thermostat")
            .contains("only symptoms have causes")
    );
    assert!(
        message(
            "causes.csv",
            "overheats,thermostat,0.22",
            "overheats,thermostat,2"
        )
        .contains("more than 1")
    );
}

#[test]
fn wrong_pairs_and_classes_are_named() {
    assert!(
        message(
            "shared_work.csv",
            "water_pump,timing_belt",
            "water_pump,water_pump"
        )
        .contains("line 2, column 'with'")
    );
    assert!(
        message(
            "shared_work.csv",
            "water_pump,timing_belt,0.8",
            "water_pump,timing_belt,8"
        )
        .contains("column 'hours_share': 8 is more than 1")
    );
    assert!(
        message(
            "shared_work.csv",
            "water_pump,timing_belt,",
            "water_pomp,timing_belt,"
        )
        .contains("did you mean 'water_pump'?")
    );
    assert_eq!(
        message("classes.csv", "small,0.80,", "small,,"),
        "classes.csv, line 2, column 'parts_factor': is empty; give a value"
    );
    assert_eq!(
        message("classes.csv", "small,0.80,", "small,0,"),
        "classes.csv, line 2, column 'parts_factor': is 0; give a number above 0"
    );
    assert!(message("classes.csv", "compact,", "small,").contains("stands twice"));
    assert!(
        message("skills.csv", "welder,tool", "welder,thing").contains("neither skill nor tool")
    );
}
