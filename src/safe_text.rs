//! Other people's text made harmless for the place where it is shown: a
//! terminal, a spreadsheet, Markdown, a web page. The text of an ad may hold
//! escape codes, formulas, markup, and letters that turn the order of reading.

mod contacts;

use std::borrow::Cow;
use std::sync::LazyLock;

use regex::Regex;
use unicode_width::UnicodeWidthChar;

pub use contacts::{contacts, cover_contacts, mask_contacts, mask_of};

/// What stands in place of a control character.
const REPLACEMENT: char = '\u{fffd}';

/// Marks over or under one letter; more than this only smear the lines around.
const MOST_MARKS: usize = 3;

/// One line for a terminal. Control characters (ESC and the C1 codes among
/// them) become `\u{fffd}`, line breaks and tabs a space; signs that turn the
/// direction of reading, have no width or name a language are dropped, and so
/// are marks beyond three on one letter. Doing it twice changes nothing.
pub fn for_terminal(text: &str) -> Cow<'_, str> {
    neutral(text, Lines::Join)
}

/// The same with line breaks and tabs kept, for places that know lines.
pub fn for_block(text: &str) -> Cow<'_, str> {
    neutral(text, Lines::Keep)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Lines {
    Join,
    Keep,
}

fn neutral(text: &str, lines: Lines) -> Cow<'_, str> {
    let is_plain =
        |b: u8| (b' '..=b'~').contains(&b) || (lines == Lines::Keep && matches!(b, b'\n' | b'\t'));
    if text.bytes().all(is_plain) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut marks = 0;
    for c in text.chars() {
        let Some(c) = harmless(c, lines) else {
            continue;
        };
        let is_mark = c.width() == Some(0) && c != '\n' && c != '\t';
        marks = if is_mark { marks + 1 } else { 0 };
        if marks <= MOST_MARKS {
            out.push(c);
        }
    }
    unchanged_or(text, out)
}

fn harmless(c: char, lines: Lines) -> Option<char> {
    match c {
        '\n' | '\t' if lines == Lines::Keep => Some(c),
        '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => Some(' '),
        // Order of reading: marks, embeddings, overrides, isolates.
        '\u{061c}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}' => None,
        // No width: joiners, byte order mark, soft hyphen, fillers,
        // invisible operators and the rest of that block.
        '\u{00ad}'
        | '\u{034f}'
        | '\u{115f}'
        | '\u{1160}'
        | '\u{17b4}'
        | '\u{17b5}'
        | '\u{180b}'..='\u{180f}'
        | '\u{200b}'..='\u{200d}'
        | '\u{2060}'..='\u{2065}'
        | '\u{206a}'..='\u{206f}'
        | '\u{3164}'
        | '\u{feff}'
        | '\u{ffa0}' => None,
        // Annotation marks, and tags that spell unseen words.
        '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}' => None,
        c if c.is_control() => Some(REPLACEMENT),
        c => Some(c),
    }
}

fn unchanged_or(text: &str, changed: String) -> Cow<'_, str> {
    if changed == text {
        Cow::Borrowed(text)
    } else {
        Cow::Owned(changed)
    }
}

/// A cell of a CSV that a spreadsheet will open. One that would be taken for a
/// formula (it begins with `=`, `+`, `-`, `@`, a tab or a carriage return, or
/// with the wide forms of these signs) gets an apostrophe before it; plain
/// numbers such as `-40` are left. Control characters go as for a terminal,
/// line breaks stay. Quoting is the CSV writer's business. Doing it twice
/// changes nothing.
pub fn for_csv_cell(text: &str) -> Cow<'_, str> {
    static NUMBER: LazyLock<Regex> = LazyLock::new(|| {
        Regex::new(r"^[+-]?(\d+|\d{1,3}(,\d{3})+)(\.\d+)?%?$").expect("the pattern is sound")
    });
    // Judged before the cleaning, which takes a carriage return away, and
    // after it, which may bring a sign to the front.
    let begins_formula = |text: &str| {
        text.starts_with([
            '=', '+', '-', '@', '\t', '\r', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
        ])
    };
    let clean = for_block(text);
    if (begins_formula(text) || begins_formula(&clean)) && !NUMBER.is_match(&clean) {
        return Cow::Owned(format!("'{clean}"));
    }
    clean
}

