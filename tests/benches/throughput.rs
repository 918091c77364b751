//! How fast ads are read, beside what any program must do with them: take the
//! CSV apart, and look once for all phrases.
//!
//! `cargo bench` prints one line for each stage: rows and megabytes in a
//! second, median of the runs, slowest and fastest run behind it. The stages
//! take turns within each round, so that what else the machine does falls on
//! all of them alike. `FIXWORTH_BENCH_ROWS` and `FIXWORTH_BENCH_ROUNDS` set
//! the number of ads (20,000; for the full measure 1,000,000) and of rounds
//! (7); `FIXWORTH_BENCH_FILE` names a CSV file of ads to take in place of made
//! up ones.

mod ads;

use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use aho_corasick::{AhoCorasick, AhoCorasickKind, MatchKind};
use fixworth::cli::{Args, run};
use fixworth::intake::{self, Listing};
use fixworth::lexicon::Lexicon;
use fixworth::reading::Reader;
use fixworth::reading::reader::Scratch;
use fixworth::reading::scan::Scanner;
use fixworth::units::DistanceUnit;
use rayon::prelude::*;

/// One stage: its name, and what it does once.
type Stage<'a> = (&'static str, Box<dyn Fn() + 'a>);

fn main() {
    let rounds = setting("FIXWORTH_BENCH_ROUNDS", 7);
    let lexicon = Lexicon::built_in().expect("the built-in tables are sound");
    circumstances();
    start(rounds);
    let csv = match std::env::var_os("FIXWORTH_BENCH_FILE") {
        Some(file) => std::fs::read(file).expect("a file of ads"),
        None => ads::csv(setting("FIXWORTH_BENCH_ROWS", 20_000), 1, &lexicon),
    };
    if let Some(file) = std::env::var_os("FIXWORTH_BENCH_WRITE") {
        return std::fs::write(file, &csv).expect("room for the ads");
    }
    let folder = tempfile::tempdir().expect("a folder for the ads");
    let file = folder.path().join("ads.csv");
    std::fs::write(&file, &csv).expect("room for the ads");
    let listings = intake_of(&file, &lexicon).listings;
    let rows = listings.len();
    let reader = Reader::new(&lexicon, DistanceUnit::Miles);
    let automaton = automaton(&lexicon);
    let (one, two) = (pool(1), pool(2));
    let stages: [Stage<'_>; 8] = [
        ("csv records", Box::new(|| records(&csv, |_| ()))),
        (
            "csv + one scan",
            Box::new(|| {
                records(&csv, |record| {
                    for cell in record {
                        black_box(automaton.find_iter(cell).count());
                    }
                });
            }),
        ),
        (
            "intake",
            Box::new(|| {
                black_box(intake_of(&file, &lexicon));
            }),
        ),
        (
            "reading, 1 thread",
            Box::new(|| one.install(|| read(&reader, &listings))),
        ),
        (
            "reading, 2 threads",
            Box::new(|| two.install(|| read(&reader, &listings))),
        ),
        (
            "intake + reading, 1 thread",
            Box::new(|| one.install(|| read(&reader, &intake_of(&file, &lexicon).listings))),
        ),
        ("read", Box::new(|| program("read", &file, folder.path()))),
        (
            "shortlist",
            Box::new(|| program("shortlist", &file, folder.path())),
        ),
    ];
    let mut times = vec![Vec::new(); stages.len()];
    for _ in 0..rounds {
        for ((_, stage), times) in stages.iter().zip(&mut times) {
            let began = Instant::now();
            stage();
            times.push(began.elapsed());
        }
    }
    println!(
        "{rows} ads, {} bytes, {rounds} rounds; automaton of {} bytes",
        csv.len(),
        automaton.memory_usage()
    );
    println!(
        "{:27} {:>10} {:>8}   slowest..fastest",
        "", "rows/s", "MB/s"
    );
    for ((name, _), times) in stages.iter().zip(&mut times) {
        times.sort_unstable();
        let rate = |time: Duration| csv.len() as f64 / 1e6 / time.as_secs_f64();
        let median = times[times.len() / 2];
        println!(
            "{name:27} {:>10.0} {:>8.1}   {:.1}..{:.1}",
            rows as f64 / median.as_secs_f64(),
            rate(median),
            rate(times[times.len() - 1]),
            rate(times[0]),
        );
    }
}

