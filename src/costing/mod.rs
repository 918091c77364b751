//! Claims to jobs and money: what it takes to put right what the ad tells.
//!
//! [`cost`] gathers the claims (`faults`), prices the jobs that they call for
//! (`price`), weighs symptoms against stated faults and shares work (`doubt`,
//! `stretch`, `matching`), and sums up (`assemble`).

mod assemble;
pub mod bill;
mod doubt;
mod faults;
mod matching;
mod price;
mod stretch;

pub use bill::{Chance, FixBill, JobLine, LeftAlone};

use rust_decimal::Decimal;

use crate::lexicon::Lexicon;
use crate::lexicon::classes::{Class, REFERENCE_CLASS};
use crate::lexicon::parts::PartKind;
use crate::profile::Profile;
use crate::reading::Reading;
use crate::units::{Money, ThreePoint};
use doubt::{Case, MILLION};
use faults::Faults;
use price::Price;

/// The bill for what a reading tells, on a car of this class (`classes.csv`).
///
/// The mean of the bill grows with every fault told or suspected, other things
/// equal. A fault whose repair costs more than it takes off the value is left
/// alone where the tables allow it, and is then not in the total.
pub fn cost(
    reading: &Reading,
    class: Option<&str>,
    lexicon: &Lexicon,
    profile: &Profile,
) -> FixBill {
    let (class, notes) = class_of(class, lexicon);
    let case = Case {
        lexicon,
        profile,
        class,
        gearbox: reading.gearbox,
    };
    let faults = Faults::of(&reading.claims, &lexicon.parts);
    let left = left_alone(&case, &faults);
    let parts: Vec<_> = left.iter().map(|l| l.part).collect();
    let works = doubt::gather(&case, &faults, &parts);
    let outcome = doubt::weigh(&case, works);
    assemble::bill(&case, &outcome, left, notes)
}

fn class_of<'a>(class: Option<&str>, lexicon: &'a Lexicon) -> (&'a Class, Vec<String>) {
    match class.map(|name| (name, lexicon.classes.find(name))) {
        Some((_, Some(class))) => (class, Vec::new()),
        Some((name, None)) => (
            lexicon.classes.reference(),
            vec![format!(
                "class '{name}' is not in classes.csv: {REFERENCE_CLASS} supposed"
            )],
        ),
        None => (
            lexicon.classes.reference(),
            vec![format!("class not known: {REFERENCE_CLASS} supposed")],
        ),
    }
}

/// Faults that may be left and are cheaper left than repaired, each repair
/// taken alone.
fn left_alone(case: &Case<'_>, faults: &Faults) -> Vec<LeftAlone> {
    let lexicon = case.lexicon;
    faults
        .of_kind(PartKind::Part, &lexicon.parts)
        .filter_map(|(part, _)| {
            let id = lexicon
                .repairs
                .for_part(part, case.gearbox, &case.class.name)?;
            let repair = lexicon.repairs.get(id);
            let effect = repair.value_effect?.mean();
            let heard = faults.heard(part);
            let price = Price::of(repair, case.class, case.profile, heard.spare);
            let own = heard.found.and_then(|f| f.cost);
            let cost = own.map_or(price.cost(), ThreePoint::exactly);
            let chance = doubt::chance_of(heard, case.profile);
            let weighed = effect.times(Decimal::new(chance, 6));
            (cost.mean() > effect).then(|| LeftAlone {
                part,
                name: repair.name.clone(),
                chance: Chance::new(chance as f64 / MILLION as f64).unwrap_or(Chance::CERTAIN),
                effect: Money::new(weighed.amount().round_dp(2)),
                instead_of: cost.likely,
            })
        })
        .collect()
}
