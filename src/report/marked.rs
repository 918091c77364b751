//! A text with numbered marks around what was read in it. Where two places
//! overlap, the common part carries both numbers.

use std::ops::Range;

use crate::safe_text::{contacts, for_block, mask_of};

/// Whether telephone numbers and mail addresses are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Contacts {
    /// Each gives way to a word in brackets.
    #[default]
    Masked,
    /// As they stand.
    Kept,
}

/// A stretch of the text, harmless to show, with the numbers of the places
/// that it is in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// The words; line breaks and tabs are kept.
    pub text: String,
    /// In rising order; none for words that nothing was read from.
    pub numbers: Vec<usize>,
}

/// Parts the text where places begin and end; `places` are byte ranges with
/// their numbers. Ranges that do not lie on character borders of the text are
/// left out.
pub fn pieces(text: &str, places: &[(usize, Range<usize>)], shown: Contacts) -> Vec<Piece> {
    let places: Vec<_> = places
        .iter()
        .filter(|(_, r)| !r.is_empty() && text.get(r.clone()).is_some())
        .collect();
    let mut borders: Vec<usize> = places.iter().flat_map(|(_, r)| [r.start, r.end]).collect();
    borders.extend([0, text.len()]);
    borders.sort_unstable();
    borders.dedup();
    // Cleaned whole before contacts are looked for: what has no width must not
    // part a number.
    let mut clean = String::with_capacity(text.len());
    let mut parts: Vec<(Range<usize>, Vec<usize>)> = Vec::new();
    for pair in borders.windows(2) {
        let (start, end) = (pair[0], pair[1]);
        let mut numbers: Vec<usize> = places
            .iter()
            .filter(|(_, r)| r.start <= start && end <= r.end)
            .map(|(n, _)| *n)
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        let from = clean.len();
        clean.push_str(&for_block(text.get(start..end).unwrap_or_default()));
        parts.push((from..clean.len(), numbers));
    }
    let hidden = match shown {
        Contacts::Masked => contacts(&clean),
        Contacts::Kept => Vec::new(),
    };
    parts
        .into_iter()
        .map(|(range, numbers)| Piece {
            text: without(&clean, range, &hidden),
            numbers,
        })
        .filter(|piece| !piece.text.is_empty())
        .collect()
}

/// A stretch of the text with a word where something hidden begins, and
/// nothing for the rest of it.
fn without(text: &str, range: Range<usize>, hidden: &[Range<usize>]) -> String {
    let mut out = String::with_capacity(range.len());
    let mut at = range.start;
    for hide in hidden
        .iter()
        .filter(|h| h.start < range.end && range.start < h.end)
    {
        if hide.start >= at {
            out.push_str(&text[at..hide.start]);
            out.push_str(mask_of(&text[hide.clone()]));
        }
        at = hide.end.min(range.end).max(at);
    }
    out.push_str(&text[at..range.end]);
    out
}

/// The marks in plain characters: `[3: head gasket is leaking]`.
pub fn marked(text: &str, places: &[(usize, Range<usize>)]) -> String {
    let mut out = String::with_capacity(text.len() * 2);
    for piece in pieces(text, places, Contacts::Masked) {
        let text = piece.text.replace('\t', " ");
        if piece.numbers.is_empty() {
            out.push_str(&text);
            continue;
        }
        let numbers: Vec<_> = piece.numbers.iter().map(usize::to_string).collect();
        let text = text.replace('\n', " ");
        out.push_str(&format!("[{}: {text}]", numbers.join(",")));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overlapping_places_share_their_common_part() {
        assert_eq!(
            marked("head gasket blown", &[(1, 0..11), (2, 5..17)]),
            "[1: head ][1,2: gasket][2:  blown]"
        );
    }

    #[test]
    fn a_place_outside_the_text_is_left_out() {
        assert_eq!(marked("é", &[(1, 0..1), (2, 5..9), (3, 0..2)]), "[3: é]");
    }

    #[test]
    fn a_contact_is_masked_even_where_a_place_cuts_it() {
        let text = "call 202-555-0123 or a@b.example now";
        let whole = marked(text, &[]);
        assert_eq!(whole, "call [phone] or [mail] now");
        assert_eq!(
            marked(text, &[(1, 0..8), (2, 12..20)]),
            "[1: call [phone]][2:  or] [mail] now"
        );
        let kept = pieces(text, &[], Contacts::Kept);
        assert_eq!(kept[0].text, text);
    }

    #[test]
    fn what_has_no_width_does_not_part_a_number() {
        assert_eq!(marked("202-5\u{200b}55-0123", &[(1, 0..5)]), "[1: [phone]]");
    }
}
