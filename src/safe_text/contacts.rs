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

/// Apart from the numbers, since with both in one pattern every number found
/// in a long run of letters and digits means a search to the end of the run
/// for the `@` of an address.
const ADDRESS: &str = r"[\p{L}\p{N}._%+-]+@[\p{L}\p{N}-]+(?:\.[\p{L}\p{N}-]+)+";

/// `S` is what may stand between groups: spaces, dots, dashes; `D` a digit.
const NUMBER: &str = r"(?x)
    # North America with its code has ten figures behind it.
    (?P<sure>
      (?: \+ | \b 00 ) 1 S{0,2} \(? [2-9]D{2} \)? S{0,2} [2-9]D{2} S? D{4} \b
    # Another country's code and all that follows.
    | (?: \+ | \b 00 ) [1-9]D{0,2} S{0,2} (?: \( 0? D{0,4} \) S{0,2} )? D{1,5} (?: S? D{2,8} ){1,4}
    # UK, with its zero: 01632 960123, 020 7946 0958, 0161 496 0000, 07700 900 123
    | \(? 0D{4} \)? S{1,2} (?: D{6} | D{3} S D{3} )
    | \(? 0D{3} \)? S{1,2} D{3} S D{4}
    | \(? 0D{2} \)? S{1,2} D{4} S D{4}
    | 0D{9,10}
    # Australia: 0491 570 156, (02) 5550 1234, 1300 975 707
    | 0D{3} S D{3} S D{3}
    | \(? 0D \)? S{0,2} D{4} S? D{4}
    | 1[38]00 S D{3} S D{3}
    # Other countries with a zero: 0171 1234567, 0171/1234567
    | \(? 0D{2,4} \)? [\s/-]{1,3} D{6,8}
    # North America: (202) 555-0123, 1-202-555-0123
    | (?: 1 S )? \( [2-9]D{2} \) S{0,2} [2-9]D{2} S? D{4}
    | (?: 1 S? )? [2-9]D{2} [.\x{2010}-\x{2015}-] [2-9]D{2} [.\x{2010}-\x{2015}-] D{4}
    | 1? [2-9]D{2} [2-9]D{2} D{4}
    )
    # North America with spaces, which may be three numbers in a row.
  | (?P<spaced> (?: 1 S )? [2-9]D{2} S{1,2} [2-9]D{2} S{1,2} D{4} )
    # Without the area: 555-0123. May be a range of prices.
  | (?P<local> [2-9]D{2} [\x{2010}-\x{2015}-] D{4} )
";

static ADDRESSES: LazyLock<Regex> =
    LazyLock::new(|| Regex::new(ADDRESS).expect("the pattern is sound"));

static NUMBERS: LazyLock<Regex> = LazyLock::new(|| {
    // Digits of other scripts are no telephone number's in these countries, and
    // to look for them makes the search for all others slow.
    let pattern = NUMBER.replace("S", r"[\s.\x{2010}-\x{2015}-]");
    let pattern = pattern.replace('D', "[0-9]");
    Regex::new(&pattern).expect("the pattern is sound")
});

/// The text with phone numbers as `[phone]` and mail addresses as `[mail]`.
///
/// Phone numbers are found as people write them in the United States and
/// Canada, the United Kingdom and Australia, and with a country's code
/// anywhere. Numbers spelt in words are not found. Doing it twice changes
/// nothing.
pub fn mask_contacts(text: &str) -> Cow<'_, str> {
    let mut masked = Cow::Borrowed(text);
    // A mask may uncover a number beside it; each round masks one at least.
    loop {
        let found = find(&masked);
        if found.is_empty() {
            return masked;
        }
        let mut out = String::with_capacity(masked.len());
        let mut from = 0;
        for contact in found {
            out.push_str(&masked[from..contact.at.start]);
            out.push_str(if contact.mail { MAIL } else { PHONE });
            from = contact.at.end;
        }
        out.push_str(&masked[from..]);
        masked = Cow::Owned(out);
    }
}

/// The text with phone numbers and mail addresses covered by as many `*` as they
/// have bytes, so that places in it stay where they are.
pub fn cover_contacts(text: &str) -> Cow<'_, str> {
    let found = contacts(text);
    if found.is_empty() {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for at in found {
        out.push_str(&text[out.len()..at.start]);
        out.extend(std::iter::repeat_n('*', at.len()));
    }
    out.push_str(&text[out.len()..]);
    Cow::Owned(out)
}

/// What stands in place of a contact that [`contacts`] found.
pub fn mask_of(contact: &str) -> &'static str {
    if contact.contains('@') { MAIL } else { PHONE }
}

/// Bytes of the text that [`mask_contacts`] would mask, in order.
pub fn contacts(text: &str) -> Vec<Range<usize>> {
    let mut all: Vec<Range<usize>> = Vec::new();
    let mut left = Cow::Borrowed(text);
    loop {
        let found = find(&left);
        if found.is_empty() {
            all.sort_by_key(|range| range.start);
            return all;
        }
        // A mask may uncover a number beside it, as there.
        let mut masked = String::with_capacity(left.len());
        for contact in found {
            masked.push_str(&left[masked.len()..contact.at.start]);
            masked.extend(std::iter::repeat_n('[', contact.at.len()));
            all.push(contact.at);
        }
        masked.push_str(&left[masked.len()..]);
        left = Cow::Owned(masked);
    }
}

/// A mail address or a telephone number.
struct Contact {
    at: Range<usize>,
    mail: bool,
}

