//! Tables that are damaged, or mean no good: a reason, and nothing else.

use std::io::Cursor;
use std::sync::LazyLock;

use fixworth::intake::{self, Options};
use fixworth::lexicon::Lexicon;

use super::make::{Column, ads, table};
use super::mutate::mutate;
use super::program::Folder;
use super::random::Random;
use super::targets::TARGETS;

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

/// The rows of a table, or why there are none.
fn read(bytes: Vec<u8>) -> Result<usize, String> {
    let options = Options::default();
    let rows = intake::Reader::of_stream("t", Cursor::new(bytes), &options, &LEXICON);
    let all: Result<intake::Intake, _> = rows.collect();
    all.map(|all| all.listings.len()).map_err(|e| e.to_string())
}

fn says(bytes: Vec<u8>, words: &str) {
    let problem = read(bytes).unwrap_err();
    assert!(problem.contains(words), "{problem}");
    assert!(problem.starts_with("t: this Parquet table "), "{problem}");
}

/// A table whose index is this.
fn with_index(index: &[u8]) -> Vec<u8> {
    let length = (index.len() as u32).to_le_bytes();
    [b"PAR1", index, &length[..], b"PAR1"].concat()
}

#[test]
fn a_table_cut_anywhere_is_no_table() {
    let whole = ads();
    assert_eq!(read(whole.clone()), Ok(2));
    for end in 4..whole.len() {
        assert!(read(whole[..end].to_vec()).is_err(), "{end}");
    }
    says(whole[..whole.len() - 1].to_vec(), "is cut off");
    says(b"PAR1".to_vec(), "is cut off");
    says(b"PAR1PAR1".to_vec(), "is cut off");
}

#[test]
fn any_byte_may_be_wrong() {
    let whole = ads();
    let mut refused = 0;
    for at in 4..whole.len() {
        for change in [0x01, 0x80, 0xff] {
            let mut bytes = whole.clone();
            bytes[at] ^= change;
            match read(bytes) {
                Ok(rows) => assert!(rows <= 3),
                Err(problem) => {
                    assert!(problem.len() < 1_000, "{problem}");
                    refused += 1;
                }
            }
        }
    }
    assert!(refused > whole.len(), "{refused} of {}", whole.len());
}

#[test]
fn sizes_are_not_believed() {
    let whole = ads();
    // An index longer than the file, and one longer than any.
    let mut bytes = whole.clone();
    let at = bytes.len() - 8;
    bytes[at..at + 4].copy_from_slice(&u32::MAX.to_le_bytes());
    says(bytes, "is cut off");
    says(
        with_index(&vec![0; 17 << 20]),
        "an index of 17 MiB, and 8 is",
    );
    // A page that says it unpacks to 2 GiB less one: in the first header, behind
    // its kind.
    let header = &whole[4..8];
    assert!(header[0] == 0x15 && header[2] == 0x15, "{header:?}");
    let mut bytes = whole.clone();
    bytes.splice(7..14, [0xfe, 0xff, 0xff, 0xff, 0x0f, 0x15, 0x02]);
    let problem = read(bytes).unwrap_err();
    assert!(
        problem.contains("has a page of 2048 MiB in column 'id'"),
        "{problem}"
    );
    // A list of two billion columns, and columns nested without end.
    says(
        with_index(&[0x15, 2, 0x19, 0xfc, 0xff, 0xff, 0xff, 0xff, 0x07]),
        "is damaged",
    );
    let mut nested = vec![0x15, 2, 0x19, 0xfc, 0xe0, 0xd4, 0x03];
    for _ in 0..60_000 {
        nested.extend([0x35, 2, 0x18, 1, b'a', 0x15, 2, 0]);
    }
    says(with_index(&nested), "is damaged");
    says(with_index(&[0xff; 64]), "is damaged");
    // A group of a billion rows, in its own count and in that of the file.
    let same = vec![Some("clutch slips"); 1000];
    let same = table(
        "message m { optional binary text (utf8); }",
        &[Column::Text(same)],
        1,
    );
    let thousand = [0x16, 0xd0, 0x0f];
    let mut bytes = same.clone();
    let found: Vec<usize> = (0..same.len() - 2)
        .filter(|at| same[*at..][..3] == thousand)
        .collect();
    for at in found.iter().rev() {
        bytes.splice(at + 1..at + 3, [0x80, 0xa8, 0xd6, 0xb9, 0x07]);
    }
    let more = found.len() * 3;
    let at = bytes.len() - 8;
    let length = u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) + more as u32;
    bytes[at..at + 4].copy_from_slice(&length.to_le_bytes());
    says(bytes, "more rows than anybody writes");
}