/// Text within a line or a table cell of Markdown: every sign that could mean
/// something is escaped, line breaks become spaces, addresses do not become
/// links.
pub fn for_markdown(text: &str) -> Cow<'_, str> {
    let clean = for_terminal(text);
    let mut out = String::with_capacity(clean.len() + 8);
    // Lists and headings begin a line only; a space before changes nothing.
    let body = clean.trim_start();
    out.push_str(&clean[..clean.len() - body.len()]);
    let digits = body.bytes().take_while(u8::is_ascii_digit).count();
    for (at, c) in body.char_indices() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '~' | '#' | '!' | '$' | '@' => {
                out.extend(['\\', c]);
            }
            '-' | '+' | '=' if at == 0 => out.extend(['\\', c]),
            '.' | ')' if at > 0 && at == digits => out.extend(['\\', c]),
            ':' if body[at..].starts_with("://") => out.push_str("\\:"),
            '.' if ends_with_www(&body[..at]) => out.push_str("\\."),
            c => out.push(c),
        }
    }
    match clean {
        Cow::Borrowed(_) => unchanged_or(text, out),
        Cow::Owned(_) => Cow::Owned(out),
    }
}

/// Text within a string of a style sheet: all but letters and digits are written
/// as escapes, so that nothing in it can end the string or the sheet.
pub fn for_css_string(text: &str) -> String {
    let clean = for_terminal(text);
    let mut out = String::with_capacity(clean.len() + 16);
    for c in clean.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else {
            out.push_str(&format!("\\{:x} ", u32::from(c)));
        }
    }
    out
}

fn ends_with_www(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes.len() >= 3 && bytes[bytes.len() - 3..].eq_ignore_ascii_case(b"www")
}