/// The contacts of a text, in order: of what the patterns match the leftmost
/// first, an address before a number.
fn find(text: &str) -> Vec<Contact> {
    let mut out: Vec<Contact> = Vec::new();
    let mut addresses = match memchr::memchr(b'@', text.as_bytes()) {
        Some(_) => ADDRESSES.find_iter(text).map(|m| m.range()).collect(),
        None => Vec::new(),
    }
    .into_iter()
    .peekable();
    let mut from = 0;
    for stretch in stretches(text) {
        // What stands before counts for the border of a word, what stands
        // behind cannot be part of a number.
        let until = &text[..stretch.end];
        from = stretch.start.max(from);
        while from < stretch.end
            && let Some(number) = NUMBERS.captures_at(until, from)
            && let Some(whole) = number.get(0)
        {
            let mut passed = false;
            while let Some(at) = addresses.next_if(|a| a.start <= whole.start()) {
                passed |= at.end > whole.start();
                from = at.end.max(from);
                out.push(Contact { at, mail: true });
            }
            if passed {
                continue;
            }
            from = whole.end();
            // What was just masked is no part of what stands behind it.
            let apart = out.last().is_some_and(|last| last.at.end == whole.start());
            let before = if apart { "" } else { &text[..whole.start()] };
            if let Some(at) = phone(&number, before, text) {
                from = at.end;
                // An address that begins within a number is none.
                while addresses.next_if(|a| a.start < from).is_some() {}
                out.push(Contact { at, mail: false });
            }
        }
    }
    out.extend(addresses.map(|at| Contact { at, mail: true }));
    out
}

/// Fewest digits of a telephone number that does not begin with a country's
/// code.
const FEWEST: usize = 7;

/// Parts of a text outside of which there is no number: runs of digits and of
/// what may stand between them, with digits enough.
fn stretches(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(first) = first_digit(&bytes[at..]) {
        let first = at + first;
        let back = bytes[at..first].iter().rev();
        let start = first - back.take_while(|b| may_stand(**b)).count();
        let on = bytes[first..].iter();
        let end = first + on.take_while(|b| may_stand(**b)).count();
        let stretch = &bytes[start..end];
        let digits = stretch.iter().filter(|b| b.is_ascii_digit()).count();
        if begins_with_country(stretch) || digits >= FEWEST && may_be_number(stretch) {
            out.push(start..end);
        }
        at = end;
    }
    out
}

/// Where the first digit is.
fn first_digit(bytes: &[u8]) -> Option<usize> {
    const AT_ONCE: usize = 32;
    let blocks = bytes.chunks(AT_ONCE);
    // Without an early end, so that a block is looked at as a whole.
    let digits = |block: &[u8]| block.iter().fold(false, |any, b| any | b.is_ascii_digit());
    let from = blocks.take_while(|block| !digits(block)).count() * AT_ONCE;
    let rest = bytes.get(from..)?;
    Some(from + rest.iter().position(u8::is_ascii_digit)?)
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
/// pattern, or a piece of a letter beyond ASCII, which may be a space or dash.
fn may_stand(byte: u8) -> bool {
    byte.is_ascii_digit()
        || byte.is_ascii_whitespace()
        || matches!(byte, 0x0b | b'.' | b'-' | b'(' | b')' | b'/' | b'+')
        || !byte.is_ascii()
}

/// Where the telephone number is that the pattern matches, if it is one by
/// what stands on its sides.
fn phone(found: &Captures<'_>, before: &str, text: &str) -> Option<Range<usize>> {
    let group = |name| found.name(name);
    let mut at = found.get(0)?.range();
    if let Some(sure) = group("sure") {
        // `+44 7700 900143 118,700 miles`: the last group is another figure's.
        let coded = sure.as_str().starts_with('+') || sure.as_str().starts_with("00");
        while coded && !stands_alone(before, &text[at.end..]) {
            let shorter = text[at.clone()].rfind(|c: char| !c.is_ascii_digit())?;
            at.end = at.start + shorter;
            let figures = text[at.clone()].bytes().filter(u8::is_ascii_digit).count();
            if figures < LEAST_FIGURES {
                return None;
            }
        }
    }
    let is = stands_alone(before, &text[at.end..])
        && (group("sure").is_some()
            || group("spaced").is_some_and(|number| !ends_in_year(number.as_str()))
            || group("local").is_some_and(|number| is_local_number(number.as_str())));
    is.then_some(at)
}

/// A number with the code of a country or an area has as many figures.
const LEAST_FIGURES: usize = 9;

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
    fn a_figure_behind_a_number_is_no_part_of_it() {
        for phone in ["+1 202 555 0123", "+44 7700 900123", "202-555-0123"] {
            assert_eq!(
                mask_contacts(&format!("call {phone} 118,700 miles")),
                "call [phone] 118,700 miles"
            );
        }
        assert_eq!(mask_contacts("+1 202 555 0123 900"), "[phone] 900");
    }

    #[test]
    fn mail_is_masked() {
        assert_eq!(
            mask_contacts("write jo.smith+car@mail.example.com."),
            "write [mail]."
        );
    }

    #[test]
    fn covered_text_has_its_places() {
        assert_eq!(
            cover_contacts("café, call 202-555-0123 or jo@mail.example.com, 9 am"),
            "café, call ************ or *******************, 9 am"
        );
        assert_eq!(cover_contacts("asks 500"), "asks 500");
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
        fn covered_is_masked(text in "([0-9é]{1,4}|[ .()+-]|a|@|x\\.com|\\$){0,14}") {
            let covered = cover_contacts(&text).into_owned();
            prop_assert_eq!(covered.len(), text.len());
            prop_assert!(contacts(&covered).is_empty(), "{}", covered);
        }

        #[test]
        fn any_price_distance_and_year_stay(price in 100u32..99_999, miles in 1_000u32..999_999, year in 1960u32..2030) {
            let text = format!("{year} Saab 900, {miles} miles, ${price}");
            prop_assert_eq!(&*mask_contacts(&text), &*text);
        }
    }
}
