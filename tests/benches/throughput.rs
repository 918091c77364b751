//! How fast ads are read, beside what any program must do with them: read the
//! bytes, take the CSV apart, and look once for all phrases.
//!
//! `cargo bench` prints one line for each stage: ads and megabytes in a second,
//! median of the rounds, slowest and fastest behind it; processor time for an
//! ad; and how the stage stands to the floor `c`, one scan of the CSV for the
//! same phrases by as many threads. The stages take turns within each round,
//! so that what else the machine does falls on all of them alike; processor
//! time leaves it out. Then the time of 300 ads, and the memory of the program.
//!
//! - `FIXWORTH_BENCH_ROWS`: how many ads (20,000; the full measure 1,000,000).
//! - `FIXWORTH_BENCH_ROUNDS`: how often each stage runs (7).
//! - `FIXWORTH_BENCH_FILE`: a CSV file of ads in place of made-up ones.
//! - `FIXWORTH_BENCH_WRITE`: write the made-up ads to this file, and no more.

mod ads;
mod floors;
mod machine;
#[path = "../random/mod.rs"]
mod random;

use std::cell::RefCell;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use aho_corasick::AhoCorasick;
use fixworth::costing::Estimator;
use fixworth::intake::{self, Item, Listing};
use fixworth::lexicon::Lexicon;
use fixworth::margin::Appraiser;
use fixworth::profile::Profile;
use fixworth::reading::reader::Scratch;
use fixworth::reading::{Reader, Reading};
use fixworth::units::{DistanceUnit, Money, ThreePoint};
use fixworth::worth::{Worth, WorthBasis};
use rayon::prelude::*;

/// Something that is measured.
struct Stage<'a> {
    name: String,
    /// Threads that it may use.
    threads: usize,
    /// Ads that it goes over.
    ads: usize,
    /// Makes ready what the next run uses up; not measured.
    prepare: Box<dyn Fn() + 'a>,
    run: Box<dyn Fn() + 'a>,
}

/// Ads that the stages go over that need all of them in memory.
const HELD: usize = 20_000;

fn main() {
    let rounds = setting("FIXWORTH_BENCH_ROUNDS", 7).max(1);
    let rows = setting("FIXWORTH_BENCH_ROWS", 20_000);
    let lexicon = Lexicon::built_in().expect("the built-in tables are sound");
    if let Some(file) = std::env::var_os("FIXWORTH_BENCH_WRITE") {
        let csv = ads::csv(rows, 1, &lexicon);
        return std::fs::write(file, csv).expect("room for the ads");
    }
    machine::circumstances();
    start(rounds);
    let folder = tempfile::tempdir().expect("a folder for the ads");
    let file = match std::env::var_os("FIXWORTH_BENCH_FILE") {
        Some(file) => PathBuf::from(file),
        None => made_up(folder.path(), "ads.csv", rows, &lexicon),
    };
    speed(&file, folder.path(), &lexicon, rounds);
    few(folder.path(), &lexicon, rounds);
    memory(folder.path(), &file, rows, &lexicon);
}

fn setting(name: &str, default: usize) -> usize {
    match std::env::var(name) {
        Ok(value) => value.parse().expect("a whole number"),
        Err(_) => default,
    }
}

fn made_up(folder: &Path, name: &str, rows: usize, lexicon: &Lexicon) -> PathBuf {
    let file = folder.join(name);
    std::fs::write(&file, ads::csv(rows, 1, lexicon)).expect("room for the ads");
    file
}

/// Prints the time from nothing to a reader that is ready.
fn start(rounds: usize) {
    let times = (0..rounds).map(|_| {
        let began = Instant::now();
        let lexicon = Lexicon::built_in().expect("the built-in tables are sound");
        black_box(Reader::new(&lexicon, DistanceUnit::Miles));
        began.elapsed()
    });
    println!("tables read, reader ready: {}", spread(times.collect()));
}

/// `median (fastest..slowest)`.
fn spread(mut times: Vec<Duration>) -> String {
    times.sort_unstable();
    let (fastest, slowest) = (times[0], times[times.len() - 1]);
    let median = times[times.len() / 2];
    format!("{median:.1?} ({fastest:.1?}..{slowest:.1?})")
}

