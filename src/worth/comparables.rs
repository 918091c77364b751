//! Reading a file of comparables, and choosing what a model is fitted to.

use std::io;
use std::path::{Path, PathBuf};

use super::cells::{self, CellError};
use super::columns::{Cells, Columns};
use super::estimate::Comparable;
use super::model::Origin;
use crate::intake::small_table;
use crate::lexicon::comparable_headers::{ComparableField, ComparableHeaders};
use crate::lexicon::table::first_line;
use crate::units::DistanceUnit;

/// Fewest comparables that a model is fitted to. With fewer the file is not
/// used.
pub const FEWEST_COMPARABLES: usize = 5;

/// A comparables file that cannot be used at all.
#[derive(Debug, thiserror::Error)]
pub enum ComparablesError {
    /// The file cannot be read.
    #[error("{path}: cannot be read: {problem}")]
    Io {
        /// The path as given.
        path: PathBuf,
        /// The system's words.
        problem: io::Error,
    },
    /// A folder was named.
    #[error("{path}: is a folder; name the CSV file of known prices in it")]
    Folder {
        /// The path as given.
        path: PathBuf,
    },
    /// The file has no letter in it.
    #[error("{path}: is empty; a row of column names and a row for each known price are needed")]
    Empty {
        /// The path as given.
        path: PathBuf,
    },
    /// The file is plainly of another kind.
    #[error("{path}: this is {kind}")]
    OtherKind {
        /// The path as given.
        path: PathBuf,
        /// What it is, and how to make a CSV of it.
        kind: &'static str,
    },
    /// The file is no CSV.
    #[error("{path}: not a readable CSV table: {problem}")]
    NotCsv {
        /// The path as given.
        path: PathBuf,
        /// The reader's words.
        problem: csv::Error,
    },
    /// A column that is needed is missing.
    #[error(
        "{path}: no column for '{missing}'; its columns are: {found}. \
         Rename one, or add its header to comparable_headers.csv"
    )]
    NoColumn {
        /// The path as given.
        path: PathBuf,
        /// What is missing.
        missing: &'static str,
        /// The headers that are there.
        found: String,
    },
    /// Two columns say the same thing.
    #[error("{path}: two columns for '{field}': '{first}' and '{second}'; rename or remove one")]
    TwoColumns {
        /// The path as given.
        path: PathBuf,
        /// What both say.
        field: &'static str,
        /// The header that stands first.
        first: String,
        /// The other.
        second: String,
    },
}

/// A row that could not be read in full.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowProblem {
    /// Line of the file, from 1.
    pub line: u64,
    /// The field.
    pub field: &'static str,
    /// What is wrong and what would be right.
    pub problem: String,
    /// Whether the row was left out; otherwise only the cell was.
    pub left_out: bool,
}

impl std::fmt::Display for RowProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let RowProblem { line, field, .. } = self;
        let what = if self.left_out { "row" } else { "cell" };
        write!(f, "line {line}, {field}: {}; {what} left out", self.problem)
    }
}

/// A comparables file as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparablesFile {
    /// The path as given.
    pub path: PathBuf,
    /// The rows that can be used, in order.
    pub rows: Vec<Comparable>,
    /// What could not be read, in order of lines.
    pub problems: Vec<RowProblem>,
}

/// Usual names and class of a car that a file names in its own words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// Usual full name of the make.
    pub make: String,
    /// Usual name of the model.
    pub model: String,
    /// Vehicle class.
    pub class: Option<String>,
}

/// How a comparables file is read.
pub struct ReadOptions<'a> {
    /// Headers and their fields.
    pub headers: &'a ComparableHeaders,
    /// Unit of distances whose column and cell name none.
    pub distance_unit: DistanceUnit,
    /// Usual names and class of a make and a model as written.
    pub names: &'a dyn Fn(&str, &str) -> Named,
}

impl ComparablesFile {
    /// Reads a file. Rows that cannot be used are left out and told in
    /// `problems`; they are no error.
    ///
    /// # Errors
    /// When the file cannot be read, is no CSV, or lacks a column for year,
    /// make or price.
    pub fn read(path: &Path, options: &ReadOptions<'_>) -> Result<Self, ComparablesError> {
        if path.is_dir() {
            return Err(ComparablesError::Folder {
                path: path.to_owned(),
            });
        }
        let bytes = std::fs::read(path).map_err(|problem| ComparablesError::Io {
            path: path.to_owned(),
            problem,
        })?;
        Self::parse(path, &bytes, options)
    }

