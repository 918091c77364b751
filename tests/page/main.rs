//! The page of `shortlist --format html` in a real browser. Where there is no
//! Chromium with its driver the tests that need one say so and pass.

#![cfg(all(feature = "page", unix))]

mod driver;
mod hostile;
mod list;
mod paper;
mod pictures;
mod price;
mod whole;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

/// The sample ads with all that belongs to them.
const SAMPLES: &[&str] = &[
    "samples/harbour-board.csv",
    "samples/valley-swap.csv",
    "samples/depot-list.csv",
    "samples/later/harbour-board-2026-02-14.csv",
    "samples/later/harbour-board-2026-02-21.csv",
    "--comparables",
    "samples/comparables.csv",
    "--profile",
    "samples/profile.toml",
];

/// A page in a folder of its own.
struct Page {
    folder: tempfile::TempDir,
}

impl Page {
    /// The page of these arguments of `shortlist`, run where the samples are.
    fn of(args: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let page = Page { folder };
        let out = Command::new(env!("CARGO_BIN_EXE_fixworth"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .arg("shortlist")
            .args(args)
            .args(["--format", "html", "--out"])
            .arg(page.path())
            .output()
            .unwrap();
        assert!(out.status.success(), "{out:?}");
        page
    }

    /// The page of one file of ads with these texts.
    fn of_ads(csv: &str, args: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let ads = folder.path().join("ads.csv");
        std::fs::write(&ads, csv).unwrap();
        let ads = ads.display().to_string();
        Page::of(&[&[ads.as_str()], args].concat())
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("page.html")
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.path()).unwrap()
    }
}

/// The page of the samples, forty cars, made once.
fn samples() -> &'static Page {
    static PAGE: LazyLock<Page> = LazyLock::new(|| Page::of(&[SAMPLES, &["--top", "40"]].concat()));
    &PAGE
}

/// Fails where the page complained or asked for anything but itself.
fn assert_quiet(browser: &driver::Browser, page: &Path) {
    let complaints = browser.complaints();
    assert!(complaints.is_empty(), "{complaints:#?}");
    let own = format!("file://{}", page.display());
    let others = browser.requests();
    // The browser's own pages come from within it.
    let others = others
        .iter()
        .filter(|u| **u != own && !u.starts_with("chrome://"));
    let others: Vec<_> = others.collect();
    assert!(others.is_empty(), "{others:#?}");
}
