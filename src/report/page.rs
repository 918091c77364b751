//! Paragraphs within a width.

use std::io::{self, Write};

use super::text::{width, wrap};

/// Writes lines within a width, with indents.
pub(super) struct Page<'a> {
    pub(super) out: &'a mut dyn Write,
    pub(super) columns: usize,
}

impl Page<'_> {
    /// A blank line and a heading.
    pub(super) fn head(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.out, "\n{text}")
    }

    /// A paragraph at an indent; lines after the first are set in further.
    pub(super) fn put(&mut self, indent: usize, text: &str) -> io::Result<()> {
        self.hang(&" ".repeat(indent), indent + 2, text)
    }

    /// A paragraph behind a prefix, its later lines set in by `indent`.
    pub(super) fn hang(&mut self, prefix: &str, indent: usize, text: &str) -> io::Result<()> {
        let room = self.columns.saturating_sub(width(prefix).max(indent));
        let mut start = prefix.to_owned();
        for line in wrap(text, room.max(20)) {
            writeln!(self.out, "{start}{line}")?;
            start = " ".repeat(indent);
        }
        Ok(())
    }
}
