//! Phone numbers and mail addresses taken out of what is to be shared.
//!
//! How numbers are grouped is common practice in the countries named; no list
//! of areas is kept. A number that could as well be a price, a distance, a
//! year or a VIN is left.

use std::borrow::Cow;
use std::ops::Range;
use std::sync::LazyLock;

use regex::{Captures, Regex};

/// What stands in place of a phone number.
const PHONE: &str = "[phone]";
/// What stands in place of a mail address.
const MAIL: &str = "[mail]";

/// `S` is what may stand between groups: spaces, dots, dashes.
const PATTERN: &str = r"(?x)
    (?P<mail> [\p{L}\p{N}._%+-]+ @ [\p{L}\p{N}-]+ (?: \. [\p{L}\p{N}-]+ )+ )
    # A country's code and all that follows.
  | (?P<sure>
      (?: \+ | \b 00 ) [1-9]\d{0,2} S{0,2} (?: \( 0? \d{0,4} \) S{0,2} )? \d{1,5} (?: S? \d{2,8} ){1,4}
    # UK, with its zero: 01632 960123, 020 7946 0958, 0161 496 0000, 07700 900 123
    | \(? 0\d{4} \)? S{1,2} (?: \d{6} | \d{3} S \d{3} )
    | \(? 0\d{3} \)? S{1,2} \d{3} S \d{4}
    | \(? 0\d{2} \)? S{1,2} \d{4} S \d{4}
    | 0\d{9,10}
    # Australia: 0491 570 156, (02) 5550 1234, 1300 975 707
    | 0\d{3} S \d{3} S \d{3}
    | \(? 0\d \)? S{0,2} \d{4} S? \d{4}
    | 1[38]00 S \d{3} S \d{3}
    # Other countries with a zero: 0171 1234567, 0171/1234567
    | \(? 0\d{2,4} \)? [\s/-]{1,3} \d{6,8}
    # North America: (202) 555-0123, 1-202-555-0123
    | (?: 1 S )? \( [2-9]\d{2} \) S{0,2} [2-9]\d{2} S? \d{4}
    | (?: 1 S? )? [2-9]\d{2} [.\x{2010}-\x{2015}-] [2-9]\d{2} [.\x{2010}-\x{2015}-] \d{4}
    | 1? [2-9]\d{2} [2-9]\d{2} \d{4}
    )
    # North America with spaces, which may be three numbers in a row.
  | (?P<spaced> (?: 1 S )? [2-9]\d{2} S{1,2} [2-9]\d{2} S{1,2} \d{4} )
    # Without the area: 555-0123. May be a range of prices.
  | (?P<local> [2-9]\d{2} [\x{2010}-\x{2015}-] \d{4} )
";

static CONTACTS: LazyLock<Regex> = LazyLock::new(|| {
    let pattern = PATTERN.replace("S", r"[\s.\x{2010}-\x{2015}-]");
    Regex::new(&pattern).expect("the pattern is sound")
});

/// The text with phone numbers as `[phone]` and mail addresses as `[mail]`.
///
/// Phone numbers are found as people write them in the United States and
/// Canada, the United Kingdom and Australia, and with a country's code
/// anywhere. Numbers spelt in words are not found. Doing it twice changes
/// nothing.
pub fn mask_contacts(text: &str) -> Cow<'_, str> {
    let mut masked = once(text);
    // A mask may uncover a number beside it; each round masks one at least.
    loop {
        let again = once(&masked).into_owned();
        if again == *masked {
            return masked;
        }
        masked = Cow::Owned(again);
    }
}

fn once(text: &str) -> Cow<'_, str> {
    CONTACTS.replace_all(text, |found: &Captures<'_>| {
        let number = found.get_match().as_str();
        match found.name("mail") {
            Some(_) => MAIL.to_owned(),
            None if is_contact(text, found) => PHONE.to_owned(),
            None => number.to_owned(),
        }
    })
}

/// Whether what the pattern found is a mail address or a telephone number.
fn is_contact(text: &str, found: &Captures<'_>) -> bool {
    let whole = found.get_match();
    let number = whole.as_str();
    found.name("mail").is_some()
        || stands_alone(&text[..whole.start()], &text[whole.end()..])
            && (found.name("sure").is_some()
                || (found.name("spaced").is_some() && !ends_in_year(number))
                || (found.name("local").is_some() && is_local_number(number)))
}

