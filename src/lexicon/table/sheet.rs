//! A table in memory, and its rows.

use std::borrow::Cow;
use std::str::FromStr;

use rust_decimal::Decimal;

use super::{LexiconError, first_line};
use crate::units::{Hours, Money, ThreePoint};

/// One table in memory: its name, its header, its rows with their lines. All
/// cells lie end to end in one text.
#[derive(Debug)]
pub struct Sheet {
    file: String,
    header: Vec<String>,
    cells: String,
    /// Where each cell ends, row after row.
    ends: Vec<u32>,
    /// The line of each row.
    lines: Vec<u64>,
}

impl Sheet {
    /// Parses a table. Rows whose cells are all empty, and rows whose first
    /// cell begins with `#`, are notes for the reader and skipped.
    ///
    /// # Errors
    /// When the text is no CSV or a row has another number of cells.
    pub fn parse(file: &str, text: &str) -> Result<Self, LexiconError> {
        Self::parse_delimited(file, text, ',')
    }

    /// The same with another sign between cells; it must be one byte long.
    ///
    /// # Errors
    /// As [`Sheet::parse`].
    pub fn parse_delimited(file: &str, text: &str, delimiter: char) -> Result<Self, LexiconError> {
        let not_csv = |e: csv::Error| LexiconError::NotCsv {
            file: file.to_owned(),
            problem: e.to_string(),
        };
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .delimiter(u8::try_from(delimiter).unwrap_or(b','))
            .from_reader(text.as_bytes());
        let header = reader.headers().map_err(not_csv)?;
        let mut sheet = Sheet {
            file: file.to_owned(),
            header: header.iter().map(|h| h.trim().to_owned()).collect(),
            cells: String::with_capacity(text.len()),
            ends: Vec::new(),
            lines: Vec::new(),
        };
        let mut record = csv::StringRecord::new();
        while reader.read_record(&mut record).map_err(not_csv)? {
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            for cell in &record {
                sheet.cells.push_str(cell.trim());
                sheet.ends.push(sheet.cells.len() as u32);
            }
            let line = record
                .position()
                .map_or(0, |place| first_line(text.as_bytes(), place, Some(b'#')));
            sheet.lines.push(line);
        }
        Ok(sheet)
    }

    /// The table's name, with the folder where it came from one.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// How many columns it has.
    pub fn columns(&self) -> usize {
        self.header.len()
    }

    /// An error of the table as a whole.
    pub fn error(&self, problem: impl Into<String>) -> LexiconError {
        LexiconError::Table {
            file: self.file.clone(),
            problem: problem.into(),
        }
    }

    /// The rows in order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.lines.len()).map(|index| Row { sheet: self, index })
    }
}

/// One row, whose cells are asked for by their column's name.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    sheet: &'a Sheet,
    index: usize,
}

impl<'a> Row<'a> {
    /// The line of the file this row begins on, from 1.
    pub fn line(&self) -> u64 {
        self.sheet.lines[self.index]
    }

