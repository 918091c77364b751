//! Claims to jobs and money: what it takes to put right what the ad tells, and
//! what it leaves untold.
//!
//! [`Estimator::cost`] gathers the claims (`faults`), prices the jobs that are
//! certain and what they save each other (`work`, `sharing`, `matching`), weighs the
//! causes of symptoms (`evidence`, `diagnosis`), adds what faults bring with
//! them and what is due (`beside`), and sums up (`assemble`) to a mixture of
//! what it may come to (`mixture`).

mod along;
mod assemble;
mod beside;
pub mod bill;
mod case;
pub mod diagnosis;
pub mod evidence;
mod faults;
mod matching;
pub mod mixture;
pub mod optional;
mod price;
mod reasons;
mod sharing;
mod work;

pub use bill::{Chance, FixBill, JobLine, LeftAlone, Reason};
pub use case::may_have_belt;
pub use optional::{Choice, Optional};

use crate::lexicon::Lexicon;
use crate::lexicon::classes::{Class, REFERENCE_CLASS};
use crate::profile::Profile;
use crate::reading::Reading;
use crate::units::Money;
use case::Case;
use faults::Told;

/// Works out bills for one user with one set of tables.
#[derive(Debug, Clone, Copy)]
pub struct Estimator<'a> {
    lexicon: &'a Lexicon,
    profile: &'a Profile,
    year: u16,
}

impl<'a> Estimator<'a> {
    /// An estimator; `year` is the one in which the cars are looked at.
    pub fn new(lexicon: &'a Lexicon, profile: &'a Profile, year: u16) -> Self {
        Estimator {
            lexicon,
            profile,
            year,
        }
    }

    /// The bill for what a reading tells, on a car of this class
    /// (`classes.csv`).
    ///
    /// The mean of the bill grows with every fault told or suspected, other
    /// things equal. A fault whose repair costs more than it takes off the
    /// value is left alone where the tables allow it, and is then not in the
    /// total.
    pub fn cost(&self, reading: &Reading, class: Option<&str>) -> FixBill {
        let (class, notes) = class_of(class, self.lexicon);
        let case = Case::new(reading, class, self.year, self.lexicon, self.profile);
        let bill = |told: Told<'_>, notes| assemble::bill(&case, &told, self.year, notes);
        let all = Told {
            claims: &reading.claims,
            in_passing: reading.in_passing().map(|p| (p.part, p.chance)).collect(),
        };
        let any = !(all.claims.is_empty() && all.in_passing.is_empty());
        let whole = bill(all, notes);
        let told = (any && reading.tells_nothing_good()).then(|| {
            let untold = bill(Told::default(), Vec::new());
            (whole.with_left() - untold.with_left()).max(Money::ZERO)
        });
        FixBill { told, ..whole }
    }
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
