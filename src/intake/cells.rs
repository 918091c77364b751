//! One row's cells, split from bytes in two ways: by the letter of RFC 4180,
//! and leniently where a stray quote has broken a row.
//!
//! The split is our own because a CSV reader gives no bound for a row and no
//! way back once a quote that is never closed has swallowed the rows after it.
//! On well-formed input it must agree with the csv crate; a test holds them
//! side by side.

use memchr::{memchr, memchr2};

/// No cell may be longer than this many bytes (1 MiB). An ad is a few
/// kilobytes: a quoted cell beyond this is a quote that was never closed.
pub const MAX_CELL: usize = 1 << 20;

/// How the bytes of a file are divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Format {
    /// Between cells.
    pub delimiter: u8,
    /// Ends a row: `\n` (a `\r` before it is dropped), or `\r` in old exports.
    pub newline: u8,
}

/// The cells of one row, one buffer for all rows of a file.
#[derive(Debug, Default)]
pub(super) struct Cells {
    bytes: Vec<u8>,
    ends: Vec<usize>,
    /// Whether a cell that does not begin with a quote ends with one: the end
    /// of a quoted cell that began on a line before.
    pub ends_with_loose_quote: bool,
}

impl Cells {
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// The cell at this position; empty where the row has no such cell.
    pub fn get(&self, index: usize) -> &[u8] {
        let Some(&end) = self.ends.get(index) else {
            return &[];
        };
        let begin = match index {
            0 => 0,
            _ => self.ends[index - 1],
        };
        &self.bytes[begin..end]
    }

    pub fn iter(&self) -> impl Iterator<Item = &[u8]> {
        (0..self.len()).map(|i| self.get(i))
    }

    /// Whether the row has this many cells, empty ones at its end put aside.
    pub fn fit(&self, expected: usize) -> bool {
        self.len() >= expected && (expected..self.len()).all(|i| is_blank(self.get(i)))
    }

    /// Whether a cell is longer than [`MAX_CELL`].
    pub fn hold_a_long_one(&self) -> bool {
        self.bytes.len() > MAX_CELL && self.iter().any(|cell| cell.len() > MAX_CELL)
    }

    /// Takes cells that were divided elsewhere.
    pub fn fill<'c>(&mut self, cells: impl Iterator<Item = &'c [u8]>) {
        self.clear();
        for cell in cells {
            self.bytes.extend_from_slice(cell);
            self.end_cell();
        }
    }

    fn clear(&mut self) {
        self.bytes.clear();
        self.ends.clear();
        self.ends_with_loose_quote = false;
    }

    fn end_cell(&mut self) {
        self.ends.push(self.bytes.len());
    }

    fn push_unquoted(&mut self, cell: &[u8]) {
        self.bytes.extend_from_slice(cell);
        self.end_cell();
        let trimmed = cell.trim_ascii();
        self.ends_with_loose_quote |=
            trimmed.last() == Some(&b'"') && trimmed.first() != Some(&b'"');
    }
}

pub(super) fn is_blank(bytes: &[u8]) -> bool {
    bytes.iter().all(u8::is_ascii_whitespace)
}

/// What stands at the beginning of some bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Strict {
    /// A row of this many bytes, its line end included.
    Row {
        /// Bytes of the row.
        len: usize,
    },
    /// A quoted cell that goes on after its closing quote.
    Stray,
    /// A quoted cell that is never closed, or not within [`MAX_CELL`].
    Unclosed,
    /// More cells than asked for.
    TooWide,
    /// The bytes end before the row does.
    More,
}

/// Splits the first row by RFC 4180; a quote inside a cell that does not begin
/// with one is a letter like others, and spaces after a closing quote are
/// dropped. `at_end` says that nothing follows these bytes. The split ends
/// early once there are more than `most` cells: quotes out of step can chain
/// any number of rows to one.
pub(super) fn strict(
    bytes: &[u8],
    at_end: bool,
    format: Format,
    most: usize,
    cells: &mut Cells,
) -> Strict {
    cells.clear();
    let mut at = 0;
    loop {
        if cells.len() > most {
            return Strict::TooWide;
        }
        if bytes.get(at) == Some(&b'"') {
            match strict_quoted(bytes, at + 1, at_end, format, cells) {
                Ok(next) => at = next,
                Err(outcome) => return outcome,
            }
            match line_end(bytes, at, format) {
                LineEnd::Yes(len) => return Strict::Row { len },
                LineEnd::Unsure if !at_end => return Strict::More,
                LineEnd::Unsure => return Strict::Row { len: bytes.len() },
                LineEnd::No if bytes[at] == format.delimiter => at += 1,
                LineEnd::No => return Strict::Stray,
            }
        } else {
            match memchr2(format.delimiter, format.newline, &bytes[at..]) {
                Some(n) if bytes[at + n] == format.delimiter => {
                    cells.push_unquoted(&bytes[at..at + n]);
                    at += n + 1;
                }
                Some(n) => {
                    cells.push_unquoted(without_return(&bytes[at..at + n], format));
                    return Strict::Row { len: at + n + 1 };
                }
                None if at_end => {
                    cells.push_unquoted(without_return(&bytes[at..], format));
                    return Strict::Row { len: bytes.len() };
                }
                None => return Strict::More,
            }
        }
    }
}

