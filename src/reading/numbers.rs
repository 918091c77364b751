//! Numbers in the text: read from the digits by hand, once, for price,
//! distance and year alike. Letters right behind a figure (`187k`, `1.05lakh`) are
//! how it is written and stay in the code, as `k` does; words of their own are asked
//! for by class.

use super::numerals::{begins_numeral, spelled};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::word_classes::WordClass;
use crate::safe_text::contacts;

/// How a number is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Digits only: `1850`.
    Plain,
    /// With thousands commas: `1,850`.
    Grouped,
    /// In thousands: `187k`, `58 thousand`.
    Thousands,
    /// Last digits hidden: `187,xxx`, `187***`.
    Masked,
    /// In words: `eighteen hundred`.
    Words,
    /// With a fraction that is not cents: `5.9`, `2.5k`.
    Fraction,
}

/// One number of the text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// Its value; of a masked number the middle of its range.
    pub value: f64,
    /// How it is written.
    pub form: Form,
    /// First and last token.
    pub tokens: (usize, usize),
    /// A sign of money stands before it.
    pub money: bool,
    /// Letters that are glued to it, from this byte of its token (`mi` in
    /// `61kmi`); the token's length where there are none.
    pub tail: usize,
}

/// All numbers of a text in order.
pub fn find(tokens: &Tokens, out: &mut Vec<Number>) {
    out.clear();
    let spaced = writes_spaces(tokens);
    let mut i = 0;
    while i < tokens.list.len() {
        match tokens.kind(i) {
            TokenKind::Number => {
                if let Some((mut number, next)) = digits(tokens, i, spaced) {
                    number.money |= i > 0 && tokens.kind(i - 1) == TokenKind::Sign(b'$')
                        || money_behind(tokens, number.tokens.1);
                    out.push(number);
                    join_range(tokens, out);
                    i = next;
                    continue;
                }
            }
            TokenKind::Word if begins_numeral(tokens, i) => {
                if let Some((number, next)) = spelled(tokens, i) {
                    out.push(number);
                    i = next;
                    continue;
                }
            }
            _ => {}
        }
        i += 1;
    }
}

/// Takes out the numbers of telephones, which are no price and no distance.
pub fn leave_out_contacts(tokens: &Tokens, text: &str, numbers: &mut Vec<Number>) {
    // A telephone number has figures on both sides of a sign or space, or is
    // long; few texts need the slow search.
    let parted = |i: usize| {
        tokens.word(i).len() > 6
            || tokens.kind(i + 1) == TokenKind::Number
            || tokens.kind(i + 2) == TokenKind::Number
                && matches!(tokens.kind(i + 1), TokenKind::Sign(b'-' | b'.' | b')'))
    };
    if !self::numbers(tokens).any(parted) {
        return;
    }
    let contacts = contacts(text);
    numbers.retain(|n| {
        let source = tokens.source(n.tokens.0, n.tokens.1);
        let at = contacts.partition_point(|c| c.end <= source.start);
        contacts.get(at).is_none_or(|c| c.start >= source.end)
    });
}

/// Whether this text writes thousands with a space: `241 000 km`, `50 000`.
/// Then a `2 900` in it is one figure too.
fn writes_spaces(tokens: &Tokens) -> bool {
    numbers(tokens).any(|i| {
        spaced_group(tokens, i)
            && (tokens.word(i + 1).starts_with("000")
                || tokens.word(i + 1).len() > 3
                || has_unit(tokens, i + 2))
    })
}

/// The tokens that begin with a digit.
fn numbers(tokens: &Tokens) -> impl Iterator<Item = usize> {
    let all = tokens.list.iter().enumerate();
    all.filter(|(_, t)| t.kind == TokenKind::Number)
        .map(|(i, _)| i)
}

fn has_unit(tokens: &Tokens, i: usize) -> bool {
    tokens.is_a(i, WordClass::DistanceUnit)
}

