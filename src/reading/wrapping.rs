//! Whether the lines of a text end where a program broke them, and not its
//! writer: in mails and in exports that pass through one.
//!
//! A program breaks a line where the next word does not fit. So in such a text
//! hardly a line ends before it has to, and the lines go on in small letters.

use std::ops::Range;

use memchr::memchr_iter;

/// Narrower texts are lists.
const NARROWEST: usize = 30;
/// So many line ends are seen at least.
const FEWEST: usize = 3;

/// The lines of a text as it is gone through.
#[derive(Debug, Default, Clone)]
pub struct Lines {
    /// How wide they are, where a program broke them.
    width: Option<usize>,
    /// Where the line begins.
    start: usize,
}

impl Lines {
    /// Those of this text, from its beginning.
    pub fn of(text: &str) -> Self {
        Lines {
            width: width(text),
            start: 0,
        }
    }

    /// Goes on to the next line behind these signs of a line end; whether a
    /// program broke the line there, so that its end says nothing. That of the
    /// headline, the first, always says something.
    pub fn ends_broken(&mut self, text: &[u8], end: Range<usize>) -> bool {
        let start = std::mem::replace(&mut self.start, end.end);
        let fits = |width| fits(end.start - start, &text[end.end..], width);
        start > 0 && self.width.is_some_and(|width| !fits(width))
    }
}

/// How wide the lines of a text are that a program has broken; nothing where
/// the writer did. The first line is the headline and counts for nothing.
fn width(text: &str) -> Option<usize> {
    let body = memchr::memchr(b'\n', text.as_bytes())? + 1;
    let body = &text.as_bytes()[body..];
    let lines = || {
        let mut start = 0;
        memchr_iter(b'\n', body)
            .chain([body.len()])
            .map(move |end| {
                let line = &body[start..end];
                start = end + 1;
                line.trim_ascii()
            })
    };
    let widest = lines().map(<[u8]>::len).max()?;
    if widest < NARROWEST {
        return None;
    }
    let (mut ends, mut early, mut small) = (0, 0, 0);
    for (line, next) in lines().zip(lines().skip(1)) {
        if line.is_empty() || next.is_empty() {
            continue;
        }
        ends += 1;
        early += usize::from(fits(line.len(), next, widest));
        small += usize::from(next[0].is_ascii_lowercase());
    }
    (ends >= FEWEST && early * 8 <= ends && small * 2 >= ends).then_some(widest)
}

/// Whether the first word of the next line would have had room on this one.
fn fits(line: usize, next: &[u8], width: usize) -> bool {
    let word = next.iter().take_while(|b| !b.is_ascii_whitespace());
    line + 1 + word.count() <= width
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_broken_by_a_program_is_known() {
        let broken = "2003 Kia Rio\nRuns and drives, the clutch was replaced last\n\
                      spring and the tires are good. It needs a new\n\
                      alternator and the windshield is cracked on the\n\
                      passenger side. No rust. Clean title in hand.";
        assert_eq!(width(broken), Some(47));
        for own in [
            "2003 Kia Rio\nnew tires\nnew brakes\nneeds clutch\nruns good",
            "2003 Kia Rio\nThe clutch was replaced last spring.\nNew tires\nIt needs an alternator.\n\
             No rust",
            "2003 Kia Rio\nthe clutch was replaced last spring by the dealer\nnew tires\n\
             needs an alternator\nno rust\nclean title",
            "2003 Kia Rio",
        ] {
            assert_eq!(width(own), None, "{own}");
        }
    }
}
