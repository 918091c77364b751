//! Input that means harm or has come to harm: any bytes to every stage, and
//! mutated sample files through the built program, which must give a result or
//! one clear line, soon and in little memory.
//!
//! `FIXWORTH_MUTANTS=10000 cargo test --test hostile` tries that many, from
//! the seed `FIXWORTH_SEED` on.

mod bounds;
#[path = "../fuzz/mutate.rs"]
mod mutate;
#[path = "../program/mod.rs"]
mod program;
#[path = "../random/mod.rs"]
mod random;
#[path = "../fuzz/targets.rs"]
mod targets;
mod traps;

use std::fs;
use std::path::{Path, PathBuf};

use bounds::run;
use program::Folder;
use proptest::prelude::*;
use random::Random;
use rayon::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_bytes_make_a_stage_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        targets::TARGETS.iter().for_each(|(_, target)| target(&bytes));
    }

    /// Words that the tables know, in any order, with any signs between them.
    #[test]
    fn no_order_of_known_words_breaks_a_law(
        words in prop::collection::vec(prop::sample::select(WORDS.to_vec()), 0..120),
    ) {
        targets::reading(words.join(" ").as_bytes());
    }
}

const WORDS: &[&str] = &[
    "\n",
    ",",
    ".",
    "!",
    "?",
    ";",
    ":",
    "-",
    "(",
    ")",
    "$",
    "/",
    "and",
    "or",
    "but",
    "no",
    "not",
    "never",
    "without",
    "except",
    "needs",
    "need",
    "new",
    "bad",
    "good",
    "works",
    "replaced",
    "might be",
    "I think",
    "used to",
    "was",
    "is",
    "the",
    "all",
    "both",
    "if",
    "at",
    "in",
    "miles",
    "km",
    "90k",
    "187,xxx",
    "2019",
    "1999",
    "'03",
    "$500",
    "1,850",
    "obo",
    "firm",
    "P0420",
    "Saab 9-3",
    "Saturn SL1",
    "Toyota",
    "head gasket",
    "clutch",
    "brakes",
    "rust",
    "rusty",
    "leaks",
    "oil",
    "check engine light",
    "overheats",
    "will not start",
    "runs and drives",
    "salvage title",
    "clean title",
    "automatic",
    "5 speed",
    "as is",
    "needs work",
    "no check",
    "mechanic special",
    "timing belt",
    "water pump",
    "tires",
    "80%",
    "8/10",
    "first",
    "é",
    "\u{2019}",
    "\u{a0}",
    "½",
    "555-0114",
    "joe@example.com",
    "VIN 1G1ND52J3Y6123456",
    "done",
    "cold",
];

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// A run over files of which one was mutated.
struct Mutant {
    /// Name in the folder and content.
    files: Vec<(String, Vec<u8>)>,
    words: String,
}

const ADS: &[&str] = &[
    "samples/harbour-board.csv",
    "samples/depot-list.csv",
    "samples/valley-swap.csv",
    "samples/later/harbour-board-2026-02-14.csv",
    "samples/later/harbour-board-2026-02-21.csv",
];

/// What is done with a mutated file of ads.
const LINES: &[&str] = &[
    "read ads.csv",
    "read ads.csv --format csv --with-text",
    "read ads.csv --format json --rejects rejects.csv",
    "read ads.csv --why",
    "shortlist ads.csv --as-of 2026 --format jsonl",
    "shortlist ads.csv --rejects rejects.csv",
    "shortlist ads.csv --new --format markdown",
    "plan ads.csv --as-of 2026 --hours 60",
    "shortlist ads.csv good.csv --as-of 2026 --gone --format csv",
    "price ads.csv",
    "lexicon gaps ads.csv --least 1",
];

/// Another mutated file: where it is from, and what is done with it.
const OTHERS: &[(&str, &str)] = &[
    (
        "samples/findings.csv",
        "shortlist good.csv --as-of 2026 --findings FILE",
    ),
    ("samples/ledger.csv", "ledger FILE good.csv --as-of 2026"),
    (
        "samples/comparables.csv",
        "shortlist good.csv --as-of 2026 --comparables FILE",
    ),
    (
        "samples/profile.toml",
        "shortlist good.csv --as-of 2026 --profile FILE",
    ),
    (
        "tests/golden/my-repairs.csv",
        "shortlist good.csv --as-of 2026 --repairs FILE",
    ),
    ("samples/labelled/practice.jsonl", "grade FILE --misses 3"),
];

