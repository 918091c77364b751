//! The built program, run in a folder of the test's own.
#![allow(dead_code)] // Each test uses its part.

use std::path::PathBuf;
use std::process::{Command, Output};

/// The program: the one just built, unless `FIXWORTH_PROGRAM` names another.
pub fn path() -> String {
    let built = env!("CARGO_BIN_EXE_fixworth");
    std::env::var("FIXWORTH_PROGRAM").unwrap_or_else(|_| built.to_owned())
}

/// A folder of its own for each test.
pub struct Folder {
    dir: tempfile::TempDir,
}

/// What a run came to.
#[derive(Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Folder {
    pub fn new() -> Self {
        Folder {
            dir: tempfile::tempdir().unwrap(),
        }
    }

    pub fn with(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
        self
    }

    /// The names of the files in it, in order.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.dir.path()).unwrap();
        let names = entries.map(|e| e.unwrap().file_name().into_string().unwrap());
        let mut names: Vec<_> = names.collect();
        names.sort();
        names
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(path());
        command.current_dir(self.dir.path()).args(args);
        command
    }

    pub fn run(&self, args: &[&str]) -> Ran {
        Ran::of(&self.command(args).output().unwrap())
    }

    /// The run must fail with 2, nothing on standard output and this one line.
    #[track_caller]
    pub fn fails(&self, args: &[&str], line: &str) {
        let ran = self.run(args);
        assert_eq!(
            (ran.code, ran.out.as_str(), ran.err.as_str()),
            (Some(2), "", format!("fixworth: {line}\n").as_str()),
            "fixworth {}",
            args.join(" ")
        );
    }
}

impl Ran {
    pub fn of(output: &Output) -> Self {
        Ran {
            code: output.status.code(),
            out: String::from_utf8(output.stdout.clone()).unwrap(),
            err: String::from_utf8(output.stderr.clone()).unwrap(),
        }
    }

    #[track_caller]
    pub fn ok(self) -> Self {
        assert_eq!(self.code, Some(0), "stderr: {}", self.err);
        self
    }
}
