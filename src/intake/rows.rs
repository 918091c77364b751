//! A stream of bytes as rows, with a way back where a quote breaks the file.
//!
//! A row is first split by RFC 4180. Where that fails, or gives another number
//! of cells than the header has, or swallows lines that are rows themselves,
//! the lines are looked at one by one: the search goes on to the next line
//! that is a row by itself, and what stands before it is read leniently (a
//! quote closes a cell only where a cell can end; a quote never closed is a
//! letter). Only what no reading makes whole is rejected, and the next line
//! begins afresh, so a stray quote costs at most its own row.
//!
//! Memory is bounded by [`MAX_ROW`] and a block: a longer line is skipped
//! without being kept.

use std::io;
use std::ops::Range;

use memchr::{memchr, memchr_iter};

use super::cells::{Cells, Format, MAX_CELL, Strict, Unclosed, is_blank, lenient, strict};
use super::input::Input;
use super::reject::Reason;

/// No row may be longer than this many bytes (4 MiB).
pub const MAX_ROW: usize = 4 << 20;

/// Bytes read at a time.
const BLOCK: usize = 256 << 10;

/// Bytes of a row that are kept for a reject: 200 characters of UTF-8.
const RAW: usize = 800;

/// The rows of one file.
pub(super) struct Rows {
    input: Input,
    buffer: Vec<u8>,
    /// Where in `buffer` the next row begins.
    start: usize,
    at_end: bool,
    /// The line of the file at `start`, from 1.
    line: u64,
    format: Format,
    /// The number of cells in the header.
    expected: usize,
    pub cells: Cells,
    /// For trying a split without losing `cells`.
    trial: Cells,
    last: Range<usize>,
    kept: Vec<u8>,
}

/// One row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Row {
    /// The line it begins on, from 1.
    pub line: u64,
    /// Why it cannot be read; `None` where `cells` holds it.
    pub broken: Option<Reason>,
}

impl Rows {
    /// Reads the first block.
    pub fn new(input: Input) -> io::Result<Self> {
        let mut rows = Rows {
            input,
            buffer: Vec::new(),
            start: 0,
            at_end: false,
            line: 1,
            format: Format {
                delimiter: b',',
                newline: b'\n',
            },
            expected: 0,
            cells: Cells::default(),
            trial: Cells::default(),
            last: 0..0,
            kept: Vec::new(),
        };
        rows.fill()?;
        Ok(rows)
    }

    /// What has been read and not yet given out, and whether it is all.
    pub fn window(&self) -> (&[u8], bool) {
        (&self.buffer[self.start..], self.at_end)
    }

    /// How the file is divided, found from the window.
    pub fn set_format(&mut self, format: Format) {
        self.format = format;
    }

    /// The number of cells a row should have.
    pub fn set_expected(&mut self, cells: usize) {
        self.expected = cells;
    }

    /// The encoding that the head of the file showed.
    pub fn encoding(&self) -> super::encoding::Encoding {
        self.input.encoding
    }

    /// Passes over the first bytes of the window.
    pub fn skip(&mut self, len: usize) {
        self.take(len);
    }

    /// Splits the header into `cells`; `false` where there is none.
    pub fn header(&mut self) -> io::Result<bool> {
        loop {
            let (line_end, whole) = self.first_line();
            if !whole && line_end <= MAX_ROW {
                self.fill()?;
                continue;
            }
            let Rows { cells, buffer, .. } = self;
            let window = &buffer[self.start..];
            if window.is_empty() {
                return Ok(false);
            }
            if is_blank(&window[..line_end]) {
                self.take(line_end);
                continue;
            }
            let len = match strict(window, self.at_end, self.format, cells) {
                Strict::Row { len } => len,
                // Headers are short: one that goes on beyond the window has a
                // quote that is never closed.
                Strict::Stray | Strict::Unclosed | Strict::More => {
                    let line = &window[..line_end];
                    lenient(line, self.format, Unclosed::Letter, cells).unwrap_or(line_end)
                }
            };
            self.take(len);
            return Ok(true);
        }
    }