/// Prints a line for each stage.
fn speed(file: &Path, folder: &Path, lexicon: &Lexicon, rounds: usize) {
    let (ads, listings) = some_of(file, lexicon);
    let held = listings.len();
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let readings: Vec<Reading> = listings.par_iter().map(|l| reader.read(l)).collect();
    let profile = Profile::default();
    let [quicker, slower] = floors::automata(lexicon, file);
    let out = folder.join("out");
    let program = |words: &'static [&'static str], threads| {
        let out = &out;
        move || {
            machine::program(words, file, out, threads);
        }
    };
    let pools = [1, 2].map(|threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().expect("threads")
    });
    // The year only has to be the same in each run.
    let estimator = Estimator::new(lexicon, &profile, 2016);
    let appraiser = Appraiser::new(&profile, lexicon);
    let costed: Vec<_> = readings.iter().take(HELD / 10).collect();
    let costed: Vec<_> = costed
        .into_iter()
        .map(|r| (r.clone(), estimator.cost(r, None)))
        .collect();
    let waiting = RefCell::new(Vec::new());
    let mut stages = vec![
        stage("bytes", 1, ads, || floors::bytes(file)),
        stage("csv records", 1, ads, || floors::records(file)),
    ];
    for (pool, threads) in pools.iter().zip(1..) {
        let c = |name: &str, automaton| {
            let name = format!("{name}: csv + {}", quicker_or(automaton, &quicker, &slower));
            stage(&name, threads, ads, move || {
                pool.install(|| floors::scan(file, automaton));
            })
        };
        stages.extend([
            c("c", &quicker.1),
            c("beside c", &slower.1),
            stage("reading", threads, held, || {
                pool.install(|| read(&reader, &listings));
            }),
            stage("program: read", threads, ads, program(&["read"], threads)),
            stage(
                "program: shortlist",
                threads,
                ads,
                program(&["shortlist", "--top", "50"], threads),
            ),
        ]);
    }
    stages.push(stage("intake", 1, ads, || {
        let options = intake::Options::default();
        let files = [file.to_owned()];
        let reader = intake::Reader::new(&files, &options, lexicon);
        black_box(reader.filter(Result::is_ok).count());
    }));
    stages.push(stage("costing", 1, held, || {
        for reading in &readings {
            black_box(estimator.cost(reading, None));
        }
    }));
    stages.push(Stage {
        prepare: Box::new(|| *waiting.borrow_mut() = costed.clone()),
        ..stage("margin", 1, costed.len(), || {
            for (reading, bill) in waiting.take() {
                black_box(appraiser.appraise(reading, Some(bill), Some(worth())));
            }
        })
    });
    let runs = interleaved(&stages, rounds);
    let bytes = std::fs::metadata(file).map_or(0, |m| m.len());
    lines(&stages, &runs, ads, bytes);
}

/// A line for each stage, of a file of so many ads and bytes.
fn lines(stages: &[Stage<'_>], runs: &[Runs], ads: usize, bytes: u64) {
    let rounds = runs.first().map_or(0, |run| run.times.len());
    println!("{ads} ads, {bytes} bytes, {rounds} rounds");
    println!(
        "{:20} threads {:>9} {:>7}   {:14} {:>7} {:>5} {:>6}",
        "", "ads/s", "MB/s", "slow..fast", "us/ad", "of c", "by cpu"
    );
    let floor = |threads| {
        let of = |s: &Stage<'_>| s.threads == threads && s.name.starts_with("c:");
        stages.iter().position(of)
    };
    for (stage, run) in stages.iter().zip(runs) {
        let share = stage.ads as f64 / ads as f64;
        let rate = |time: Duration| bytes as f64 * share / 1e6 / time.as_secs_f64();
        let times = &run.times;
        let median = times[times.len() / 2];
        let c = floor(stage.threads).map(|at| &runs[at]);
        let of_c = c.map_or(0.0, |c| {
            c.times[times.len() / 2].as_secs_f64() * share / median.as_secs_f64()
        });
        let by_cpu = c.map_or(0.0, |c| {
            c.processor.as_secs_f64() * share / run.processor.as_secs_f64()
        });
        println!(
            "{:20} {:7} {:>9.0} {:>7.1}   {:14} {:>7.1} {of_c:>5.2} {by_cpu:>6.2}",
            stage.name,
            stage.threads,
            stage.ads as f64 / median.as_secs_f64(),
            rate(median),
            format!("{:.1}..{:.1}", rate(times[times.len() - 1]), rate(times[0])),
            run.processor.as_secs_f64() * 1e6 / (rounds * stage.ads) as f64,
        );
    }
}

fn quicker_or<'n>(
    automaton: &AhoCorasick,
    quicker: &(&'n str, AhoCorasick),
    slower: &(&'n str, AhoCorasick),
) -> &'n str {
    match std::ptr::eq(automaton, &quicker.1) {
        true => quicker.0,
        false => slower.0,
    }
}

/// A worth that leaves something to work out; any would do.
fn worth() -> Worth {
    let [low, likely, high] = [1_700, 2_400, 3_200].map(Money::whole);
    Worth {
        right: ThreePoint { low, likely, high },
        title_factor: 1.0,
        floor: Money::whole(250),
        floor_why: String::new(),
        way_out: Money::whole(250),
        way_out_why: String::new(),
        basis: WorthBasis::Curve,
        supposed: Vec::new(),
    }
}

fn stage<'a>(name: &str, threads: usize, ads: usize, run: impl Fn() + 'a) -> Stage<'a> {
    Stage {
        name: name.to_owned(),
        threads,
        ads,
        prepare: Box::new(|| ()),
        run: Box::new(run),
    }
}

