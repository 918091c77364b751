//! The car and the user that a bill is for.

use super::mixture::Cost;
use super::price::Price;
use crate::lexicon::Lexicon;
use crate::lexicon::base_rates::Wear;
use crate::lexicon::classes::Class;
use crate::lexicon::repairs::{JobId, JobRef};
use crate::profile::Profile;
use crate::reading::{Gearbox, Reading};
use crate::units::{Money, ThreePoint};

/// All that the price and the chance of a job depend on beside the claims.
pub struct Case<'a> {
    /// All tables.
    pub lexicon: &'a Lexicon,
    /// The user's figures.
    pub profile: &'a Profile,
    /// The car's class.
    pub class: &'a Class,
    /// The car's gearbox.
    pub gearbox: Gearbox,
    /// Its age and distance.
    pub wear: Wear,
    /// Its age in years, where known.
    pub years: Option<f64>,
    /// Its distance in miles, where known.
    pub miles: Option<f64>,
    /// Whether its engine has a timing belt, as far as is known.
    pub may_have_belt: bool,
}

impl<'a> Case<'a> {
    /// The case of a reading, in a year of the calendar.
    pub fn new(
        reading: &Reading,
        class: &'a Class,
        year: u16,
        lexicon: &'a Lexicon,
        profile: &'a Profile,
    ) -> Self {
        let years = reading.year.map(|y| f64::from(year.saturating_sub(y.0)));
        let miles = reading.miles.map(|m| f64::from(m.0));
        Case {
            lexicon,
            profile,
            class,
            gearbox: reading.gearbox,
            wear: Wear::new(years, miles),
            years,
            miles,
            may_have_belt: may_have_belt(reading, lexicon),
        }
    }

    /// The job that a name in a table means on this car.
    pub fn resolve(&self, work: JobRef) -> Option<JobId> {
        let repairs = &self.lexicon.repairs;
        repairs.resolve(work, self.gearbox, &self.class.name)
    }

    /// Mean and spread of a three-point estimate, as a beta-PERT variable.
    pub fn spread(&self, cost: ThreePoint<Money>) -> Cost {
        Cost::pert(cost, self.profile.job_correlation.value())
    }

    /// The same of a price.
    pub fn cost(&self, price: &Price) -> Cost {
        self.spread(price.cost())
    }
}

/// Whether the engine has a timing belt, or may have one.
pub fn may_have_belt(reading: &Reading, lexicon: &Lexicon) -> bool {
    let (Some(make), Some(model)) = (&reading.make, &reading.model) else {
        return true;
    };
    let model = lexicon.vehicles.find_model(make, model, reading.year);
    let timing = model.and_then(|m| m.timing.as_deref());
    timing.is_none_or(|timing| matches!(timing, "belt" | "mixed"))
}
