//! Each target on its corpus and on seeded changes of it, on any toolchain.
//!
//! `FIXWORTH_FUZZ=reading:600 cargo test --test fuzz` does it for ten minutes
//! for one target, with other changes each time it is given another number as
//! `FIXWORTH_SEED`. What fails is written beside the corpus by its hash, so
//! that it is tried for ever after. `DEVELOPERS.md` has the guided search.

mod mutate;
#[path = "../random/mod.rs"]
mod random;
mod targets;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use random::Random;
use targets::TARGETS;

/// Changes of the corpus in a plain run.
const FEW: usize = 400;

fn corpus(target: &str) -> Vec<Vec<u8>> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder(target))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{target} has a corpus");
    files
        .iter()
        .map(|file| std::fs::read(file).unwrap())
        .collect()
}

fn folder(target: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fuzz/corpus")
        .join(target)
}

/// Runs a target; what makes it panic is kept.
fn hold(name: &str, target: fn(&[u8]), bytes: &[u8]) {
    let run = std::panic::AssertUnwindSafe(|| target(bytes));
    if std::panic::catch_unwind(run).is_err() {
        let hash = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
        });
        let file = folder(name).join(format!("{hash:016x}"));
        std::fs::write(&file, bytes).unwrap();
        panic!("{name} fails on {}", file.display());
    }
}

/// One more input: an entry of the corpus changed, perhaps joined to another.
fn next(corpus: &[Vec<u8>], random: &mut Random) -> Vec<u8> {
    let mut bytes = corpus[random.below(corpus.len())].clone();
    if random.below(8) == 0 {
        let other = &corpus[random.below(corpus.len())];
        let (at, from) = (random.below(bytes.len() + 1), random.below(other.len() + 1));
        bytes.truncate(at);
        bytes.extend_from_slice(&other[from..]);
    }
    mutate::mutate(&mut bytes, random);
    bytes
}

#[test]
fn every_target_holds_on_its_corpus_and_on_changes_of_it() {
    for (name, target) in TARGETS {
        let corpus = corpus(name);
        corpus.iter().for_each(|bytes| hold(name, *target, bytes));
        let mut random = Random(1);
        for _ in 0..FEW {
            hold(name, *target, &next(&corpus, &mut random));
        }
    }
}

#[test]
fn as_long_as_asked() {
    let Ok(asked) = std::env::var("FIXWORTH_FUZZ") else {
        return;
    };
    let (wanted, seconds) = asked.split_once(':').expect("TARGET:SECONDS");
    let (name, target) = TARGETS
        .iter()
        .find(|(n, _)| *n == wanted)
        .expect("a target");
    let seed = std::env::var("FIXWORTH_SEED").map_or(2, |seed| seed.parse().unwrap());
    let end = Instant::now() + Duration::from_secs(seconds.parse().unwrap());
    let (corpus, mut random, mut runs) = (corpus(name), Random(seed), 0_u64);
    while Instant::now() < end {
        hold(name, *target, &next(&corpus, &mut random));
        runs += 1;
    }
    eprintln!("{name}: {runs} executions");
}
