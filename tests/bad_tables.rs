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
fn wrong_rates_follow_ons_and_due_work_are_named() {
    for (file, from, to, problem) in [
        (
            "base_rates.csv",
            "radiator,0.07",
            "radiator,0",
            "not above 0",
        ),
        (
            "base_rates.csv",
            "european=1.4;luxury=1.4",
            "hovercraft=1.4",
            "'hovercraft' is no class of classes.csv",
        ),
        (
            "follow_on.csv",
            "head_gasket,radiator",
            "head_gaskett,radiator",
            "no code of parts.csv and no job",
        ),
        (
            "follow_on.csv",
            "head_gasket,radiator,0.20",
            "head_gasket,radiator,1.20",
            "more than 1",
        ),
        (
            "due_work.csv",
            "battery,,5",
            "battery,,",
            "neither miles nor years",
        ),
        (
            "due_work.csv",
            "0.40,belt",
            "0.40,chain",
            "none of: always, belt, gearbox=automatic",
        ),
    ] {
        let message = message(file, from, to);
        assert!(message.contains(problem), "{message}");
        assert!(message.starts_with(&format!("{file}, line ")), "{message}");
    }
}

#[test]
fn wrong_causes_are_named() {
    let at = line_of("causes.csv", "overheats,thermostat,0.367");
    assert!(
        message("causes.csv", "overheats,thermostat", "overheats,rust_panel")
            .contains("has no row in base_rates.csv; add how often cars have it"),
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
            "overheats,thermostat,0.367",
            "overheats,thermostat,2"
        )
        .contains("more than 1")
    );
    assert!(
        message(
            "causes.csv",
            "slips,clutch,0.850,manual",
            "slips,clutch,0.850,manuel"
        )
        .contains("'manuel' is none of: manual, automatic, cvt, unstated"),
    );
    assert!(
        message(
            "causes.csv",
            "slips,clutch,0.850,manual",
            "slips,clutch,0.850,"
        )
        .contains("stands twice"),
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

#[test]
fn what_claims_tell_of_moving_is_checked() {
    let at = line_of("moving.csv", "gear_lost,bad,stays");
    assert_eq!(
        message("moving.csv", "gear_lost,bad,stays", "gear_lost,bad,parks"),
        format!(
            "moving.csv, line {at}, column 'tells': 'parks' is not one of: no_start, starts, \
             mended, stays, no_pass, no_drive, runs"
        )
    );
    assert_eq!(
        message("moving.csv", "gear_lost,bad,stays", "clutch,bad,stays"),
        format!(
            "moving.csv, line {at}, column 'code': this claim stands twice; put both in one row"
        )
    );
}

#[test]
fn kinds_of_faults_in_plainer_words_are_checked() {
    let at = line_of("plainer.csv", "noise,noise;");
    assert_eq!(
        message("plainer.csv", "noise,noise;", "noise,light;"),
        format!(
            "plainer.csv, line {at}, column 'words': 'light' stands in two kinds; leave it in one"
        )
    );
    assert_eq!(
        message("plainer.csv", "wheel_noise,yes", "wheel_noise,always"),
        format!(
            "plainer.csv, line {at}, column 'alike': 'always' is not yes; leave it empty otherwise"
        )
    );
}
