//! Commands run as a reader would type them, in a folder of their own.
#![allow(dead_code)] // Each test uses its part.

use std::path::Path;
use std::process::{Command, Stdio};

/// A folder with files to work on.
pub struct Folder {
    dir: tempfile::TempDir,
}

impl Folder {
    /// A copy of `samples`, its later weeks, and `lexicon`.
    pub fn with_samples() -> Self {
        let dir = tempfile::tempdir().unwrap();
        for name in ["samples", "samples/later", "lexicon"] {
            let (from, to) = (
                Path::new(env!("CARGO_MANIFEST_DIR")).join(name),
                dir.path().join(name),
            );
            std::fs::create_dir(&to).unwrap();
            for entry in std::fs::read_dir(from).unwrap() {
                let path = entry.unwrap().path();
                if path.is_file() {
                    std::fs::copy(&path, to.join(path.file_name().unwrap())).unwrap();
                }
            }
        }
        Folder { dir }
    }

    /// The files that the help texts speak of.
    pub fn with_ads() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
        let ad = |header: &str, id: &str| {
            format!(
                "id,title,{header}\n{id},2009 Toyota Corolla,\"131,000 miles, drives, clutch slips\",1900\n"
            )
        };
        let write = |name: &str, text: &str| std::fs::write(dir.path().join(name), text).unwrap();
        write("ads.csv", &ad("description,price", "7312345678"));
        write("a.csv", &ad("description,price", "1"));
        write("b.csv", &ad("description,price", "2"));
        write("odd.csv", &ad("Words,Cost", "3"));
        write(
            "ledger.csv",
            "id,date,what,code,amount,note\n7312345678,2026-02-23,bought,,850,\n",
        );
        write(
            "findings.csv",
            "id,check,outcome\n7312345678,clutch_bite,bad\n",
        );
        std::fs::create_dir(dir.path().join("boards")).unwrap();
        std::fs::create_dir(dir.path().join("mine")).unwrap();
        write(
            "mine/covers.csv",
            "code,covers,note\noil_leak,leak,the fluid is named\n",
        );
        let labelled = std::fs::read_to_string(samples.join("labelled/practice.jsonl")).unwrap();
        write("labelled.jsonl", labelled.lines().next().unwrap());
        write("boards/coast.csv", &ad("description,price", "4"));
        for (from, to) in [
            ("comparables.csv", "sold.csv"),
            ("profile.toml", "mine.toml"),
        ] {
            std::fs::copy(samples.join(from), dir.path().join(to)).unwrap();
        }
        Folder { dir }
    }

    /// Puts a file there.
    pub fn write(&self, name: &str, text: &str) {
        std::fs::write(self.dir.path().join(name), text).unwrap();
    }

    /// What a command prints; it must succeed.
    #[track_caller]
    pub fn stdout(&self, command: &str) -> String {
        let program = Path::new(env!("CARGO_BIN_EXE_fixworth"));
        let mut path = program.parent().unwrap().as_os_str().to_owned();
        path.push(":");
        path.push(std::env::var_os("PATH").unwrap_or_default());
        let ran = Command::new("sh")
            .args(["-c", command])
            .current_dir(self.dir.path())
            .env("PATH", path)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        assert!(
            ran.status.success(),
            "{command}\n{}",
            String::from_utf8_lossy(&ran.stderr)
        );
        String::from_utf8(ran.stdout).unwrap()
    }

    /// All commands by the help texts, those of commands after them.
    pub fn commands(&self) -> Vec<String> {
        let mut all = commands_in(&self.stdout("fixworth --help"));
        assert!(!all.is_empty());
        let mut next = 0;
        while let Some(command) = all.get(next).cloned() {
            let help = self.stdout(&format!("fixworth {command} --help"));
            let inner = commands_in(&help).into_iter();
            all.extend(inner.map(|c| format!("{command} {c}")));
            next += 1;
        }
        all
    }
}

/// The command with the program under test in the place of a build.
pub fn program(command: &str) -> String {
    command.replace("cargo run --release --", "fixworth")
}

/// The first block of a kind in a section of the README.
pub fn block<'r>(readme: &'r str, section: &str, kind: &str) -> &'r str {
    let section = readme.split_once(&format!("\n## {section}\n")).unwrap().1;
    let section = section.split("\n## ").next().unwrap();
    let rest = section.split_once(&format!("```{kind}\n")).unwrap().1;
    rest.split_once("```").unwrap().0
}

/// The commands that a help text lists.
fn commands_in(help: &str) -> Vec<String> {
    help.lines()
        .skip_while(|l| *l != "Commands:")
        .skip(1)
        .take_while(|l| !l.is_empty())
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .map(str::to_owned)
        .collect()
}
