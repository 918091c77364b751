//! Rows one after the other, as they come: what is written before, between and
//! behind them.

use std::io::{self, Write};

use serde::Serialize;

use super::flat::Column;
#[cfg(feature = "parquet")]
use super::parquet::{Batch, TableColumn, TableWriter};
use super::reading::ReadRow;
#[cfg(feature = "parquet")]
use super::schema::id_of;
use super::{flat, json};

/// A row of which any number can be written.
pub trait Streamed: Serialize + Sized {
    /// Its columns in CSV; with the text of the ad where it is asked for.
    fn columns(with_text: bool) -> Vec<Column<Self>>;

    /// The name of its JSON in [`super::schema::FORMS`].
    const FORM: &'static str;

    /// Its columns in a Parquet table.
    #[cfg(feature = "parquet")]
    fn table(with_text: bool) -> Vec<TableColumn>;
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
    /// A Parquet table.
    #[cfg(feature = "parquet")]
    Parquet {
        /// Whether it has the texts.
        with_text: bool,
    },
}

/// What some rows look like, wherever they stand among the others.
#[derive(Debug)]
pub enum Part {
    /// As text.
    Text(Vec<u8>),
    /// In columns.
    #[cfg(feature = "parquet")]
    Table(Batch),
}

impl ReadForm {
    /// A part with no rows yet.
    pub fn part<R: Streamed>(self) -> Part {
        match self {
            #[cfg(feature = "parquet")]
            ReadForm::Parquet { with_text } => Part::Table(Batch::new(R::table(with_text))),
            _ => Part::Text(Vec::new()),
        }
    }

    /// Adds rows to a part of this form.
    ///
    /// # Errors
    /// When writing fails.
    pub fn render<R: Streamed>(self, rows: &[R], part: &mut Part) -> io::Result<()> {
        match part {
            Part::Text(out) => self.render_text(rows, out),
            #[cfg(feature = "parquet")]
            Part::Table(batch) => rows.iter().try_for_each(|row| batch.push(row)),
        }
    }

    fn render_text<R: Streamed>(self, rows: &[R], out: &mut Vec<u8>) -> io::Result<()> {
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
            #[cfg(feature = "parquet")]
            ReadForm::Parquet { .. } => Err(other_form()),
        }
    }
}

/// A part of another form than the writer's, which is a mistake of ours.
#[cfg(feature = "parquet")]
fn other_form() -> io::Error {
    io::Error::other("rows of another form")
}

/// How a list ends behind its last value.
const LIST_ENDS: &[u8] = b"\n]";

/// Writes rows that were rendered in parts.
pub struct ReadWriter<'o>(Writer<'o>);

enum Writer<'o> {
    Text {
        form: ReadForm,
        out: &'o mut dyn Write,
        any: bool,
    },
    #[cfg(feature = "parquet")]
    Table(Box<TableWriter<'o>>),
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
        match form {
            ReadForm::Lines | ReadForm::List => {}
            ReadForm::Csv { with_text } => {
                // Aside, since writing a header alone pushes it out, and a run
                // that fails before its first ad should say nothing but why.
                let mut header = Vec::new();
                flat::write_header(&mut header, &R::columns(with_text))?;
                out.write_all(&header)?;
            }
            #[cfg(feature = "parquet")]
            ReadForm::Parquet { with_text } => {
                let table = TableWriter::new(out, R::table(with_text), id_of(R::FORM))?;
                return Ok(ReadWriter(Writer::Table(Box::new(table))));
            }
        }
        let any = false;
        Ok(ReadWriter(Writer::Text { form, out, any }))
    }

    /// Writes the next part.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&mut self, part: Part) -> io::Result<()> {
        match (&mut self.0, part) {
            (Writer::Text { form, out, any }, Part::Text(rendered)) => {
                let Some((first, rest)) = rendered.split_first() else {
                    return Ok(());
                };
                let begins = *form == ReadForm::List && !*any;
                *any = true;
                out.write_all(&[if begins { b'[' } else { *first }])?;
                out.write_all(rest)
            }
            #[cfg(feature = "parquet")]
            (Writer::Table(table), Part::Table(batch)) => table.write(batch),
            #[cfg(feature = "parquet")]
            _ => Err(other_form()),
        }
    }

    /// Writes what stands behind all rows.
    ///
    /// # Errors
    /// When writing fails.
    pub fn finish(self) -> io::Result<()> {
        match self.0 {
            Writer::Text {
                form: ReadForm::List,
                out,
                any,
            } => {
                out.write_all(if any { LIST_ENDS } else { b"[]" })?;
                out.write_all(b"\n")
            }
            Writer::Text { .. } => Ok(()),
            #[cfg(feature = "parquet")]
            Writer::Table(table) => table.finish(),
        }
    }
}