/// Text or an attribute in quotes of a web page. Line breaks stay. Without an
/// attribute's quotes it is not safe in an attribute, and nowhere in a script.
pub fn for_html(text: &str) -> Cow<'_, str> {
    let clean = for_block(text);
    if !clean.contains(['&', '<', '>', '"', '\'']) {
        return clean;
    }
    let mut out = String::with_capacity(clean.len() + 16);
    for c in clean.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn plain_text_is_borrowed_everywhere() {
        let text = "2004 Volvo V70, needs a clutch";
        for safe in [
            for_terminal(text),
            for_csv_cell(text),
            for_markdown(text),
            for_html(text),
        ] {
            assert!(matches!(safe, Cow::Borrowed(t) if t == text));
        }
        assert!(matches!(for_terminal("Löhne, 500 €"), Cow::Borrowed(_)));
    }

    #[test]
    fn escape_codes_lose_their_escape() {
        assert_eq!(
            for_terminal("a\x1b[31mred\x1b]0;x\x07"),
            "a\u{fffd}[31mred\u{fffd}]0;x\u{fffd}"
        );
        assert_eq!(
            for_terminal("a\u{9b}31m\x7f\0"),
            "a\u{fffd}31m\u{fffd}\u{fffd}"
        );
        assert_eq!(for_terminal("a\r\nb\tc"), "a  b c");
    }

    #[test]
    fn the_order_of_reading_cannot_be_turned() {
        assert_eq!(for_terminal("a\u{202e}cba\u{2066}\u{2069}\u{200f}"), "acba");
        assert_eq!(for_terminal("pass\u{200b}word\u{feff}"), "password");
        assert_eq!(
            for_terminal("e\u{301}\u{301}\u{301}\u{301}\u{301}x")
                .chars()
                .count(),
            5
        );
    }

    #[test]
    fn formulas_become_text_and_numbers_stay_numbers() {
        for (cell, safe) in [
            ("=HYPERLINK(\"x\")", "'=HYPERLINK(\"x\")"),
            ("+1 (555) 010-0123", "'+1 (555) 010-0123"),
            ("-2+3", "'-2+3"),
            ("@SUM(1)", "'@SUM(1)"),
            ("\t=1", "'\t=1"),
            ("\r=1", "' =1"),
            ("\u{200b}=1", "'=1"),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("-", "'-"),
            ("-40", "-40"),
            ("+1.5", "+1.5"),
            ("-1,250.00", "-1,250.00"),
            ("-40%", "-40%"),
            ("two\nlines", "two\nlines"),
        ] {
            assert_eq!(for_csv_cell(cell), safe);
        }
    }

    #[test]
    fn markdown_means_nothing() {
        assert_eq!(
            for_markdown("a | b\n*c* [d](e)"),
            "a \\| b \\*c\\* \\[d\\](e)"
        );
        assert_eq!(for_markdown("# x"), "\\# x");
        assert_eq!(for_markdown("- x"), "\\- x");
        assert_eq!(for_markdown(" 1. x 2. y"), " 1\\. x 2. y");
        assert_eq!(for_markdown("<img src=x>"), "&lt;img src=x&gt;");
        assert_eq!(for_markdown("https://example.com"), "https\\://example.com");
        assert_eq!(for_markdown("WWW.example.com"), "WWW\\.example.com");
        assert_eq!(for_markdown("ends in www"), "ends in www");
    }

    #[test]
    fn a_string_of_a_style_sheet_cannot_be_left() {
        assert_eq!(
            for_css_string("Kia\"}</style>\né"),
            "Kia\\22 \\7d \\3c \\2f style\\3e \\20 \\e9 "
        );
    }

    #[test]
    fn html_means_nothing() {
        assert_eq!(
            for_html("<b onclick='x'>\"&\n"),
            "&lt;b onclick=&#39;x&#39;&gt;&quot;&amp;\n"
        );
    }

    fn hostile() -> impl Strategy<Value = String> {
        let pieces = prop_oneof![
            any::<char>().prop_map(String::from),
            "[=+@\t\r\n\x00-\x1f\u{80}-\u{9f}\u{200b}-\u{200f}\u{202a}-\u{202e}|*<&'\"-]",
            "[a-z0-9 é\u{300}-\u{36f}]{1,4}",
        ];
        prop::collection::vec(pieces, 0..12).prop_map(|p| p.concat())
    }

    proptest! {
        #[test]
        fn nothing_that_controls_is_left(text in hostile()) {
            for safe in [for_terminal(&text), for_markdown(&text)] {
                prop_assert!(!safe.chars().any(char::is_control), "{safe:?}");
            }
            for safe in [for_csv_cell(&text), for_html(&text)] {
                let bad = |c: char| c.is_control() && c != '\n' && c != '\t';
                prop_assert!(!safe.chars().any(bad), "{safe:?}");
            }
            let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
            prop_assert!(!for_terminal(&text).chars().any(turns));
        }

        #[test]
        fn twice_is_once(text in hostile()) {
            let once = for_terminal(&text);
            prop_assert_eq!(for_terminal(&once), &*once);
            let once = for_csv_cell(&text);
            prop_assert_eq!(for_csv_cell(&once), &*once);
        }

        #[test]
        fn no_cell_begins_a_formula(text in hostile()) {
            let safe = for_csv_cell(&text);
            let begins = safe.starts_with(['=', '@', '\t', '\r']);
            let signed = safe.starts_with(['+', '-']);
            prop_assert!(!begins, "{safe:?}");
            prop_assert!(!signed || safe[1..].starts_with(|c: char| c.is_ascii_digit()), "{safe:?}");
        }

        #[test]
        fn html_holds_no_markup(text in hostile()) {
            prop_assert!(!for_html(&text).contains(['<', '>', '"', '\'']));
        }
    }
}