    /// The next row that is not blank.
    pub fn next(&mut self) -> io::Result<Option<Row>> {
        let Some(mut row) = self.next_of_any_size()? else {
            return Ok(None);
        };
        if row.broken.is_none() && self.cells.hold_a_long_one() {
            row.broken = Some(Reason::TooLong);
        }
        Ok(Some(row))
    }

    fn next_of_any_size(&mut self) -> io::Result<Option<Row>> {
        loop {
            let line = self.line;
            let window = &self.buffer[self.start..];
            if window.is_empty() && self.at_end {
                return Ok(None);
            }
            let cause = match strict(window, self.at_end, self.format, &mut self.cells) {
                Strict::More if window.len() <= MAX_ROW => {
                    self.fill()?;
                    continue;
                }
                Strict::More | Strict::Unclosed => Reason::UnclosedQuote,
                Strict::Stray => Reason::StrayQuote,
                Strict::Row { len } => match self.judge(len) {
                    Judged::Blank => {
                        self.take(len);
                        continue;
                    }
                    Judged::Good => {
                        self.take(len);
                        return Ok(Some(Row { line, broken: None }));
                    }
                    Judged::Doubtful(cause) => cause,
                },
            };
            if !self.first_line_is_bounded()? {
                self.skip_long_line()?;
                let broken = Some(Reason::TooLong);
                return Ok(Some(Row { line, broken }));
            }
            let broken = self.recover(cause)?;
            return Ok(Some(Row { line, broken }));
        }
    }

    /// The beginning of the last row as it stands in the file.
    pub fn raw(&self) -> &[u8] {
        if self.kept.is_empty() {
            &self.buffer[self.last.clone()]
        } else {
            &self.kept
        }
    }

    fn judge(&mut self, len: usize) -> Judged {
        let raw = &self.buffer[self.start..self.start + len];
        if self.cells.len() == 1 && is_blank(raw) {
            return Judged::Blank;
        }
        if len > MAX_ROW {
            return Judged::Doubtful(Reason::TooLong);
        }
        let has_quotes = memchr(b'"', raw).is_some();
        if has_quotes && swallows_rows(raw, self.format, self.expected, &mut self.trial) {
            return Judged::Doubtful(Reason::StrayQuote);
        }
        if has_quotes && !self.cells.fit(self.expected) {
            return Judged::Doubtful(Reason::of_count(self.cells.len(), self.expected));
        }
        Judged::Good
    }

    /// Reads a row that the strict split could not: into `cells`, or a reason.
    fn recover(&mut self, cause: Reason) -> io::Result<Option<Reason>> {
        let border = self.next_row_after_first_line()?;
        let (first, _) = self.first_line();
        let window = &self.buffer[self.start..self.start + border];
        let line = &window[..first];

        let alone = lenient(line, self.format, Unclosed::Letter, &mut self.cells);
        let alone = alone.filter(|_| self.cells.fit(self.expected));
        if alone.is_some() && border == first {
            self.take(first);
            return Ok(None);
        }
        let together = lenient(window, self.format, Unclosed::Fails, &mut self.trial);
        if let Some(len) = together.filter(|_| self.trial.fit(self.expected)) {
            std::mem::swap(&mut self.cells, &mut self.trial);
            self.take(len);
            return Ok(None);
        }
        if alone.is_some() {
            self.take(first);
            return Ok(None);
        }
        // No split has the right number of cells. Where the strict one is a
        // row at all and swallows no other, it stands as it is.
        match strict(window, true, self.format, &mut self.cells) {
            Strict::Row { len } => {
                self.take(len);
                Ok((len > MAX_ROW).then_some(Reason::TooLong))
            }
            _ => {
                self.take(border);
                Ok(Some(cause))
            }
        }
    }

