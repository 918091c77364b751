//! Grading, checking, exporting and extending the tables, from outside.

mod labelled_files;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use fixworth::lexicon::{Lexicon, Source};
use fixworth::upkeep::check::{Finding, Level, check};
use fixworth::upkeep::judge::judge;
use fixworth::upkeep::labelled::{Labelled, meet, read_files};
use fixworth::upkeep::score::{Grade, Group};
use labelled_files::files;

fn fixworth(dir: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fixworth"));
    command.current_dir(dir).args(args).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The ads as an export, for `read`.
fn as_csv(rows: &[Labelled]) -> Vec<u8> {
    let mut csv = csv::Writer::from_writer(Vec::new());
    csv.write_record(["id", "title", "description", "price", "odometer", "year"])
        .unwrap();
    for r in rows {
        csv.write_record([
            &r.id,
            &r.title_text,
            &r.body,
            &r.price_field,
            &r.odometer_field,
            &r.year_field,
        ])
        .unwrap();
    }
    csv.into_inner().unwrap()
}

/// `tests/oracles/label_counts.py` counts what `read` prints; `PYTHON` names
/// another interpreter than `python3`.
#[test]
fn the_grade_counts_as_a_script_of_its_own_does() {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    if let Err(error) = Command::new(&python).arg("--version").output() {
        println!("skipped: {python} does not run: {error}");
        return;
    }
    let lexicon = Lexicon::built_in().unwrap();
    let files = files();
    let rows = read_files(&files).unwrap();
    let met = meet(&rows, &lexicon).unwrap();
    let judged: Vec<_> = rows
        .iter()
        .zip(&met)
        .map(|(row, met)| judge(row, met, &lexicon.parts))
        .collect();
    let grade = Grade::of(&judged);
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("ads.csv"), as_csv(&rows)).unwrap();
    let args = ["read", "ads.csv", "--out", "readings.jsonl"];
    assert!(fixworth(dir.path(), &args).status.success());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/oracles/label_counts.py");
    let ran = Command::new(&python)
        .arg(script)
        .arg(dir.path().join("readings.jsonl"))
        .args(&files)
        .output()
        .unwrap();
    assert!(ran.status.success(), "{}", text(&ran.stderr));
    let mut compared = 0;
    for line in text(&ran.stdout).lines() {
        let mut cells = line.split('\t');
        let name = cells.next().unwrap();
        let counts: Vec<u32> = cells.map(|c| c.parse().unwrap()).collect();
        let ours = match Group::ALL.iter().find(|g| g.word() == name) {
            Some(group) => {
                let c = grade.group(*group);
                vec![c.right, c.extra, c.missed]
            }
            None => {
                let (right, of) = grade.fields[name];
                vec![right, of]
            }
        };
        assert_eq!(ours, counts, "{name}");
        compared += 1;
    }
    assert_eq!(compared, 17);
}

const ROW: &str = r#"{"id":"1","title_text":"2004 Saab 900","body":"Clutch slips. Brakes zonked.","price_field":"900","odometer_field":"","year_field":"","gold":{"kind":"car","year":2004,"make":"Saab","model":"900","ask":900,"ask_basis":"plain","miles":null,"miles_basis":"none","title":"unstated","moves":"unstated","gearbox":"unstated","vin":null,"claims":[{"part":"clutch","says":"bad"},{"part":"brakes_general","says":"bad"}],"vague":[]}}"#;

/// Tables with one row more than the built-in ones.
fn with_row(dir: &Path, table: &str, row: &str) -> PathBuf {
    let (_, built_in) = fixworth::lexicon::table::BUILT_IN
        .iter()
        .find(|(name, _)| *name == table)
        .unwrap();
    let into = dir.join("mine");
    std::fs::create_dir_all(&into).unwrap();
    std::fs::write(
        into.join(table),
        format!("{}\n{row}\n", built_in.trim_end()),
    )
    .unwrap();
    into
}

