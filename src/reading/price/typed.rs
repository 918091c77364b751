//! Figures typed only to fill the form.

use super::{Ask, role_of};
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::word_classes::WordClass;
use crate::reading::model::AskBasis;
use crate::reading::numbers::Number;
use crate::reading::roles::Roles;
use crate::reading::tokens::{TokenKind, Tokens};

/// Whether a figure is typed only to fill the form: 1, 1234, 999999.
pub fn is_placeholder(value: f64) -> bool {
    if !(15.0..900_000.0).contains(&value) {
        return true;
    }
    // From the last digit to the first.
    let mut rest = value.round_ties_even() as u32;
    let (mut count, mut last) = (0, rest % 10);
    let (mut same, mut rising) = (true, true);
    while rest > 0 {
        let digit = rest % 10;
        same &= digit == last;
        rising &= count == 0 || digit + 1 == last;
        (count, last, rest) = (count + 1, digit, rest / 10);
    }
    let one = last == 1;
    same && (count >= 4 || one) || rising && one && count >= 3
}

/// `$1, make an offer`, `listed at $11111`: a figure typed only to name one, in an
/// ad without a price.
pub(super) fn filled_in(numbers: &[(Number, Roles)], tokens: &Tokens) -> Option<Ask> {
    let typed = |(n, roles): &&(Number, Roles)| {
        let role = role_of(roles);
        let price = matches!(role, None | Some(NumberRole::Ask | NumberRole::Was));
        // `$10 of gas`
        let small = n.value < 40.0;
        let sum = n.money && (!small || n.value <= 1.0) || role.is_some() && !small;
        // `$1 per mile`, `$123 for the title transfer`
        let behind = n.tokens.1 + 1;
        let alone = tokens.kind(behind) != TokenKind::Word
            || role.is_some()
            || tokens.is_any(behind, &[WordClass::Is, WordClass::Was, WordClass::Because]);
        let phone = roles.before == Some(NumberRole::Neither);
        price && alone && sum && !phone && is_placeholder(n.value)
    };
    let (n, _) = numbers.iter().find(typed)?;
    Some(Ask {
        amount: None,
        basis: AskBasis::Placeholder,
        tokens: Some(n.tokens),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn placeholders() {
        for v in [0.0, 1.0, 1234.0, 12345.0, 999_999.0, 1111.0, 123.0] {
            assert!(is_placeholder(v), "{v}");
        }
        for v in [150.0, 999.0, 1200.0, 2345.0] {
            assert!(!is_placeholder(v), "{v}");
        }
    }
}
