//! The border between exact numbers and floating point.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

/// A share, such as a chance, as an exact factor, to millionths; 0 for what is
/// no number.
pub fn exact_share(share: f64) -> Decimal {
    nearest_decimal(share, 6).unwrap_or_default()
}

/// Powers of ten that a double holds exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Whole numbers up to here are doubles.
const WHOLE: f64 = 9_007_199_254_740_992.0;

/// The double nearest to an exact number. The border is crossed hundreds of
/// times a car: where digits and power of ten are both doubles their quotient
/// is the nearest one (IEEE 754), and the general way is left for the rest.
pub(super) fn nearest_f64(exact: Decimal) -> f64 {
    let digits = exact.mantissa();
    match TENS.get(exact.scale() as usize) {
        Some(power) if digits.unsigned_abs() < WHOLE as u128 => digits as f64 / power,
        _ => exact.to_f64().unwrap_or(f64::NAN),
    }
}

/// The decimal of so many places nearest to a double, halves to even; the
/// general way likewise only where it is needed.
pub(super) fn nearest_decimal(value: f64, places: u32) -> Option<Decimal> {
    let scaled = (value * TENS[places as usize]).round_ties_even();
    if scaled.abs() >= WHOLE || !scaled.is_finite() {
        return Decimal::from_f64(value).map(|d| d.round_dp(places));
    }
    let (mut digits, mut scale) = (scaled as i64, places);
    while scale > 0 && digits % 10 == 0 {
        (digits, scale) = (digits / 10, scale - 1);
    }
    Some(Decimal::new(digits, scale))
}