#[test]
fn a_row_more_shows_what_it_gains_and_breaks() {
    let dir = tempfile::tempdir().unwrap();
    let brakes = Lexicon::built_in().unwrap();
    let code = brakes
        .phrases
        .find("brakes")
        .map(|phrase| brakes.parts.code(phrase.meaning.named[0].part).to_owned())
        .unwrap();
    let row = ROW.replace("brakes_general", &code);
    std::fs::write(dir.path().join("ads.jsonl"), row).unwrap();
    let grade = ["grade", "ads.jsonl", "--misses", "9"];
    let before = text(&fixworth(dir.path(), &grade).stdout);
    assert!(before.contains(&format!("missed: {code} bad")), "{before}");
    with_row(dir.path(), "cues.csv", "zonked,bad,before");
    let compare = [
        "grade",
        "ads.jsonl",
        "--lexicon",
        "mine",
        "--against",
        "built-in",
    ];
    let after = text(&fixworth(dir.path(), &compare).stdout);
    assert!(
        after.contains(&format!("Gained: 1\n  1            missed: {code} bad")),
        "{after}"
    );
    assert!(after.contains("Broken: 0"), "{after}");
    let turned = ["grade", "ads.jsonl", "--against", "mine"];
    let turned = text(&fixworth(dir.path(), &turned).stdout);
    assert!(
        turned.contains("Gained: 0") && turned.contains("Broken: 1"),
        "{turned}"
    );
}

#[test]
fn a_wrong_labelled_line_is_named_and_nothing_is_done() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("ads.jsonl"), format!("{ROW}\n{ROW}\n")).unwrap();
    let ran = fixworth(dir.path(), &["grade", "ads.jsonl"]);
    assert_eq!(ran.status.code(), Some(2));
    assert_eq!(
        text(&ran.stderr),
        "fixworth: ads.jsonl, line 2: the id '1' stands twice; give each ad its own\n"
    );
}

#[test]
fn the_reasons_of_a_reading_are_told_within_80_columns() {
    let dir = tempfile::tempdir().unwrap();
    let body = "Brakes are shot, clutch slips. The thermostot (rear) was replaced at 90k for $220 in \
                parts. No leaks. Call 555-0114 or mail joe@example.com \u{1b}[31m. 187k miles, \
                asking $900 firm, was a Mazda 3 before";
    let csv = format!("id,title,text\n7,2004 Saab 900,\"{body}\"\n8,Volvo 740,runs\n");
    std::fs::write(dir.path().join("ads.csv"), csv).unwrap();
    let ran = fixworth(dir.path(), &["read", "ads.csv", "--why", "--id", "7"]);
    assert_eq!(ran.status.code(), Some(0), "{}", text(&ran.stderr));
    let why = text(&ran.stdout);
    assert!(
        !why.contains('\u{1b}') && !why.contains("555 0114") && !why.contains("0114"),
        "{why}"
    );
    assert!(
        !why.contains("joe@example.com") && !why.contains("Volvo"),
        "{why}"
    );
    let long: Vec<_> = why.lines().filter(|l| l.chars().count() > 80).collect();
    assert!(long.is_empty(), "{long:#?}");
    for told in [
        "'thermostot' is taken for 'thermostat'",
        "CLAIM; 'brakes' under 'shot'",
        "'in parts' makes it other_money",
        "no price: 'for' makes it other_distance",
        "taken as the price",
        "taken as the distance",
        "taken as the model",
        "not taken: Saab 900 goes before it",
    ] {
        let words: Vec<_> = why.split_whitespace().collect();
        assert!(words.join(" ").contains(told), "{told}\n{why}");
    }
}

