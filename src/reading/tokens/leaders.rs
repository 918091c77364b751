//! Dots that lead from the name of an entry to what stands in it.

use std::ops::Range;

/// Fewer dots only part thoughts.
const LEADER: usize = 4;
/// Bytes that the name of an entry may have.
const NAME: usize = 60;
/// Words that it may have.
const ENTRY_WORDS: usize = 4;

/// `Clutch ........ 98,500`: whether a row of dots leads from the name of an entry,
/// the first words of its line, to what stands in it.
pub(super) fn leads(bytes: &[u8], dots: Range<usize>) -> bool {
    // Before all else: most rows of dots are short, and a line may be as long as the ad.
    let from = dots.start.saturating_sub(NAME);
    let start = bytes[from..dots.start].iter().rposition(|b| *b == b'\n');
    if dots.len() < LEADER || start.is_none() && from > 0 {
        return false;
    }
    let name = &bytes[start.map_or(0, |line| from + line + 1)..dots.start];
    let spaces = bytes[dots.end..].iter().take_while(|b| **b == b' ').count();
    let goes_on = !matches!(bytes.get(dots.end + spaces), None | Some(b'\n'));
    let words = name
        .split(u8::is_ascii_whitespace)
        .filter(|w| !w.is_empty());
    let plain = name.iter().all(|b| !matches!(b, b'.' | b'!' | b'?' | b':'));
    goes_on && plain && (1..=ENTRY_WORDS).contains(&words.count())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> bool {
        let start = text.find("..").unwrap_or(0);
        let end = text.rfind("..").map_or(0, |at| at + 2);
        leads(text.as_bytes(), start..end)
    }

    #[test]
    fn a_row_of_dots_behind_the_first_words_of_a_line_leads() {
        assert!(at("Clutch ........ 98,500"));
        assert!(at("Work done:\nfront pads and rotors ......... 118K"));
        assert!(!at("runs good... 400"));
        assert!(!at("it has run for eleven years now ..... call me"));
        assert!(!at("runs and drives ......\ncall"));
    }
}