/// Whether letters right behind figures, no space between, are a unit: they are part
/// of how the figure is written, and no word of a table.
fn is_glued_unit(tail: &str) -> bool {
    matches!(tail, "km" | "kms" | "miles" | "mi")
}

/// Whether one to three digits stand here, one space behind them exactly
/// three, and no digits on either side, as of a telephone number.
fn spaced_group(tokens: &Tokens, i: usize) -> bool {
    let digits = |i: usize| match tokens.kind(i) {
        TokenKind::Number if tokens.word(i).bytes().all(|b| b.is_ascii_digit()) => {
            tokens.word(i).len()
        }
        _ => 0,
    };
    // `219 000km`
    let unit_behind = |i: usize| {
        let (figures, unit) = tokens.word(i).split_at_checked(3).unwrap_or_default();
        figures.bytes().all(|b| b.is_ascii_digit()) && is_glued_unit(unit)
    };
    let joined = |i: usize| {
        tokens.kind(i) == TokenKind::Number
            || matches!(tokens.kind(i), TokenKind::Sign(b'-' | b'/'))
                && i > 0
                && tokens.list[i].source.0 == tokens.list[i - 1].source.1
    };
    (1..=3).contains(&digits(i))
        && !tokens.word(i).starts_with('0')
        && (digits(i + 1) == 3 || unit_behind(i + 1))
        && tokens.list[i + 1].source.0 == tokens.list[i].source.1 + 1
        && !joined(i + 2)
        && (i == 0 || !joined(i - 1))
}

/// Where `-something thousand`, `and some thousand` ends: thousands of which
/// the rest is not told.
fn some_thousand(tokens: &Tokens, i: usize) -> Option<usize> {
    let mut i = i;
    if tokens.kind(i) == TokenKind::Sign(b'-') || tokens.is_a(i, WordClass::And) {
        i += 1;
    }
    let vague = tokens.is_a(i, WordClass::Odd);
    (vague && tokens.is_a(i + 1, WordClass::Thousand)).then_some(i + 1)
}

/// Whether a sign of money is glued to the end of a number: `1200$`.
fn money_behind(tokens: &Tokens, last: usize) -> bool {
    // `85,000/-`, `85,000 rupees`
    let sign = |i: usize, sign: u8| tokens.kind(i) == TokenKind::Sign(sign);
    let dash = sign(last + 1, b'/') && sign(last + 2, b'-');
    let named = tokens.is_a(last + 1, WordClass::MoneyName);
    dash || named
        || tokens.kind(last + 1) == TokenKind::Sign(b'$')
            && tokens.touches_next(last)
            && tokens.kind(last + 2) != TokenKind::Number
}

/// `between 139 and 141 thousand`, `180-190k` is one figure: the middle.
fn join_range(tokens: &Tokens, out: &mut Vec<Number>) {
    let [.., low, high] = out.as_slice() else {
        return;
    };
    let (first, second) = (low.tokens, high.tokens);
    let begins = first.0 > 0 && tokens.is_a(first.0 - 1, WordClass::Between);
    let amid = first.1 + 1;
    let side_by_side = amid == second.0;
    if !side_by_side && amid + 1 != second.0 {
        return;
    }
    let mut from = low.value;
    if high.form == Form::Thousands && from < 1000.0 {
        from *= 1000.0;
    }
    // `180-190k`, of which a hyphen is left out: as far on as only a distance
    // is, and near each other.
    let joins = if tokens.is_a(amid, WordClass::And) {
        begins
    } else {
        let dash = tokens.kind(amid) == TokenKind::Sign(b'-');
        (side_by_side || dash || tokens.is_a(amid, WordClass::To))
            && high.form == Form::Thousands
            && !(low.money || high.money)
            && high.value >= 50_000.0
            && from >= high.value * 0.85
    };
    if !joins || from > high.value {
        return;
    }
    let mut joined = *high;
    joined.value = f64::midpoint(from, high.value);
    joined.tokens = (first.0, second.1);
    if joined.value >= 1000.0 {
        joined.form = Form::Thousands;
    }
    out.truncate(out.len() - 2);
    out.push(joined);
}

