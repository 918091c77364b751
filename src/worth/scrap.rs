//! What the car fetches as scrap.

use rust_decimal::Decimal;

use crate::units::Money;

/// What the floor is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scrap {
    /// Curb weight in pounds.
    pub curb_weight_lb: Decimal,
    /// What a yard pays for a complete car, by the ton of 2,000 lb.
    pub per_ton: Money,
}

const POUNDS_A_TON: u32 = 2_000;

impl Scrap {
    /// Weight times price by weight, in whole units; never below zero.
    pub fn floor(&self) -> Money {
        let tons = self.curb_weight_lb / Decimal::from(POUNDS_A_TON);
        let amount = self.per_ton.amount().checked_mul(tons).unwrap_or_default();
        Money::new(amount.max(Decimal::ZERO)).rounded()
    }

    /// How it was made, in words.
    pub fn why(&self) -> String {
        format!(
            "scrap: {} lb at {} a ton of 2,000 lb",
            self.curb_weight_lb.round(),
            self.per_ton
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn floor_is_weight_times_price() {
        let scrap = Scrap {
            curb_weight_lb: Decimal::from(2_918),
            per_ton: Money::whole(170),
        };
        assert_eq!(scrap.floor(), Money::whole(248));
        assert_eq!(scrap.why(), "scrap: 2918 lb at 170 a ton of 2,000 lb");
    }

    #[test]
    fn a_negative_scrap_price_gives_no_negative_floor() {
        let scrap = Scrap {
            curb_weight_lb: Decimal::from(3_000),
            per_ton: Money::whole(-50),
        };
        assert_eq!(scrap.floor(), Money::ZERO);
    }
}
