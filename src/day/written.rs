//! Dates as exports and people write them.

use super::Day;

/// A date as it stands in a text, as far as it goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Written {
    /// A day.
    Day(Day),
    /// A day, before it is known which number is the month.
    Either(u32, u32, i32),
    /// A month.
    Month(i32, u32),
    /// A year.
    Year(i32),
}

impl Written {
    /// The first whole date of a text; where there is none the first month,
    /// else the first year. A month by name that stands anywhere is that of
    /// such a year.
    pub fn of(text: &str) -> Option<Self> {
        let pieces = pieces(text);
        let first = |read: fn(&[Piece<'_>]) -> Option<Written>| {
            (0..pieces.len()).find_map(|at| read(&pieces[at..]))
        };
        first(Self::day).or_else(|| first(Self::month)).or_else(|| {
            match (first(Self::year)?, first(named)) {
                (Written::Year(year), Some(Written::Month(_, month))) => {
                    Some(Written::Month(year, month))
                }
                (year, _) => Some(year),
            }
        })
    }

    fn day(pieces: &[Piece<'_>]) -> Option<Self> {
        use Piece::{Month, Number, Sign};
        if let [Number(run), ..] = pieces
            && let Some((year, month, day)) = run_together(run)
        {
            return Day::new(year, month, day).map(Written::Day);
        }
        Some(match pieces {
            [Number(y), Sign(a), Number(m), Sign(b), Number(d), ..]
                if y.len() == 4 && a == b && matches!(a, '-' | '/' | '.' | '_') =>
            {
                Written::Day(Day::new(year(y)?, m.parse().ok()?, d.parse().ok()?)?)
            }
            [Number(d), Sign('.'), Number(m), Sign('.'), Number(y), ..] if y.len() == 4 => {
                Written::Day(Day::new(year(y)?, m.parse().ok()?, d.parse().ok()?)?)
            }
            [Number(a), Sign(x), Number(b), Sign(z), Number(y), ..]
                if y.len() == 4 && x == z && matches!(x, '-' | '/') =>
            {
                let (a, b) = (a.parse().ok()?, b.parse().ok()?);
                if a > 31 || b > 31 {
                    return None;
                }
                Written::Either(a, b, year(y)?)
            }
            [Number(d), Month(m), Number(y), ..] => {
                Written::Day(Day::new(year(y)?, *m, d.parse().ok()?)?)
            }
            [Month(m), Number(d), Number(y), ..] => {
                Written::Day(Day::new(year(y)?, *m, d.parse().ok()?)?)
            }
            _ => return None,
        })
    }

    fn month(pieces: &[Piece<'_>]) -> Option<Self> {
        use Piece::{Month, Number, Sign};
        let (year, month) = match pieces {
            [Number(y), Sign('-' | '/' | '.' | '_'), Number(m), ..]
            | [Number(m), Sign('-' | '/' | '.'), Number(y), ..]
                if y.len() == 4 && m.len() <= 2 =>
            {
                (year(y)?, m.parse().ok()?)
            }
            [Number(y), Month(m), ..] | [Month(m), Number(y), ..] => (year(y)?, *m),
            [Number(run), ..] => {
                let (year, month, _) = run_together(run)?;
                (year, month)
            }
            _ => return None,
        };
        // There is such a month where it has a first day.
        Day::new(year, month, 1).map(|_| Written::Month(year, month))
    }

    fn year(pieces: &[Piece<'_>]) -> Option<Self> {
        let Some(Piece::Number(digits)) = pieces.first() else {
            return None;
        };
        let year = year(digits).or_else(|| Some(run_together(digits)?.0))?;
        Day::new(year, 1, 1).map(|_| Written::Year(year))
    }
}

/// A month by name, of no year.
fn named(pieces: &[Piece<'_>]) -> Option<Written> {
    match pieces.first() {
        Some(Piece::Month(month)) => Some(Written::Month(0, *month)),
        _ => None,
    }
}

/// Year, month and day of `20160503`, with or without a time behind it; what
/// stands there need be no day.
fn run_together(digits: &str) -> Option<(i32, u32, u32)> {
    if !matches!(digits.len(), 8 | 12 | 14) {
        return None;
    }
    let part = |range: std::ops::Range<usize>| digits.get(range)?.parse::<u32>().ok();
    Some((part(0..4)? as i32, part(4..6)?, part(6..8)?))
}

fn year(digits: &str) -> Option<i32> {
    (digits.len() == 4).then(|| digits.parse().ok()).flatten()
}

/// What a user types: `2016`, `2016-05` or `2016-05-03`, each part with all its
/// digits; what they say need be no day.
pub(super) fn typed(text: &str) -> Option<(i32, Option<u32>, Option<u32>)> {
    let mut parts = text.split('-');
    let mut part = |len: usize| {
        let Some(digits) = parts.next() else {
            return Some(None);
        };
        let digits = Some(digits).filter(|d| d.len() == len);
        let digits = digits.filter(|d| d.bytes().all(|b| b.is_ascii_digit()))?;
        digits.parse::<u32>().ok().map(Some)
    };
    let (year, month, day) = (part(4)??, part(2)?, part(2)?);
    parts.next().is_none().then_some((year as i32, month, day))
}

enum Piece<'a> {
    Number(&'a str),
    Month(u32),
    Sign(char),
}

/// Numbers, months by name and signs; blanks, commas and ordinal endings say
/// nothing, any other word parts what stands around it.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    // English names of months by their first three letters (RFC 5322, 3.3).
    const MONTHS: [&str; 12] = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let kind = |c: char| (c.is_ascii_digit(), c.is_alphabetic());
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let same = |c: char| kind(c) == kind(first);
        let end = match kind(first) {
            (false, false) => first.len_utf8(),
            _ => rest.find(|c| !same(c)).unwrap_or(rest.len()),
        };
        let (piece, behind) = rest.split_at(end);
        rest = behind;
        if first.is_ascii_digit() {
            out.push(Piece::Number(piece));
        } else if first.is_alphabetic() {
            let word = piece.to_lowercase();
            let month = word.get(..3).and_then(|w| {
                let at = MONTHS.iter().position(|m| *m == w)?;
                u32::try_from(at + 1).ok()
            });
            match month {
                Some(month) => out.push(Piece::Month(month)),
                None if matches!(word.as_str(), "st" | "nd" | "rd" | "th" | "of" | "t") => {}
                None => out.push(Piece::Sign('?')),
            }
        } else if !first.is_whitespace() && first != ',' {
            out.push(Piece::Sign(first));
        }
    }
    out
}
