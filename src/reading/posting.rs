//! What stands around an ad that was posted as a news article or mail, and is
//! none of it: its header, marks of quoted lines, names of other articles, and
//! the signature.

use std::borrow::Cow;
use std::ops::Range;

use memchr::memmem;

use crate::lexicon::word_classes::{ClassSet, WordClass, WordClasses};

/// No name of a field is longer.
const LONGEST: usize = 25;
/// A signature has so many lines at most (RFC 3676 and custom: four; banners
/// are longer).
const SIGNATURE: usize = 8;

/// The text with spaces in the place of all that; what is left stands where it
/// stood. The first line is the headline. `table` has the fields of a header.
pub fn without_envelope<'t>(text: &'t str, table: &WordClasses) -> Cow<'t, str> {
    let mut out: Vec<Range<usize>> = Vec::new();
    let bytes = text.as_bytes();
    let body = memchr::memchr(b'\n', bytes).map_or(text.len(), |end| end + 1);
    let header = header(text, body, table);
    let start = header.last().map_or(body, |h| h.end);
    out.extend(header.into_iter().map(|line| {
        // Of some only the name is left out.
        let told = field(&text[line.clone()], table).filter(|f| f.is(WordClass::ToldField));
        line.start..told.map_or(line.end, |field| line.start + field.length + 1)
    }));
    out.extend(marked(bytes, start));
    out.extend(articles(text, start));
    out.extend(signature(text, start));
    if out.is_empty() {
        return Cow::Borrowed(text);
    }
    let mut bytes = text.as_bytes().to_vec();
    for range in out {
        for byte in &mut bytes[range] {
            if *byte != b'\n' {
                *byte = b' ';
            }
        }
    }
    // Whole characters became spaces.
    String::from_utf8(bytes).map_or(Cow::Borrowed(text), Cow::Owned)
}

/// The lines from a byte on that hold something, without their ends.
fn lines(text: &str, from: usize) -> impl Iterator<Item = Range<usize>> {
    let mut start = from;
    let lines = text[from..].split('\n').map(move |line| {
        let range = start..start + line.trim_end_matches('\r').len();
        start += line.len() + 1;
        range
    });
    lines.filter(|l| !l.is_empty())
}

/// The marks before quoted lines.
fn marked(bytes: &[u8], from: usize) -> impl Iterator<Item = Range<usize>> {
    let starts = memchr::memchr_iter(b'>', &bytes[from..]).map(move |at| from + at);
    let starts = starts.filter(|at| at.checked_sub(1).is_none_or(|end| bytes[end] == b'\n'));
    starts.map(|start| {
        let marks = bytes[start..].iter();
        start..start + marks.take_while(|b| matches!(b, b'>' | b' ')).count()
    })
}

/// A field of a header.
struct Field {
    /// Bytes of its name.
    length: usize,
    classes: ClassSet,
}

impl Field {
    fn is(&self, class: WordClass) -> bool {
        self.classes.meets(ClassSet::of(&[class]))
    }
}

/// The field that a line is.
fn field(line: &str, table: &WordClasses) -> Option<Field> {
    let length = line.bytes().take(LONGEST + 1).position(|b| b == b':')?;
    let name = line.get(..length)?.to_ascii_lowercase();
    let classes = table.of(&name);
    let field = Field { length, classes };
    field.is(WordClass::HeaderField).then_some(field)
}

/// The lines of the header: two fields at least, one of them sure to be one, up
/// to an empty line or the first that is none and does not go on with one.
fn header(text: &str, body: usize, table: &WordClasses) -> Vec<Range<usize>> {
    let mut out: Vec<Range<usize>> = Vec::new();
    let (mut fields, mut sure) = (0, false);
    for line in lines(text, body) {
        let written = &text[line.clone()];
        let field = field(written, table);
        let goes_on = fields > 0 && written.starts_with([' ', '\t']);
        // `Article 1182 of valley.forsale:`
        let first = out.is_empty() && written.ends_with(':');
        let parted = out.last().is_some_and(|last| {
            text[last.end..line.start]
                .bytes()
                .filter(|b| *b == b'\n')
                .count()
                > 1
        });
        if parted && fields > 0 || field.is_none() && !goes_on && !first {
            break;
        }
        fields += usize::from(field.is_some());
        sure |= field.is_some_and(|f| f.is(WordClass::SureField));
        out.push(line);
    }
    if fields < 2 || !sure {
        out.clear();
    }
    out
}

/// Names of other articles: `<2217@mirror.edu>`.
fn articles(text: &str, from: usize) -> impl Iterator<Item = Range<usize>> {
    let bytes = text.as_bytes();
    memchr::memchr_iter(b'<', &bytes[from..]).filter_map(move |at| {
        let start = from + at;
        let inside = bytes[start + 1..].iter();
        let length = inside
            .take_while(|b| b.is_ascii_graphic() && !matches!(b, b'<' | b'>'))
            .count();
        let end = start + 1 + length;
        let name = &bytes[start + 1..end];
        (bytes.get(end) == Some(&b'>') && name.contains(&b'@')).then_some(start..end + 1)
    })
}

/// The signature: few lines behind two dashes on a line of their own, with an
/// address among them.
fn signature(text: &str, from: usize) -> Option<Range<usize>> {
    let at = memmem::rfind(&text.as_bytes()[from..], b"\n--")? + from + 1;
    let (dashes, rest) = text[at..].split_once('\n')?;
    let addressed = rest.contains('@') || rest.contains('!');
    let short = rest.trim_end().lines().count() <= SIGNATURE;
    (dashes.trim_end() == "--" && addressed && short).then_some(at..text.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_around_a_posting_is_left_out() {
        let text = "FS: 1986 Mazda 626\nPath: a!b!c\nFrom: x@y.edu (X Y)\nNewsgroups: hill.autos,\n\
                    \thill.forsale\nLines: 4\n\n1986 Mazda 626, 5sp\n\n> asking $2200\nIn <3@y.edu> I \
                    wrote\n-- \nX Y  x@y.edu  auto fan";
        let left = without_envelope(text, &WordClasses::built_in());
        assert_eq!(left.len(), text.len());
        let words: Vec<&str> = left.split_whitespace().collect();
        assert_eq!(
            words.join(" "),
            "FS: 1986 Mazda 626 1986 Mazda 626, 5sp asking $2200 In I wrote"
        );
    }

    #[test]
    fn a_form_or_a_line_of_dashes_is_no_envelope() {
        for text in [
            "Saab 900\nDate: 3 May\nSubject: Saab\nnew tires\n--\n$500",
            "Saab 900\nYear: 1987\nMileage: 109K\nPrice: $2,750",
            "Saab 900\nnew tires < 6 mos. old, mail x@y.edu",
            "Saab 900",
        ] {
            assert_eq!(without_envelope(text, &WordClasses::built_in()), text);
        }
    }
}
