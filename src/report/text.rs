//! Words and lines: how figures and facts are put for people.

use unicode_width::UnicodeWidthStr;

use crate::lexicon::Lexicon;
use crate::lexicon::parts::PartId;
use crate::safe_text::{for_terminal, mask_contacts};
use crate::units::{DistanceUnit, Miles, Money, ThreePoint};

/// Text that others wrote, on one line, without characters that could act on a
/// terminal. For what identifies a listing and must stay whole.
pub fn plain(text: &str) -> String {
    for_terminal(text).into_owned()
}

/// Text that others wrote, made fit for a terminal and for sharing: one line,
/// no characters that act, no phone numbers, no mail addresses.
pub fn shown(text: &str) -> String {
    mask_contacts(&for_terminal(text)).into_owned()
}

/// A part's code in words.
pub fn part_words(lexicon: &Lexicon, part: PartId) -> String {
    lexicon.parts.words(part)
}

/// A chance to the precision that such an estimate has.
pub fn hundredths(chance: f64) -> f64 {
    (chance * 100.0).round() / 100.0
}

/// A chance in words; a small one is not written as none.
pub fn likely(chance: f64) -> String {
    if chance > 0.0 && chance < 0.005 {
        "under 1 % likely".to_owned()
    } else {
        format!("{:.0} % likely", chance * 100.0)
    }
}

/// `420-800`, for figures that are not negative.
pub fn span(range: &ThreePoint<Money>) -> String {
    format!("{}-{}", range.low, range.high)
}

/// `-100 to 2,300`, for figures that may be negative.
pub fn span_signed(range: &ThreePoint<Money>) -> String {
    format!("{} to {}", range.low, range.high)
}

/// `148,000 mi`.
pub fn distance(miles: Miles, unit: DistanceUnit) -> String {
    match unit {
        DistanceUnit::Miles => format!("{miles} mi"),
        DistanceUnit::Km => format!("{} km", Miles(miles.to_km())),
    }
}

/// Money with cents and thousands: `-1,245.50`.
pub fn with_cents(amount: Money) -> String {
    let cents = amount.amount().round_dp(2).abs();
    let whole = Money::new(cents.trunc());
    let sign = if amount < Money::ZERO && !cents.is_zero() {
        "-"
    } else {
        ""
    };
    let text = format!("{:.2}", cents);
    let fraction = text.split_once('.').map_or("00", |(_, f)| f);
    format!("{sign}{whole}.{fraction}")
}

/// Columns that a text takes on a terminal.
pub fn width(text: &str) -> usize {
    text.width()
}

/// The text cut to a width, with `...` where something was cut.
pub fn cut(text: &str, most: usize) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let (head, _) = text.split_at(fitting(text, most.saturating_sub(3)));
    format!("{}{}", head.trim_end(), &"..."[..most.min(3)])
}

/// Bytes at the start of a text that take no more columns than these. What
/// takes none itself (accents, joiners, marks of style) stays with its letter.
fn fitting(text: &str, most: usize) -> usize {
    let mut fits = 0;
    for (at, c) in text.char_indices() {
        let end = at + c.len_utf8();
        // Of the whole, since some sequences take other room than their letters.
        if width(&text[..end]) > most {
            break;
        }
        fits = end;
    }
    fits
}

/// The text filled up with blanks on the right.
pub fn left(text: &str, columns: usize) -> String {
    let fill = columns.saturating_sub(width(text));
    format!("{text}{}", " ".repeat(fill))
}

/// The text filled up with blanks on the left.
pub fn right(text: &str, columns: usize) -> String {
    let fill = columns.saturating_sub(width(text));
    format!("{}{text}", " ".repeat(fill))
}

/// Lines no wider than `most`, broken at blanks; a word that is wider is
/// broken inside.
pub fn wrap(text: &str, most: usize) -> Vec<String> {
    let most = most.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let wide = width(word);
        if used > 0 && used + 1 + wide > most {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        if wide <= most {
            line.push_str(word);
            used += wide;
            continue;
        }
        let mut rest = word;
        while !rest.is_empty() {
            let at_least = rest.chars().next().map_or(0, char::len_utf8);
            let mut end = fitting(rest, most - used);
            if end == 0 && used > 0 {
                lines.push(std::mem::take(&mut line));
                used = 0;
                continue;
            }
            end = end.max(at_least);
            let (piece, after) = rest.split_at(end);
            line.push_str(piece);
            used += width(piece);
            rest = after;
            if !rest.is_empty() {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_to_the_width_and_lose_nothing() {
        let lines = wrap("head gasket, maybe water pump aaaaaaaaaaaaaaaaaaaa end", 12);
        assert!(lines.iter().all(|l| width(l) <= 12), "{lines:?}");
        assert_eq!(
            lines,
            [
                "head gasket,",
                "maybe water",
                "pump",
                "aaaaaaaaaaaa",
                "aaaaaaaa end"
            ]
        );
    }

    #[test]
    fn letters_that_take_two_columns_or_none_are_counted_so() {
        // Wide letters, an accent of its own, a picture made of several.
        for text in [
            "日産スカイライン要修理車検切れ",
            "cafe\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}",
            "x\u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467}\u{2764}\u{fe0f}\u{2764}\u{fe0f}abc",
        ] {
            for most in 2..12 {
                let lines = wrap(text, most);
                assert_eq!(lines.concat(), text);
                for line in &lines {
                    assert!(width(line) <= most, "{line} is wider than {most}");
                    assert!(!line.starts_with('\u{301}'), "{lines:?}");
                }
                assert!(width(&cut(text, most)) <= most);
                assert_eq!(width(&left(&cut(text, most), most)), most);
            }
        }
    }

    #[test]
    fn a_cut_says_so() {
        assert_eq!(cut("Mitsubishi Outlander", 12), "Mitsubish...");
        assert_eq!(cut("Saab", 12), "Saab");
        assert_eq!(cut("Mitsubishi", 2), "..");
    }

    #[test]
    fn cents_are_shown_with_their_sign() {
        let money = |v| Money::from_f64(v).unwrap();
        assert_eq!(with_cents(money(-1245.5)), "-1,245.50");
        assert_eq!(with_cents(money(-0.4)), "-0.40");
        assert_eq!(with_cents(money(0.0)), "0.00");
    }

    #[test]
    fn distance_is_shown_in_the_users_unit() {
        assert_eq!(distance(Miles(148_000), DistanceUnit::Miles), "148,000 mi");
        // 148,000 x 1.609344 = 238,182.9.
        assert_eq!(distance(Miles(148_000), DistanceUnit::Km), "238,183 km");
    }
}