#[test]
fn rows_that_can_never_act_are_found_with_file_and_line() {
    let dir = tempfile::tempdir().unwrap();
    let rows = [
        (
            "mr. zonk,clutch,bad",
            Some((Level::Error, "can never match")),
        ),
        (
            "zonk leak,oil_leak,spare",
            Some((Level::Error, "a symptom has no spare")),
        ),
        (
            "broken zonk,clutch,noun",
            Some((Level::Note, "hides its own word 'broken'")),
        ),
        ("zonkbox,clutch,noun", None),
    ];
    let written: Vec<_> = rows.iter().map(|(row, _)| *row).collect();
    let mine = with_row(dir.path(), "phrases.csv", &written.join("\n"));
    let phrases = std::fs::read_to_string(mine.join("phrases.csv")).unwrap();
    let first = (phrases.lines().count() - rows.len()) as u64 + 1;
    let all = check(&Source::dir(&mine).unwrap()).unwrap();
    for (line, (row, wanted)) in (first..).zip(rows) {
        let here = |f: &&Finding| f.line == line && f.file.ends_with("phrases.csv");
        let found: Vec<_> = all.iter().filter(here).collect();
        match wanted {
            None => assert!(found.is_empty(), "{row}: {found:#?}"),
            Some((level, told)) => {
                let is = |f: &&&Finding| f.level == level && f.text.contains(told);
                assert!(found.iter().any(|f| is(&f)), "{row}: {found:#?}");
            }
        }
    }
}

#[test]
fn a_row_that_begins_with_a_number_sign_is_told_to_be_a_note() {
    let dir = tempfile::tempdir().unwrap();
    let rows = [
        "# 1 cylinder zonked,misfire,fault",
        "# two things, said of faults, and of names",
        "2 cylinders zonked,misfire,fault",
    ];
    let mine = with_row(dir.path(), "phrases.csv", &rows.join("\n"));
    let phrases = std::fs::read_to_string(mine.join("phrases.csv")).unwrap();
    let first = (phrases.lines().count() - rows.len()) as u64 + 1;
    let all = check(&Source::dir(&mine).unwrap()).unwrap();
    let notes: Vec<_> = all
        .iter()
        .filter(|f| f.text.contains("is a note"))
        .collect();
    let [note] = notes.as_slice() else {
        panic!("{notes:#?}");
    };
    assert_eq!((note.line, note.level), (first, Level::Note));
    assert!(note.file.ends_with("phrases.csv"), "{note}");
}

#[test]
fn a_code_without_phrases_is_an_error_and_the_exit_code_says_so() {
    let dir = tempfile::tempdir().unwrap();
    // A symptom needs causes before the tables are read at all.
    let mine = with_row(dir.path(), "parts.csv", "hover,engine,symptom,it hovers,");
    let ran = fixworth(dir.path(), &["lexicon", "check", "--lexicon", "mine"]);
    assert_eq!(ran.status.code(), Some(1));
    assert!(
        text(&ran.stdout).starts_with("error: "),
        "{}",
        text(&ran.stdout)
    );
    let (_, causes) = fixworth::lexicon::table::BUILT_IN
        .iter()
        .find(|(name, _)| *name == "causes.csv")
        .unwrap();
    let header = causes.lines().find(|l| !l.starts_with('#')).unwrap();
    let cells = header.split(',').map(|column| match column {
        "symptom" => "hover",
        "cause" => "clutch",
        "weight" => "1",
        "source" => "from memory",
        _ => "",
    });
    let row = cells.collect::<Vec<_>>().join(",");
    std::fs::write(
        mine.join("causes.csv"),
        format!("{}\n{row}\n", causes.trim_end()),
    )
    .unwrap();
    let args = ["lexicon", "check", "--lexicon", "mine", "--errors-only"];
    let ran = fixworth(dir.path(), &args);
    assert_eq!(ran.status.code(), Some(1), "{}", text(&ran.stderr));
    let told = text(&ran.stdout);
    assert!(told.contains("error: no phrase names 'hover'"), "{told}");
    assert!(told.contains("mine") && told.contains("line "), "{told}");
}

