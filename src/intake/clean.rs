//! Plain text from what a site wrote: tags and entities resolved.

use std::borrow::Cow;

use htmlize::Context;
use memchr::{memchr, memchr3};

/// Elements of HTML; what looks like a tag of another name (`<mine>`) is the
/// seller's own sign. Names with `-` or `:` are made-up elements, and tags.
#[rustfmt::skip]
const ELEMENTS: &[&str] = &[
    "a", "abbr", "acronym", "address", "article", "aside", "audio", "b", "base", "bdi",
    "bdo", "big", "blockquote", "body", "br", "button", "canvas", "caption", "center",
    "cite", "code", "col", "colgroup", "data", "dd", "del", "details", "dfn", "dialog",
    "div", "dl", "dt", "em", "embed", "fieldset", "figcaption", "figure", "font", "footer",
    "form", "h1", "h2", "h3", "h4", "h5", "h6", "head", "header", "hr", "html", "i",
    "iframe", "img", "input", "ins", "kbd", "label", "legend", "li", "link", "main", "map",
    "mark", "menu", "meta", "nav", "noscript", "object", "ol", "option", "p", "param",
    "picture", "pre", "q", "s", "samp", "script", "section", "select", "small", "source",
    "span", "strike", "strong", "style", "sub", "summary", "sup", "svg", "table", "tbody",
    "td", "template", "textarea", "tfoot", "th", "thead", "time", "title", "tr", "tt", "u",
    "ul", "var", "video", "wbr",
];

/// Elements that begin and end on a line of their own.
#[rustfmt::skip]
const BLOCKS: &[&str] = &[
    "address", "article", "blockquote", "dd", "div", "dl", "dt", "fieldset", "figure",
    "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main",
    "menu", "nav", "ol", "p", "pre", "section", "table", "tr", "ul",
];

/// The text without markup: `<br>` and the borders of paragraphs, list items
/// and other blocks become line breaks, cells of a table are set apart by a
/// space, other tags, comments, scripts and styles are dropped, entities
/// become their letters. A `<` that opens no tag stays. Markup that had been
/// escaped whole (`&lt;br&gt;`, `&amp;eacute;`) is resolved too.
pub(super) fn plain_text(raw: &str) -> Cow<'_, str> {
    let bytes = raw.as_bytes();
    if memchr3(b'<', b'&', b'\r', bytes).is_none() && memchr(0xC2, bytes).is_none() {
        return Cow::Borrowed(raw.trim());
    }
    let mut text = resolve(raw);
    if text != raw && text.contains(['<', '&']) {
        text = resolve(&text);
    }
    Cow::Owned(tidy(&text))
}

