//! Paragraphs within a width.

use std::io::{self, Write};

use super::screen::{Ink, Screen};
use super::text::{width, wrap};

/// Words behind a prefix get at least this; where less is left they go below
/// the prefix.
const ROOM_AT_LEAST: usize = 20;

/// Writes lines within a width, with indents.
pub(super) struct Page<'a> {
    pub(super) out: &'a mut dyn Write,
    pub(super) screen: Screen,
}

impl<'a> Page<'a> {
    /// A page for a screen, no wider than is good to read.
    pub(super) fn new(
        out: &'a mut dyn Write,
        screen: impl Into<Screen>,
        widest: usize,
    ) -> Page<'a> {
        Page {
            out,
            screen: screen.into().within(widest),
        }
    }

    /// Columns of the page.
    pub(super) fn columns(&self) -> usize {
        self.screen.columns
    }

    /// A blank line and a heading.
    pub(super) fn head(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.out)?;
        self.title(text)
    }

    /// A heading.
    pub(super) fn title(&mut self, text: &str) -> io::Result<()> {
        for line in wrap(text, self.columns()) {
            writeln!(self.out, "{}", self.screen.paint(Ink::Strong, &line))?;
        }
        Ok(())
    }

    /// A paragraph at an indent; lines after the first are set in further.
    pub(super) fn put(&mut self, indent: usize, text: &str) -> io::Result<()> {
        self.hang(&" ".repeat(indent), indent + 2, text)
    }

    /// The same, its first words in a colour.
    pub(super) fn put_marked(
        &mut self,
        indent: usize,
        (ink, words): (Ink, &str),
        text: &str,
    ) -> io::Result<()> {
        let mut out = Vec::new();
        let mut plain = Page {
            out: &mut out,
            screen: self.screen,
        };
        plain.put(indent, text)?;
        let laid_out = String::from_utf8_lossy(&out);
        let (first, rest) = laid_out.split_once('\n').unwrap_or((&laid_out, ""));
        let first = self.screen.paint_start(ink, words, first);
        write!(self.out, "{first}\n{rest}")
    }

    /// A paragraph behind a prefix, its later lines set in by `indent`. Where
    /// the prefix leaves too little room, the words go below it.
    pub(super) fn hang(&mut self, prefix: &str, indent: usize, text: &str) -> io::Result<()> {
        let taken = width(prefix).max(indent);
        let blank = prefix.trim().is_empty();
        if !blank && taken + ROOM_AT_LEAST > self.columns() && taken + width(text) > self.columns()
        {
            let start = prefix.len() - prefix.trim_start().len();
            self.put(start, prefix.trim())?;
            return self.put(start + 2, text);
        }
        let room = self.columns().saturating_sub(taken).max(ROOM_AT_LEAST / 2);
        let mut start = prefix.to_owned();
        for line in wrap(text, room) {
            writeln!(self.out, "{start}{line}")?;
            start = " ".repeat(indent);
        }
        Ok(())
    }
}
