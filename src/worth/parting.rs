//! What a car yields that is broken for parts: which pieces are worth taking
//! out, what they bring, the hours it takes, and the hulk that is left.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::scrap::Scrap;
use crate::lexicon::Lexicon;
use crate::lexicon::classes::Class;
use crate::lexicon::parting::PieceRow;
use crate::lexicon::parts::PartId;
use crate::profile::Profile;
use crate::reading::{Moves, Reading, Says, Title};
use crate::units::{Chance, Hours, Money, exact_share};

/// What matters of a car to a scrap yard and to a breaker.
#[derive(Clone, Copy)]
pub struct Condition<'a> {
    /// The papers.
    pub title: Title,
    /// Whether it moves.
    pub moves: Moves,
    /// For each code the chance, 0 to 1, that its fault is there.
    pub bad: &'a dyn Fn(PartId) -> f64,
}

/// The chance that the fault of a code is there, as far as the ad tells:
/// certain if stated, the profile's chance if suspected, that of the words if told
/// in passing, else none.
pub fn as_told<'a>(reading: &'a Reading, profile: &'a Profile) -> impl Fn(PartId) -> f64 + 'a {
    move |part| {
        let says = reading.claims.iter().filter(|c| c.part == part);
        says.map(|c| match c.says {
            Says::Bad => 1.0,
            Says::Suspect => profile.suspect_chance.value(),
            Says::Renewed | Says::Sound | Says::Spare => 0.0,
        })
        .chain(reading.chance_in_passing(part).map(Chance::value))
        .fold(0.0, f64::max)
    }
}

/// A piece that is taken out.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Its code in `parting.csv`.
    pub piece: String,
    /// In words.
    pub name: String,
    /// Chance that it is in order and sold.
    pub chance: f64,
    /// What it brings on average, chance weighed.
    pub brings: Money,
    /// Hours that it takes, sold or not.
    pub hours: Hours,
    /// The usual caution.
    pub caution: Option<String>,
}

/// A car broken for parts.
#[derive(Debug, Clone, PartialEq)]
pub struct PartedOut {
    /// The pieces worth their hours, in the table's order; with them the work
    /// that breaking brings anyway, which brings nothing.
    pub pieces: Vec<Piece>,
    /// What they bring together, on average.
    pub revenue: Money,
    /// Standard deviation of that, in money.
    pub deviation: f64,
    /// The user's hours.
    pub hours: Hours,
    /// What the hulk fetches at the yard.
    pub hulk: Scrap,
    /// Revenue and hulk less the hours at the profile's rate.
    pub net: Money,
}

/// Breaks a car for parts: takes out what brings more than its hours cost
/// and its weight would fetch in the hulk.
///
/// A piece is worthless where one of the codes that spoil it is at fault; the
/// likeliest counts, since they mostly tell of one trouble. Prices are those
/// of `parting.csv` times the parts factors of class and profile. The deviation
/// adds the pieces as a bill adds its jobs: their prices go together by
/// `job_correlation`, whether each is sold is taken as independent.
pub fn part_out(
    condition: &Condition<'_>,
    class: &Class,
    lexicon: &Lexicon,
    profile: &Profile,
) -> PartedOut {
    let factor = class.parts_factor * profile.parts_factor;
    let mut pieces = Vec::new();
    let (mut variance, mut sum, mut squares) = (0.0, 0.0, 0.0);
    let mut weight = class.curb_weight_lb;
    let per_ton = profile.scrap_per_short_ton();
    for row in lexicon.pieces.of_class(&class.name) {
        let piece = piece(row, condition, factor, class);
        let lighter = row.weight_lb * exact_share(piece.chance);
        let scrap = Scrap::complete(lighter, per_ton).by_weight();
        let pays = piece.brings > piece.hours * profile.hour_value + scrap;
        if !row.is_work() && !pays {
            continue;
        }
        let fetch = row.fetch.map(|m| m.times(factor));
        let (p, m, s) = (
            piece.chance,
            fetch.mean().to_f64(),
            fetch.deviation().to_f64(),
        );
        variance += p * s * s + p * (1.0 - p) * m * m;
        sum += p * s;
        squares += (p * s).powi(2);
        weight -= lighter;
        pieces.push(piece);
    }
    let revenue: Money = pieces.iter().map(|p| p.brings).sum();
    let hours: Hours = pieces.iter().map(|p| p.hours).sum();
    let hulk = Scrap::of(
        weight.max(Decimal::ZERO),
        per_ton,
        condition,
        true,
        &lexicon.deductions,
    );
    let correlation = profile.job_correlation.value();
    PartedOut {
        net: revenue + hulk.floor() - hours * profile.hour_value,
        deviation: (variance + correlation * (sum * sum - squares)).sqrt(),
        pieces,
        revenue,
        hours,
        hulk,
    }
}

