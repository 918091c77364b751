//! Parquet tables: row after row to cells, as if they had been exported as CSV.
//!
//! The names of a table's columns are its header, and only the columns that
//! hold something are read. What is nested (lists, records) is no cell. A table
//! is read page by page: memory is bounded by a page of each column that is
//! used, and no page may be larger than [`guard::MAX_PAGE`].
//!
//! A table may say anything of itself, and whoever decodes it may trip over
//! that: it is asked through [`guard`] for what it promises, and what trips all
//! the same is caught by [`calm`] and told as damage.

mod calm;
mod cell;
mod guard;
mod problem;
mod sample;
mod skim;

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::sync::Arc;

use memchr::memchr;
use parquet::column::reader::{ColumnReader, get_column_reader};
use parquet::file::metadata::ParquetMetaData;
use parquet::schema::types::SchemaDescriptor;

pub use problem::TableProblem;

use super::IntakeError;
use super::cells::{Cells, MAX_CELL};
use super::columns::Columns;
use super::reject::Reason;
use super::rows::{MAX_ROW, Row};
use crate::lexicon::headers::Field;
use calm::calmly;
use cell::Form;

/// What each table begins and ends with.
const MAGIC: &[u8] = b"PAR1";

/// Bytes of a row that are kept for a reject.
const RAW: usize = 800;

/// Rows for each byte of a file. The same row again takes next to no room, and
/// nothing would ever be heard again of a run over a billion of them.
const MOST_ROWS: u64 = 1 << 10;

/// Whether a file with this beginning is a Parquet table.
pub(super) fn begins(head: &[u8]) -> bool {
    head.starts_with(MAGIC)
}

/// A file that holds what a stream gives: the index of a table stands at its
/// end, so that a stream has to come to its end first.
pub(super) fn kept(head: &[u8], mut rest: impl Read) -> io::Result<File> {
    let mut file = tempfile::tempfile()?;
    file.write_all(head)?;
    io::copy(&mut rest, &mut file)?;
    file.seek(SeekFrom::Start(0))?;
    Ok(file)
}

/// A table, and the row of it that was read last.
pub(super) struct Table {
    name: String,
    file: Arc<File>,
    bytes: u64,
    index: ParquetMetaData,
    names: Vec<String>,
    fields: Vec<Holds>,
    /// The columns that are read.
    used: Vec<Used>,
    readers: Vec<ColumnReader>,
    /// How many groups of rows have been begun.
    group: usize,
    left_in_group: u64,
    row: u64,
    rows: u64,
    texts: Vec<Vec<u8>>,
    cells: Cells,
}

/// What a column of a table holds.
#[derive(Clone, Copy)]
enum Holds {
    /// A value a row: by which leaf of the schema, and how it becomes a cell.
    Values(usize, Form),
    /// Values that are no cell, in words.
    Other(&'static str),
}

#[derive(Clone, Copy)]
struct Used {
    /// Its place in the header.
    at: usize,
    /// Its leaf of the schema.
    leaf: usize,
    form: Form,
}

impl Table {
    /// Reads the index of a table.
    pub fn open(name: &str, file: File) -> Result<Self, IntakeError> {
        let told = |problem| IntakeError::Table {
            file: name.to_owned(),
            problem,
        };
        let (index, bytes) = guard::index(&file).map_err(told)?;
        let schema = index.file_metadata().schema_descr();
        let top = schema.root_schema().get_fields();
        let names: Vec<String> = top.iter().map(|f| f.name().trim().to_owned()).collect();
        let fields = fields(schema);
        let rows = index.row_groups().iter().map(|g| g.num_rows());
        let rows = rows.map(|n| u64::try_from(n).unwrap_or(0));
        let rows = rows.fold(0, u64::saturating_add);
        if rows > bytes.saturating_mul(MOST_ROWS) {
            let what = "more rows than anybody writes in so few bytes";
            return Err(told(TableProblem::Damaged(what.to_owned())));
        }
        Ok(Table {
            name: name.to_owned(),
            file: Arc::new(file),
            bytes,
            texts: vec![Vec::new(); names.len()],
            rows,
            fields,
            names,
            index,
            used: Vec::new(),
            readers: Vec::new(),
            group: 0,
            left_in_group: 0,
            row: 0,
            cells: Cells::default(),
        })
    }

    /// The names of its columns.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// The last row's cells; those of columns that are not read are empty.
    pub fn cells(&self) -> &Cells {
        &self.cells
    }

