//! No line is wider than the terminal.

use unicode_width::UnicodeWidthStr;

use super::printed;

const BOARDS: &str = "samples/harbour-board.csv samples/valley-swap.csv samples/depot-list.csv";
const LATER: &str = "samples/harbour-board.csv samples/later/harbour-board-2026-02-14.csv \
    samples/later/harbour-board-2026-02-21.csv";
const FIGURES: &str = "--comparables samples/comparables.csv --profile samples/profile.toml";

#[test]
fn every_text_keeps_to_the_width() {
    let dir = tempfile::tempdir().unwrap();
    let wide = dir.path().join("wide.csv");
    // Letters of two columns and of none, in all that is shown.
    std::fs::write(
        &wide,
        "id,title,description,price,place\n\
         広告12345678901234567890123456789012345678901234567890,2004 Saab 93 修理車修理車修理車修理車,\
         \"needs cafe\u{301} clutch, \u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467} car, 120k miles\",900,日産市日産市日産市日産市\n",
    )
    .unwrap();
    let wide = wide.to_str().unwrap();
    let commands = [
        format!("shortlist {BOARDS} {FIGURES}"),
        format!("shortlist {LATER} {FIGURES} --new"),
        format!("explain 40116 {BOARDS} {FIGURES}"),
        format!("explain 40116 {BOARDS} {FIGURES} --what-if ask=2600 --what-if clutch=unsaid"),
        format!("explain 40116 {LATER} {FIGURES}"),
        format!("plan {BOARDS} {FIGURES} --budget 2500 --hours 80"),
        format!("call DL-7092 {BOARDS} {FIGURES}"),
        format!("decide DL-7092 {BOARDS} {FIGURES} --findings samples/findings.csv"),
        format!("ledger samples/ledger.csv {LATER} {FIGURES}"),
        "grade samples/labelled/practice.jsonl --misses 20 --against built-in".to_owned(),
        format!("lexicon gaps {BOARDS}"),
        format!("columns {BOARDS}"),
        "read samples/harbour-board.csv --why --id 40116".to_owned(),
        format!("shortlist {wide}"),
        format!("columns {wide}"),
        format!("plan {wide} --space 1 --actions view,ask,skip"),
    ];
    for command in &commands {
        for columns in [50, 97, 200] {
            let columns_word = columns.to_string();
            let mut words: Vec<&str> = command.split_whitespace().collect();
            words.extend(["--width", &columns_word]);
            let text = printed(&words);
            assert!(text.lines().count() > 1, "{command}");
            for line in text.lines() {
                assert!(
                    line.width() <= columns,
                    "{command} --width {columns}: {} columns\n{line}",
                    line.width()
                );
            }
        }
    }
}

#[test]
fn a_narrow_list_has_the_figures_of_a_wide_one() {
    let list = |columns: &str| {
        printed(&[
            "shortlist",
            "samples/harbour-board.csv",
            "--top",
            "3",
            "--width",
            columns,
        ])
    };
    let figures = |text: &str| {
        let mut all: Vec<String> = text
            .split(|c: char| !(c.is_ascii_digit() || ",-".contains(c)))
            .map(|word| word.trim_matches([',', '-']).to_owned())
            .filter(|word| word.chars().filter(char::is_ascii_digit).count() > 2)
            .collect();
        all.sort();
        all
    };
    assert_eq!(figures(&list("50")), figures(&list("80")));
}

#[cfg(unix)]
#[test]
fn the_width_is_that_of_the_terminal() {
    let words = ["shortlist", "samples/harbour-board.csv", "--color", "never"];
    for columns in [50, 97] {
        let shown = super::pty::on_terminal(columns, &mut super::program(&words));
        let columns_word = columns.to_string();
        let mut given = words.to_vec();
        given.extend(["--width", &columns_word]);
        assert_eq!(shown, printed(&given));
    }
}
