//! Letters that stand for money before a figure: `R79 000`, `Rs. 85,000`, `EUR
//! 650`, `NZ$900`.

/// Where letters that are a sign of money end, if such begin here.
pub(super) fn letters(bytes: &[u8], at: usize) -> Option<usize> {
    let word = &bytes[at..];
    // Nearly all words are longer.
    let count = word
        .iter()
        .take(4)
        .take_while(|b| b.is_ascii_alphabetic())
        .count();
    if !(1..=3).contains(&count) {
        return None;
    }
    let (word, rest) = word.split_at(count);
    let end = at + count;
    if rest.first() == Some(&b'$') {
        let country = matches!(word, b"A" | b"AU" | b"C" | b"CA" | b"NZ" | b"US");
        return country.then_some(end + 1);
    }
    let lower = |code: &[u8]| word.eq_ignore_ascii_case(code);
    let dot = usize::from(rest.first() == Some(&b'.') && lower(b"rs"));
    let space = usize::from(rest.get(dot) == Some(&b' '));
    let figure = Figure::of(rest.get(dot + space..)?)?;
    // `RS 2000` and `R16` are no sums.
    let money = match word {
        b"R" => figure.grouped || figure.thousands || figure.digits >= 4 + space,
        b"r" => figure.digits >= 4 && space == 0,
        _ if lower(b"rs") => {
            figure.grouped || figure.thousands || figure.digits >= 4 && !figure.year
        }
        // Codes of ISO 4217.
        _ => ["inr", "zar", "gbp", "eur", "aud", "cad", "nzd", "usd"]
            .iter()
            .any(|code| lower(code.as_bytes())),
    };
    money.then_some(end + dot)
}

/// How the figure behind is written.
struct Figure {
    digits: usize,
    /// With commas or spaces: `79 000`, `1,05,000`.
    grouped: bool,
    /// `25k`, `1.05 lakh`.
    thousands: bool,
    year: bool,
}

impl Figure {
    fn of(text: &[u8]) -> Option<Figure> {
        let run = |from: usize| {
            let rest = text.get(from..).unwrap_or_default();
            rest.iter().take_while(|b| b.is_ascii_digit()).count()
        };
        let digits = run(0);
        if digits == 0 {
            return None;
        }
        let sign = text.get(digits).copied().unwrap_or(b' ');
        let group = run(digits + 1);
        let behind = text.get(digits + 1 + group).copied().unwrap_or(b' ');
        let ends = !(behind.is_ascii_alphanumeric() || behind == b'%');
        let round = text.get(digits + group) == Some(&b'0');
        let spaced = sign == b' ' && group == 3 && ends && round;
        let commas = sign == b',' && (group == 3 || group == 2);
        let tail = match sign {
            b'.' => text.get(digits + 1 + group..).unwrap_or_default(),
            _ => &text[digits..],
        };
        let tail = tail.strip_prefix(b" ").unwrap_or(tail);
        let lakh = tail.len() > 2 && tail[..2].eq_ignore_ascii_case(b"la");
        let letter = tail
            .first()
            .is_some_and(|b| matches!(b, b'k' | b'K' | b'L'))
            && !tail.get(1).is_some_and(u8::is_ascii_alphanumeric);
        Some(Figure {
            digits,
            grouped: digits <= 3 && (spaced || commas),
            thousands: lakh || letter,
            year: digits == 4 && matches!(&text[..2], b"19" | b"20"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn letters_before_a_sum_are_money() {
        for (text, end) in [
            ("R79 000", 1),
            ("R32,500", 1),
            ("R25k neg", 1),
            ("R 45000", 1),
            ("Rs. 85,000/-", 3),
            ("Rs 1.05 lakh", 2),
            ("INR 65,000", 3),
            ("NZ$900", 3),
            ("EUR 650", 3),
        ] {
            assert_eq!(letters(text.as_bytes(), 0), Some(end), "{text}");
        }
        for text in [
            "R16 205", "R15 100%", "RS 2000", "R134a", "r 12", "rs", "a $900", "R12 V6",
        ] {
            assert_eq!(letters(text.as_bytes(), 0), None, "{text}");
        }
    }
}