    /// The cell's text, trimmed; empty where nothing is said.
    ///
    /// # Errors
    /// When the table has no such column.
    pub fn text(&self, column: &str) -> Result<&'a str, LexiconError> {
        let index = self
            .sheet
            .header
            .iter()
            .position(|h| h == column || h.eq_ignore_ascii_case(column))
            .ok_or_else(|| LexiconError::NoColumn {
                file: self.sheet.file.clone(),
                column: column.to_owned(),
                found: self.sheet.header.join(", "),
            })?;
        let at = self.index * self.sheet.header.len() + index;
        let start = at
            .checked_sub(1)
            .map_or(0, |before| self.sheet.ends[before]);
        Ok(&self.sheet.cells[start as usize..self.sheet.ends[at] as usize])
    }

    /// The cell's text, trimmed, where the table has such a column.
    pub fn optional(&self, column: &str) -> Option<&'a str> {
        self.text(column).ok()
    }

    /// What the cell's word stands for.
    ///
    /// # Errors
    /// When the word is none of these, or the cell is empty or missing.
    pub fn one_of<T: Copy>(
        &self,
        column: &str,
        known: &[(T, &'static str)],
    ) -> Result<T, LexiconError> {
        let word = self.required(column)?;
        let meant = known.iter().find(|(_, w)| *w == word);
        meant.map(|(meant, _)| *meant).ok_or_else(|| {
            let all: Vec<_> = known.iter().map(|(_, w)| *w).collect();
            self.error(column, format!("'{word}' is none of: {}", all.join(", ")))
        })
    }

    /// Whether the cell says `yes`; an empty one does not.
    ///
    /// # Errors
    /// When it says anything else, or the column is missing.
    pub fn marked(&self, column: &'static str) -> Result<bool, LexiconError> {
        match self.text(column)? {
            "" => Ok(false),
            "yes" => Ok(true),
            other => {
                let problem = format!("'{other}' is not yes; leave it empty otherwise");
                Err(self.error(column, problem))
            }
        }
    }

    /// The cell's text, which must not be empty.
    ///
    /// # Errors
    /// When it is empty or the column missing.
    pub fn required(&self, column: &str) -> Result<&'a str, LexiconError> {
        match self.text(column)? {
            "" => Err(self.error(column, "is empty; give a value")),
            text => Ok(text),
        }
    }

    /// The parts of a cell separated by `;`, trimmed, empty ones left out.
    ///
    /// # Errors
    /// When the column is missing.
    pub fn list(
        &self,
        column: &str,
    ) -> Result<impl Iterator<Item = &'a str> + use<'a>, LexiconError> {
        Ok(self
            .text(column)?
            .split(';')
            .map(str::trim)
            .filter(|s| !s.is_empty()))
    }

    /// A value that parses from the cell, or `None` where the cell is empty.
    /// `expected` says in words what would be right.
    ///
    /// # Errors
    /// When the cell holds something else.
    pub fn parsed<T: FromStr>(
        &self,
        column: &str,
        expected: &str,
    ) -> Result<Option<T>, LexiconError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        text.parse()
            .map(Some)
            .map_err(|_| self.error(column, format!("'{text}' is not {expected}")))
    }

    /// An amount from nothing to ten million; empty counts as nothing.
    ///
    /// # Errors
    /// When the cell holds something else.
    pub fn amount(&self, column: &str) -> Result<Decimal, LexiconError> {
        let value: Decimal = self
            .parsed(column, "a number such as 45 or 2.5")?
            .unwrap_or_default();
        if value.is_sign_negative() && !value.is_zero() {
            return Err(self.error(column, format!("{value} is negative; it must be 0 or more")));
        }
        // No figure of this trade is near it, and products of several such
        // figures must stay within what a decimal can hold.
        if value > Decimal::from(10_000_000) {
            return Err(self.error(column, format!("{value} is more than 10,000,000")));
        }
        Ok(value)
    }

    /// Three columns `NAME_low`, `NAME_likely`, `NAME_high` of money.
    ///
    /// # Errors
    /// When one is no amount or they are out of order.
    pub fn money_range(&self, name: &str) -> Result<ThreePoint<Money>, LexiconError> {
        Ok(self.range(name)?.map(Money::new))
    }

    /// Three columns `NAME_low`, `NAME_likely`, `NAME_high` of hours.
    ///
    /// # Errors
    /// When one is no amount or they are out of order.
    pub fn hours_range(&self, name: &str) -> Result<ThreePoint<Hours>, LexiconError> {
        Ok(self.range(name)?.map(Hours::new))
    }

    fn range(&self, name: &str) -> Result<ThreePoint<Decimal>, LexiconError> {
        let low = self.amount(&format!("{name}_low"))?;
        let likely = self.amount(&format!("{name}_likely"))?;
        let high = self.amount(&format!("{name}_high"))?;
        if low <= likely && likely <= high {
            Ok(ThreePoint { low, likely, high })
        } else {
            Err(self.error(
                &format!("{name}_likely"),
                format!("{low}, {likely}, {high} are out of order; give low, likely, high rising"),
            ))
        }
    }

    /// An error at this row's cell.
    pub fn error(&self, column: &str, problem: impl Into<Cow<'static, str>>) -> LexiconError {
        LexiconError::Cell {
            file: self.sheet.file.clone(),
            line: self.line(),
            column: column.to_owned(),
            problem: problem.into().into_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_know_their_line_behind_notes_blank_lines_and_both_line_ends() {
        for end in ["\n", "\r\n"] {
            let text = [
                "a,b",
                "1,2",
                "# note, of",
                "# two lines",
                "",
                "3,\"x",
                "y\"",
                "4,5",
                "",
            ];
            let sheet = Sheet::parse("t.csv", &text.join(end)).unwrap();
            let lines: Vec<_> = sheet.rows().map(|r| r.line()).collect();
            assert_eq!(lines, [2, 6, 8], "{end:?}");
        }
    }
}