/// Prints commit, compiler and machine, as far as they can be found out.
fn circumstances() {
    let said = |program: &str, words: &[&str]| {
        let output = Command::new(program).args(words).output().ok()?;
        let text = String::from_utf8(output.stdout).ok()?;
        Some(text.trim().to_owned()).filter(|t| !t.is_empty())
    };
    let processor = std::fs::read_to_string("/proc/cpuinfo")
        .ok()
        .and_then(|text| {
            let line = text.lines().find(|l| l.starts_with("model name"))?;
            Some(line.split_once(':')?.1.trim().to_owned())
        });
    let unknown = || "unknown".to_owned();
    println!(
        "commit {}, {}, {}, {} threads",
        said("git", &["describe", "--always", "--dirty"]).unwrap_or_else(unknown),
        said("rustc", &["--version"]).unwrap_or_else(unknown),
        processor.unwrap_or_else(unknown),
        std::thread::available_parallelism().map_or(1, usize::from),
    );
}

/// Prints the time from nothing to a reader that is ready.
fn start(rounds: usize) {
    let mut times: Vec<_> = (0..rounds)
        .map(|_| {
            let began = Instant::now();
            let lexicon = Lexicon::built_in().expect("the built-in tables are sound");
            black_box(Reader::new(&lexicon, DistanceUnit::Miles));
            began.elapsed()
        })
        .collect();
    times.sort_unstable();
    let (fastest, slowest) = (times[0], times[times.len() - 1]);
    println!(
        "start to ready: {:.1?} ({slowest:.1?}..{fastest:.1?})",
        times[times.len() / 2]
    );
}

fn setting(name: &str, default: usize) -> usize {
    match std::env::var(name) {
        Ok(value) => value.parse().expect("a whole number"),
        Err(_) => default,
    }
}

fn pool(threads: usize) -> rayon::ThreadPool {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
    pool.build().expect("threads")
}

/// All phrases as an automaton over raw text, the quickest kind there is.
fn automaton(lexicon: &Lexicon) -> AhoCorasick {
    AhoCorasick::builder()
        .kind(Some(AhoCorasickKind::DFA))
        .match_kind(MatchKind::LeftmostLongest)
        .ascii_case_insensitive(true)
        .build(Scanner::new(lexicon).phrases().map(|p| p.words()))
        .expect("an automaton")
}

fn records(csv: &[u8], each: impl Fn(&csv::ByteRecord)) {
    let mut reader = csv::Reader::from_reader(csv);
    let mut record = csv::ByteRecord::new();
    while reader.read_byte_record(&mut record).expect("sound rows") {
        each(black_box(&record));
    }
}

fn intake_of(file: &Path, lexicon: &Lexicon) -> intake::Intake {
    let options = intake::Options::default();
    intake::read_all(&[file.to_owned()], &options, lexicon).expect("a sound file")
}

fn read(reader: &Reader<'_>, listings: &[Listing]) {
    let claims: usize = listings
        .par_iter()
        .map_init(Scratch::default, |scratch, listing| {
            reader.read_with(listing, scratch).claims.len()
        })
        .sum();
    black_box(claims);
}

fn program(command: &str, file: &Path, folder: &Path) {
    let out = folder.join("out");
    let words = [
        "fixworth".as_ref(),
        command.as_ref(),
        file.as_os_str(),
        "--out".as_ref(),
        out.as_os_str(),
    ];
    let args = Args::parse_from_words(words).expect("sound arguments");
    run(args).expect("a sound run");
}
