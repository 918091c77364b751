//! What an ad leaves open, and what is set aside for it.

use rust_decimal::Decimal;

use super::appraisal::Unknown;
use crate::costing::FixBill;
use crate::lexicon::Lexicon;
use crate::lexicon::parts::PartId;
use crate::lexicon::unknowns::{Gap, Open, UnknownRow};
use crate::reading::Gearbox;
use crate::reading::{MilesBasis, Moves, Reading, Title};
use crate::units::{Chance, Currency, Money};
use crate::worth::Worth;

/// What the unknowns of a car are told by.
#[derive(Debug, Clone, Copy)]
pub struct Seen<'a> {
    /// What the ad says.
    pub reading: &'a Reading,
    /// Worth once right, which shares are taken of.
    pub worth: Option<Money>,
    /// The money of the run.
    pub currency: Currency,
    /// What its faults add to the bill, where it tells of nothing else.
    pub told: Option<Money>,
    /// Whether the price is too good for what is told.
    pub too_cheap: bool,
}

/// The unknowns of a reading in the table's order. Each share is taken of what
/// the ones before it left of `worth`, so that many of them together never
/// take more than the whole.
pub fn unknowns(seen: &Seen<'_>, lexicon: &Lexicon) -> Vec<Unknown> {
    let Seen { reading, worth, .. } = *seen;
    let mut out = Vec::new();
    let mut left_share = Decimal::ONE;
    let mut left = worth.unwrap_or_default();
    for row in lexicon.unknowns.rows() {
        let of = |part, chance| of_part((part, chance), row, lexicon);
        match row.open {
            Open::Gap(Gap::Suspect) => {
                out.extend(reading.suspects().map(|part| of(part, None)));
            }
            Open::Gap(Gap::InPassing) => {
                let told = reading.in_passing();
                out.extend(told.map(|t| of(t.part, Some(t.chance))));
            }
            _ => {}
        }
        if !is_open(seen, row.open) {
            continue;
        }
        let mut allowance = Money::ZERO;
        if let Some(worth) = worth {
            left_share *= Decimal::ONE - row.share;
            let now = Money::new(worth.times(left_share).amount().round_dp(2));
            allowance = left - now + row.fixed;
            left = now;
        }
        if let (Open::Gap(Gap::NothingTold), Some(told)) = (row.open, seen.told) {
            // A fault told is one of those that are feared: it takes its place
            // in what is set aside, and never more than that.
            allowance = (allowance - told).max(Money::ZERO);
            if allowance == Money::ZERO {
                continue;
            }
        }
        out.push(Unknown {
            open: row.open,
            part: None,
            chance: None,
            words: row.words.clone(),
            allowance,
            question: row.question.clone(),
        });
    }
    out
}

/// Whether a price in `theirs` may be read as one in `ours`. Dollars look
/// alike in an ad, and what the reader takes for one may be another.
pub fn same_money(theirs: Option<Currency>, ours: Currency) -> bool {
    theirs.is_none_or(|theirs| theirs.sign() == ours.sign())
}

/// Whether a price is under a third of what even a poor sale leaves after the
/// worst bill. Common practice, no source: so good an offer has a reason that
/// the ad does not tell. Nothing is set aside for it, or a cheaper ask would
/// lower the margin.
pub fn is_too_cheap(price: Option<Money>, worth: Option<&Worth>, bill: Option<&FixBill>) -> bool {
    let (Some(price), Some(worth), Some(bill)) = (price, worth, bill) else {
        return false;
    };
    let left = worth.right.low - bill.worst;
    left > Money::ZERO && price.times(Decimal::from(3)) < left
}

fn is_open(seen: &Seen<'_>, open: Open) -> bool {
    let Seen {
        reading, currency, ..
    } = *seen;
    if reading.settled.contains(&open) {
        return false;
    }
    match open {
        Open::Vague(vague) => reading.vague.iter().any(|(v, _)| *v == vague),
        Open::Gap(gap) => match gap {
            Gap::NoDistance => reading.miles_basis == MilesBasis::None,
            Gap::DoubtedDistance => reading.miles_basis == MilesBasis::Doubted,
            Gap::NoPapers => reading.title == Title::Unstated,
            Gap::Lien => reading.title == Title::Lien,
            Gap::PapersMissing => {
                matches!(reading.title, Title::Missing | Title::BillOfSale)
            }
            Gap::NoMoves => reading.moves == Moves::Unstated,
            Gap::NoGearbox => reading.gearbox == Gearbox::Unstated,
            Gap::NoMake => reading.make.is_none() || reading.model.is_none(),
            Gap::NoYear => reading.year.is_none(),
            Gap::NoPrice => reading.ask.is_none(),
            Gap::OtherCurrency => reading.ask.is_some() && !same_money(reading.currency, currency),
            Gap::NothingTold => reading.tells_nothing_good(),
            Gap::TooCheap => seen.too_cheap,
            // Of these there may be many, one for each part.
            Gap::Suspect | Gap::InPassing => false,
        },
    }
}

/// What is open of one part.
fn of_part(
    (part, chance): (PartId, Option<Chance>),
    row: &UnknownRow,
    lexicon: &Lexicon,
) -> Unknown {
    let name = lexicon.parts.words(part);
    Unknown {
        open: row.open,
        part: Some(part),
        chance,
        words: row.words.replace("{part}", &name),
        // Its cost stands in the bill, weighed by its chance.
        allowance: Money::ZERO,
        question: row.question.replace("{part}", &name),
    }
}
