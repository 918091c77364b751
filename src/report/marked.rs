//! A text with numbered marks around what was read in it, in plain characters:
//! `[3: head gasket is leaking]`. Where two places overlap, the common part
//! carries both numbers.

use std::ops::Range;

use super::text::shown;

/// Puts the marks; `places` are byte ranges with their numbers. Ranges that do
/// not lie on character borders of the text are left out.
pub fn marked(text: &str, places: &[(usize, Range<usize>)]) -> String {
    let places: Vec<_> = places
        .iter()
        .filter(|(_, r)| !r.is_empty() && text.get(r.clone()).is_some())
        .collect();
    let mut borders: Vec<usize> = places.iter().flat_map(|(_, r)| [r.start, r.end]).collect();
    borders.extend([0, text.len()]);
    borders.sort_unstable();
    borders.dedup();
    let mut out = String::with_capacity(text.len() * 2);
    for pair in borders.windows(2) {
        let (start, end) = (pair[0], pair[1]);
        let Some(piece) = text.get(start..end) else {
            continue;
        };
        let mut numbers: Vec<usize> = places
            .iter()
            .filter(|(_, r)| r.start <= start && end <= r.end)
            .map(|(n, _)| *n)
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        if numbers.is_empty() {
            out.push_str(&clean_lines(piece));
            continue;
        }
        let numbers: Vec<_> = numbers.iter().map(usize::to_string).collect();
        out.push_str(&format!("[{}: {}]", numbers.join(","), shown(piece)));
    }
    out
}

fn clean_lines(text: &str) -> String {
    text.split('\n').map(shown).collect::<Vec<_>>().join("\n")
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
}
