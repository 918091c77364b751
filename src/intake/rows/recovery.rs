//! The way back where a row cannot be split by the letter.

use std::io;

use memchr::memchr;

use super::{BLOCK, EXTRA_CELLS, MAX_CELL, MAX_ROW, Rows};
use crate::intake::cells::{Cells, Format, Strict, Unclosed, is_blank, lenient, strict};
use crate::intake::reject::Reason;

/// A row whose quotes are out of step is read over lines no further than this.
const TOGETHER: usize = 64 << 10;

/// What the last search for a row found, so that a broken stretch of a file
/// is searched once and not again for each of its lines.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Rowless {
    /// No line before this place of the file is a row by itself.
    pub(super) until: u64,
    /// The line at this place is one.
    then_row: bool,
    /// No quote before this place closes a cell.
    unclosed_until: u64,
}

impl Rows {
    /// Reads a row that the strict split could not: into `cells`, or a reason.
    pub(super) fn recover(&mut self, cause: Reason) -> io::Result<Option<Reason>> {
        let border = self.next_row_after_first_line()?;
        let (first, _) = self.first_line();
        let window = &self.buffer[self.start..self.start + border];

        let alone = lenient(
            &window[..first],
            self.format,
            Unclosed::Letter,
            &mut self.cells,
        );
        let cells_alone = self.cells.len();
        let alone = alone.filter(|_| self.cells.fit(self.expected));
        if alone.is_some() && border == first {
            self.take(first);
            return Ok(None);
        }
        if let Some(len) = self.read_together(border) {
            self.take(len);
            return Ok(None);
        }
        if alone.is_some() {
            self.take(first);
            return Ok(None);
        }
        // No split has the right number of cells. Where the strict one is a
        // row at all and swallows no other, it stands as it is.
        let window = &self.buffer[self.start..self.start + border];
        let most = self.expected + EXTRA_CELLS;
        match strict(window, true, self.format, most, &mut self.cells) {
            Strict::Row { len } => {
                self.take(len);
                Ok((len > MAX_ROW).then_some(Reason::TooLong))
            }
            Strict::TooWide => {
                self.take(first);
                Ok(Some(Reason::of_count(cells_alone, self.expected)))
            }
            _ => {
                self.take(border);
                Ok(Some(cause))
            }
        }
    }

    /// Reads leniently what stands before the next row, over several lines,
    /// into `cells`; gives the length.
    fn read_together(&mut self, border: usize) -> Option<usize> {
        let border = border.min(TOGETHER);
        let border_at = self.place(border);
        if border_at <= self.rowless.unclosed_until {
            return None;
        }
        let window = &self.buffer[self.start..self.start + border];
        let most = self.expected + EXTRA_CELLS;
        let unclosed = Unclosed::Fails { most };
        let Some(len) = lenient(window, self.format, unclosed, &mut self.trial) else {
            if self.trial.len() <= most {
                self.rowless.unclosed_until = border_at;
            }
            return None;
        };
        self.trial.fit(self.expected).then(|| {
            std::mem::swap(&mut self.cells, &mut self.trial);
            len
        })
    }

    /// The place in the file of a byte of the window.
    fn place(&self, at: usize) -> u64 {
        self.base + (self.start + at) as u64
    }

    /// Bytes to the next line, the first put aside, that is a row by itself;
    /// no further than a cell may be long.
    fn next_row_after_first_line(&mut self) -> io::Result<usize> {
        let (mut at, _) = self.first_line();
        if self.rowless.until >= self.place(at) {
            at = (self.rowless.until - self.place(0)) as usize;
            if self.rowless.then_row {
                return Ok(at);
            }
        }
        let mut then_row = false;
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
                None if window.len() > MAX_ROW + MAX_CELL => break,
                None => {
                    self.fill()?;
                    continue;
                }
            };
            then_row = self.is_row_alone(at, end);
            if then_row {
                break;
            }
            at = end;
        }
        self.rowless.until = self.place(at);
        self.rowless.then_row = then_row;
        Ok(at)
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
        let most = self.expected + EXTRA_CELLS;
        matches!(
            strict(rest, self.at_end, self.format, most, &mut self.trial),
            Strict::Row { .. }
        ) && looks_whole(&self.trial)
    }
}

/// Whether a quoted cell over several lines holds what are rows themselves:
/// each line but the last has exactly the header's number of cells, often
/// enough not to be the commas of an honest text, and the lines begin and end
/// like the row. `cells` are those of the row.
pub(super) fn swallows_rows(
    raw: &[u8],
    format: Format,
    cells: &Cells,
    expected: usize,
    trial: &mut Cells,
) -> bool {
    let last = expected.saturating_sub(1);
    let mut delimiters = 0;
    let mut rest = raw;
    loop {
        let end = memchr(format.newline, rest).map_or(rest.len(), |end| end + 1);
        let is_last = end == rest.len();
        let _ = lenient(&rest[..end], format, Unclosed::Letter, trial);
        if !is_last && trial.len() != expected {
            return false;
        }
        let is_first = rest.len() == raw.len();
        let like = |at: usize| alike(cells.get(at), trial.get(at));
        if !is_first && !(like(0) && (is_last || like(last))) {
            return false;
        }
        if is_last {
            return delimiters >= 8;
        }
        delimiters += last;
        rest = &rest[end..];
    }
}

/// Whether both are one word or both are several: an id and a figure are not
/// taken for a piece of prose.
fn alike(a: &[u8], b: &[u8]) -> bool {
    let several = |cell: &[u8]| cell.trim_ascii().iter().any(u8::is_ascii_whitespace);
    a.is_empty() || b.is_empty() || several(a) == several(b)
}