/// The text on one line.
pub(super) fn one_line(text: Cow<'_, str>) -> Cow<'_, str> {
    if !text.contains(['\n', '\r', '\t']) {
        return text;
    }
    Cow::Owned(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// One kind of line end, plain spaces, no spaces at line ends, and at most one
/// empty line in a row.
fn tidy(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let text = text.replace('\u{a0}', " ");
    let mut empty = 0;
    for line in text.trim().split('\n') {
        let line = line.trim_end();
        empty = if line.is_empty() { empty + 1 } else { 0 };
        if empty > 1 {
            continue;
        }
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(line);
    }
    out
}

fn resolve(raw: &str) -> String {
    let mut out = String::with_capacity(raw.len());
    let mut rest = raw;
    let mut search = Search::default();
    while let Some(at) = memchr(b'<', rest.as_bytes()) {
        push_unescaped(&mut out, &rest[..at]);
        rest = &rest[at..];
        let Some(markup) = search.markup(rest) else {
            out.push('<');
            rest = &rest[1..];
            continue;
        };
        match markup.becomes {
            Becomes::Nothing => {}
            Becomes::Break => out.push('\n'),
            Becomes::Border if out.is_empty() || out.ends_with('\n') => {}
            Becomes::Border => out.push('\n'),
            Becomes::Space if out.ends_with([' ', '\n']) => {}
            Becomes::Space => out.push(' '),
        }
        rest = &rest[markup.len..];
    }
    push_unescaped(&mut out, rest);
    out
}

/// Entities to letters. As in an attribute, one without `;` counts only where
/// no letter follows: `parts&notes` is no sign of logic.
fn push_unescaped(out: &mut String, text: &str) {
    if memchr(b'&', text.as_bytes()).is_some() {
        out.push_str(&htmlize::unescape_in(text, Context::Attribute));
    } else {
        out.push_str(text);
    }
}

enum Becomes {
    Nothing,
    Break,
    /// A line break unless one is there.
    Border,
    /// A space unless one is there.
    Space,
}

struct Markup {
    len: usize,
    becomes: Becomes,
}

/// What has been searched for in vain, so that hostile text full of openings
/// is not searched to its end for each.
#[derive(Default)]
struct Search {
    no_comment_end: bool,
    no_script_end: bool,
    no_style_end: bool,
}

impl Search {
    /// The markup at the beginning of `text`, which begins with `<`.
    fn markup(&mut self, text: &str) -> Option<Markup> {
        let nothing = |len| {
            Some(Markup {
                len,
                becomes: Becomes::Nothing,
            })
        };
        if let Some(comment) = text.strip_prefix("<!--") {
            if self.no_comment_end {
                return None;
            }
            let end = comment.find("-->");
            self.no_comment_end = end.is_none();
            return nothing(4 + end? + 3);
        }
        if text.starts_with("<!") || text.starts_with("<?") {
            let letter = text[2..].starts_with(|c: char| c.is_ascii_alphabetic() || c == '[');
            return letter.then(|| tag_end(text)).flatten().and_then(nothing);
        }
        let (name, closing) = tag_name(text)?;
        let len = tag_end(text)?;
        let is = |word: &str| name.eq_ignore_ascii_case(word);
        let hidden = if is("script") {
            Some(("</script", &mut self.no_script_end))
        } else if is("style") {
            Some(("</style", &mut self.no_style_end))
        } else {
            None
        };
        if let (Some((close, in_vain)), false) = (hidden, closing) {
            return nothing(len + hidden_len(&text[len..], close, in_vain));
        }
        let becomes = if is("br") {
            Becomes::Break
        } else if BLOCKS.iter().any(|b| is(b)) {
            Becomes::Border
        } else if is("td") || is("th") {
            Becomes::Space
        } else {
            Becomes::Nothing
        };
        Some(Markup { len, becomes })
    }
}

/// The name of the tag that begins here, and whether it is a closing one.
fn tag_name(text: &str) -> Option<(&str, bool)> {
    let inner = &text[1..];
    let (inner, closing) = match inner.strip_prefix('/') {
        Some(rest) => (rest, true),
        None => (inner, false),
    };
    let len = inner
        .bytes()
        .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b':'))
        .count();
    let name = &inner[..len];
    let begins_well = name.starts_with(|c: char| c.is_ascii_alphabetic());
    let ends_well = inner[len..].starts_with(['>', '/', ' ', '\t', '\n', '\r']);
    let known = name.contains(['-', ':']) || ELEMENTS.iter().any(|e| name.eq_ignore_ascii_case(e));
    (begins_well && ends_well && known).then_some((name, closing))
}

/// The length of a tag: to its `>`, one in a quoted attribute put aside. A `<`
/// before it means that this is no tag.
fn tag_end(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut quote = None;
    let mut first_end = None;
    for (at, &b) in bytes.iter().enumerate().skip(1) {
        match (b, quote) {
            (b'<', _) => break,
            (b'>', None) => return Some(at + 1),
            (b'>', Some(_)) => {
                first_end.get_or_insert(at + 1);
            }
            (b'"' | b'\'', None) if bytes[at - 1] == b'=' => quote = Some(b),
            (_, Some(q)) if q == b => quote = None,
            _ => {}
        }
    }
    // The quote was never closed: the first `>` it is.
    first_end
}

/// Bytes to pass over up to the closing tag; none where it is missing.
fn hidden_len(text: &str, close: &str, in_vain: &mut bool) -> usize {
    if *in_vain {
        return 0;
    }
    let mut at = 0;
    while let Some(n) = memchr(b'<', &text.as_bytes()[at..]) {
        at += n;
        let begins = text.as_bytes()[at..]
            .get(..close.len())
            .is_some_and(|t| t.eq_ignore_ascii_case(close.as_bytes()));
        if begins {
            return at;
        }
        at += 1;
    }
    *in_vain = true;
    0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn breaks_paragraphs_and_items_become_lines() {
        assert_eq!(plain_text("one<br>two<BR />three"), "one\ntwo\nthree");
        assert_eq!(plain_text("<p>one</p><p class=\"x\">two</p>"), "one\ntwo");
        assert_eq!(plain_text("<ul><li>one</li><li>two</li></ul>"), "one\ntwo");
        assert_eq!(plain_text("a<br><br><br><br>b"), "a\n\nb");
        assert_eq!(
            plain_text("<tr><td>Make</td><td>Saab</td></tr>"),
            "Make Saab"
        );
    }

    #[test]
    fn other_tags_comments_scripts_and_styles_are_dropped() {
        assert_eq!(plain_text("<b>new</b> <i>tires</i>"), "new tires");
        assert_eq!(plain_text("a<!-- hidden <b> -->b"), "ab");
        assert_eq!(plain_text("a<script>x('</p>')</SCRIPT>b"), "ab");
        assert_eq!(plain_text("a<style>p{}</style >b"), "ab");
        assert_eq!(plain_text("a<img alt=\"2 > 1\" src='x'>b"), "ab");
        assert_eq!(plain_text("a<o:p></o:p>b<?xml version='1'?>c"), "abc");
    }

    #[test]
    fn a_lone_sign_survives() {
        for text in [
            "< 100k miles",
            "<100k miles",
            "price <mine> firm",
            "a <b c",
            "2 < 3 > 1",
            "x <!-- y",
            "i <3 it",
        ] {
            assert_eq!(plain_text(text), text);
        }
    }

    #[test]
    fn entities_become_letters_once_and_twice_escaped() {
        assert_eq!(plain_text("&pound;500 &amp; up&nbsp;to"), "£500 & up to");
        assert_eq!(plain_text("caf&eacute; &#8364;5 &#x41;"), "café €5 A");
        assert_eq!(plain_text("a&lt;br /&gt;b &amp;eacute;"), "a\nb é");
        assert_eq!(plain_text("&lt; 100k miles"), "< 100k miles");
        assert_eq!(plain_text("parts&notes R&D AT&T"), "parts&notes R&D AT&T");
    }

    #[test]
    fn line_ends_are_of_one_kind() {
        assert_eq!(plain_text("a\r\nb\rc"), "a\nb\nc");
    }

    #[test]
    fn a_headline_is_one_line() {
        assert_eq!(one_line(plain_text("2004 Volvo<br>V70")), "2004 Volvo V70");
    }

    proptest! {
        #[test]
        fn text_without_markup_is_only_trimmed(text in "[a-z0-9 .,\n!>\"'$]{0,40}") {
            prop_assert_eq!(plain_text(&text), text.trim());
        }

        #[test]
        fn words_between_tags_all_stay_and_no_tag_does(
            parts in prop::collection::vec(
                ("[a-zé]{1,5}", "<(br|br /|p|/p|li|b|/b|img src='x>y'|!-- > --|style></style)>"),
                0..8,
            )
        ) {
            let marked: String = parts.iter().map(|(word, tag)| format!(" {word} {tag}")).collect();
            let words: Vec<&str> = parts.iter().map(|(word, _)| &**word).collect();
            let text = plain_text(&marked).into_owned();
            prop_assert_eq!(text.split_whitespace().collect::<Vec<_>>(), words, "{}", marked);
        }

        #[test]
        fn any_text_gives_text_of_plain_lines(
            text in "(<|>|/|br|script|p|b| |\"|=|!--|-->|&lt;|&amp;|&#|x|é|\r|\u{a0}){0,30}"
        ) {
            let odd = ['\r', '\u{a0}'];
            prop_assert!(!plain_text(&text).contains(odd));
        }
    }
}