/// Bytes of the text that [`mask_contacts`] would mask, in order.
pub fn contacts(text: &str) -> Vec<Range<usize>> {
    let mut all: Vec<Range<usize>> = Vec::new();
    let stretches = stretches(text);
    if stretches.is_empty() {
        return all;
    }
    let mut left = text.to_owned();
    loop {
        let mut found: Vec<Range<usize>> = Vec::new();
        for stretch in &stretches {
            found.extend(found_in(&left, stretch));
        }
        if found.is_empty() {
            all.sort_by_key(|range| range.start);
            return all;
        }
        // A mask may uncover a number beside it, as there.
        for range in found {
            left.replace_range(range.clone(), &"[".repeat(range.len()));
            all.push(range);
        }
    }
}

/// Fewest digits of a telephone number that does not begin with a country's
/// code.
const FEWEST: usize = 7;

/// Parts of a text outside of which there is no contact: runs of digits and of
/// what may stand between them, with digits enough. A text with a mail address
/// is one part.
fn stretches(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    if memchr::memchr(b'@', bytes).is_some() {
        return std::iter::once(0..bytes.len()).collect();
    }
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(start) = bytes[at..].iter().position(|b| may_stand(*b)) {
        let start = at + start;
        let length = bytes[start..].iter().take_while(|b| may_stand(**b)).count();
        let stretch = &bytes[start..start + length];
        // A letter beyond ASCII may be a digit of another script.
        let digits = |b: &&u8| b.is_ascii_digit() || **b >= 0xc0;
        let digits = stretch.iter().filter(digits).count();
        if begins_with_country(stretch) || digits >= FEWEST && may_be_number(stretch) {
            out.push(start..start + length);
        }
        at = start + length;
    }
    out
}

/// Whether a country's code may begin in a stretch: `+1`, `0044`.
fn begins_with_country(stretch: &[u8]) -> bool {
    let plus = |w: &[u8]| w[0] == b'+' && w[1].is_ascii_digit();
    stretch.windows(2).any(plus)
        || stretch
            .split(|b| !b.is_ascii_digit())
            .any(|group| group.starts_with(b"00"))
}

/// Whether a stretch is parted as some telephone number is. Prices, years and
/// distances that stand side by side mostly are not, and this tells it without
/// the slow search.
fn may_be_number(stretch: &[u8]) -> bool {
    if !stretch.is_ascii() || stretch.contains(&b'(') {
        return true;
    }
    let mut groups = stretch
        .split(|b| !b.is_ascii_digit())
        .filter(|group| !group.is_empty())
        .peekable();
    while let Some(group) = groups.next() {
        let may = match group {
            [b'0', _, ..] | b"1300" | b"1800" => true,
            // The last four digits of a number stand behind three.
            [b'2'..=b'9', _, _] => groups.peek().is_some_and(|next| next.len() == 4),
            _ => group.len() >= 10,
        };
        if may {
            return true;
        }
    }
    false
}

/// Whether a number may hold this byte: it is a digit, a sign or space of the
/// pattern, or a piece of a letter beyond ASCII, which may be either.
fn may_stand(byte: u8) -> bool {
    byte.is_ascii_digit()
        || byte.is_ascii_whitespace()
        || matches!(byte, 0x0b | b'.' | b'-' | b'(' | b')' | b'/' | b'+')
        || !byte.is_ascii()
}

/// What the pattern finds in one of the [`stretches`] of a text.
fn found_in(text: &str, stretch: &Range<usize>) -> Vec<Range<usize>> {
    // What stands before counts for the border of a word, what stands behind
    // cannot be part of a number.
    let until = &text[..stretch.end];
    let mut out = Vec::new();
    let mut at = stretch.start;
    while let Some(found) = CONTACTS.captures_at(until, at) {
        let range = found.get_match().range();
        at = range.end;
        if is_contact(text, &found) {
            out.push(range);
        }
    }
    out
}

