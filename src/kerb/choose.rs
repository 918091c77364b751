//! Which checks a car calls for.

use crate::costing::{FixBill, may_have_belt};
use crate::lexicon::Lexicon;
use crate::lexicon::checks::{Check, Stage, When};
use crate::lexicon::parts::PartId;
use crate::margin::Unknown;
use crate::reading::{Moves, Reading};

/// A check on the sheet of a car.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen<'a> {
    /// The check.
    pub check: &'a Check,
    /// Why this car calls for it in particular, in words; empty for one that is
    /// done on every car.
    pub why: Vec<String>,
}

/// A cause less likely than this is not worth a word on the sheet.
const LIKELY_CAUSE: f64 = 0.1;

/// The checks for a car in the order of doing. A car that cannot be driven, as
/// far as the ad tells, gets none of those on the road.
pub fn choose<'a>(
    reading: &Reading,
    class: Option<&str>,
    bill: Option<&FixBill>,
    unknowns: &[Unknown],
    lexicon: &'a Lexicon,
) -> Vec<Chosen<'a>> {
    let case = Case {
        reading,
        class,
        bill,
        unknowns,
        lexicon,
    };
    let stands = matches!(reading.moves, Moves::NoStart | Moves::RunsOnly);
    lexicon
        .checks
        .rows()
        .iter()
        .filter(|check| !(stands && check.stage == Stage::Drive))
        .filter(|check| check.when.iter().any(|when| case.holds(when)))
        .map(|check| Chosen {
            check,
            why: case.why(check),
        })
        .collect()
}

struct Case<'a> {
    reading: &'a Reading,
    class: Option<&'a str>,
    bill: Option<&'a FixBill>,
    unknowns: &'a [Unknown],
    lexicon: &'a Lexicon,
}

impl Case<'_> {
    fn holds(&self, when: &When) -> bool {
        let reading = self.reading;
        let same = |name: &Option<String>, wanted: &str| name.as_deref() == Some(wanted);
        match when {
            When::Always => true,
            When::Fault(part) => self.is_faulty(*part),
            When::Open(open) => self.unknowns.iter().any(|u| u.open == *open),
            When::Gearbox(gearbox) => reading.gearbox == *gearbox,
            When::Moves(moves) => reading.moves == *moves,
            When::Class(class) => self.class == Some(class.as_str()),
            When::Make(make) => same(&reading.make, make),
            When::Model(model) => same(&reading.model, model),
            When::Since(year) => reading.year.is_none_or(|y| y >= *year),
            When::Before(year) => reading.year.is_none_or(|y| y < *year),
            When::Belt => may_have_belt(reading, self.lexicon),
        }
    }

    fn is_faulty(&self, part: PartId) -> bool {
        let mut claims = self.reading.claims.iter();
        claims.any(|c| c.part == part && c.says.is_fault())
    }

    /// What the ad says that the check bears on: told and feared faults, then
    /// likely causes of symptoms, then what is left open.
    fn why(&self, check: &Check) -> Vec<String> {
        let words = |part: PartId| self.lexicon.parts.words(part);
        let mut about: Vec<PartId> = check.codes.clone();
        about.extend(check.when.iter().filter_map(|when| match when {
            When::Fault(part) => Some(*part),
            _ => None,
        }));
        let mut why = Vec::new();
        for claim in &self.reading.claims {
            if claim.says.is_fault() && about.contains(&claim.part) {
                why.push(words(claim.part));
            }
        }
        for part in &check.codes {
            let chance = self.chance_as_cause(*part);
            if chance >= LIKELY_CAUSE && !self.is_faulty(*part) {
                why.push(format!("{} {:.0} % likely", words(*part), chance * 100.0));
            }
        }
        for unknown in self.unknowns {
            if check.settles.contains(&unknown.open) {
                why.push(unknown.words.clone());
            }
        }
        why.dedup();
        why
    }

    fn chance_as_cause(&self, part: PartId) -> f64 {
        job_chance(self.bill, part, self.lexicon)
    }
}

/// The chance that a job on this part has to be done, by the bill; 0 where
/// there is none.
pub(super) fn job_chance(bill: Option<&FixBill>, part: PartId, lexicon: &Lexicon) -> f64 {
    let repairs = &lexicon.repairs;
    let jobs = bill.into_iter().flat_map(|b| &b.jobs);
    jobs.filter(|job| {
        repairs
            .find(&job.job)
            .is_some_and(|id| repairs.get(id).part == part)
    })
    .map(|job| job.chance.value())
    .fold(0.0, f64::max)
}
