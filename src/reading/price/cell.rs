//! A price column's cell.

/// A plain money amount out of a price cell: `$1,850`, `1 850 USD`, `£250`.
pub fn of_cell(cell: &str) -> Option<f64> {
    let cell = cell.trim();
    let start = cell.find(|c: char| c.is_ascii_digit())?;
    let mut digits = String::new();
    // No amount is longer, however long the cell.
    const MOST: usize = 40;
    let chars: Vec<char> = cell[start..].chars().take(MOST).collect();
    let mut fraction = false;
    for (i, c) in chars.iter().enumerate() {
        let following = chars[i + 1..]
            .iter()
            .take_while(|c| c.is_ascii_digit())
            .count();
        match c {
            '0'..='9' => digits.push(*c),
            // Three digits behind a sign are thousands, one or two a fraction.
            ',' | '.' if following == 3 => {}
            // `1,05,000`
            ',' if following == 2 && chars.get(i + 3) == Some(&',') => {}
            ',' | '.' if (following == 1 || following == 2) && !fraction => {
                digits.push('.');
                fraction = true;
            }
            ' ' | '\u{a0}' | '\'' | '\u{202f}' if following == 3 => {}
            'k' | 'K' => {
                return digits.parse::<f64>().ok().map(|v| v * 1000.0);
            }
            _ => break,
        }
    }
    let value: f64 = digits.parse().ok()?;
    let behind = cell[start..].trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    // How a figure is written in a cell, as `k` is: no word of a text.
    let lakh = ["lakh", "lac", "L"]
        .iter()
        .any(|w| behind.trim_start().starts_with(w));
    Some(if lakh { value * 100_000.0 } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn price_cells() {
        assert_eq!(of_cell("$1,850"), Some(1850.0));
        assert_eq!(of_cell("1 850 USD"), Some(1850.0));
        assert_eq!(of_cell("1.850,00 EUR"), Some(1850.0));
        assert_eq!(of_cell("£250"), Some(250.0));
        assert_eq!(of_cell("2.5k"), Some(2500.0));
        assert_eq!(of_cell("Rs 1.05 lakh"), Some(105_000.0));
        assert_eq!(of_cell("1,05,000"), Some(105_000.0));
        assert_eq!(of_cell("ask"), None);
    }
}