/// Whether a number is no part of a longer one, of a word such as a VIN, or
/// of an amount of money.
fn stands_alone(before: &str, after: &str) -> bool {
    let mut back = before.chars().rev();
    let ends_well = match back.next() {
        Some(c) if c.is_alphanumeric() || matches!(c, '$' | '£' | '€') => false,
        // `$ 500-1250`, `1,555-0123`
        Some(' ') => !matches!(back.next(), Some('$' | '£' | '€')),
        Some('.' | ',' | '-') => !back.next().is_some_and(|c| c.is_ascii_digit()),
        _ => true,
    };
    let mut on = after.chars();
    let begins_well = match on.next() {
        Some(c) if c.is_alphanumeric() => false,
        Some('.' | ',' | '-') => !on.next().is_some_and(|c| c.is_ascii_digit()),
        _ => true,
    };
    ends_well && begins_well
}

fn last_four(number: &str) -> u32 {
    let tail = number.get(number.len().saturating_sub(4)..);
    tail.and_then(|t| t.parse().ok()).unwrap_or_default()
}

fn ends_in_year(number: &str) -> bool {
    (1950..=2039).contains(&last_four(number))
}

/// 555 is nobody's price; else a round end means money and a year a year.
fn is_local_number(number: &str) -> bool {
    number.starts_with("555") || !(last_four(number).is_multiple_of(50) || ends_in_year(number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_places_of_contacts_are_those_that_are_masked() {
        for text in [
            "call 555-0114 or 555-0115, joe@example.com; £500-1250",
            "202-555-0123 202-555-0124é, 187000 miles",
            "no contact, $1,500",
        ] {
            let mut masked = text.to_owned();
            for range in contacts(text).into_iter().rev() {
                let mail = text[range.clone()].contains('@');
                masked.replace_range(range, if mail { MAIL } else { PHONE });
            }
            assert_eq!(masked, mask_contacts(text), "{text}");
        }
    }
    use proptest::prelude::*;

    #[test]
    fn phones_are_masked() {
        for phone in [
            "555-0123",
            "202-555-0123",
            "(202) 555-0123",
            "(202)555-0123",
            "202.555.0123",
            "202 555 0123",
            "2025550123",
            "1-202-555-0123",
            "+1 202 555 0123",
            "+12025550123",
            "07700 900123",
            "07700 900 123",
            "07700900123",
            "01632 960123",
            "(01632) 960 123",
            "020 7946 0958",
            "0161 496 0000",
            "+44 7700 900123",
            "+44 (0)20 7946 0958",
            "0491 570 156",
            "0491570156",
            "(02) 5550 1234",
            "02 5550 1234",
            "+61 491 570 156",
            "1300 975 707",
            "0171 1234567",
            "+49 171 1234567",
        ] {
            assert_eq!(
                mask_contacts(&format!("Call {phone}, or text.")),
                "Call [phone], or text.",
                "{phone}"
            );
        }
    }

    #[test]
    fn mail_is_masked() {
        assert_eq!(
            mask_contacts("write jo.smith+car@mail.example.com."),
            "write [mail]."
        );
    }

    #[test]
    fn figures_of_the_car_are_not_masked() {
        for text in [
            "$1,850 obo",
            "asking 500-1000",
            "$400-1250",
            "$ 555-1234",
            "214,000 miles",
            "214 000 km",
            "150.000 km",
            "214000 mi",
            "1998-2004",
            "2004 Volvo V70 2.4",
            "240 245 1990",
            "VIN YV1SW61R641234567",
            "1HGCM82633A004352",
            "tires 205/55R16",
            "part 30750-1234567",
            "2024-05-12",
            "12/05/2024 10:30",
            "0-60 in 6.5",
            "350 Chevrolet 350",
            "£2,025,550,123",
            "@ 9am",
        ] {
            let masked = mask_contacts(text);
            assert!(
                matches!(masked, Cow::Borrowed(_)) || masked == text,
                "{masked}"
            );
        }
    }

    proptest! {
        #[test]
        fn twice_is_once(text in "([0-9]{1,4}|[ .()+-]|a|@|x\\.com|\\$){0,14}") {
            let once = mask_contacts(&text).into_owned();
            prop_assert_eq!(&*mask_contacts(&once), &*once);
        }

        #[test]
        fn any_price_distance_and_year_stay(price in 100u32..99_999, miles in 1_000u32..999_999, year in 1960u32..2030) {
            let text = format!("{year} Saab 900, {miles} miles, ${price}");
            prop_assert_eq!(&*mask_contacts(&text), &*text);
        }
    }
}
