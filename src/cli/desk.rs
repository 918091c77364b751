//! One car at a time: what is left of it, by the ad or by what was found.

use super::market::{Market, class_of};
use crate::costing::{FixBill, cost};
use crate::kerb::{Chosen, Finding, Weighed, choose, weigh};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Appraiser};
use crate::profile::Profile;
use crate::reading::{Kind, Reading};

/// Appraises cars of one run.
pub struct Desk<'a> {
    market: Market<'a>,
    appraiser: Appraiser<'a>,
    lexicon: &'a Lexicon,
    profile: &'a Profile,
}

impl<'a> Desk<'a> {
    /// A desk with the prices of a run.
    pub fn new(market: Market<'a>, lexicon: &'a Lexicon, profile: &'a Profile) -> Self {
        Desk {
            market,
            appraiser: Appraiser::new(profile, lexicon),
            lexicon,
            profile,
        }
    }

    /// What is left of the car at this place of the batch, if it is as the
    /// reading says.
    pub fn appraise(&self, place: usize, reading: Reading) -> Appraisal {
        let class = class_of(&reading, self.lexicon);
        let is_car = reading.kind == Kind::Car;
        let worth = is_car
            .then(|| self.market.worth(place, &reading, class))
            .flatten();
        let bill = self.bill(&reading);
        self.appraiser.appraise(reading, bill, worth)
    }

    /// A reading with what was found weighed in; as it is where nothing was.
    pub fn weighed(&self, reading: Reading, findings: &[&Finding]) -> (Reading, Vec<Weighed>) {
        if findings.is_empty() {
            return (reading, Vec::new());
        }
        let told = self.bill(&reading);
        weigh(reading, told.as_ref(), findings, self.lexicon, self.profile)
    }

    /// The checks that a car calls for.
    pub fn choose(&self, appraisal: &Appraisal) -> Vec<Chosen<'a>> {
        choose(
            &appraisal.reading,
            class_of(&appraisal.reading, self.lexicon),
            appraisal.bill.as_ref(),
            &appraisal.unknowns,
            self.lexicon,
        )
    }

    fn bill(&self, reading: &Reading) -> Option<FixBill> {
        let class = class_of(reading, self.lexicon);
        let is_car = reading.kind == Kind::Car;
        is_car.then(|| cost(reading, class, self.lexicon, self.profile))
    }
}
