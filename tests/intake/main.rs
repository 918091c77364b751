//! Files in, listings and rejects out.

mod columns;
mod damage;
mod files;
mod identity;
mod objects;
mod properties;
mod quotes;
mod shape;

use std::io::Cursor;
use std::path::PathBuf;
use std::sync::LazyLock;

use fixworth::intake::{Intake, IntakeError, Options, Reader, read_all};
use fixworth::lexicon::Lexicon;
use tempfile::TempDir;

/// A folder of the test's own.
struct Folder(TempDir);

impl Folder {
    fn new() -> Self {
        Folder(tempfile::tempdir().unwrap())
    }

    fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.0.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    }
}

fn lexicon() -> &'static Lexicon {
    static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());
    &LEXICON
}

fn options(columns: &[&str]) -> Options {
    Options {
        columns: columns.iter().map(|c| c.parse().unwrap()).collect(),
    }
}

/// Reads files with columns named.
fn read_files(paths: &[PathBuf], columns: &[&str]) -> Result<Intake, IntakeError> {
    read_all(paths, &options(columns), lexicon())
}

/// Reads bytes as the stream `ads.csv`.
fn try_read(bytes: impl AsRef<[u8]>) -> Result<Intake, IntakeError> {
    let stream = Cursor::new(bytes.as_ref().to_vec());
    Reader::of_stream("ads.csv", stream, &Options::default(), lexicon()).collect()
}

fn read(bytes: impl AsRef<[u8]>) -> Intake {
    try_read(bytes).unwrap()
}

/// The bodies of all ads.
fn bodies(intake: &Intake) -> Vec<&str> {
    intake.listings.iter().map(|l| l.body()).collect()
}

/// Line and word of all rejects.
fn rejects(intake: &Intake) -> Vec<(u64, &'static str)> {
    let word = |r: &fixworth::intake::Reject| (r.line, r.reason.word());
    intake.rejects.iter().map(word).collect()
}
