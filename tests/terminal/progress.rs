//! Progress: on a terminal, once a run takes long, and gone in the end.

use std::io::Write as _;
use std::process::Stdio;

use super::program;
use super::pty::Terminal;

/// Ads enough that the reader takes some from a pipe that stays open.
fn ads() -> String {
    let mut text = "id,title,description,price\n".to_owned();
    for n in 0..20_000 {
        text.push_str(&format!("{n},2004 Saab 93,needs a clutch number {n},900\n"));
    }
    text
}

#[test]
fn a_long_run_tells_how_far_it_is_and_takes_the_line_away() {
    let terminal = Terminal::new(80);
    let mut child = program(&["read", "-", "--format", "csv"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(terminal.end())
        .spawn()
        .unwrap();
    let mut pipe = child.stdin.take().unwrap();
    pipe.write_all(ads().as_bytes()).unwrap();
    // As long as the pipe is open the run goes on, however fast the machine.
    let shown = terminal.read_until("a second");
    assert!(shown.contains("\rreading ads: "), "{shown:?}");
    assert!(shown.contains(" rows, "), "{shown:?}");
    drop(pipe);
    let rest = terminal.read();
    assert!(child.wait().unwrap().success());
    assert!(rest.ends_with("\r\u{1b}[K"), "{rest:?}");
    assert!(!rest.contains('\n'), "{rest:?}");
}

#[test]
fn who_wants_quiet_has_it() {
    for (words, term) in [
        (&["read", "-", "--quiet"][..], "xterm"),
        (&["read", "-"], "dumb"),
    ] {
        let terminal = Terminal::new(80);
        let mut child = program(words)
            .env("TERM", term)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(terminal.end())
            .spawn()
            .unwrap();
        let mut pipe = child.stdin.take().unwrap();
        pipe.write_all(ads().as_bytes()).unwrap();
        drop(pipe);
        assert_eq!(terminal.read(), "");
        assert!(child.wait().unwrap().success());
    }
}