    /// Settles what is read of each row.
    pub fn read_only(&mut self, columns: &Columns) -> Result<(), IntakeError> {
        for field in Field::ALL {
            let Some(at) = columns.of(field) else {
                continue;
            };
            match self.fields[at] {
                Holds::Values(leaf, form) => self.used.push(Used { at, leaf, form }),
                Holds::Other(what) => {
                    return Err(self.told(TableProblem::NoCells {
                        column: self.names[at].clone(),
                        field,
                        what,
                    }));
                }
            }
        }
        self.used.sort_by_key(|used| used.at);
        Ok(())
    }

    /// The next row.
    pub fn next(&mut self) -> Result<Option<Row>, IntakeError> {
        match self.advance() {
            Ok(broken) => Ok(broken.map(|broken| Row {
                line: self.row,
                broken,
            })),
            Err(problem) => Err(self.told(problem)),
        }
    }

    /// Reads a row; gives why it is damaged, where it is.
    fn advance(&mut self) -> Result<Option<Option<Reason>>, TableProblem> {
        while self.left_in_group == 0 {
            if self.group == self.index.num_row_groups() {
                return Ok(None);
            }
            self.begin_group()?;
        }
        self.left_in_group -= 1;
        self.row += 1;
        for (used, reader) in self.used.iter().zip(&mut self.readers) {
            let text = &mut self.texts[used.at];
            text.clear();
            let column = &self.names[used.at];
            calmly(|| cell::next(reader, used.form, text))
                .map_err(|problem| TableProblem::of(problem, Some(column)))?;
        }
        self.cells.fill(self.texts.iter().map(Vec::as_slice));
        Ok(Some(self.judge()))
    }

    fn begin_group(&mut self) -> Result<(), TableProblem> {
        let group = self.index.row_group(self.group);
        self.group += 1;
        let damaged = |what: &str| TableProblem::Damaged(what.to_owned());
        let rows = u64::try_from(group.num_rows());
        self.left_in_group = rows.map_err(|_| damaged("a group of rows of no size"))?;
        self.readers.clear();
        for used in &self.used {
            let column = &self.names[used.at];
            let chunk = group
                .columns()
                .get(used.leaf)
                .ok_or_else(|| damaged("a group of rows without one of its columns"))?;
            let pages = guard::pages(&self.file, self.bytes, chunk, column)?;
            let reader = calmly(|| Ok(get_column_reader(chunk.column_descr_ptr(), pages)))
                .map_err(|problem| TableProblem::of(problem, Some(column)))?;
            self.readers.push(reader);
        }
        Ok(())
    }

    fn judge(&self) -> Option<Reason> {
        let texts = || self.used.iter().map(|used| &self.texts[used.at]);
        if texts().any(|t| t.len() > MAX_CELL) || texts().map(Vec::len).sum::<usize>() > MAX_ROW {
            return Some(Reason::TooLong);
        }
        if texts().any(|t| memchr(0, t).is_some()) {
            return Some(Reason::ZeroByte);
        }
        let no_letters = texts().any(|t| std::str::from_utf8(t).is_err());
        no_letters.then_some(Reason::NotDecodable)
    }

    /// The beginning of the last row, its cells parted by commas.
    pub fn raw(&self) -> Vec<u8> {
        let mut raw = Vec::new();
        for (i, used) in self.used.iter().enumerate() {
            if i > 0 {
                raw.push(b',');
            }
            let left = RAW.saturating_sub(raw.len());
            let text = &self.texts[used.at];
            raw.extend_from_slice(&text[..text.len().min(left)]);
        }
        raw
    }

    /// About how many bytes of the file the rows so far take.
    pub fn position(&self) -> u64 {
        let share = self.row as f64 / self.rows.max(1) as f64;
        (self.bytes as f64 * share.min(1.0)) as u64
    }

    fn told(&self, problem: TableProblem) -> IntakeError {
        let file = self.name.clone();
        IntakeError::Table { file, problem }
    }
}

/// What each column at the top of a schema holds.
fn fields(schema: &SchemaDescriptor) -> Vec<Holds> {
    let top = schema.root_schema().get_fields();
    let mut fields = vec![Holds::Other("nothing"); top.len()];
    for leaf in 0..schema.num_columns() {
        let column = schema.column(leaf);
        let at = schema.get_column_root_idx(leaf);
        fields[at] = if column.max_rep_level() > 0 {
            Holds::Other("lists")
        } else if column.path().parts().len() > 1 {
            Holds::Other("records")
        } else {
            match Form::of(&column) {
                Ok(form) => Holds::Values(leaf, form),
                Err(what) => Holds::Other(what),
            }
        };
    }
    fields
}
