//! On the telephone and at the car, from outside: the call, the sheet, the
//! findings, the decision. Pages are compared with those in
//! `tests/golden/kerb`; `GOLDEN=write cargo test --test kerb` writes them anew.

mod decision;
mod defects;
mod hostile;
mod pages;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

use fixworth::lexicon::Lexicon;

pub static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

/// A few ads, enough for every kind of question.
pub const ADS: &str = "\
id,title,text,price,miles,date,place\n\
11,2006 Mazda 3 5 speed,\"Runs and drives, overheats on the hill. My cousin thinks it is the \
thermostat. New battery. Call 555-0142.\",900,141000,2026-01-10,Pellmouth\n\
12,2004 Volvo V70,\"Does not start, has been sitting two years, needs work. Sold for my aunt.\",\
400,,2026-01-11,Tibb\n\
13,2009 Hyundai Elantra,\"Clean title in hand, drives well, automatic, catalytic converter was \
cut off.\",1500,120500,2026-01-12,Marlock\n\
14,2003 Subaru Baja,no price yet,,,2026-01-12,Marlock\n\
15,Hubcaps for Saab,four of them,20,,2026-01-12,Marlock\n";

/// A folder of its own for each test, with the ads in it.
pub struct Folder {
    dir: tempfile::TempDir,
}

impl Folder {
    pub fn with_ads() -> Self {
        let folder = Folder {
            dir: tempfile::tempdir().unwrap(),
        };
        folder.write("ads.csv", ADS);
        folder
    }

    pub fn write(&self, name: &str, content: &str) {
        std::fs::write(self.path(name), content).unwrap();
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Exit code, standard output, standard error.
    pub fn run(&self, line: &str) -> (Option<i32>, String, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_fixworth"))
            .current_dir(self.dir.path())
            .args(line.split_whitespace())
            .output()
            .unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (
            output.status.code(),
            text(output.stdout),
            text(output.stderr),
        )
    }

    /// The output of a run that must end well.
    #[track_caller]
    pub fn page(&self, line: &str) -> String {
        let (code, out, err) = self.run(line);
        assert_eq!(code, Some(0), "fixworth {line}\n{err}");
        out
    }
}

/// Compares a page with the one that is kept.
#[track_caller]
pub fn golden(name: &str, page: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden/kerb")
        .join(name);
    if std::env::var_os("GOLDEN").is_some_and(|v| v == "write") {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, page).unwrap();
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    assert_eq!(page, kept, "{name}; GOLDEN=write writes it anew");
}
