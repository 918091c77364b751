//! Pages to print: they fit on paper, with boxes that can be ticked by hand.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::SAMPLES;
use super::driver::Browser;

/// What a command writes for these cars of the samples.
fn written(folder: &Path, command: &str, ids: &[&str]) -> PathBuf {
    let out = folder.join(format!("{command}.html"));
    let run = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .arg(command)
        .args(ids)
        .args(SAMPLES)
        .args(["--format", "html", "--force", "--out"])
        .arg(&out)
        .output()
        .unwrap();
    assert!(run.status.success(), "{run:?}");
    out
}

/// The pages of a PDF as Chromium writes it, where the tree of pages is plain.
fn pages(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let leaf = |rest: &str| !rest.starts_with('s');
    text.split("/Type /Page")
        .skip(1)
        .filter(|rest| leaf(rest))
        .count()
}

#[test]
fn a_sheet_is_two_pages_and_a_call_is_one() {
    let Some(browser) = Browser::start("paper") else {
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    // Short ads and the wordiest, a car without a price, one with warnings.
    let ids = [
        "40116", "40124", "40126", "DL-7006", "DL-7015", "DL-7092", "40179", "40117",
    ];
    let sheets = written(folder.path(), "sheet", &ids);
    for (width, height) in [(21.0, 29.7), (21.59, 27.94)] {
        browser.open(&sheets);
        let pdf = browser.print_on(width, height);
        assert_eq!(
            pages(&pdf),
            2 * ids.len(),
            "sheets on {width} x {height} cm"
        );
        for id in ids {
            browser.open(&written(folder.path(), "call", &[id]));
            let pdf = browser.print_on(width, height);
            assert_eq!(pages(&pdf), 1, "call of {id} on {width} x {height} cm");
        }
    }
    if let Some(look) = std::env::var_os("LOOK") {
        browser.open(&sheets);
        std::fs::write(Path::new(&look).join("sheets.pdf"), browser.print()).unwrap();
        browser.open(&written(folder.path(), "call", &["40179"]));
        std::fs::write(Path::new(&look).join("call.pdf"), browser.print()).unwrap();
    }
    let complaints = browser.complaints();
    assert!(complaints.is_empty(), "{complaints:?}");
}