    /// Bytes to the next line, the first put aside, that is a row by itself;
    /// no further than a cell may be long.
    fn next_row_after_first_line(&mut self) -> io::Result<usize> {
        let (mut at, _) = self.first_line();
        while at <= MAX_CELL {
            if at + BLOCK > self.buffer.len() - self.start && !self.at_end {
                self.fill()?;
                continue;
            }
            let window = &self.buffer[self.start..];
            if at >= window.len() {
                break;
            }
            let end = match memchr(self.format.newline, &window[at..]) {
                Some(n) => at + n + 1,
                None if self.at_end => window.len(),
                // Too long a line for a row: the next call passes over it.
                None if window.len() > MAX_ROW + MAX_CELL => return Ok(at),
                None => {
                    self.fill()?;
                    continue;
                }
            };
            if self.is_row_alone(at, end) {
                return Ok(at);
            }
            at = end;
        }
        Ok(at.min(self.buffer.len() - self.start))
    }

    fn is_row_alone(&mut self, at: usize, end: usize) -> bool {
        let window = &self.buffer[self.start..];
        let line = &window[at..end];
        let looks_whole = |cells: &Cells| cells.fit(self.expected) && !cells.ends_with_loose_quote;
        if is_blank(line) {
            return false;
        }
        let _ = lenient(line, self.format, Unclosed::Letter, &mut self.trial);
        if looks_whole(&self.trial) {
            return true;
        }
        let rest = &window[at..];
        matches!(
            strict(rest, self.at_end, self.format, &mut self.trial),
            Strict::Row { .. }
        ) && looks_whole(&self.trial)
    }

    /// Where the first line of the window ends, and whether it does.
    fn first_line(&self) -> (usize, bool) {
        let window = &self.buffer[self.start..];
        match memchr(self.format.newline, window) {
            Some(n) => (n + 1, true),
            None => (window.len(), self.at_end),
        }
    }

    fn first_line_is_bounded(&mut self) -> io::Result<bool> {
        loop {
            match self.first_line() {
                (len, _) if len > MAX_ROW => return Ok(false),
                (_, true) => return Ok(true),
                (_, false) => self.fill()?,
            }
        }
    }

    /// Passes over a line of any length, keeping only its beginning.
    fn skip_long_line(&mut self) -> io::Result<()> {
        let window = &self.buffer[self.start..];
        self.kept = window[..window.len().min(RAW)].to_vec();
        let kept = std::mem::take(&mut self.kept);
        loop {
            let (len, whole) = self.first_line();
            self.take(len);
            if whole {
                break;
            }
            self.fill()?;
        }
        self.kept = kept;
        Ok(())
    }

    /// Moves on by `len` bytes, which become the last row.
    fn take(&mut self, len: usize) {
        let end = self.start + len;
        let raw = &self.buffer[self.start..end];
        self.line += memchr_iter(self.format.newline, raw).count() as u64;
        self.last = self.start..self.start + len.min(RAW);
        self.kept.clear();
        self.start = end;
    }

    /// Reads more, dropping what has been given out.
    fn fill(&mut self) -> io::Result<()> {
        self.buffer.drain(..self.start);
        self.start = 0;
        self.last = 0..0;
        // Growing with the window keeps the repeated splits of a long row
        // linear in its length.
        let want = BLOCK.max(self.buffer.len());
        self.at_end = !self.input.read_into(&mut self.buffer, want)?;
        Ok(())
    }
}

enum Judged {
    Good,
    Blank,
    Doubtful(Reason),
}

/// Whether a quoted cell over several lines holds what are rows themselves:
/// each line but the last has exactly the header's number of cells, and that
/// often enough not to be the commas of an honest text.
fn swallows_rows(raw: &[u8], format: Format, expected: usize, trial: &mut Cells) -> bool {
    let mut delimiters = 0;
    let mut rest = raw;
    while let Some(end) = memchr(format.newline, rest) {
        if end + 1 == rest.len() {
            break;
        }
        let _ = lenient(&rest[..=end], format, Unclosed::Letter, trial);
        if trial.len() != expected {
            return false;
        }
        delimiters += expected - 1;
        rest = &rest[end + 1..];
    }
    delimiters >= 8
}
