//! What the car fetches as scrap.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

use super::parting::Condition;
use crate::lexicon::parting::{Deductions, Lacks};
use crate::reading::{Moves, Title};
use crate::units::Money;

/// What the floor is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scrap {
    /// Curb weight in pounds.
    pub curb_weight_lb: Decimal,
    /// What a yard pays for a complete car, by the ton of 2,000 lb.
    pub per_ton: Money,
    /// What it takes off for what this car lacks.
    pub less: Vec<Less>,
}

/// Something that the yard takes off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Less {
    /// How much, on average.
    pub amount: Money,
    /// Why, in words.
    pub why: String,
}

const POUNDS_A_TON: u32 = 2_000;

impl Scrap {
    /// A complete car of this weight that drives to the yard with its papers.
    pub fn complete(curb_weight_lb: Decimal, per_ton: Money) -> Self {
        Scrap {
            curb_weight_lb,
            per_ton,
            less: Vec::new(),
        }
    }

    /// A car in this condition. A part that may be gone comes off by its
    /// chance. Shares are of the price by weight and taken one after another,
    /// so that together they never take more than all of it.
    pub fn of(
        curb_weight_lb: Decimal,
        per_ton: Money,
        condition: &Condition<'_>,
        stripped: bool,
        deductions: &Deductions,
    ) -> Self {
        let mut scrap = Scrap::complete(curb_weight_lb, per_ton);
        let mut left = scrap.by_weight();
        for row in deductions.rows() {
            let chance = match row.lacks {
                Lacks::Stripped => f64::from(u8::from(stripped)),
                Lacks::Papers => f64::from(u8::from(matches!(
                    condition.title,
                    Title::Missing | Title::BillOfSale
                ))),
                Lacks::Towed => f64::from(u8::from(
                    stripped || matches!(condition.moves, Moves::RunsOnly | Moves::NoStart),
                )),
                // What a breaker has taken out is counted by its weight.
                Lacks::Part(..) if stripped => 0.0,
                Lacks::Part(part, gone) => (condition.bad)(part) * gone.value(),
            };
            let chance = Decimal::from_f64(chance).unwrap_or_default().round_dp(6);
            let amount = left.times(row.share * chance) + row.fixed.times(chance);
            let amount = Money::new(amount.amount().round_dp(2)).min(left);
            if amount > Money::ZERO {
                left = left - amount;
                scrap.less.push(Less {
                    amount,
                    why: row.name.clone(),
                });
            }
        }
        scrap
    }

    /// The price of the complete car by its weight, never below zero.
    pub(super) fn by_weight(&self) -> Money {
        let tons = self.curb_weight_lb / Decimal::from(POUNDS_A_TON);
        let amount = self.per_ton.amount().checked_mul(tons).unwrap_or_default();
        Money::new(amount.max(Decimal::ZERO))
    }

    /// What the yard pays, in whole units; never below zero.
    pub fn floor(&self) -> Money {
        let less: Money = self.less.iter().map(|l| l.amount).sum();
        (self.by_weight() - less).max(Money::ZERO).rounded()
    }

    /// How it was made, in words.
    pub fn why(&self) -> String {
        let mut why = format!(
            "scrap: {} lb at {} a ton of 2,000 lb",
            self.curb_weight_lb.round(),
            self.per_ton
        );
        for less in &self.less {
            let amount = less.amount.amount().to_f64().unwrap_or_default().round();
            why.push_str(&format!("; less {amount}: {}", less.why));
        }
        why
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;
    use crate::lexicon::parts::PartId;

    fn complete(pounds: i64, per_ton: i64) -> Scrap {
        Scrap::complete(Decimal::from(pounds), Money::whole(per_ton))
    }

    #[test]
    fn floor_is_weight_times_price() {
        let scrap = complete(2_918, 170);
        assert_eq!(scrap.floor(), Money::whole(248));
        assert_eq!(scrap.why(), "scrap: 2918 lb at 170 a ton of 2,000 lb");
    }

    #[test]
    fn a_negative_scrap_price_gives_no_negative_floor() {
        assert_eq!(complete(3_000, -50).floor(), Money::ZERO);
    }

    #[test]
    fn a_small_complete_car_fetches_what_the_trade_reports() {
        // Trade figure, common practice, no source: about 250 for a small
        // complete car, at some 200 a ton.
        let lexicon = Lexicon::built_in().unwrap();
        let weight = lexicon.classes.find("small").unwrap().curb_weight_lb;
        let floor = Scrap::complete(weight, Money::whole(200)).floor().to_f64();
        assert!((200.0..=300.0).contains(&floor), "{floor}");
    }

    #[test]
    fn what_a_car_lacks_comes_off_one_after_another() {
        let lexicon = Lexicon::built_in().unwrap();
        let catalyst = lexicon.parts.find("catalytic_converter").unwrap();
        let bad = |part: PartId| f64::from(u8::from(part == catalyst));
        let of = |title, moves, bad: &dyn Fn(PartId) -> f64| {
            let condition = Condition { title, moves, bad };
            let (weight, per_ton) = (Decimal::from(3_000), Money::whole(200));
            Scrap::of(weight, per_ton, &condition, false, &lexicon.deductions)
        };
        let whole = of(Title::Clean, Moves::Drives, &|_| 0.0);
        assert_eq!(whole.floor(), Money::whole(300));
        // 300 - 0.15 * 300 - 45 - 0.6 * 80, by the rows of scrap.csv.
        let poor = of(Title::Missing, Moves::NoStart, &bad);
        assert_eq!(poor.floor(), Money::whole(162));
        assert!(poor.why().ends_with(
            "less 45: no title: some yards take it for less, others not at all, as the law \
             there says; less 45: the yard's truck fetches it; less 48: the catalytic converter \
             is not on it"
        ));
    }
}
