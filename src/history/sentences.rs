//! What was added to a text and what was taken out, sentence by sentence.

use std::collections::HashMap;
use std::ops::Range;

use super::shingles::{for_words, joined};

/// The sentences of a text as byte ranges, blanks at the ends left out. A
/// full stop ends one where a blank follows; a line break always does.
fn sentences(text: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut start = 0;
    let mut chars = text.char_indices().peekable();
    std::iter::from_fn(move || {
        if start >= text.len() {
            return None;
        }
        let mut end = text.len();
        for (at, c) in chars.by_ref() {
            let after = at + c.len_utf8();
            let blank = text[after..].chars().next().is_none_or(char::is_whitespace);
            if c == '\n' || (matches!(c, '.' | '!' | '?' | ';') && blank) {
                end = after;
                break;
            }
        }
        let range = start..end;
        start = end;
        Some(range)
    })
    .filter_map(move |range| {
        let sentence = &text[range.clone()];
        let lead = sentence.len() - sentence.trim_start().len();
        let words = sentence.trim();
        let begin = range.start + lead;
        (!words.is_empty()).then(|| begin..begin + words.len())
    })
}

/// A sentence by its words: case and signs do not count.
fn key(sentence: &str) -> u64 {
    let mut all = 0;
    for_words(sentence, |word| all = joined(all, word));
    all
}

/// Sentences of the old text that the new one has not, and the other way
/// round. One that stands twice and then once has been taken out once.
pub(super) fn difference(old: &str, new: &str) -> (Vec<String>, Vec<String>) {
    let only = |of: &str, other: &str| {
        let mut held: HashMap<u64, u32> = HashMap::new();
        for range in sentences(other) {
            *held.entry(key(&other[range])).or_default() += 1;
        }
        let left = sentences(of).filter(|range| {
            let key = key(&of[range.clone()]);
            match held.get_mut(&key) {
                // Signs alone are no sentence.
                _ if key == 0 => false,
                Some(count) if *count > 0 => {
                    *count -= 1;
                    false
                }
                _ => true,
            }
        });
        left.map(|range| of[range].to_owned()).collect()
    };
    (only(old, new), only(new, old))
}

/// The sentence around a place of the text.
pub(crate) fn around(text: &str, place: &Range<usize>) -> Option<String> {
    sentences(text)
        .find(|s| s.start <= place.start && place.start < s.end)
        .map(|s| text[s].to_owned())
}

/// Whether a text has this sentence.
pub(super) fn has(text: &str, sentence: &str) -> bool {
    let wanted = key(sentence);
    sentences(text).any(|range| key(&text[range]) == wanted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_taken_out_and_put_in() {
        let old = "1999 Saab 9-5\nRuns well. Leaks a 2.3 l pool of oil! Clean papers.";
        let new = "1999 SAAB 9-5\nRuns well. Clean papers, first to see it buys.";
        let (removed, added) = difference(old, new);
        assert_eq!(removed, ["Leaks a 2.3 l pool of oil!", "Clean papers."]);
        assert_eq!(added, ["Clean papers, first to see it buys."]);
        assert_eq!(difference(old, old), (vec![], vec![]));
    }

    #[test]
    fn a_sentence_is_found_by_any_place_in_it() {
        let text = "Runs. Has a blown head gasket, sadly. Cheap.";
        let at = text.find("head").unwrap();
        let sentence = around(text, &(at..at + 4)).unwrap();
        assert_eq!(sentence, "Has a blown head gasket, sadly.");
        assert!(has("CHEAP! Has a blown head gasket sadly", &sentence));
        assert!(!has("Has a head gasket", &sentence));
        assert_eq!(around("", &(0..0)), None);
    }
}
