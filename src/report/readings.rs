//! Rows one after the other, as they come: what is written before, between and
//! behind them.

use std::io::{self, Write};

use serde::Serialize;

use super::flat::Column;
use super::reading::ReadRow;
use super::{flat, json};

/// A row of which any number can be written.
pub trait Streamed: Serialize + Sized {
    /// Its columns in CSV; with the text of the ad where it is asked for.
    fn columns(with_text: bool) -> Vec<Column<Self>>;
}

/// The form that rows are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadForm {
    /// One JSON object a line.
    Lines,
    /// One JSON list.
    List,
    /// CSV, lists within a cell separated by `;`.
    Csv {
        /// Whether it has the texts.
        with_text: bool,
    },
}

impl ReadForm {
    /// What some rows look like, wherever they stand among the others.
    ///
    /// # Errors
    /// When writing fails.
    pub fn render<R: Streamed>(self, rows: &[R], out: &mut Vec<u8>) -> io::Result<()> {
        match self {
            ReadForm::Lines => rows.iter().try_for_each(|row| {
                json::write_line(out, row)?;
                out.write_all(b"\n")
            }),
            ReadForm::List => rows.iter().try_for_each(|row| {
                // A list of one is written and its brackets taken off.
                let start = out.len();
                json::write_pretty(out, &[row])?;
                out.truncate(out.len() - LIST_ENDS.len());
                out[start] = b',';
                Ok(())
            }),
            ReadForm::Csv { with_text } => flat::write_rows(out, &R::columns(with_text), rows),
        }
    }

    /// What stands before all rows, or before what [`Self::render`] made of the
    /// first of them.
    fn open<R: Streamed>(self, out: &mut dyn Write) -> io::Result<()> {
        match self {
            ReadForm::Lines | ReadForm::List => Ok(()),
            ReadForm::Csv { with_text } => {
                // Aside, since writing a header alone pushes it out, and a run
                // that fails before its first ad should say nothing but why.
                let mut header = Vec::new();
                flat::write_header(&mut header, &R::columns(with_text))?;
                out.write_all(&header)
            }
        }
    }
}

/// How a list ends behind its last value.
const LIST_ENDS: &[u8] = b"\n]";

/// Writes rows that were rendered in parts.
pub struct ReadWriter<'o> {
    form: ReadForm,
    out: &'o mut dyn Write,
    any: bool,
}

impl<'o> ReadWriter<'o> {
    /// Begins to write readings.
    ///
    /// # Errors
    /// When writing fails.
    pub fn new(form: ReadForm, out: &'o mut dyn Write) -> io::Result<Self> {
        Self::of::<ReadRow<'_>>(form, out)
    }

    /// Begins to write rows of any kind.
    ///
    /// # Errors
    /// When writing fails.
    pub fn of<R: Streamed>(form: ReadForm, out: &'o mut dyn Write) -> io::Result<Self> {
        form.open::<R>(out)?;
        let any = false;
        Ok(ReadWriter { form, out, any })
    }

    /// Writes the next part.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&mut self, rendered: &[u8]) -> io::Result<()> {
        let Some((first, rest)) = rendered.split_first() else {
            return Ok(());
        };
        let begins = self.form == ReadForm::List && !self.any;
        self.any = true;
        self.out.write_all(&[if begins { b'[' } else { *first }])?;
        self.out.write_all(rest)
    }

    /// Writes what stands behind all rows.
    ///
    /// # Errors
    /// When writing fails.
    pub fn finish(self) -> io::Result<()> {
        match self.form {
            ReadForm::List if self.any => {
                self.out.write_all(LIST_ENDS)?;
                self.out.write_all(b"\n")
            }
            ReadForm::List => self.out.write_all(b"[]\n"),
            ReadForm::Lines | ReadForm::Csv { .. } => Ok(()),
        }
    }
}
