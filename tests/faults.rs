//! What can go wrong around the program: a full disk, a reader that goes away,
//! files that cannot be read or vanish, a kill in the middle, an odd machine.
//! It ends with one clear line, and no file is ever half written.
#![cfg(unix)]

mod program;

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::os::unix::fs::{PermissionsExt as _, symlink};
use std::os::unix::process::ExitStatusExt as _;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use program::{Folder, Ran};

const ADS: &str = "\
id,title,description,price,date
1,2003 Toyota Corolla,\"Runs and drives, 148000 miles, clean title. Head gasket is leaking.\",900,2016-05-03
2,2005 Mazda 3,\"Needs work. As is.\",1500 obo,2016-05-01
3,1999 Saab 9-3,\"Clutch slips, drives, 160k miles. Clean title in hand. 5 speed.\",800 firm,2016-04-30
";

const LEDGER: &str = "id,date,what,code,amount,note\n1,2016-05-04,bought,,700,\n";

const FINDINGS: &str = "id,check,outcome\n1,tread,bad\n";

fn ads() -> Folder {
    Folder::new()
        .with("ads.csv", ADS)
        .with("ledger.csv", LEDGER)
        .with("findings.csv", FINDINGS)
}

/// One line for each command that gives a result.
const RESULTS: &[&str] = &[
    "read ads.csv",
    "read ads.csv --format csv",
    "price ads.csv",
    "read ads.csv --why --id 1",
    "shortlist ads.csv --as-of 2016",
    "shortlist ads.csv --as-of 2016 --format json",
    "explain 1 ads.csv --as-of 2016",
    "call 1 ads.csv --as-of 2016",
    "sheet 1 2 ads.csv --as-of 2016 --format html",
    "decide 1 ads.csv --as-of 2016 --findings findings.csv",
    "plan ads.csv --as-of 2016 --hours 40",
    "ledger ledger.csv ads.csv --as-of 2016",
    "profile",
];

fn words(line: &str) -> Vec<&str> {
    line.split(' ').collect()
}