/// What the rounds of one stage took.
#[derive(Default)]
struct Runs {
    /// By the clock, sorted.
    times: Vec<Duration>,
    /// Of the processors, all rounds together.
    processor: Duration,
}

fn interleaved(stages: &[Stage<'_>], rounds: usize) -> Vec<Runs> {
    let mut runs: Vec<Runs> = stages.iter().map(|_| Runs::default()).collect();
    for _ in 0..rounds {
        for (stage, run) in stages.iter().zip(&mut runs) {
            (stage.prepare)();
            let (began, used) = (Instant::now(), machine::processor_time());
            (stage.run)();
            run.times.push(began.elapsed());
            let more = machine::processor_time()
                .zip(used)
                .map(|(now, used)| now - used);
            run.processor += more.unwrap_or_default();
        }
    }
    runs.iter_mut().for_each(|run| run.times.sort_unstable());
    runs
}

/// Prints the time of a short file from the start to the printed table.
fn few(folder: &Path, lexicon: &Lexicon, rounds: usize) {
    const FEW: usize = 300;
    let file = made_up(folder, "few.csv", FEW, lexicon);
    let out = folder.join("few.txt");
    let used = machine::processor_time();
    let times = (0..rounds * 3).map(|_| {
        let began = Instant::now();
        machine::program(&["shortlist"], &file, &out, 2);
        began.elapsed()
    });
    let times = spread(times.collect());
    let used = machine::processor_time()
        .zip(used)
        .map(|(now, used)| now - used);
    println!(
        "{FEW} ads to the table: {times}, processors {:.1?}",
        used.unwrap_or_default() / (rounds * 3) as u32
    );
}

/// Prints the memory of the program for ten thousand ads and for all, or for a
/// tenth of fewer.
fn memory(folder: &Path, file: &Path, rows: usize, lexicon: &Lexicon) {
    let out = folder.join("out");
    let few = if rows > 10_000 { 10_000 } else { rows / 10 };
    let sizes = [few, rows];
    let files = [made_up(folder, "tenth.csv", few, lexicon), file.to_owned()];
    for words in [&["read"][..], &["shortlist", "--top", "50"]] {
        let most = files
            .each_ref()
            .map(|file| machine::program(words, file, &out, 2));
        let [Some(few), Some(all)] = most else {
            println!("{}: memory cannot be seen here", words[0]);
            continue;
        };
        println!(
            "{}: at most {:.1} MB for {} ads, {:.1} MB for {}: {:.0} bytes an ad more",
            words[0],
            few as f64 / 1e6,
            sizes[0],
            all as f64 / 1e6,
            sizes[1],
            all.saturating_sub(few) as f64 / (sizes[1] - sizes[0]).max(1) as f64
        );
    }
}

/// How many ads a file has, and the first of them.
fn some_of(file: &Path, lexicon: &Lexicon) -> (usize, Vec<Listing>) {
    let options = intake::Options::default();
    let files = [file.to_owned()];
    let mut held = Vec::new();
    let mut count = 0;
    for item in intake::Reader::new(&files, &options, lexicon) {
        if let Item::Listing(listing) = item.expect("a sound file") {
            count += 1;
            if held.len() < HELD {
                held.push(listing);
            }
        }
    }
    (count, held)
}

fn read(reader: &Reader<'_>, listings: &[Listing]) {
    let claims: usize = listings
        .par_iter()
        .with_min_len(256)
        .map_init(Scratch::default, |scratch, listing| {
            reader.read_with(listing, scratch).claims.len()
        })
        .sum();
    black_box(claims);
}
