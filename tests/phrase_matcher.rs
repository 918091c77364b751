//! The reading against published methods with the same phrases: spaCy's
//! PhraseMatcher and medspaCy's ConText, run by `tests/oracles/phrase_matcher.py`
//! where python has them. What it printed last stands in
//! `tests/oracles/phrase_matcher.txt`, with versions.

use std::collections::BTreeMap;
use std::process::Command;

const KEPT: &str = include_str!("oracles/phrase_matcher.txt");

/// F1 by setting and view: of `cues  all 0.830 (0.801-0.856)  fault ...`.
fn figures(text: &str) -> BTreeMap<(String, String), f64> {
    let mut out = BTreeMap::new();
    for line in text.lines().skip(2).filter(|l| !l.starts_with("ahead")) {
        let mut cells = line.split("  ").map(str::trim).filter(|c| !c.is_empty());
        let Some(setting) = cells.next() else {
            continue;
        };
        for cell in cells {
            let mut words = cell.split(' ');
            if let (Some(view), Some(Ok(f1))) = (words.next(), words.next().map(str::parse)) {
                out.insert((setting.to_owned(), view.to_owned()), f1);
            }
        }
    }
    out
}

fn assert_ahead(figures: &BTreeMap<(String, String), f64>) {
    for view in ["all", "fault", "named"] {
        let of = |setting: &str| figures[&(setting.to_owned(), view.to_owned())];
        let own = of("fixworth");
        for ((setting, _), f1) in figures
            .iter()
            .filter(|((s, v), _)| s != "fixworth" && v == view)
        {
            assert!(own > *f1, "{view}: {own} against {f1} of '{setting}'");
        }
        assert!(of("cues") > 0.5, "the other method was not given its rules");
    }
}

#[test]
fn the_kept_figures_name_their_versions_and_are_ahead_of_each_setting() {
    let first = KEPT.lines().next().unwrap();
    assert!(
        first.contains("spacy 3.") && first.contains("medspacy 1."),
        "{first}"
    );
    let kept = figures(KEPT);
    assert_eq!(kept.len(), 7 * 3, "{kept:?}");
    assert_ahead(&kept);
}

/// `PYTHON` names another interpreter than `python3`.
#[test]
fn the_reading_is_ahead_of_the_phrase_matcher_where_python_has_it() {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = format!(
        "{}/tests/oracles/phrase_matcher.py",
        env!("CARGO_MANIFEST_DIR")
    );
    let run = Command::new(&python)
        .arg(script)
        .env("FIXWORTH", env!("CARGO_BIN_EXE_fixworth"))
        .output();
    let output = match run {
        Ok(output) if output.status.code() == Some(3) => {
            let why = String::from_utf8_lossy(&output.stderr);
            println!("skipped: {python} lacks a package: {}", why.trim());
            return;
        }
        Ok(output) => output,
        Err(error) => {
            println!("skipped: {python} does not run: {error}");
            return;
        }
    };
    let why = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{why}");
    let printed = String::from_utf8_lossy(&output.stdout);
    println!("{printed}");
    assert_ahead(&figures(&printed));
}
