//! The ledger as the user keeps it.

use std::path::{Path, PathBuf};

use rust_decimal::Decimal;

use crate::day::Day;
use crate::safe_text::for_terminal;

/// What a row of the ledger is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// The price paid for the car.
    Bought,
    /// Parts and consumables.
    Part,
    /// A tool, which stays when the car goes.
    Tool,
    /// Work that went out.
    Outwork,
    /// Registration, inspection, ads, fetching.
    Fee,
    /// Hours of one's own.
    Hours,
    /// The price that the car brought.
    Sold,
}

impl What {
    /// All kinds with their words.
    pub const ALL: &'static [(What, &'static str)] = &[
        (What::Bought, "bought"),
        (What::Part, "part"),
        (What::Tool, "tool"),
        (What::Outwork, "outwork"),
        (What::Fee, "fee"),
        (What::Hours, "hours"),
        (What::Sold, "sold"),
    ];
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The car, by any id of its ads; none for a tool.
    pub id: Option<String>,
    /// The day.
    pub date: Day,
    /// What it is about.
    pub what: What,
    /// Job or part, where it is of one.
    pub code: Option<String>,
    /// Money, or hours.
    pub amount: Decimal,
    /// The user's own words.
    pub note: String,
    /// The line in the file, from 1.
    pub line: u64,
}

/// All rows in the order of the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Book {
    /// The rows.
    pub entries: Vec<Entry>,
}

/// What is wrong with a file that the user keeps: the ledger or the factors.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// It cannot be read.
    #[error("{}: cannot be read: {problem}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// The system's words.
        problem: std::io::Error,
    },
    /// It is no CSV.
    #[error("{}: {problem}", path.display())]
    Csv {
        /// The file.
        path: PathBuf,
        /// What is wrong, with the line.
        problem: csv::Error,
    },
    /// A column is missing.
    #[error("{}: no column '{column}'; the header should be: {header}", path.display())]
    NoColumn {
        /// The file.
        path: PathBuf,
        /// The column.
        column: &'static str,
        /// All columns.
        header: String,
    },
    /// A cell does not do.
    #[error("{}, line {line}, column '{column}': {problem}", path.display())]
    Cell {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: u64,
        /// The column.
        column: &'static str,
        /// What is wrong and what would be right.
        problem: String,
    },
}

/// The bytes of a file.
pub(super) fn bytes_of(path: &Path) -> Result<Vec<u8>, BookError> {
    std::fs::read(path).map_err(|problem| BookError::Unreadable {
        path: path.to_owned(),
        problem,
    })
}

/// A CSV file whose columns are known by name.
pub(super) struct Sheet {
    path: PathBuf,
    rows: Vec<(u64, Vec<String>)>,
    columns: &'static [&'static str],
}

impl Sheet {
    /// Reads the bytes of a file; its columns may stand in any order, others
    /// are ignored.
    pub fn parse(
        path: &Path,
        bytes: &[u8],
        columns: &'static [&'static str],
    ) -> Result<Self, BookError> {
        // A spreadsheet may put a mark before the header.
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let failed = |problem| BookError::Csv {
            path: path.to_owned(),
            problem,
        };
        let first_line = bytes.split(|b| *b == b'\n').next().unwrap_or_default();
        let delimiter = if first_line.contains(&b';') {
            b';'
        } else {
            b','
        };
        let mut reader = csv::ReaderBuilder::new()
            .trim(csv::Trim::All)
            .comment(Some(b'#'))
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(bytes);
        let header = reader.headers().map_err(failed)?.clone();
        let places: Vec<usize> = columns
            .iter()
            .map(|column| {
                let place = header.iter().position(|h| h.eq_ignore_ascii_case(column));
                place.ok_or_else(|| BookError::NoColumn {
                    path: path.to_owned(),
                    column,
                    header: columns.join(","),
                })
            })
            .collect::<Result<_, _>>()?;
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(failed)?;
            let line = record.position().map_or(0, csv::Position::line);
            let cell = |at: &usize| record.get(*at).unwrap_or_default().to_owned();
            let cells: Vec<String> = places.iter().map(cell).collect();
            if cells.iter().any(|c| !c.is_empty()) {
                rows.push((line, cells));
            }
        }
        Ok(Sheet {
            path: path.to_owned(),
            rows,
            columns,
        })
    }

    /// Calls `take` with each row.
    pub fn rows<T>(
        &self,
        take: impl Fn(&SheetRow<'_>) -> Result<T, BookError>,
    ) -> Result<Vec<T>, BookError> {
        let rows = self.rows.iter().map(|(line, cells)| SheetRow {
            sheet: self,
            line: *line,
            cells,
        });
        rows.map(|row| take(&row)).collect()
    }
}

