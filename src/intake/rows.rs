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

mod recovery;

use std::io;
use std::ops::Range;

use memchr::{memchr, memchr_iter};

use super::cells::{Cells, Format, MAX_CELL, Strict, Unclosed, is_blank, lenient, strict};
use super::input::Input;
use super::reject::Reason;
use recovery::{Rowless, swallows_rows};

/// No row may be longer than this many bytes (4 MiB).
pub const MAX_ROW: usize = 4 << 20;

/// Bytes read at a time.
const BLOCK: usize = 256 << 10;

/// Cells beyond those of the header that the strict split looks at.
const EXTRA_CELLS: usize = 64;

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
    whole: Range<usize>,
    kept: Vec<u8>,
    /// Where `buffer` begins in the file, in bytes.
    base: u64,
    rowless: Rowless,
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
    /// How many bytes the rows so far take.
    pub fn position(&self) -> u64 {
        self.base + self.start as u64
    }

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
            whole: 0..0,
            kept: Vec::new(),
            base: 0,
            rowless: Rowless::default(),
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
            let len = match strict(window, self.at_end, self.format, usize::MAX, cells) {
                Strict::Row { len } => len,
                // Headers are short: one that goes on beyond the window has a
                // quote that is never closed.
                _ => {
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
            let most = self.expected + EXTRA_CELLS;
            let cause = match strict(window, self.at_end, self.format, most, &mut self.cells) {
                Strict::More if window.len() <= MAX_ROW => {
                    self.fill()?;
                    continue;
                }
                Strict::More | Strict::Unclosed => Reason::UnclosedQuote,
                Strict::Stray => Reason::StrayQuote,
                Strict::TooWide => Reason::of_count(most + 1, self.expected),
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

    /// The next line that is not blank, undivided: [`Self::line`].
    pub fn next_line(&mut self) -> io::Result<Option<Row>> {
        loop {
            let line = self.line;
            if self.start == self.buffer.len() && self.at_end {
                return Ok(None);
            }
            if !self.first_line_is_bounded()? {
                self.skip_long_line()?;
                let broken = Some(Reason::TooLong);
                return Ok(Some(Row { line, broken }));
            }
            let (len, _) = self.first_line();
            self.whole = self.start..self.start + len;
            self.take(len);
            if !is_blank(self.line()) {
                return Ok(Some(Row { line, broken: None }));
            }
        }
    }

    /// The line that [`Self::next_line`] found.
    pub fn line(&self) -> &[u8] {
        &self.buffer[self.whole.clone()]
    }

    /// Whether the file has an object on each line.
    pub fn are_objects(&self) -> bool {
        self.input.objects
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
        let Rows { cells, trial, .. } = self;
        if has_quotes && swallows_rows(raw, self.format, cells, self.expected, trial) {
            return Judged::Doubtful(Reason::StrayQuote);
        }
        if has_quotes && !self.cells.fit(self.expected) {
            return Judged::Doubtful(Reason::of_count(self.cells.len(), self.expected));
        }
        Judged::Good
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
        self.base += self.start as u64;
        self.start = 0;
        self.last = 0..0;
        self.whole = 0..0;
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