/// The quoted cell whose content begins at `at`; gives the place after it.
fn strict_quoted(
    bytes: &[u8],
    mut at: usize,
    at_end: bool,
    format: Format,
    cells: &mut Cells,
) -> Result<usize, Strict> {
    let begin = cells.bytes.len();
    loop {
        let Some(n) = memchr(b'"', &bytes[at..]) else {
            let too_long = bytes.len() - at > MAX_CELL;
            return Err(if at_end || too_long {
                Strict::Unclosed
            } else {
                Strict::More
            });
        };
        cells.bytes.extend_from_slice(&bytes[at..at + n]);
        at += n + 1;
        if cells.bytes.len() - begin > MAX_CELL {
            return Err(Strict::Unclosed);
        }
        match bytes.get(at) {
            Some(b'"') => {
                cells.bytes.push(b'"');
                at += 1;
            }
            None if !at_end => return Err(Strict::More),
            _ => break,
        }
    }
    cells.end_cell();
    Ok(skip_spaces(bytes, at, format))
}

fn skip_spaces(bytes: &[u8], mut at: usize, format: Format) -> usize {
    while let Some(&b) = bytes.get(at)
        && matches!(b, b' ' | b'\t')
        && b != format.delimiter
    {
        at += 1;
    }
    at
}

enum LineEnd {
    /// The row ends; the next begins here.
    Yes(usize),
    /// The bytes end here, or in the middle of a line end.
    Unsure,
    No,
}

fn line_end(bytes: &[u8], at: usize, format: Format) -> LineEnd {
    match bytes.get(at) {
        None => LineEnd::Unsure,
        Some(&b) if b == format.newline => LineEnd::Yes(at + 1),
        Some(b'\r') => match bytes.get(at + 1) {
            None => LineEnd::Unsure,
            Some(&b) if b == format.newline => LineEnd::Yes(at + 2),
            Some(_) => LineEnd::No,
        },
        Some(_) => LineEnd::No,
    }
}

fn without_return(cell: &[u8], format: Format) -> &[u8] {
    match cell {
        [front @ .., b'\r'] if format.newline == b'\n' => front,
        _ => cell,
    }
}

/// What to do with a quote that opens a cell and is never closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unclosed {
    /// It is a letter of the cell, which ends at the next delimiter.
    Letter,
    /// The split fails; and so it does beyond this many cells, as quotes out
    /// of step can chain any number of rows to one.
    Fails {
        /// Cells at most.
        most: usize,
    },
}

/// Splits the first row of `bytes`, which hold all of it, taking a quote for a
/// closing one only where the cell can end; gives the row's length. Spaces
/// before an opening quote are dropped.
pub(super) fn lenient(
    bytes: &[u8],
    format: Format,
    unclosed: Unclosed,
    cells: &mut Cells,
) -> Option<usize> {
    cells.clear();
    let mut at = 0;
    // Once a quote was never closed, no later one is looked at: each search
    // runs to the end, and a line can hold very many quotes.
    let mut quotes_close = true;
    loop {
        if matches!(unclosed, Unclosed::Fails { most } if cells.len() > most) {
            return None;
        }
        let open = skip_spaces(bytes, at, format);
        let is_open = bytes.get(open) == Some(&b'"');
        let close = (is_open && quotes_close)
            .then(|| closing_quote(bytes, open + 1, format))
            .flatten();
        if let Some(close) = close {
            push_unescaped(&bytes[open + 1..close], cells);
            at = skip_spaces(bytes, close + 1, format);
            match line_end(bytes, at, format) {
                LineEnd::Yes(len) => return Some(len),
                LineEnd::Unsure => return Some(bytes.len()),
                // By the choice of the closing quote this is a delimiter.
                LineEnd::No => at += 1,
            }
            continue;
        }
        if is_open {
            if unclosed != Unclosed::Letter {
                return None;
            }
            quotes_close = false;
        }
        match memchr2(format.delimiter, format.newline, &bytes[at..]) {
            Some(n) if bytes[at + n] == format.delimiter => {
                cells.push_unquoted(&bytes[at..at + n]);
                at += n + 1;
            }
            Some(n) => {
                cells.push_unquoted(without_return(&bytes[at..at + n], format));
                return Some(at + n + 1);
            }
            None => {
                cells.push_unquoted(without_return(&bytes[at..], format));
                return Some(bytes.len());
            }
        }
    }
}

