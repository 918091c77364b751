//! What to do about a car once it was looked at.

use super::choose::Chosen;
use super::findings::{About, Finding};
use super::weigh::{Weighed, weigh};
use crate::lexicon::Lexicon;
use crate::lexicon::checks::Check;
use crate::lexicon::unknowns::{Gap, Open};
use crate::margin::{Action, Appraisal, Unknown};
use crate::profile::Profile;
use crate::reading::Reading;
use crate::units::Money;

/// What to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Advice<'a> {
    /// Offer, up to this; begin with the first.
    Offer {
        /// The most to pay: the ceiling, or what is asked where that is less.
        up_to: Money,
        /// The ceiling, where less is asked.
        worth_it_up_to: Option<Money>,
        /// Where to begin, where there is room for it.
        begin: Option<Money>,
    },
    /// Leave it; unless the seller comes down to this.
    WalkAway {
        /// The price at which it would pay after all; none where it never does.
        unless: Option<Money>,
    },
    /// Look at this first: it decides.
    CheckFirst {
        /// The check.
        check: &'a Check,
        /// What hangs on it, in few words.
        about: String,
    },
    /// Ask this first: no check tells.
    AskFirst {
        /// The question.
        question: String,
    },
}

/// What one finding did to the ceiling, all others being as they are.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect<'f> {
    /// The finding.
    pub finding: &'f Finding,
    /// Ceiling with it less ceiling without it.
    pub ceiling: Option<Money>,
}

/// A car looked at.
#[derive(Debug)]
pub struct Decision<'a, 'f> {
    /// What to do.
    pub advice: Advice<'a>,
    /// By the ad alone.
    pub told: Appraisal,
    /// With the findings.
    pub now: Appraisal,
    /// What each finding did to the chance of a fault.
    pub weighed: Vec<Weighed>,
    /// What each finding did to the ceiling, in the order of the file.
    pub effects: Vec<Effect<'f>>,
    /// Checks that this car calls for in particular and that were not done.
    pub left: Vec<Chosen<'a>>,
}

/// Weighs the findings of a car and says what to do. `again` makes the
/// appraisal of a changed reading, `chosen` are the checks for the car.
pub fn decide<'a, 'f>(
    told: Appraisal,
    findings: &[&'f Finding],
    chosen: Vec<Chosen<'a>>,
    lexicon: &'a Lexicon,
    profile: &Profile,
    again: &dyn Fn(Reading) -> Appraisal,
) -> Decision<'a, 'f> {
    let found = |findings: &[&Finding]| {
        let reading = told.reading.clone();
        let (reading, weighed) = weigh(reading, told.bill.as_ref(), findings, lexicon, profile);
        (again(reading), weighed)
    };
    let (now, weighed) = found(findings);
    let effects = findings
        .iter()
        .enumerate()
        .map(|(i, finding)| {
            let mut others = findings.to_vec();
            others.remove(i);
            let without = found(&others).0.ceiling;
            Effect {
                finding,
                ceiling: now
                    .ceiling
                    .zip(without)
                    .map(|(with, without)| with - without),
            }
        })
        .collect();
    let done = |check: &Check| {
        findings.iter().any(|f| match f.about {
            About::Check(place, _) => lexicon
                .checks
                .rows()
                .get(place)
                .is_some_and(|c| c.check == check.check),
            About::Code(_) | About::Fact => false,
        })
    };
    let left: Vec<Chosen<'a>> = chosen
        .into_iter()
        .filter(|c| !c.why.is_empty() && !done(c.check))
        .collect();
    Decision {
        advice: advice(&now, &left, lexicon),
        told,
        now,
        weighed,
        effects,
        left,
    }
}

fn advice<'a>(now: &Appraisal, left: &[Chosen<'a>], lexicon: &Lexicon) -> Advice<'a> {
    let ceiling = now.ceiling.unwrap_or_default();
    if now.action == Action::Ask
        && let Some(question) = &now.question
    {
        let unknown = now.unknowns.iter().find(|u| u.question == *question);
        if let Some((check, about)) = unknown.and_then(|u| check_for(u, left)) {
            return Advice::CheckFirst { check, about };
        }
        // A price is made here; everything else that is asked can be asked.
        if unknown.is_none_or(|u| u.open != Open::Gap(Gap::NoPrice)) {
            return Advice::AskFirst {
                question: question.clone(),
            };
        }
    }
    if ceiling == Money::ZERO {
        return Advice::WalkAway { unless: None };
    }
    // Below the usual opening an offer is no offer.
    let opening = lexicon.give.get(now.reading.ask_basis).opening;
    let least = now.reading.ask.map(|ask| ask.times(opening));
    match least {
        Some(least) if now.action == Action::Skip && ceiling < least => Advice::WalkAway {
            unless: Some(ceiling),
        },
        _ => Advice::Offer {
            up_to: now.reading.ask.map_or(ceiling, |ask| ask.min(ceiling)),
            worth_it_up_to: now
                .reading
                .ask
                .is_some_and(|a| a < ceiling)
                .then_some(ceiling),
            begin: now.first_offer,
        },
    }
}

/// The check, not done yet, that settles what is open.
fn check_for<'a>(unknown: &Unknown, left: &[Chosen<'a>]) -> Option<(&'a Check, String)> {
    let settles = |c: &&Chosen<'_>| match unknown.part {
        Some(part) => c.check.codes.contains(&part),
        None => c.check.settles.contains(&unknown.open),
    };
    let chosen = left.iter().find(settles)?;
    Some((chosen.check, unknown.words.clone()))
}