fn piece(row: &PieceRow, condition: &Condition<'_>, factor: Decimal, class: &Class) -> Piece {
    let spoilt = row.spoilt_by.iter().map(|part| (condition.bad)(*part));
    let chance = row.sells.value() * (1.0 - spoilt.fold(0.0, f64::max));
    let brings = row.fetch.mean().times(factor * exact_share(chance));
    Piece {
        piece: row.piece.clone(),
        name: row.name.clone(),
        chance,
        brings: Money::new(brings.amount().round_dp(2)),
        hours: row.hours.times(class.hours_factor),
        caution: row.caution.clone(),
    }
}

impl PartedOut {
    /// How it was made, in words.
    pub fn why(&self) -> String {
        let sold = self.pieces.iter().filter(|p| p.chance > 0.0).count();
        format!(
            "{sold} pieces bring {} on average, the hulk {}, for {} h of one's own",
            self.revenue,
            self.hulk.floor(),
            self.hours
        )
    }

    /// Net of an hour of one's work, the pay for it already taken off; less
    /// than an hour counts as one.
    pub fn net_per_hour(&self) -> Option<Money> {
        let hours = self.hours.amount().to_f64()?;
        Money::from_f64(self.net.to_f64() / hours.max(1.0))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::LazyLock;

    use super::*;

    static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

    fn broken(bad: &dyn Fn(PartId) -> f64, class: &str, profile: &Profile) -> PartedOut {
        let condition = Condition {
            title: Title::Clean,
            moves: Moves::NoStart,
            bad,
        };
        let class = LEXICON.classes.find(class).unwrap();
        part_out(&condition, class, &LEXICON, profile)
    }

    #[test]
    fn a_midsize_car_yields_what_its_pieces_bring_less_the_hours() {
        let out = broken(&|_| 0.0, "midsize", &Profile::default());
        let revenue: Money = out.pieces.iter().map(|p| p.brings).sum();
        assert_eq!(out.revenue, revenue);
        let pay = out.hours * Profile::default().hour_value;
        assert_eq!(out.net, revenue + out.hulk.floor() - pay);
        // Common practice, no source: a plain car broken at home leaves
        // several hundred over its hours, and more than its scrap.
        assert!(
            out.net > Money::whole(300) && out.net < Money::whole(1_500),
            "{}",
            out.net
        );
        assert!(out.deviation > 0.0);
    }

    #[test]
    fn each_piece_taken_out_brings_more_than_its_hours() {
        let profile = Profile::default();
        let out = broken(&|_| 0.0, "compact", &profile);
        let work = out.pieces.iter().filter(|p| p.brings == Money::ZERO);
        assert_eq!(work.count(), 1);
        for piece in out.pieces.iter().filter(|p| p.brings > Money::ZERO) {
            assert!(
                piece.brings > piece.hours * profile.hour_value,
                "{}",
                piece.piece
            );
        }
    }

    #[test]
    fn a_fault_never_raises_the_yield() {
        for class in ["small", "pickup"] {
            let whole = broken(&|_| 0.0, class, &Profile::default());
            for part in LEXICON.parts.ids() {
                let one = |p: PartId| f64::from(u8::from(p == part));
                let out = broken(&one, class, &Profile::default());
                let code = LEXICON.parts.code(part);
                assert!(out.revenue <= whole.revenue, "{class}, {code}");
                // What stays in the hulk weighs on at the yard.
                assert!(out.net <= whole.net, "{class}, {code}");
            }
        }
    }

    #[test]
    fn a_dear_hour_leaves_more_in_the_hulk() {
        let dear = Profile {
            hour_value: crate::units::HourlyRate(Money::whole(60)),
            ..Profile::default()
        };
        let usual = broken(&|_| 0.0, "midsize", &Profile::default());
        let few = broken(&|_| 0.0, "midsize", &dear);
        assert!(few.pieces.len() < usual.pieces.len());
        assert!(few.hulk.curb_weight_lb > usual.hulk.curb_weight_lb);
    }
}