pub(super) struct SheetRow<'a> {
    sheet: &'a Sheet,
    pub line: u64,
    cells: &'a [String],
}

impl SheetRow<'_> {
    /// The cell of a column; columns are those that the sheet was read with.
    pub fn text(&self, column: &'static str) -> &str {
        let place = self.sheet.columns.iter().position(|c| *c == column);
        place
            .and_then(|p| self.cells.get(p))
            .map_or("", String::as_str)
    }

    pub fn error(&self, column: &'static str, problem: String) -> BookError {
        BookError::Cell {
            path: self.sheet.path.clone(),
            line: self.line,
            column,
            problem,
        }
    }

    /// A figure: digits, one point, perhaps commas between thousands.
    pub fn figure(&self, column: &'static str) -> Result<Decimal, BookError> {
        let text = self.text(column);
        let plain: String = text
            .chars()
            .filter(|c| !matches!(c, ',' | '$' | ' '))
            .collect();
        // Sums of such figures stay within what a decimal can hold.
        const MOST: Decimal = Decimal::from_parts(10_000_000, 0, 0, false, 0);
        let shown = for_terminal(text);
        match plain.parse().ok().filter(|v| *v >= Decimal::ZERO) {
            Some(value) if value <= MOST => Ok(value),
            Some(_) => Err(self.error(column, format!("'{shown}' is more than 10,000,000"))),
            None => {
                let problem = format!("'{shown}' is no figure; write one such as 12.50");
                Err(self.error(column, problem))
            }
        }
    }
}

const COLUMNS: &[&str] = &["id", "date", "what", "code", "amount", "note"];

impl Book {
    /// Reads a ledger.
    ///
    /// # Errors
    /// A file that cannot be read, a column that is missing, a cell that does
    /// not do.
    pub fn read(path: &Path) -> Result<Self, BookError> {
        Self::parse(path, &bytes_of(path)?)
    }

    /// Reads the bytes of a ledger; `path` stands for it in messages.
    ///
    /// # Errors
    /// As [`Book::read`].
    pub fn parse(path: &Path, bytes: &[u8]) -> Result<Self, BookError> {
        let sheet = Sheet::parse(path, bytes, COLUMNS)?;
        let entries = sheet.rows(|row| {
            let word = row.text("what");
            let what = What::ALL.iter().find(|(_, w)| w.eq_ignore_ascii_case(word));
            let (what, _) = what.ok_or_else(|| {
                let all: Vec<_> = What::ALL.iter().map(|(_, w)| *w).collect();
                let shown = for_terminal(word);
                row.error("what", format!("'{shown}' is none of: {}", all.join(", ")))
            })?;
            let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
            let id = some(row.text("id"));
            if id.is_none() && *what != What::Tool {
                let problem = "only a tool needs no car; name the id of one of its ads";
                return Err(row.error("id", problem.to_owned()));
            }
            Ok(Entry {
                id,
                date: row.text("date").parse().map_err(|e| row.error("date", e))?,
                what: *what,
                code: some(row.text("code")),
                amount: row.figure("amount")?,
                note: row.text("note").to_owned(),
                line: row.line,
            })
        })?;
        Ok(Book { entries })
    }
}
