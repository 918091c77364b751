//! Parquet tables in and out: the same readings as from CSV, nothing that a
//! damaged table could bring down, and the same to DuckDB as JSON lines are.
//!
//! Without the feature `parquet` only that is held which a build without it has
//! to say. What needs DuckDB asks `python3`, or what `PYTHON` names, for it, and
//! says so and passes where it is missing.

#[cfg(feature = "parquet")]
#[path = "../fuzz/mutate.rs"]
mod mutate;
#[path = "../program/mod.rs"]
mod program;
#[cfg(feature = "parquet")]
#[path = "../random/mod.rs"]
mod random;
#[cfg(feature = "parquet")]
#[path = "../fuzz/targets.rs"]
mod targets;

#[cfg(not(feature = "parquet"))]
use program::Folder;

#[cfg(not(feature = "parquet"))]
#[test]
fn a_build_without_it_says_how_to_get_one() {
    eprintln!("skipped: Parquet tables, which want '--features parquet'");
    let folder = Folder::new()
        .with("ads.parquet", b"PAR1\x15\x04rest PAR1")
        .with("ads.csv", "id,text,price\n1,clutch slips,900\n");
    folder.fails(
        &["read", "ads.parquet"],
        "ads.parquet: this is a Parquet table, which this build does not read; export it as \
         CSV, or build fixworth with '--features parquet'",
    );
    folder.fails(
        &["read", "ads.csv", "--format", "parquet"],
        "--format: 'parquet' is not known in this build (cargo build --release --features \
         parquet makes one that has it); use one of jsonl, json, csv",
    );
}

#[cfg(feature = "parquet")]
mod columns;
#[cfg(feature = "parquet")]
mod duckdb;
#[cfg(feature = "parquet")]
mod hostile;
#[cfg(feature = "parquet")]
mod make;
#[cfg(all(feature = "parquet", unix))]
#[allow(dead_code)]
#[path = "../terminal/pty.rs"]
mod pty;
#[cfg(feature = "parquet")]
mod round;
#[cfg(all(feature = "parquet", unix))]
#[path = "../readme/shell.rs"]
mod shell;