fn closing_quote(bytes: &[u8], mut at: usize, format: Format) -> Option<usize> {
    loop {
        let quote = at + memchr(b'"', &bytes[at..])?;
        if bytes.get(quote + 1) == Some(&b'"') {
            at = quote + 2;
            continue;
        }
        let after = skip_spaces(bytes, quote + 1, format);
        let ends = match line_end(bytes, after, format) {
            LineEnd::Yes(_) | LineEnd::Unsure => true,
            LineEnd::No => bytes[after] == format.delimiter,
        };
        if ends {
            return Some(quote);
        }
        at = quote + 1;
    }
}

fn push_unescaped(mut content: &[u8], cells: &mut Cells) {
    while let Some(n) = memchr::memmem::find(content, b"\"\"") {
        cells.bytes.extend_from_slice(&content[..=n]);
        content = &content[n + 2..];
    }
    cells.bytes.extend_from_slice(content);
    cells.end_cell();
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const COMMA: Format = Format {
        delimiter: b',',
        newline: b'\n',
    };

    fn texts(cells: &Cells) -> Vec<String> {
        cells
            .iter()
            .map(|c| String::from_utf8_lossy(c).into_owned())
            .collect()
    }

    fn strictly(text: &str) -> (Strict, Vec<String>) {
        let mut cells = Cells::default();
        let outcome = strict(text.as_bytes(), true, COMMA, 99, &mut cells);
        (outcome, texts(&cells))
    }

    fn leniently(text: &str, unclosed: Unclosed) -> Option<Vec<String>> {
        let mut cells = Cells::default();
        lenient(text.as_bytes(), COMMA, unclosed, &mut cells).map(|_| texts(&cells))
    }

    #[test]
    fn quoted_breaks_and_doubled_quotes() {
        let (outcome, cells) = strictly("1,\"two\nlines, \"\"so\"\"\" ,3\r\nnext");
        assert_eq!(outcome, Strict::Row { len: 26 });
        assert_eq!(cells, ["1", "two\nlines, \"so\"", "3"]);
    }

    #[test]
    fn inch_marks_inside_a_plain_cell_are_letters() {
        assert_eq!(strictly("1,15\" wheels,3").1, ["1", "15\" wheels", "3"]);
    }

    #[test]
    fn words_after_a_closing_quote_break_the_row() {
        assert_eq!(strictly("1,\"15\" wheels\",3\n").0, Strict::Stray);
        assert_eq!(
            leniently("1,\"15\" wheels\",3\n", Unclosed::Fails { most: 99 }).unwrap(),
            ["1", "15\" wheels", "3"]
        );
    }

    #[test]
    fn a_quote_never_closed_is_a_letter_or_a_failure() {
        assert_eq!(strictly("1,\"two,3\n").0, Strict::Unclosed);
        assert_eq!(leniently("1,\"two,3\n", Unclosed::Fails { most: 99 }), None);
        assert_eq!(
            leniently("1,\"two,3\n", Unclosed::Letter).unwrap(),
            ["1", "\"two", "3"]
        );
    }

    proptest! {
        /// On what the csv crate calls clean, both splits agree with it.
        #[test]
        fn agrees_with_the_csv_crate(rows in prop::collection::vec(
            prop::collection::vec("[a-c\",;\n\r é]{0,6}", 1..5), 1..6))
        {
            let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
            for row in &rows {
                writer.write_record(row).unwrap();
            }
            let bytes = writer.into_inner().unwrap();
            let mut rest = &bytes[..];
            let mut cells = Cells::default();
            for row in &rows {
                let Strict::Row { len } = strict(rest, true, COMMA, 99, &mut cells) else {
                    panic!("broken at {:?}", String::from_utf8_lossy(rest));
                };
                prop_assert_eq!(&texts(&cells), row);
                prop_assert_eq!(lenient(rest, COMMA, Unclosed::Fails { most: 99 }, &mut cells), Some(len));
                prop_assert_eq!(&texts(&cells), row);
                rest = &rest[len..];
            }
            prop_assert!(rest.is_empty());
        }

        /// Bytes that end early ask for more instead of giving half a row.
        #[test]
        fn a_cut_row_asks_for_more(text in "[a,\"\n\r ]{0,12}", cut in 0usize..12) {
            let bytes = text.as_bytes();
            let mut whole = Cells::default();
            let all = strict(bytes, true, COMMA, 99, &mut whole);
            let mut part = Cells::default();
            let cut = cut.min(bytes.len());
            let outcome = strict(&bytes[..cut], false, COMMA, 99, &mut part);
            if outcome != Strict::More {
                prop_assert_eq!(outcome, all);
                if matches!(all, Strict::Row { .. }) {
                    prop_assert_eq!(texts(&part), texts(&whole));
                }
            }
        }
    }
}
