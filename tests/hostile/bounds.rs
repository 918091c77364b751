//! A run with bounds on its time and memory, and what must come of it.

use std::fs::{self, File};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

use super::program::{self, Folder};

/// No run may take more of a processor's time or ask for more memory.
const SECONDS: u32 = 10;
const MOST_KIB: usize = 1 << 20;

/// A run that takes longer on any machine stands still.
const LONGEST: Duration = Duration::from_secs(300);

/// Waits for the end, but not for ever.
fn end_of(mut child: Child) -> Option<ExitStatus> {
    let began = Instant::now();
    let mut pause = Duration::from_millis(2);
    loop {
        if let Some(status) = child.try_wait().unwrap() {
            return Some(status);
        }
        if began.elapsed() > LONGEST {
            child.kill().unwrap();
            child.wait().unwrap();
            return None;
        }
        std::thread::sleep(pause);
        pause = (pause * 2).min(Duration::from_millis(50));
    }
}

/// Runs the program, its results into the files `out` and `err`; tells what is
/// wrong with what came of it.
pub fn run(folder: &Folder, words: &str) -> Result<(), String> {
    run_within(SECONDS, folder, words)
}

/// The same with other bounds on the processor's time.
pub fn run_within(seconds: u32, folder: &Folder, words: &str) -> Result<(), String> {
    let file = |name| File::create(folder.path(name)).unwrap();
    let mut command = if cfg!(target_os = "linux") {
        let script = format!(
            "ulimit -v {MOST_KIB}; ulimit -t {seconds}; exec {} {words}",
            program::path()
        );
        let mut shell = Command::new("sh");
        shell.args(["-c", &script]);
        shell.current_dir(folder.path(""));
        shell
    } else {
        folder.command(&words.split(' ').collect::<Vec<_>>())
    };
    command
        .stdin(Stdio::null())
        .stdout(file("out"))
        .stderr(file("err"));
    let status = end_of(command.spawn().unwrap()).ok_or("takes too long")?;
    let err = String::from_utf8_lossy(&fs::read(folder.path("err")).unwrap()).into_owned();
    let code = status.code().ok_or(format!("{status}: {err}"))?;
    let lines_are_ours = err.lines().all(|line| line.starts_with("fixworth: "));
    let acts = |c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c);
    if ![0, 2].contains(&code) || !lines_are_ours || err.contains(acts) {
        return Err(format!("exit code {code}: {err}"));
    }
    let out = fs::read(folder.path("out")).unwrap();
    let out = String::from_utf8(out).map_err(|e| e.to_string())?;
    if code == 2 && (err.is_empty() || !out.is_empty()) {
        return Err(format!(
            "exit code 2 with a result, or without a reason: {err}"
        ));
    }
    if out.contains(acts) {
        return Err("something in the result acts on a terminal".to_owned());
    }
    if words.contains("--format jsonl") || ["read ads.csv", "price ads.csv"].contains(&words) {
        for line in out.lines() {
            serde_json::from_str::<serde_json::Value>(line).map_err(|e| e.to_string())?;
        }
    }
    Ok(())
}
