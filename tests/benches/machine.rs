//! What the figures were measured on, and what a stage used of it.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Prints commit, compiler, libraries of the floors and machine, as far as
/// they can be found out.
pub fn circumstances() {
    let said = |program: &str, words: &[&str]| {
        let output = Command::new(program).args(words).output().ok()?;
        let text = String::from_utf8(output.stdout).ok()?;
        Some(text.trim().to_owned()).filter(|t| !t.is_empty())
    };
    let of_proc = |file: &str, key: &str| {
        let text = std::fs::read_to_string(file).ok()?;
        let line = text.lines().find(|l| l.starts_with(key))?;
        Some(line.split_once(':')?.1.trim().to_owned())
    };
    let unknown = || "unknown".to_owned();
    println!(
        "commit {}, {}, {}",
        said("git", &["describe", "--always", "--dirty"]).unwrap_or_else(unknown),
        said("rustc", &["--version"]).unwrap_or_else(unknown),
        versions(&["csv", "aho-corasick", "rayon"]),
    );
    println!(
        "{}, {} threads, {}, {}, load {}",
        of_proc("/proc/cpuinfo", "model name").unwrap_or_else(unknown),
        std::thread::available_parallelism().map_or(1, usize::from),
        of_proc("/proc/meminfo", "MemTotal").unwrap_or_else(unknown),
        said("uname", &["-sr"]).unwrap_or_else(unknown),
        std::fs::read_to_string("/proc/loadavg").map_or_else(
            |_| unknown(),
            |load| load.split(' ').next().unwrap_or_default().to_owned()
        ),
    );
}

/// The versions of crates by the lock file.
fn versions(crates: &[&str]) -> String {
    let lock = include_str!("../../Cargo.lock");
    let version = |name: &&str| {
        let mut lines = lock.lines();
        let named = format!("name = \"{name}\"");
        lines.find(|l| **l == named)?;
        let version = lines.next()?.strip_prefix("version = ")?;
        Some(format!("{name} {}", version.trim_matches('"')))
    };
    let found: Vec<_> = crates.iter().filter_map(version).collect();
    found.join(", ")
}

/// Processor time that this program and what it started have used so far, to
/// a hundredth of a second: unlike the clock's it does not count what else the
/// machine does. None where there is no /proc.
pub fn processor_time() -> Option<Duration> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    // Behind the name in brackets: utime, stime, cutime, cstime are the fields
    // 14 to 17 of proc(5); the name is field 2. A tick is 10 ms on Linux.
    let fields = stat.rsplit_once(") ")?.1.split(' ');
    let ticks: u64 = fields
        .skip(11)
        .take(4)
        .filter_map(|f| f.parse::<u64>().ok())
        .sum();
    Some(Duration::from_millis(ticks * 10))
}

/// Runs the built program, its result going to a file, and gives back the most
/// memory it held at a time, in bytes; none where that cannot be seen.
pub fn program(words: &[&str], file: &Path, out: &Path, threads: usize) -> Option<u64> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .args(words)
        .arg(file)
        .arg("--out")
        .arg(out)
        .arg("--force")
        .env("RAYON_NUM_THREADS", threads.to_string())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let status = format!("/proc/{}/status", child.id());
    let mut most = None;
    loop {
        // The high-water mark of resident memory; gone once the program ends,
        // so the last look counts.
        if let Ok(text) = std::fs::read_to_string(&status)
            && let Some(line) = text.lines().find(|l| l.starts_with("VmHWM:"))
        {
            let kib: Option<u64> = line.split_whitespace().nth(1).and_then(|n| n.parse().ok());
            most = kib.map(|kib| kib << 10).or(most);
        }
        if let Some(ended) = child.try_wait().expect("the program can be waited for") {
            assert!(ended.success(), "{words:?}: {ended}");
            return most;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
}