#[test]
fn what_is_no_cell_is_named() {
    let schema = "message ads {
        optional binary title (utf8);
        optional group description (LIST) { repeated group list { optional int32 element; } }
    }";
    let lists = table(schema, &[Column::Text(vec![]), Column::Int32(vec![])], 0);
    says(
        lists.clone(),
        "holds lists in column 'description', which is taken as the text; write it as text, or \
         name another column with --column text=HEADER",
    );
    // Where it is taken for nothing, it harms nothing.
    let folder = Folder::new().with("a.parquet", lists);
    let words = ["read", "a.parquet", "--column", "text=title"];
    assert_eq!(folder.run(&words).ok().out, "");
    let schema = "message ads {
        optional binary text (utf8);
        optional group price { optional double low; }
    }";
    let records = table(schema, &[Column::Text(vec![]), Column::Double(vec![])], 0);
    says(
        records,
        "holds records in column 'price', which is taken as the price",
    );
    let none = table(
        "message ads { optional int32 n; }",
        &[Column::Int32(vec![Some(1)])],
        1,
    );
    let problem = read(none).unwrap_err();
    assert!(
        problem.contains("no column with the text or the headline"),
        "{problem}"
    );
}

#[test]
fn letters_and_lengths_are_looked_at_row_by_row() {
    static LONG: LazyLock<String> = LazyLock::new(|| "x".repeat(intake::MAX_CELL + 1));
    let texts = vec![
        Some(LONG.as_str()),
        Some("clutch\0slips"),
        Some("clutch slips"),
    ];
    let long = table(
        "message m { optional binary text; }",
        &[Column::Text(texts)],
        1,
    );
    let folder = Folder::new().with("a.parquet", long);
    let ran = folder.run(&["read", "a.parquet"]).ok();
    assert_eq!(ran.out.lines().count(), 1);
    assert!(ran.err.contains("line 1: a cell over 1 MiB"), "{}", ran.err);
    assert!(ran.err.contains("line 2: holds a zero byte"), "{}", ran.err);
}

#[test]
fn the_program_tells_of_damage_in_one_line() {
    let mut bytes = ads();
    bytes[4..100].fill(0xff);
    let folder = Folder::new()
        .with("a.parquet", bytes)
        .with("b.parquet", b"PAREshort");
    let ran = folder.run(&["read", "a.parquet"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    assert!(
        ran.err
            .starts_with("fixworth: a.parquet: this Parquet table is damaged (")
    );
    folder.fails(
        &["read", "b.parquet"],
        "b.parquet: this is an encrypted Parquet table; write it without encryption, or export \
         it as CSV",
    );
}

#[test]
fn tables_of_other_writers_changed_in_any_way_do_no_harm() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fuzz/corpus/parquet");
    let entries = std::fs::read_dir(folder).unwrap();
    let mut paths: Vec<_> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert!(paths.len() >= 5);
    let (_, target) = TARGETS.iter().find(|(name, _)| *name == "parquet").unwrap();
    let mut random = Random(5);
    for path in paths {
        let whole = std::fs::read(path).unwrap();
        target(&whole);
        for _ in 0..300 {
            let mut bytes = whole.clone();
            mutate(&mut bytes, &mut random);
            target(&bytes);
        }
    }
}