/// Where a figure in hundreds of thousands ends: `1.05 lakh`, and with a sign of
/// money before it `1.05L`.
fn lakh(tokens: &Tokens, i: usize, tail: &str) -> Option<usize> {
    let is = |word: &str| matches!(word, "lakh" | "lakhs" | "lac" | "lacs");
    let money = i > 0 && tokens.kind(i - 1) == TokenKind::Sign(b'$');
    if is(tail) || money && tail == "l" {
        return Some(i);
    }
    let next = tokens.word(i + 1);
    let apart = tokens.is_a(i + 1, WordClass::Lakh) || money && next == "l";
    (tail.is_empty() && apart).then_some(i + 1)
}

/// Reads one number token, and the token after it where it belongs to it.
///
/// `spaced`: the text writes thousands with a space.
fn digits(tokens: &Tokens, i: usize, spaced: bool) -> Option<(Number, usize)> {
    let word = tokens.word(i);
    let bytes = word.as_bytes();
    let mut value = 0.0_f64;
    let mut commas = 0;
    let mut after_comma = 0;
    let mut fraction: Option<f64> = None;
    let mut at = 0;
    let mut form = Form::Plain;
    let mut length = 0;
    while let Some(&b) = bytes.get(at) {
        match b {
            b'0'..=b'9' => {
                if let Some(scale) = &mut fraction {
                    value += f64::from(b - b'0') * *scale;
                    *scale /= 10.0;
                } else {
                    value = value * 10.0 + f64::from(b - b'0');
                    after_comma += 1;
                    length += 1;
                }
            }
            b',' if bytes.get(at + 1).is_some_and(u8::is_ascii_digit) && fraction.is_none() => {
                commas += 1;
                after_comma = 0;
            }
            b'.' if fraction.is_none() && bytes.get(at + 1).is_some_and(u8::is_ascii_digit) => {
                fraction = Some(0.1);
            }
            _ => break,
        }
        at += 1;
    }
    if length > 12 {
        return None;
    }
    // 187,4xx: two figures of the last group are hidden.
    let hidden_here = bytes[at..]
        .iter()
        .take_while(|b| matches!(b, b'x' | b'*'))
        .count();
    if commas > 0 && after_comma == 3 {
        form = Form::Grouped;
    } else if commas > 0 && !(hidden_here > 0 && after_comma + hidden_here == 3) {
        // `4,5` in a list without spaces: take the first figure only.
        let first = word.split(',').next().unwrap_or_default();
        value = first.parse().ok()?;
    }
    let mut next = i + 1;
    let mut last = i;
    let tail = &word[at..];
    if let Some(scale) = fraction {
        // Three digits behind the point are thousands written the continental
        // way, where money or a distance is meant: `$1.850`, `187.432 miles`.
        let money = i > 0 && tokens.kind(i - 1) == TokenKind::Sign(b'$');
        let three = scale < 0.000_11 && scale > 0.000_09 && (1.0..1000.0).contains(&value);
        if three && tail.is_empty() && (money || has_unit(tokens, i + 1)) {
            value = (value * 1000.0).round();
            form = Form::Grouped;
        } else if scale > 0.000_9 && scale < 0.001_1 && value >= 100.0 {
            // Two are cents.
        } else {
            form = Form::Fraction;
        }
    }
    if let Some(end) = lakh(tokens, i, tail) {
        let unit = has_unit(tokens, end + 1);
        let number = Number {
            value: (value * 100_000.0).round(),
            form: Form::Thousands,
            tokens: (i, end),
            money: !unit,
            tail: usize::MAX,
        };
        return Some((number, end + 1));
    }
    let hidden = |t: &str| {
        let t = t.trim_start_matches(',');
        t.len() >= 2 && t.bytes().all(|b| matches!(b, b'x' | b'*'))
    };
    let mut tail_at = at;
    if !tail.is_empty() {
        // `187,xxx`, `1xx,xxx`: signs that stand for figures, perhaps with a
        // comma among them.
        let run = tail.bytes().take_while(|b| matches!(b, b'x' | b'*' | b','));
        let run = run.collect::<Vec<_>>();
        let xs = run.iter().filter(|b| **b != b',').count();
        let lead = usize::from(run.first() == Some(&b','));
        if xs >= 2 || (xs == 1 && (lead == 1 || commas > 0 || length >= 4)) {
            let scale = 10_f64.powi(xs as i32);
            value = value * scale + scale / 2.0;
            form = Form::Masked;
            tail_at = at + run.len();
        } else if tail == "k" && form == Form::Grouped && value >= 10_000.0 {
            // `166,000k`: the thousands are written out, so these are kilometres.
            tail_at = at;
        } else if tail.starts_with('k')
            && (!tail.starts_with("km") || tail.starts_with("kmi"))
            && !tail.starts_with("klm")
            && !tail.starts_with("kw")
            && !tail.starts_with("ks")
        {
            value *= 1000.0;
            form = Form::Thousands;
            tail_at = at + 1;
        } else if tail == "ks" {
            tail_at = at;
        }
    } else {
        // `187 k`, `187 xxx`, `58 thousand`, `1 850` after a money sign.
        let after = tokens.word(i + 1);
        // `210+k`
        let more = tokens.is_a(i + 1, WordClass::Plus) && tokens.word(i + 2) == "k";
        if let Some(end) = some_thousand(tokens, i + 1).or(more.then_some(i + 2))
            && value < 1000.0
        {
            value *= 1000.0;
            form = Form::Thousands;
            last = end;
            next = end + 1;
            tail_at = usize::MAX;
        } else if (after == "k" || tokens.is_a(i + 1, WordClass::Thousand)) && value < 1000.0
            || tokens.is_a(i + 1, WordClass::Grand) && value < 40.0 && !word.starts_with('0')
        {
            value *= 1000.0;
            form = Form::Thousands;
            last = i + 1;
            next = i + 2;
            tail_at = usize::MAX;
        } else if tokens.is_a(i + 1, WordClass::Hundred) && value < 100.0 {
            value *= 100.0;
            form = Form::Words;
            last = i + 1;
            next = i + 2;
            tail_at = usize::MAX;
        } else if hidden(after) && form == Form::Plain && value < 1000.0 {
            let xs = after.len() as i32;
            let scale = 10_f64.powi(xs);
            value = value * scale + scale / 2.0;
            form = Form::Masked;
            last = i + 1;
            next = i + 2;
            tail_at = usize::MAX;
        } else if tokens.kind(i + 1) == TokenKind::Sign(b',')
            && hidden(tokens.word(i + 2))
            && value < 1000.0
        {
            let scale = 10_f64.powi(tokens.word(i + 2).len() as i32);
            value = value * scale + scale / 2.0;
            form = Form::Masked;
            last = i + 2;
            next = i + 3;
            tail_at = usize::MAX;
        } else if form == Form::Plain
            && spaced_group(tokens, i)
            && (spaced
                // `$1 850`, not `$400 750 km`
                || i > 0 && word.len() < 3 && tokens.kind(i - 1) == TokenKind::Sign(b'$')
                // `3 900 $`, not `Mazda 6 900$`
                || word.len() < 3
                    && tokens.kind(i + 2) == TokenKind::Sign(b'$')
                    && (i == 0 || tokens.kind(i - 1) != TokenKind::Word)
                || has_unit(tokens, i + 2))
        {
            let low: f64 = tokens.word(i + 1).get(..3)?.parse().ok()?;
            value = value * 1000.0 + low;
            form = Form::Grouped;
            last = i + 1;
            next = i + 2;
            tail_at = 3;
        }
    }
    Some((
        Number {
            value,
            form,
            tokens: (i, last),
            money: false,
            tail: tail_at,
        },
        next,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::word_classes::WordClasses;

    fn values(text: &str) -> Vec<(f64, Form)> {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        tokens.classify_by(&WordClasses::built_in());
        let mut out = Vec::new();
        find(&tokens, &mut out);
        out.iter().map(|n| (n.value, n.form)).collect()
    }

    #[test]
    fn digits_are_read_in_all_their_forms() {
        assert_eq!(values("$1,850"), [(1850.0, Form::Grouped)]);
        assert_eq!(values("187k"), [(187_000.0, Form::Thousands)]);
        assert_eq!(values("187,xxx miles"), [(187_500.0, Form::Masked)]);
        assert_eq!(values("187xxx"), [(187_500.0, Form::Masked)]);
        assert_eq!(values("187 xxx"), [(187_500.0, Form::Masked)]);
        assert_eq!(values("5.9 motor"), [(5.9, Form::Fraction)]);
        assert_eq!(values("$1,850.00"), [(1850.0, Form::Grouped)]);
        assert_eq!(values("98 k"), [(98_000.0, Form::Thousands)]);
        assert_eq!(values("$1 850"), [(1850.0, Form::Grouped)]);
        assert_eq!(values("$1.850"), [(1850.0, Form::Grouped)]);
        assert_eq!(values("187.432 miles"), [(187_432.0, Form::Grouped)]);
    }

    #[test]
    fn a_space_parts_thousands_where_the_text_does_so_elsewhere() {
        let grouped = |text: &str| {
            let all = values(text).into_iter();
            all.filter(|(_, form)| *form == Form::Grouped)
                .map(|(value, _)| value)
                .collect::<Vec<_>>()
        };
        assert_eq!(grouped("241 000 km, price 2 900"), [241_000.0, 2900.0]);
        assert_eq!(
            grouped("clutch at 180 000. I ask 1 300."),
            [180_000.0, 1300.0]
        );
        assert!(grouped("has 4 195 tires, 900 firm").is_empty());
        assert_eq!(grouped("oil at 50 000, ring 555 123 4567"), [50_000.0]);
    }

    #[test]
    fn hidden_figures_give_the_middle_of_their_range() {
        assert_eq!(values("133,4xx"), [(133_450.0, Form::Masked)]);
        assert_eq!(values("112,55x"), [(112_555.0, Form::Masked)]);
        assert_eq!(values("117 thousand miles"), [(117_000.0, Form::Thousands)]);
        for text in ["between 139 and 141 thousand", "139-141k", "139k to 141k"] {
            assert_eq!(values(text), [(140_000.0, Form::Thousands)]);
        }
        assert_eq!(values("2-3k").len(), 2);
        assert_eq!(values("187Kmi"), [(187_000.0, Form::Thousands)]);
    }

    #[test]
    fn money_signs_stand_on_either_side() {
        let mut tokens = Tokens::default();
        tokens.fill("1200$ or $900");
        let mut out = Vec::new();
        find(&tokens, &mut out);
        assert!(out.iter().all(|n| n.money), "{out:?}");
    }

    #[test]
    fn numbers_in_words() {
        assert_eq!(values("eighteen hundred for it"), [(1800.0, Form::Words)]);
        assert_eq!(values("twenty-two fifty"), [(2250.0, Form::Words)]);
        assert_eq!(values("nine-fifty or trade"), [(950.0, Form::Words)]);
        assert_eq!(values("two thousand five hundred"), [(2500.0, Form::Words)]);
        assert_eq!(values("one of five"), []);
        assert_eq!(values("two grand"), [(2000.0, Form::Words)]);
    }
}