#[test]
fn the_built_in_tables_have_no_errors() {
    let found = check(&Source::built_in()).unwrap();
    let errors: Vec<_> = found.iter().filter(|f| f.level == Level::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn tables_are_exported_and_not_written_over() {
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(
        fixworth(dir.path(), &["lexicon", "export", "mine"])
            .status
            .code(),
        Some(0)
    );
    let again = fixworth(dir.path(), &["lexicon", "export", "mine"]);
    assert_eq!(again.status.code(), Some(2));
    let told = text(&again.stderr);
    assert!(
        told.contains("is there already") && told.lines().count() == 1,
        "{told}"
    );
    let forced = fixworth(dir.path(), &["lexicon", "export", "mine", "--force"]);
    assert_eq!(forced.status.code(), Some(0));
}

#[test]
fn gaps_show_words_of_the_market_without_its_telephone_numbers() {
    let dir = tempfile::tempdir().unwrap();
    let ads: String = (0..12)
        .map(|i| format!("{i},2004 Saab 900,\"Zorble is shot 555-0114. Radiator leaks.\n\nKept in a gloomery by the vimmel {i}.\"\n"))
        .collect();
    std::fs::write(dir.path().join("ads.csv"), format!("id,title,text\n{ads}")).unwrap();
    let ran = fixworth(dir.path(), &["lexicon", "gaps", "ads.csv"]);
    assert_eq!(ran.status.code(), Some(0), "{}", text(&ran.stderr));
    let told = text(&ran.stdout);
    let row = told.lines().find(|l| l.starts_with("zorble ")).unwrap();
    assert!(
        row.contains("12") && row.contains("Zorble is shot"),
        "{row}"
    );
    assert!(!told.contains("0114"), "{told}");
    assert!(told.lines().all(|l| l.chars().count() <= 80), "{told}");
}

/// Weights learnt from labelled ads are a table that the program reads, and their notes
/// tell what they were learnt from and tried on.
#[test]
fn tables_of_weights_are_learnt_from_labelled_ads() {
    let practice = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/labelled/practice.jsonl");
    let ads = std::fs::read_to_string(practice).unwrap();
    let lines: Vec<_> = ads.lines().collect();
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("known.jsonl"), lines[..30].join("\n")).unwrap();
    std::fs::write(dir.path().join("fresh.jsonl"), lines[30..45].join("\n")).unwrap();
    std::fs::create_dir(dir.path().join("tables")).unwrap();
    for (of, table, columns) in [
        ("parts", "leanings.csv", "near,word,bad,"),
        ("moves", "moves_leanings.csv", "word,drives,"),
        ("passing", "passing.csv", "near,word,bad,"),
        ("context", "context.csv", "of,name,hundredths"),
    ] {
        let out = format!("tables/{table}");
        let args = ["lexicon", "leanings", "known.jsonl", "--of", of];
        let args = [&args[..], &["--fresh", "fresh.jsonl", "--out", &out]].concat();
        let ran = fixworth(dir.path(), &args);
        assert!(ran.status.success(), "{}", text(&ran.stderr));
        let learnt = std::fs::read_to_string(dir.path().join(&out)).unwrap();
        let notes = learnt.lines().filter(|l| l.starts_with('#')).count();
        assert!((2..=5).contains(&notes), "{learnt}");
        let head = learnt.lines().nth(notes).unwrap();
        assert!(head.starts_with(columns), "{head}");
        assert!(learnt.lines().count() > notes + 20, "{learnt}");
        // Nothing is written over unasked.
        let again = fixworth(dir.path(), &args);
        assert_eq!(again.status.code(), Some(2), "{}", text(&again.stderr));
    }
    let passing = std::fs::read_to_string(dir.path().join("tables/passing.csv")).unwrap();
    assert!(passing.contains("15 of them fresh"), "{passing}");
    let read = fixworth(
        dir.path(),
        &["lexicon", "check", "--lexicon", "tables", "--errors-only"],
    );
    assert_eq!(text(&read.stdout).trim(), "0 errors");
}