/// Tables small enough to be read in no time; the others are read too.
const TABLES: &[&str] = &[
    "answers",
    "assumptions",
    "causes",
    "checks",
    "classes",
    "covers",
    "cues",
    "effects",
    "give",
    "light_faults",
    "moving",
    "numbers",
    "parting",
    "parts",
    "plainer",
    "repairs",
    "scrap",
    "shared_work",
    "skills",
    "titles",
    "unknowns",
    "warning_phrases",
    "warnings",
    "worth",
];

impl Mutant {
    fn new(seed: u64) -> Self {
        let mut random = Random(seed);
        let mut pick = |n| random.below(n);
        let good = || fs::read(sample(ADS[0])).unwrap();
        let good: Vec<u8> = lines(&good(), 0, 25);
        let kind = pick(10);
        let (name, from, words) = match kind {
            0..7 => {
                let line = LINES[pick(LINES.len())].to_owned();
                ("ads.csv".to_owned(), ADS[pick(ADS.len())].to_owned(), line)
            }
            7..9 => {
                let (from, line) = OTHERS[pick(OTHERS.len())];
                let name = from.rsplit('/').next().unwrap().to_owned();
                let line = line.replace("FILE", &name);
                (name, from.to_owned(), line)
            }
            _ => {
                let table = TABLES[pick(TABLES.len())];
                let line = "shortlist good.csv --as-of 2026 --lexicon mine".to_owned();
                (
                    format!("mine/{table}.csv"),
                    format!("lexicon/{table}.csv"),
                    line,
                )
            }
        };
        let mut bytes = fs::read(sample(&from)).unwrap();
        // A few rows are as good as many, and sooner done.
        if kind < 7 && pick(4) > 0 {
            bytes = lines(&bytes, pick(40), 20);
        }
        for _ in 0..=pick(3) {
            mutate::mutate(&mut bytes, &mut random);
        }
        let files = vec![(name, bytes), ("good.csv".to_owned(), good)];
        Mutant { files, words }
    }
}

/// The header and some of the lines below it.
fn lines(bytes: &[u8], from: usize, count: usize) -> Vec<u8> {
    let mut all = bytes.split_inclusive(|b| *b == b'\n');
    let mut out = all.next().unwrap_or_default().to_vec();
    out.extend(all.skip(from).take(count).flatten());
    out
}

#[test]
fn mutated_samples_give_a_result_or_a_reason() {
    let count = std::env::var("FIXWORTH_MUTANTS").map_or(300, |n| n.parse().unwrap());
    let first = std::env::var("FIXWORTH_SEED").map_or(0, |n| n.parse().unwrap());
    let failed: Vec<String> = (first..first + count)
        .into_par_iter()
        .filter_map(|seed| {
            let mutant = Mutant::new(seed);
            let files = mutant.files.iter();
            let folder = files.fold(Folder::new(), |folder, (name, bytes)| {
                folder.with(name, bytes)
            });
            let what = run(&folder, &mutant.words).err()?;
            Some(format!("seed {seed}: {}: {what}", mutant.words))
        })
        .collect();
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

/// So may codes in a file of labelled ads.
#[test]
fn a_code_that_no_table_knows_acts_on_no_terminal() {
    let sample = fs::read_to_string(sample("samples/labelled/practice.jsonl")).unwrap();
    let code = "\"head_gasket\"";
    assert!(sample.contains(code));
    let changed = sample.replace(code, "\"gasket\\u0000\\u001b[31m\\u202e\"");
    let folder = Folder::new().with("ads.jsonl", changed);
    run(&folder, "grade ads.jsonl --misses 3").unwrap();
    let out = fs::read_to_string(folder.path("out")).unwrap();
    assert!(out.contains("  gasket"), "{out}");
}

/// An id is what a cell holds, and cells may hold tabs and line breaks.
#[test]
fn an_id_acts_on_no_terminal() {
    let ads = "id,text,price\n\"4029\tG6\",clutch slips,900\n\"4030\nG6\",no start,700\n";
    let folder = Folder::new().with("ads.csv", ads);
    for line in [
        "read ads.csv",
        "price ads.csv",
        "shortlist ads.csv --as-of 2026",
    ] {
        for form in ["csv", "json", "jsonl"] {
            let words = format!("{line} --format {form}");
            let ran = folder.run(&words.split(' ').collect::<Vec<_>>()).ok();
            assert!(ran.out.contains("4029"), "{words}");
            let acts = |c: char| c.is_control() && c != '\n';
            assert!(!ran.out.contains(acts), "{words}: {:?}", ran.out);
            let cells = ran.out.lines().filter(|l| l.starts_with("4029"));
            assert!(
                form != "csv" || line.starts_with("short") || cells.count() == 1,
                "{words}"
            );
        }
    }
}
