//! Files that are plainly something else than CSV, by their first bytes.

/// What a file is, in words that tell how to make a CSV of it.
pub(super) fn kind_of(head: &[u8]) -> Option<&'static str> {
    const KINDS: &[(&[u8], &str)] = &[
        (
            b"PK\x03\x04",
            "a spreadsheet (xlsx, ods) or a zip; open it and save the sheet as CSV",
        ),
        (
            b"\xD0\xCF\x11\xE0",
            "an old spreadsheet (xls); open it and save the sheet as CSV",
        ),
        (b"%PDF", "a PDF; export the ads as CSV instead"),
        (b"\x1F\x8B", "packed with gzip; unpack it first"),
        (b"BZh", "packed with bzip2; unpack it first"),
        (b"\xFD7zXZ", "packed with xz; unpack it first"),
        (b"\x28\xB5\x2F\xFD", "packed with zstd; unpack it first"),
        (b"7z\xBC\xAF", "a 7z archive; unpack it first"),
        (b"SQLite format 3", "a database; export its table as CSV"),
        (
            b"PAR1",
            "a Parquet table, which this build does not read; export it as CSV, or build \
             fixworth with '--features parquet'",
        ),
        (
            b"PARE",
            "an encrypted Parquet table; write it without encryption, or export it as CSV",
        ),
        (
            b"ARROW1",
            "an Arrow (Feather) table; write it as Parquet or CSV instead",
        ),
        (
            b"{\\rtf",
            "a word processor's document; save the table as CSV",
        ),
        (b"\x89PNG", "a picture; the ads must be text, as CSV"),
        (b"\xFF\xD8\xFF", "a picture; the ads must be text, as CSV"),
        (b"GIF8", "a picture; the ads must be text, as CSV"),
        (b"\x7FELF", "a program; name the CSV file of the ads"),
    ];
    let known = KINDS.iter().find(|(magic, _)| head.starts_with(magic));
    known.map(|(_, kind)| *kind).or_else(|| text_kind(head))
}

fn text_kind(head: &[u8]) -> Option<&'static str> {
    let text = head.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(head);
    let text = text.trim_ascii_start();
    let begins = |word: &[u8]| {
        text.get(..word.len())
            .is_some_and(|t| t.eq_ignore_ascii_case(word))
    };
    if begins(b"<!doctype") || begins(b"<html") || begins(b"<?xml") {
        return Some("a web page or XML; export the ads as CSV instead");
    }
    let after = |open: u8| match text {
        [first, rest @ ..] if *first == open => rest.trim_ascii_start().first().copied(),
        _ => None,
    };
    match (after(b'{'), after(b'[')) {
        (Some(b'"' | b'}'), _) | (_, Some(b'{')) => Some(
            "JSON in a form that is not read; write one object a line, or export the ads as CSV",
        ),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_kinds_are_named() {
        for (head, word) in [
            (&b"PK\x03\x04rest"[..], "spreadsheet"),
            (b"%PDF-1.7", "PDF"),
            (b"  <!DOCTYPE html>", "web page"),
            (b"[ {\"id\": 1}]", "JSON"),
            (b"{\"id\": 1}", "JSON"),
        ] {
            assert!(kind_of(head).unwrap().contains(word), "{word}");
        }
    }

    #[test]
    fn csv_is_not_taken_for_something_else() {
        for head in [
            &b"id,text\n"[..],
            b"[id],text\n",
            b"{id};text",
            b"",
            b"PK,text\n",
        ] {
            assert_eq!(kind_of(head), None);
        }
    }
}
