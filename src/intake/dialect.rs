//! How a file divides its cells and rows, found from its beginning.

use memchr::memchr;

use super::cells::{Cells, Format, Strict, strict};
use super::columns::ColumnOverride;
use crate::lexicon::headers::{Headers, key};

/// The delimiters that are tried, the likelier first.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];

/// Rows that are split to compare delimiters.
const SAMPLE: usize = 100;

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Dialect {
    pub format: Format,
    /// Bytes before the header: a line `sep=;` as spreadsheets write it.
    pub skip: usize,
}

/// How well a delimiter explains the beginning of a file; the greater is the
/// better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Score {
    /// Headers that are known or named by the user.
    known: usize,
    /// Whether it divides the header at all.
    divides: bool,
    /// Of a thousand rows, how many have as many cells as the header.
    even: usize,
    /// Cells in the header.
    cells: usize,
}

/// Finds delimiter and line end of the text that begins with `head`.
pub(super) fn detect(
    head: &[u8],
    at_end: bool,
    headers: &Headers,
    overrides: &[ColumnOverride],
) -> Dialect {
    let old_line_ends = memchr(b'\n', head).is_none() && memchr(b'\r', head).is_some();
    let newline = if old_line_ends { b'\r' } else { b'\n' };
    if let Some((delimiter, skip)) = named_by_file(head, newline) {
        let format = Format { delimiter, newline };
        return Dialect { format, skip };
    }
    let mut best: Option<(Score, Format)> = None;
    for delimiter in DELIMITERS {
        let format = Format { delimiter, newline };
        let score = score(head, at_end, format, headers, overrides);
        if best.is_none_or(|(b, _)| score > b) {
            best = Some((score, format));
        }
    }
    let first = Format {
        delimiter: DELIMITERS[0],
        newline,
    };
    Dialect {
        format: best.map_or(first, |(_, format)| format),
        skip: 0,
    }
}

fn named_by_file(head: &[u8], newline: u8) -> Option<(u8, usize)> {
    let end = memchr(newline, head)?;
    let delimiter = match head[..end].trim_ascii() {
        [s, e, p, b'=', delimiter] if [*s, *e, *p].eq_ignore_ascii_case(b"sep") => *delimiter,
        // The trimming took the tab.
        [s, e, p, b'='] if [*s, *e, *p].eq_ignore_ascii_case(b"sep") => b'\t',
        _ => return None,
    };
    DELIMITERS
        .contains(&delimiter)
        .then_some((delimiter, end + 1))
}

fn score(
    head: &[u8],
    at_end: bool,
    format: Format,
    headers: &Headers,
    overrides: &[ColumnOverride],
) -> Score {
    let mut cells = Cells::default();
    let mut rest = head.trim_ascii_start();
    let mut expected = 0;
    let (mut known, mut rows, mut even) = (0, 0usize, 0usize);
    while !rest.is_empty() && rows <= SAMPLE {
        let len = match strict(rest, at_end, format, usize::MAX, &mut cells) {
            Strict::Row { len } => len,
            Strict::More => break,
            Strict::Stray | Strict::Unclosed | Strict::TooWide => {
                memchr(format.newline, rest).map_or(rest.len(), |n| n + 1)
            }
        };
        if rows == 0 {
            expected = cells.len();
            known = cells
                .iter()
                .filter(|cell| is_known(cell, headers, overrides))
                .count();
        } else if cells.fit(expected) {
            even += 1;
        }
        rows += 1;
        rest = &rest[len..];
    }
    Score {
        known,
        divides: expected > 1,
        even: even * 1000 / rows.saturating_sub(1).max(1),
        cells: expected,
    }
}

fn is_known(cell: &[u8], headers: &Headers, overrides: &[ColumnOverride]) -> bool {
    let name = String::from_utf8_lossy(cell);
    headers.find(&name).is_some() || overrides.iter().any(|o| key(&o.header) == key(&name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    fn dialect(head: &str) -> (u8, u8, usize) {
        let headers = Lexicon::built_in().unwrap().headers;
        let Dialect { format, skip } = detect(head.as_bytes(), true, &headers, &[]);
        (format.delimiter, format.newline, skip)
    }

    #[test]
    fn known_headers_decide_even_where_the_text_is_full_of_commas() {
        assert_eq!(dialect("id;text\n1;a, b, c\n2;d, e, f\n").0, b';');
        assert_eq!(dialect("id\ttext\n1\ta, b\n").0, b'\t');
        assert_eq!(dialect("id|text\n1|a; b\n").0, b'|');
    }

    #[test]
    fn unknown_headers_leave_it_to_even_rows() {
        assert_eq!(dialect("foo;bar, baz\n1;2\n3;4\n").0, b';');
    }

    #[test]
    fn a_single_column_takes_the_delimiter_that_does_no_harm() {
        assert_eq!(dialect("text\na, b\nc; d\ne\n").0, b'\t');
        assert_eq!(dialect("text\na\nb\n").0, b',');
    }

    #[test]
    fn the_line_that_names_the_delimiter_is_obeyed_and_skipped() {
        assert_eq!(dialect("sep=;\r\nid;text\r\n"), (b';', b'\n', 7));
        assert_eq!(dialect("SEP=\t\nid\ttext\n"), (b'\t', b'\n', 6));
    }

    #[test]
    fn old_line_ends_are_seen() {
        assert_eq!(dialect("id,text\r1,a\r"), (b',', b'\r', 0));
    }
}
