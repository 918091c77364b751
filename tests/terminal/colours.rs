//! Colours: on a terminal, where nothing forbids them, and never instead of
//! words.

use std::process::Command;

use super::pty::on_terminal;
use super::{printed, program};

const LIST: [&str; 4] = ["shortlist", "samples/harbour-board.csv", "--top", "4"];

fn with(more: &[&str]) -> Vec<&'static str> {
    let mut words = LIST.to_vec();
    words.extend(more.iter().map(|w| match *w {
        "--color" => "--color",
        "auto" => "auto",
        "always" => "always",
        _ => "never",
    }));
    words
}

fn coloured(command: &mut Command) -> bool {
    on_terminal(80, command).contains("\u{1b}[")
}

#[test]
fn a_terminal_has_colours_and_a_pipe_has_none() {
    assert!(coloured(&mut program(&LIST)));
    assert!(coloured(&mut program(&with(&["--color", "auto"]))));
    assert!(!coloured(&mut program(&with(&["--color", "never"]))));
    assert!(!printed(&LIST).contains('\u{1b}'));
    assert!(printed(&with(&["--color", "always"])).contains("\u{1b}["));
}

#[test]
fn the_environment_can_forbid_them() {
    assert!(!coloured(program(&LIST).env("NO_COLOR", "1")));
    assert!(!coloured(program(&LIST).env("TERM", "dumb")));
    // An empty one says nothing, and a plain word on the command line more.
    assert!(coloured(program(&LIST).env("NO_COLOR", "")));
    assert!(coloured(
        program(&with(&["--color", "always"])).env("NO_COLOR", "1")
    ));
}

#[test]
fn without_its_colours_a_text_is_the_plain_one() {
    let boards = ["samples/harbour-board.csv", "samples/depot-list.csv"];
    let commands: [&[&str]; 5] = [
        &["shortlist"],
        &["explain", "DL-7092"],
        &["plan", "--budget", "3000"],
        &["call", "DL-7092"],
        &["decide", "DL-7092"],
    ];
    for command in commands {
        for width in ["50", "80"] {
            let mut words = command.to_vec();
            words.extend(boards);
            words.extend(["--width", width]);
            let plain = printed(&words);
            words.extend(["--color", "always"]);
            let painted = printed(&words);
            assert_ne!(painted, plain, "{command:?}");
            assert_eq!(bare(&painted), plain, "{command:?}");
        }
    }
}

/// The text without sequences of colour; any other sequence stays.
fn bare(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("\u{1b}[") {
        out.push_str(&rest[..at]);
        let after = &rest[at + 2..];
        let end = after.find(|c: char| !(c.is_ascii_digit() || c == ';'));
        match end.filter(|end| after[*end..].starts_with('m')) {
            Some(end) => rest = &after[end + 1..],
            None => {
                out.push_str("\u{1b}[");
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}
