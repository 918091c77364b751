//! Rows as a Parquet table, for those who go on with DuckDB, Polars and the
//! like.
//!
//! A column is a key of the same row's JSON, or of an object within it; a list
//! stays a list, a list of objects a list of records, so that nothing has to be
//! taken apart by whoever reads it. Money and hours are doubles, as JSON's
//! numbers are, all other numbers whole ones.
//!
//! Rows are laid out in columns where they are made, by any thread, and written
//! in groups of a size that depends on the rows alone: the same rows give the
//! same bytes.

mod columns;
mod write;

pub use columns::{Batch, Shape, TableColumn};
pub(super) use write::TableWriter;