    /// Reads the bytes of a file; `path` is for messages.
    ///
    /// # Errors
    /// As [`ComparablesFile::read`].
    pub fn parse(
        path: &Path,
        bytes: &[u8],
        options: &ReadOptions<'_>,
    ) -> Result<Self, ComparablesError> {
        let text = small_table(bytes).map_err(|kind| ComparablesError::OtherKind {
            path: path.to_owned(),
            kind,
        })?;
        let bytes = text.as_ref();
        if bytes.trim_ascii().is_empty() {
            return Err(ComparablesError::Empty {
                path: path.to_owned(),
            });
        }
        let not_csv = |problem| ComparablesError::NotCsv {
            path: path.to_owned(),
            problem,
        };
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter(bytes))
            .flexible(true)
            .from_reader(bytes);
        let header = reader.byte_headers().map_err(not_csv)?.clone();
        let columns = Columns::of_header(path, &header, options.headers)?;
        let mut file = ComparablesFile {
            path: path.to_owned(),
            rows: Vec::new(),
            problems: Vec::new(),
        };
        for record in reader.byte_records() {
            let record = record.map_err(not_csv)?;
            if record.iter().all(|cell| cell.trim_ascii().is_empty()) {
                continue;
            }
            let line = record.position().map_or(0, |p| first_line(bytes, p, None));
            file.take(&Cells::new(&columns, &record), line, options);
        }
        Ok(file)
    }

    fn take(&mut self, cells: &Cells<'_>, line: u64, options: &ReadOptions<'_>) {
        let mut note = |field: ComparableField, error: CellError, left_out| {
            self.problems.push(RowProblem {
                line,
                field: field.word(),
                problem: error.to_string(),
                left_out,
            });
        };
        let make = cells.text(ComparableField::Make);
        if make.is_empty() {
            return note(ComparableField::Make, CellError::Empty, true);
        }
        let year = match cells::year(&cells.text(ComparableField::Year)) {
            Ok(year) => year,
            Err(error) => return note(ComparableField::Year, error, true),
        };
        let (text, of_header) = cells.price();
        let price = match cells::price(&text) {
            Ok(price) => price,
            Err(error) => return note(ComparableField::Price, error, true),
        };
        let basis = match cells.some(ComparableField::Basis) {
            None => of_header.unwrap_or_default(),
            Some(text) => match cells::basis(&text) {
                Ok(basis) => basis,
                // A price that may be either would shift the others.
                Err(error) => return note(ComparableField::Basis, error, true),
            },
        };
        let unit = cells.distance_unit().unwrap_or(options.distance_unit);
        let miles = match cells.some(ComparableField::Distance) {
            None => None,
            Some(text) => cells::distance(&text, unit)
                .map_err(|error| note(ComparableField::Distance, error, false))
                .ok(),
        };
        let dated = match cells.some(ComparableField::Date) {
            None => None,
            Some(text) => cells::date(&text)
                .map_err(|error| note(ComparableField::Date, error, false))
                .ok(),
        };
        let named = (options.names)(&make, &cells.text(ComparableField::Model));
        self.rows.push(Comparable {
            make: named.make,
            model: named.model,
            class: named.class,
            year,
            miles,
            price,
            basis,
            dated,
            body: cells.some(ComparableField::Body),
            engine: cells.some(ComparableField::Engine),
        });
    }
}

/// The separator that the header line has most of; a comma where it has none.
fn delimiter(bytes: &[u8]) -> u8 {
    let header = bytes.split(|b| *b == b'\n').next().unwrap_or_default();
    let count = |mark: u8| header.iter().filter(|b| **b == mark).count();
    [b',', b';', b'\t']
        .into_iter()
        .rev()
        .max_by_key(|mark| count(*mark))
        .unwrap_or(b',')
}

/// Why worth rests on less than it could.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WorthWarning {
    /// The file has too few rows.
    #[error(
        "{}: only {usable} rows can be used and at least {FEWEST_COMPARABLES} are needed; \
         the {batch} sound cars of this batch are used instead. Add rows to the file",
        path.display()
    )]
    FileTooSmallBatchUsed {
        /// The comparables file.
        path: PathBuf,
        /// Rows that can be used.
        usable: usize,
        /// Sound cars of the batch.
        batch: usize,
    },
    /// The file has too few rows, and so has the batch.
    #[error(
        "{}: only {usable} rows can be used and at least {FEWEST_COMPARABLES} are needed; \
         the rough curve of worth.csv is used instead. Add rows to the file",
        path.display()
    )]
    FileTooSmallCurveUsed {
        /// The comparables file.
        path: PathBuf,
        /// Rows that can be used.
        usable: usize,
    },
    /// No file, and too few sound cars.
    #[error(
        "no file of comparables, and sound cars in this batch: {batch}, where at least \
         {FEWEST_COMPARABLES} are needed; the rough curve of worth.csv is used. \
         Give known prices with --comparables FILE"
    )]
    NothingToCompare {
        /// Sound cars of the batch.
        batch: usize,
    },
}

/// What a model is to be fitted to.
#[derive(Debug, Clone, PartialEq)]
pub struct Basis<'a> {
    /// The comparables; none where the curve has to serve.
    pub rows: &'a [Comparable],
    /// Where they come from.
    pub origin: Origin,
    /// Why it is not the file, if there was one, or nothing at all.
    pub warning: Option<WorthWarning>,
}

impl<'a> Basis<'a> {
    /// The file if it has rows enough, else the batch's sound cars if they are
    /// enough, else nothing: then the curve serves.
    pub fn choose(file: Option<&'a ComparablesFile>, batch: &'a [Comparable]) -> Self {
        let enough = |rows: &[Comparable]| rows.len() >= FEWEST_COMPARABLES;
        let (rows, origin, warning): (&[Comparable], _, _) = match file {
            Some(file) if enough(&file.rows) => (&file.rows, Origin::File, None),
            Some(file) if enough(batch) => {
                let warning = WorthWarning::FileTooSmallBatchUsed {
                    path: file.path.clone(),
                    usable: file.rows.len(),
                    batch: batch.len(),
                };
                (batch, Origin::Batch, Some(warning))
            }
            Some(file) => {
                let warning = WorthWarning::FileTooSmallCurveUsed {
                    path: file.path.clone(),
                    usable: file.rows.len(),
                };
                (&[], Origin::File, Some(warning))
            }
            None if enough(batch) => (batch, Origin::Batch, None),
            None => {
                let warning = WorthWarning::NothingToCompare { batch: batch.len() };
                (&[], Origin::Batch, Some(warning))
            }
        };
        Basis {
            rows,
            origin,
            warning,
        }
    }
}
