//! The same ads give the same bytes, however many threads work on them and
//! however they are cut into chunks and files.

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use fixworth::cli::{CliError, chunks};
use fixworth::intake::{self, Listing, Options};
use fixworth::lexicon::Lexicon;
use fixworth::reading::Reader;
use fixworth::reading::reader::Scratch;
use fixworth::report::{Part, ReadForm, ReadRow, ReadWriter};
use fixworth::units::DistanceUnit;

const THREADS: [usize; 3] = [1, 2, 7];

/// The sample exports' ads, many times over under other ids.
fn rows(lexicon: &Lexicon) -> Vec<[String; 5]> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    let files = ["harbour-board.csv", "depot-list.csv", "valley-swap.csv"].map(|f| dir.join(f));
    let ads = intake::read_all(&files, &Options::default(), lexicon).unwrap();
    let count = ads.listings.len() * 10;
    let ads = ads.listings.iter().cycle().take(count).zip(1..);
    ads.map(|(ad, n): (&Listing, u32)| {
        [
            n.to_string(),
            ad.headline().to_owned(),
            ad.body().to_owned(),
            ad.price.clone().unwrap_or_default(),
            ad.distance.clone().unwrap_or_default(),
        ]
    })
    .collect()
}

fn as_csv(rows: &[[String; 5]]) -> Vec<u8> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["id", "title", "description", "price", "odometer"])
        .unwrap();
    for row in rows {
        out.write_record(row).unwrap();
    }
    out.into_inner().unwrap()
}

/// Numbers of ads in chunks, from 1 to 300, in no order: those of a linear
/// congruential generator (Knuth, TAOCP 2, 3.3.4, the multiplier of MMIX).
fn shuffled(seed: u64) -> impl Iterator<Item = usize> {
    let mut state = seed;
    std::iter::repeat_with(move || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % 300 + 1
    })
}

#[test]
fn any_number_of_threads_and_any_chunks_give_the_same_readings() {
    let lexicon = Lexicon::built_in().unwrap();
    let csv = as_csv(&rows(&lexicon));
    let reader = Reader::new(&lexicon, DistanceUnit::Miles);
    let options = Options::default();
    let ads = || intake::Reader::of_stream("ads", Cursor::new(csv.clone()), &options, &lexicon);
    for form in [
        ReadForm::Lines,
        ReadForm::List,
        ReadForm::Csv { with_text: true },
        #[cfg(feature = "parquet")]
        ReadForm::Parquet { with_text: true },
    ] {
        let render = |listings: &[Listing], scratch: &mut Scratch, out: &mut Part| {
            for listing in listings {
                let reading = reader.read_with(listing, scratch);
                let row = ReadRow::new(listing, &reading, &lexicon, true);
                form.render(&[row], out).unwrap();
            }
        };
        let mut expected = Vec::new();
        let mut writer = ReadWriter::new(form, &mut expected).unwrap();
        let all: intake::Intake = ads().collect::<Result<_, _>>().unwrap();
        let mut part = form.part::<ReadRow<'_>>();
        render(&all.listings, &mut Scratch::default(), &mut part);
        writer.write(part).unwrap();
        writer.finish().unwrap();
        for threads in THREADS {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
            let pool = pool.build().unwrap();
            for seed in 0..2 {
                let mut parts = Vec::new();
                pool.install(|| {
                    chunks::in_order::<_, CliError>(
                        ads(),
                        shuffled(seed),
                        |listings| {
                            let mut part = form.part::<ReadRow<'_>>();
                            render(&listings, &mut Scratch::default(), &mut part);
                            part
                        },
                        |part| {
                            parts.push(part);
                            Ok(())
                        },
                        |_| Ok(()),
                    )
                })
                .unwrap();
                let mut out = Vec::new();
                let mut writer = ReadWriter::new(form, &mut out).unwrap();
                for part in parts {
                    writer.write(part).unwrap();
                }
                writer.finish().unwrap();
                assert!(out == expected, "{form:?}, {threads} threads, seed {seed}");
            }
        }
        if form == ReadForm::List {
            let list: serde_json::Value = serde_json::from_slice(&expected).unwrap();
            assert_eq!(list.as_array().unwrap().len(), all.listings.len());
        }
    }
}

fn fixworth(dir: &Path, threads: usize, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .current_dir(dir)
        .env("RAYON_NUM_THREADS", threads.to_string())
        .args(words)
        .output()
        .unwrap()
}

