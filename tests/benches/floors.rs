//! What any program must do that reads ads: the least that the stages are
//! measured against.

use std::fs::File;
use std::hint::black_box;
use std::io::Read as _;
use std::path::Path;
use std::time::{Duration, Instant};

use aho_corasick::{AhoCorasick, AhoCorasickKind, MatchKind};
use fixworth::lexicon::Lexicon;
use rayon::prelude::*;

/// Reads the bytes of a file, block by block.
pub fn bytes(file: &Path) {
    let mut file = File::open(file).expect("the ads");
    let mut block = vec![0; 256 << 10];
    while file.read(&mut block).expect("the ads") > 0 {
        black_box(&block);
    }
}

/// Takes the records of a file apart.
pub fn records(file: &Path) {
    let mut reader = csv::Reader::from_path(file).expect("the ads");
    let mut record = csv::ByteRecord::new();
    while reader.read_byte_record(&mut record).expect("sound rows") {
        black_box(&record);
    }
}

/// Takes the records apart and looks for all phrases in each, with the threads
/// of the current pool.
pub fn scan(file: &Path, automaton: &AhoCorasick) {
    let mut reader = csv::Reader::from_path(file).expect("the ads");
    let mut found = 0;
    loop {
        let records = reader
            .byte_records()
            .take(4096)
            .map(|r| r.expect("sound rows"));
        let chunk: Vec<_> = records.collect();
        if chunk.is_empty() {
            break;
        }
        found += count(&chunk, automaton);
    }
    black_box(found);
}

fn count(records: &[csv::ByteRecord], automaton: &AhoCorasick) -> usize {
    let in_record = |record: &csv::ByteRecord| {
        let cells = record.iter().map(|cell| automaton.find_iter(cell).count());
        cells.sum::<usize>()
    };
    records.par_iter().with_min_len(128).map(in_record).sum()
}

/// All phrases as automata over raw text: the kind with a table of all steps,
/// and the one that is small enough for caches. The one that is quicker over
/// some of the ads comes first.
pub fn automata(lexicon: &Lexicon, file: &Path) -> [(&'static str, AhoCorasick); 2] {
    let mut reader = csv::Reader::from_path(file).expect("the ads");
    let records = reader
        .byte_records()
        .take(2000)
        .map(|r| r.expect("sound rows"));
    let some: Vec<_> = records.collect();
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a thread");
    let kinds = [
        ("DFA", AhoCorasickKind::DFA),
        ("NFA", AhoCorasickKind::ContiguousNFA),
    ];
    let mut tried = kinds.map(|(name, kind)| {
        let automaton = AhoCorasick::builder()
            .kind(Some(kind))
            .match_kind(MatchKind::LeftmostLongest)
            .ascii_case_insensitive(true)
            .build(lexicon.phrases.spelled().iter().map(|(words, _)| words))
            .expect("an automaton");
        let time = |_| {
            let began = Instant::now();
            one.install(|| black_box(count(&some, &automaton)));
            began.elapsed()
        };
        let best: Duration = (0..5).map(time).min().unwrap_or_default();
        println!(
            "automaton {name}: {} phrases, {} MB, {:.0} ads/s",
            automaton.patterns_len(),
            automaton.memory_usage() / 1_000_000,
            some.len() as f64 / best.as_secs_f64()
        );
        (best, name, automaton)
    });
    tried.sort_by_key(|(best, _, _)| *best);
    tried.map(|(_, name, automaton)| (name, automaton))
}