/// As many rows as wanted, of about 300 bytes each.
fn many(count: usize) -> String {
    let row = "\"Runs and drives, 148000 miles, clean title. The head gasket is leaking and the \
        clutch slips when it is cold. New battery, tires are good. I bought it last year for my \
        daughter who has moved abroad since, and it has stood in the yard over the winter.\"";
    let rows = (0..count).map(|n| format!("{n},2003 Toyota Corolla,{row},900\n"));
    "id,title,description,price\n".to_owned() + &rows.collect::<String>()
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_wherever_the_result_goes() {
    let folder = ads();
    let full = || {
        Stdio::from(
            fs::OpenOptions::new()
                .write(true)
                .open("/dev/full")
                .unwrap(),
        )
    };
    let others = ["--help", "--version", "read --help", "lexicon check"];
    for line in RESULTS.iter().chain(&others) {
        let mut command = folder.command(&words(line));
        let ran = Ran::of(&command.stdout(full()).output().unwrap());
        assert_eq!(ran.code, Some(2), "{line}: {}", ran.err);
        let last = ran.err.lines().last().unwrap();
        let told = "fixworth: standard output: cannot be written: ";
        assert!(last.starts_with(told), "{line}: {last}");
    }
    for line in RESULTS {
        let ran = folder.run(&[words(line), vec!["--out", "/dev/full"]].concat());
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{line}");
        let last = ran.err.lines().last().unwrap();
        let told = "fixworth: /dev/full: cannot be written: ";
        assert!(last.starts_with(told), "{line}: {last}");
    }
    let ran = folder.run(&["read", "ads.csv", "--rejects", "/dev/full"]);
    assert_eq!(ran.code, Some(2));
    let told = "/dev/full: the rejected rows cannot be written: ";
    assert!(ran.err.contains(told), "{}", ran.err);
}

/// A limit on the size of files stops the writing in the middle, as a disk
/// does that fills up.
#[test]
fn a_disk_that_fills_up_in_the_middle_leaves_the_old_file() {
    let folder = ads()
        .with("many.csv", many(400))
        .with("out.jsonl", "old")
        .with("damaged.csv", format!("{ADS}{}", "4,half\n".repeat(4000)));
    let before = folder.names();
    for (line, file) in [
        ("read many.csv --out out.jsonl --force", "out.jsonl"),
        ("read many.csv --format csv --out new.csv", "new.csv"),
        (
            "shortlist many.csv --format json --out new.json",
            "new.json",
        ),
        (
            "read damaged.csv --rejects rejects.csv --out new.json",
            "rejects.csv",
        ),
        ("lexicon export tables", "tables/"),
    ] {
        let script = format!(
            "trap '' XFSZ; ulimit -f 32; exec {} {line}",
            program::path()
        );
        let mut shell = Command::new("sh");
        shell.args(["-c", &script]).current_dir(folder.path(""));
        let ran = Ran::of(&shell.output().unwrap());
        assert_eq!(ran.code, Some(2), "{line}: {}", ran.err);
        let last = ran.err.lines().last().unwrap();
        assert!(last.starts_with(&format!("fixworth: {file}")), "{last}");
        assert!(last.contains("annot be written"), "{last}");
        // Tables that fit are whole, and the one that did not is not there.
        let _ = fs::remove_dir_all(folder.path("tables"));
        assert_eq!(folder.names(), before, "{line}");
        let old = fs::read_to_string(folder.path("out.jsonl")).unwrap();
        assert_eq!(old, "old", "{line}");
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure_of_any_command() {
    let folder = ads();
    for line in RESULTS.iter().chain(&["--help", "lexicon check"]) {
        let mut command = folder.command(&words(line));
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let ran = Ran::of(&child.wait_with_output().unwrap());
        assert_eq!(ran.code, Some(0), "{line}: {}", ran.err);
        assert!(!ran.err.contains("written"), "{line}: {}", ran.err);
    }
}

#[test]
fn a_later_file_that_cannot_be_used_is_told_before_anything_is_written() {
    let folder = ads()
        .with("photo.csv", b"\x89PNG\r\n\x1a\n")
        .with("empty.csv", "")
        .with("prices.csv", "weight,height\n1,2\n")
        .with("folder/ads.csv", ADS)
        .with("secret.csv", ADS);
    symlink("nowhere.csv", folder.path("dangling.csv")).unwrap();
    symlink("ring.csv", folder.path("ring.csv")).unwrap();
    fs::set_permissions(folder.path("secret.csv"), fs::Permissions::from_mode(0o000)).unwrap();
    let mut bad = vec![
        ("photo.csv", "this is a picture"),
        ("empty.csv", "is empty"),
        ("prices.csv", "no column with the text"),
        ("folder", "is a folder"),
        ("dangling.csv", "no such file"),
        ("ring.csv", "no such file"),
        ("missing.csv", "no such file"),
    ];
    if fs::read(folder.path("secret.csv")).is_err() {
        bad.push(("secret.csv", "cannot be read"));
    } else {
        eprintln!("skipped: a file without permissions, since root may read it");
    }
    for (file, why) in bad {
        for line in ["read ads.csv", "shortlist ads.csv --as-of 2016"] {
            let ran = folder.run(&[words(line), vec![file]].concat());
            assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{file}");
            let told = format!("fixworth: {file}: ");
            assert!(ran.err.starts_with(&told), "{file}: {}", ran.err);
            assert!(ran.err.contains(why), "{file}: {}", ran.err);
            assert_eq!(ran.err.lines().count(), 1, "{file}: {}", ran.err);
        }
    }
}

#[test]
fn files_other_than_ads_that_cannot_be_read_are_named() {
    let folder = ads().with("folder/ads.csv", ADS);
    symlink("nowhere.csv", folder.path("dangling.csv")).unwrap();
    for line in [
        "shortlist ads.csv --profile FILE",
        "shortlist ads.csv --comparables FILE",
        "shortlist ads.csv --repairs FILE",
        "decide 1 ads.csv --findings FILE",
        "ledger FILE ads.csv",
        "grade FILE",
        "read ads.csv --lexicon FILE",
    ] {
        for file in ["dangling.csv", "folder"] {
            // A folder is what --lexicon wants, and one without tables is told
            // of its first stranger.
            let line = line.replace("FILE", file);
            let ran = folder.run(&words(&line));
            assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{line}");
            let last = ran.err.lines().last().unwrap();
            assert!(
                last.starts_with(&format!("fixworth: {file}")),
                "{line}: {last}"
            );
        }
    }
}

/// A run that is writing `out.jsonl`, fed enough that it must be in the middle
/// of it: no more than a few of its chunks can wait.
fn in_the_middle(folder: &Folder) -> Child {
    let mut child = folder
        .command(&words("read - --out out.jsonl --force"))
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let input = child.stdin.as_mut().unwrap();
    input.write_all(many(20_000).as_bytes()).unwrap();
    child
}

#[test]
fn a_run_that_is_killed_leaves_no_half_file() {
    const INTERRUPT: i32 = 2;
    const KILL: i32 = 9;
    const TERMINATE: i32 = 15;
    for signal in [INTERRUPT, KILL, TERMINATE] {
        // Who runs in the background of a script is not interrupted, nor are
        // those that it starts.
        if is_ignored(signal) {
            eprintln!("signal {signal} is ignored here: skipped");
            continue;
        }
        let folder = ads().with("out.jsonl", "old");
        let before = folder.names();
        let mut child = in_the_middle(&folder);
        let id = child.id().to_string();
        let mut kill = Command::new("kill");
        let sent = kill.args([&format!("-{signal}"), &id]).status().unwrap();
        assert!(sent.success());
        let status = child.wait().unwrap();
        assert_eq!(status.signal(), Some(signal));
        let old = fs::read_to_string(folder.path("out.jsonl")).unwrap();
        assert_eq!(old, "old");
        let left = folder.names();
        if left != before {
            // Where the file system knows no files without a name.
            eprintln!("signal {signal} left {left:?}");
            let strangers = left.iter().filter(|name| !before.contains(name));
            assert!(
                strangers
                    .clone()
                    .all(|n| n.starts_with('.') && n.ends_with(".part")),
                "{left:?}"
            );
            assert!(!names_are_dispensable(folder.path("").as_path()));
        }
    }
}

/// Whether this process ignores a signal, as far as the system tells.
fn is_ignored(signal: i32) -> bool {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok());
    mask.is_some_and(|mask| mask >> (signal - 1) & 1 == 1)
}

/// Whether files can be made here that have no name.
#[cfg(target_os = "linux")]
fn names_are_dispensable(folder: &Path) -> bool {
    use rustix::fs::{Mode, OFlags};
    rustix::fs::open(folder, OFlags::TMPFILE | OFlags::WRONLY, Mode::RUSR).is_ok()
}

#[cfg(not(target_os = "linux"))]
fn names_are_dispensable(_: &Path) -> bool {
    false
}

#[test]
fn a_file_that_vanishes_during_the_run_ends_it_with_its_name() {
    let folder = ads().with("second.csv", ADS);
    let mut child = folder
        .command(&["read", "-", "second.csv"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut output = BufReader::new(child.stdout.take().unwrap());
    let feed = std::thread::spawn(move || {
        input.write_all(many(20_000).as_bytes()).unwrap();
        input
    });
    // The first line out: the files were looked at, and the second is not
    // opened before all of the first has come.
    let mut first = String::new();
    output.read_line(&mut first).unwrap();
    assert!(first.starts_with('{'), "{first}");
    fs::remove_file(folder.path("second.csv")).unwrap();
    let drain = std::thread::spawn(move || {
        let mut rest = String::new();
        output.read_to_string(&mut rest).unwrap();
        rest
    });
    drop(feed.join().unwrap());
    let ran = Ran::of(&child.wait_with_output().unwrap());
    assert_eq!(ran.code, Some(2));
    assert_eq!(
        ran.err,
        "fixworth: second.csv: no such file; check the name and the folder\n"
    );
    // What came before is whole lines.
    let rest = drain.join().unwrap();
    assert!(rest.lines().all(|l| l.starts_with('{') && l.ends_with('}')));
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_cannot_be_written_is_named() {
    // Permission bits do not bind root; nobody can make a file in /proc.
    let folder = ads();
    for (line, told) in [
        (
            "read ads.csv --out /proc/out.jsonl",
            "/proc/out.jsonl: cannot be written: ",
        ),
        (
            "profile --out /proc/mine.toml",
            "/proc/mine.toml: cannot be written: ",
        ),
        (
            "ledger ledger.csv ads.csv --as-of 2016 --learn /proc/mine.csv",
            "/proc/mine.csv: cannot be written: ",
        ),
        (
            "read ads.csv --rejects /proc/rejects.csv",
            "/proc/rejects.csv: the rejected rows cannot be written: ",
        ),
        (
            "lexicon export /proc/tables",
            "/proc/tables: cannot be written: ",
        ),
        (
            "read ads.csv --out no/such/out.jsonl",
            "no/such/out.jsonl: cannot be written: ",
        ),
        (
            "read ads.csv --out ads.csv/out.jsonl",
            "ads.csv/out.jsonl: cannot be written: ",
        ),
    ] {
        let ran = folder.run(&words(line));
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{line}");
        let last = ran.err.lines().last().unwrap();
        assert!(last.starts_with(&format!("fixworth: {told}")), "{last}");
    }
}

/// Neither the home folder nor the language nor the zone of the machine is
/// asked for.
#[test]
fn nothing_around_the_program_changes_what_it_says() {
    let folder = ads().with(
        "uml.csv",
        "id,title,text\n1,2003 Škoda, Läuft „gut“ – £900\n",
    );
    for line in RESULTS
        .iter()
        .chain(&["read uml.csv --with-text", "lexicon check"])
    {
        let run = |bare: bool, extra: &[(&str, &str)]| {
            let mut command = folder.command(&words(line));
            if bare {
                command.env_clear();
            }
            let out = command.envs(extra.iter().copied()).output().unwrap();
            assert!(out.status.success(), "{line} {extra:?}");
            (out.stdout, out.stderr)
        };
        let usual = run(false, &[]);
        assert!(!usual.0.is_empty(), "{line}");
        for extra in [
            &[][..],
            &[("LC_ALL", "C")],
            &[("LC_ALL", "de_DE.UTF-8"), ("LANG", "tr_TR.UTF-8")],
            &[("HOME", "/nonexistent"), ("TZ", "Pacific/Apia")],
            &[
                ("TMPDIR", "/nonexistent"),
                ("TERM", "dumb"),
                ("COLUMNS", "20"),
            ],
        ] {
            assert!(run(true, extra) == usual, "{line} {extra:?}");
        }
    }
}

/// The date and the time of day are asked for nowhere: a machine whose clock is
/// set back gives what it gave before. Only how long it took is measured, for
/// those who wait, by a clock that cannot be set.
#[test]
fn no_part_of_the_program_knows_the_time_or_the_network() {
    let mut waiting = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut files = 0;
    while let Some(path) = waiting.pop() {
        if path.is_dir() {
            waiting.extend(fs::read_dir(path).unwrap().map(|e| e.unwrap().path()));
            continue;
        }
        files += 1;
        let text = fs::read_to_string(&path).unwrap();
        for word in [
            "SystemTime",
            "UNIX_EPOCH",
            "std::net",
            "TcpStream",
            "UdpSocket",
        ] {
            assert!(!text.contains(word), "{}: {word}", path.display());
        }
    }
    assert!(files > 100, "{files}");
}

#[test]
fn a_megabyte_of_stack_is_enough() {
    let deep = "(".repeat(200_000) + "rust" + &")".repeat(200_000);
    let nested = "<b>".repeat(100_000);
    let list = "no rust, ".repeat(50_000);
    let folder = ads().with(
        "deep.csv",
        format!("id,title,text\n1,2003 Saab,{deep}\n2,2003 Saab,{nested}\n3,x,\"{list}\"\n"),
    );
    for line in RESULTS
        .iter()
        .chain(&["read deep.csv", "shortlist deep.csv --as-of 2016"])
    {
        let script = format!("ulimit -s 1024; exec {} {line}", program::path());
        let mut shell = Command::new("sh");
        shell.args(["-c", &script]).current_dir(folder.path(""));
        shell.env("RUST_MIN_STACK", (1 << 20).to_string());
        let ran = Ran::of(&shell.output().unwrap());
        assert_eq!(ran.code, Some(0), "{line}: {}", ran.err);
        assert!(!ran.out.is_empty(), "{line}");
    }
}

#[test]
fn standard_streams_that_are_closed_do_no_harm() {
    let folder = ads();
    let script = format!(
        "{0} read ads.csv --out out.jsonl >&- 2>&- <&- && {0} read - 2>&- <ads.csv >out.2",
        program::path()
    );
    let mut shell = Command::new("sh");
    shell.args(["-c", &script]).current_dir(folder.path(""));
    assert!(shell.status().unwrap().success());
    let read = |name| fs::read_to_string(folder.path(name)).unwrap();
    assert_eq!(read("out.jsonl").lines().count(), 3);
    assert_eq!(read("out.jsonl"), read("out.2"));
}