#[test]
fn the_program_writes_the_same_for_any_threads_and_any_files() {
    let lexicon = Lexicon::built_in().unwrap();
    let rows = rows(&lexicon);
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, rows: &[[String; 5]]| {
        fs::write(dir.path().join(name), as_csv(rows)).unwrap();
    };
    write("all.csv", &rows);
    let (one, rest) = rows.split_at(rows.len() / 5);
    let (two, three) = rest.split_at(1);
    write("1.csv", one);
    write("2.csv", two);
    write("3.csv", three);
    for words in [
        &["read"][..],
        &["read", "--format", "json"],
        &["read", "--format", "csv", "--with-text"],
        &["price"],
        &["price", "--format", "csv", "--as-of", "2026"],
        &[
            "shortlist",
            "--top",
            "40",
            "--as-of",
            "2026",
            "--format",
            "markdown",
        ],
    ] {
        let run = |threads, files: &[&str]| {
            let out = fixworth(dir.path(), threads, &[words, files].concat());
            assert!(out.status.success(), "{out:?}");
            assert!(!out.stdout.is_empty());
            out.stdout
        };
        let expected = run(1, &["all.csv"]);
        for threads in THREADS {
            assert!(run(threads, &["all.csv"]) == expected, "{words:?}");
            // The shortlist names the files.
            if words[0] != "shortlist" {
                let parts = ["1.csv", "2.csv", "3.csv"];
                assert!(run(threads, &parts) == expected, "{words:?} in parts");
            }
        }
    }
}

/// Three exports a week apart: prices fall, texts lose a sentence, ads go and
/// come, a few with the number of another.
fn weeks(dir: &Path, lexicon: &Lexicon) -> [&'static str; 3] {
    let rows = rows(lexicon);
    let files = [
        "board-2026-02-07.csv",
        "board-2026-02-14.csv",
        "board-2026-02-21.csv",
    ];
    for (week, file) in files.iter().enumerate() {
        let mut out = csv::Writer::from_path(dir.join(file)).unwrap();
        out.write_record(["id", "title", "description", "price", "odometer", "link"])
            .unwrap();
        for (n, row) in rows.iter().step_by(5).enumerate() {
            let [id, title, text, price, miles] = row;
            let (mut id, mut text, mut price) = (id.clone(), text.clone(), price.clone());
            match (n + 3 * week) % 11 {
                0 => continue,
                1 if week > 0 => price = (n % 40 * 50 + 300).to_string(),
                2 if week > 0 => {
                    let at = text.find(". ").map_or(0, |at| at + 2);
                    text.drain(..at);
                }
                3 if week > 0 => id = format!("{}", n % 90),
                _ => {}
            }
            // Every tenth text is told of another car too.
            text.push_str(&format!(" Stock {}.", n / 10));
            let link = match n % 4 {
                0 => format!("https://board.example.org/ad/{n}"),
                _ => String::new(),
            };
            out.write_record([&id, title, &text, &price, miles, &link])
                .unwrap();
        }
        out.flush().unwrap();
    }
    files
}

#[test]
fn a_shortlist_is_the_same_for_any_threads_and_any_part_of_the_whole() {
    let lexicon = Lexicon::built_in().unwrap();
    let dir = tempfile::tempdir().unwrap();
    let files = weeks(dir.path(), &lexicon);
    for words in [
        &["--format", "json"][..],
        &["--format", "csv", "--gone", "--sort", "ceiling"],
        &[
            "--format",
            "jsonl",
            "--since",
            "2026-02-10",
            "--max-price",
            "2500",
        ],
        &["--format", "markdown", "--new"],
    ] {
        let run = |threads, more: &[&str]| {
            let words = [&["shortlist"], words, more, &files].concat();
            let out = fixworth(dir.path(), threads, &words);
            assert!(out.status.success(), "{out:?}");
            (out.stdout, out.stderr)
        };
        let expected = run(1, &[]);
        assert!(expected.0.len() > 2000, "{words:?}");
        for threads in [2, 7] {
            assert!(
                run(threads, &[]) == expected,
                "{words:?}, {threads} threads"
            );
        }
        // The first of all are the first of a few.
        let (few, _) = run(2, &["--top", "5"]);
        if words[1] == "csv" {
            let lines = |bytes: &[u8]| {
                let text = String::from_utf8_lossy(bytes);
                text.lines().map(str::to_owned).collect::<Vec<_>>()
            };
            let (all, few) = (lines(&expected.0), lines(&few));
            assert_eq!(few.len(), 6);
            assert_eq!(all[..6], few);
        }
    }
}

#[test]
fn a_run_that_fails_leaves_no_half_file() {
    let lexicon = Lexicon::built_in().unwrap();
    let dir = tempfile::tempdir().unwrap();
    let ads = dir.path().join("ads.csv");
    fs::write(&ads, as_csv(&rows(&lexicon))).unwrap();
    fs::write(dir.path().join("photo.csv"), b"\x89PNG\r\n\x1a\n").unwrap();
    fs::write(dir.path().join("out.jsonl"), "old").unwrap();
    let words = [
        "read",
        "ads.csv",
        "photo.csv",
        "--out",
        "out.jsonl",
        "--force",
    ];
    let out = fixworth(dir.path(), 2, &words);
    assert_eq!(out.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&out.stderr).contains("photo.csv"));
    let left = fs::read_to_string(dir.path().join("out.jsonl")).unwrap();
    assert_eq!(left, "old");
    let mut names: Vec<PathBuf> = fs::read_dir(dir.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into())
        .collect();
    names.sort();
    assert_eq!(
        names,
        ["ads.csv", "out.jsonl", "photo.csv"].map(PathBuf::from)
    );
}
