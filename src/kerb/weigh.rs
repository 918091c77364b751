//! Findings brought into a reading.
//!
//! What was seen itself (a row that names a code) replaces what the ad says. A
//! check can err, so its outcome is weighed: with the chance `p` that the fault
//! is there before, the check's hit rate `h` and false-alarm rate `f`, the
//! chance after a bad outcome is `p h / (p h + (1 - p) f)` and after a good one
//! `p (1 - h) / (p (1 - h) + (1 - p) (1 - f))` (Bayes' rule; for tests with
//! such rates see Fletcher and Fletcher, *Clinical Epidemiology*, on predictive
//! values). Several checks of one code are weighed one after another, as
//! independent.

use std::collections::{BTreeMap, BTreeSet};

use super::choose::job_chance;
use super::findings::{About, Finding, Outcome};
use crate::costing::FixBill;
use crate::lexicon::Lexicon;
use crate::lexicon::checks::{Check, Rates};
use crate::lexicon::facts::Fact;
use crate::lexicon::parts::PartId;
use crate::lexicon::unknowns::{Gap, Open};
use crate::profile::Profile;
use crate::reading::{AskBasis, Claim, Found, MilesBasis, Reading, Says, Title};
use crate::units::{Chance, Money};

/// How likely a fault is that the seller states. Common practice, no source:
/// sellers name the wrong part now and then.
const STATED: f64 = 0.97;
/// How likely one is that the seller denies. Common practice, no source.
const DENIED: f64 = 0.05;
/// From here on a fault counts as there, below the next as not there.
const CERTAIN: f64 = 0.97;
const ABSENT: f64 = 0.02;

/// What a finding did to the chance of one fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// Line of the finding in its file.
    pub line: u64,
    /// The fault.
    pub part: PartId,
    /// Its chance as counted before.
    pub before: f64,
    /// Its chance after.
    pub after: f64,
}

/// The reading with the findings weighed in, and what each did. `told` is the
/// bill by the ad alone: it tells how likely the causes of symptoms are.
pub fn weigh(
    mut reading: Reading,
    told: Option<&FixBill>,
    findings: &[&Finding],
    lexicon: &Lexicon,
    profile: &Profile,
) -> (Reading, Vec<Weighed>) {
    let mut scale = Scale {
        told,
        lexicon,
        profile,
        chances: BTreeMap::new(),
        costs: BTreeMap::new(),
        done: Vec::new(),
    };
    let mut spares = Vec::new();
    for finding in findings {
        let (check, named) = match finding.about {
            About::Check(place, named) => (lexicon.checks.rows().get(place), named),
            About::Code(part) => (None, Some(part)),
            About::Fact => (None, None),
        };
        let subject = named.or_else(|| check.and_then(|c| scale.main(&reading, c)));
        match (finding.outcome, check) {
            (Outcome::Ask(ask), _) => set_ask(&mut reading, ask),
            (Outcome::Miles(miles), _) => {
                reading.miles = Some(miles);
                reading.miles_basis = MilesBasis::Stated;
            }
            (Outcome::Fact(fact), _) => set(&mut reading, fact),
            (Outcome::Open, _) => {}
            (outcome, Some(check)) => {
                settle(&mut reading, check, outcome);
                scale.check(&reading, check, named, outcome, finding.line);
            }
            (outcome, None) => {
                let seen = if outcome == Outcome::Bad { 1.0 } else { 0.0 };
                if let Some(part) = named {
                    let before = scale.counted(&reading, part);
                    scale.put(part, before, seen, finding.line);
                }
            }
        }
        if let Some(part) = subject {
            if let Some(cost) = finding.cost {
                scale.costs.insert(part, cost);
            }
            if finding.spare {
                spares.push(part);
            }
        }
    }
    let Scale {
        chances,
        costs,
        done,
        ..
    } = scale;
    let touched: BTreeSet<PartId> = chances.keys().chain(costs.keys()).copied().collect();
    for part in touched {
        let cost = costs.get(&part).copied();
        match chances.get(&part) {
            Some(chances) => replace(&mut reading, part, *chances, cost),
            // A figure for what the ad says itself.
            None => price(&mut reading, part, cost, profile),
        }
    }
    for part in spares {
        if !has_spare(&reading, part) {
            claim_in_passing(&mut reading, part, None);
            reading.claims.push(found(part, Says::Spare, 0.0, None));
        }
    }
    (reading, done)
}

/// Chances as the findings move them.
struct Scale<'a> {
    told: Option<&'a FixBill>,
    lexicon: &'a Lexicon,
    profile: &'a Profile,
    /// Before all findings, and after those so far.
    chances: BTreeMap<PartId, (f64, f64)>,
    costs: BTreeMap<PartId, Money>,
    done: Vec<Weighed>,
}

impl Scale<'_> {
    /// How likely a fault is by what is known so far: by the findings before,
    /// by what the ad says of it, or as a cause of what the ad says.
    fn counted(&self, reading: &Reading, part: PartId) -> f64 {
        if let Some((_, chance)) = self.chances.get(&part) {
            return *chance;
        }
        let told = reading.claims.iter().filter(|c| c.part == part);
        let told = told.filter_map(|c| match c.says {
            Says::Bad => Some(STATED),
            Says::Suspect => Some(self.profile.suspect_chance.value()),
            Says::Renewed | Says::Sound => Some(DENIED),
            Says::Spare => None,
        });
        told.reduce(f64::max)
            .or_else(|| reading.chance_in_passing(part).map(Chance::value))
            .unwrap_or_else(|| job_chance(self.told, part, self.lexicon))
    }

    /// What a bad outcome speaks for where nobody names it: what the ad tells
    /// of, then its likeliest cause, then the first of the table.
    fn main(&self, reading: &Reading, check: &Check) -> Option<PartId> {
        let told = |part: &&PartId| {
            let mut claims = reading.claims.iter();
            claims.any(|c| c.part == **part && c.says.is_fault())
        };
        let first = check.codes.first();
        let likeliest = || {
            let chance = |part: &PartId| job_chance(self.told, *part, self.lexicon);
            let codes = check.codes.iter().filter(|p| chance(p) > 0.0);
            // The first of equals.
            codes.reduce(|best, next| {
                if chance(next) > chance(best) {
                    next
                } else {
                    best
                }
            })
        };
        let told = check.codes.iter().find(told);
        told.or_else(likeliest).or(first).copied()
    }

    fn check(
        &mut self,
        reading: &Reading,
        check: &Check,
        named: Option<PartId>,
        outcome: Outcome,
        line: u64,
    ) {
        let Some(rates) = check.rates else {
            return;
        };
        if outcome == Outcome::Bad {
            if let Some(part) = named.or_else(|| self.main(reading, check)) {
                let before = self.counted(reading, part);
                let after = posterior(before.max(rates.usual.value()), rates, true);
                self.put(part, before, after, line);
            }
            return;
        }
        let codes = match named {
            Some(part) => vec![part],
            None => check.codes.clone(),
        };
        for part in codes {
            let before = self.counted(reading, part);
            self.put(part, before, posterior(before, rates, false), line);
        }
    }

    fn put(&mut self, part: PartId, before: f64, after: f64, line: u64) {
        let first = self.chances.get(&part).map_or(before, |(first, _)| *first);
        self.chances.insert(part, (first, after));
        self.done.push(Weighed {
            line,
            part,
            before,
            after,
        });
    }
}

/// Bayes' rule for one outcome.
fn posterior(prior: f64, rates: Rates, bad: bool) -> f64 {
    let (hit, alarm) = (rates.hit.value(), rates.false_alarm.value());
    let (with, without) = if bad {
        (hit, alarm)
    } else {
        (1.0 - hit, 1.0 - alarm)
    };
    let (there, not) = (prior * with, (1.0 - prior) * without);
    if there + not > 0.0 {
        there / (there + not)
    } else {
        prior
    }
}

/// Makes a plain fact known.
pub(super) fn set(reading: &mut Reading, fact: Fact) {
    match fact {
        Fact::Title(title) => reading.title = title,
        Fact::Moves(moves) => reading.moves = moves,
        Fact::Gearbox(gearbox) => reading.gearbox = gearbox,
        // A distance that nobody knows does not become known by being sure.
        Fact::Miles(basis) if reading.miles.is_some() => reading.miles_basis = basis,
        Fact::Miles(_) => {}
        Fact::Fault(part) => replace(reading, part, (0.0, 1.0), None),
    }
}

/// What the seller asks at the car is what is to be paid, less the usual give.
fn set_ask(reading: &mut Reading, ask: Money) {
    reading.ask = Some(ask);
    reading.currency = None;
    if !matches!(reading.ask_basis, AskBasis::Firm | AskBasis::Negotiable) {
        reading.ask_basis = AskBasis::Plain;
    }
}

/// What the outcome of a check makes known.
fn settle(reading: &mut Reading, check: &Check, outcome: Outcome) {
    let good = outcome == Outcome::Good;
    // Papers in the seller's name do not lift a brand or pay a lender.
    let facts = if good { &check.if_good } else { &check.if_bad };
    for fact in facts {
        if *fact != Fact::Title(Title::Clean) || may_become_clean(reading, check) {
            set(reading, *fact);
        }
    }
    if good || !check.if_bad.is_empty() {
        reading.settled.extend(&check.settles);
    }
}

fn may_become_clean(reading: &Reading, check: &Check) -> bool {
    let settles = |gap| check.settles.contains(&Open::Gap(gap));
    match reading.title {
        Title::Unstated => settles(Gap::NoPapers),
        Title::Lien => settles(Gap::Lien),
        Title::Missing | Title::BillOfSale => settles(Gap::PapersMissing),
        Title::Clean | Title::Salvage | Title::Rebuilt | Title::Junk => false,
    }
}

fn found(part: PartId, says: Says, chance: f64, cost: Option<Money>) -> Claim {
    Claim {
        found: Some(Found {
            chance: Chance::new(chance).unwrap_or(Chance::CERTAIN),
            cost,
        }),
        ..Claim::new(part, says)
    }
}

/// Puts what was found in place of what the ad says of a code; a spare stays.
/// Good news of something that the ad does not complain of is praise, not a
/// small suspicion.
fn replace(reading: &mut Reading, part: PartId, (before, chance): (f64, f64), cost: Option<Money>) {
    let mut told = reading.claims.iter();
    let feared = told.any(|c| c.part == part && c.says.is_fault());
    let says = if chance >= CERTAIN {
        Says::Bad
    } else if chance <= ABSENT || (!feared && chance <= before) {
        Says::Sound
    } else {
        Says::Suspect
    };
    reading
        .claims
        .retain(|c| c.part != part || c.says == Says::Spare);
    reading.claims.push(found(part, says, chance, cost));
}

/// Puts a fault that is told in passing among the claims, as likely as it is; whether
/// there was one.
fn claim_in_passing(reading: &mut Reading, part: PartId, cost: Option<Money>) -> bool {
    let chance = reading.chance_in_passing(part);
    let claim = chance.map(|chance| found(part, Says::Suspect, chance.value(), cost));
    reading.claims.extend(claim);
    chance.is_some()
}

fn price(reading: &mut Reading, part: PartId, cost: Option<Money>, profile: &Profile) {
    if claim_in_passing(reading, part, cost) {
        return;
    }
    for claim in reading.claims.iter_mut().filter(|c| c.part == part) {
        let chance = match claim.says {
            Says::Suspect => profile.suspect_chance,
            Says::Bad => Chance::CERTAIN,
            Says::Renewed | Says::Sound | Says::Spare => continue,
        };
        claim.found = Some(Found { chance, cost });
    }
}

fn has_spare(reading: &Reading, part: PartId) -> bool {
    let mut claims = reading.claims.iter();
    claims.any(|c| c.part == part && c.says == Says::Spare)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rates(hit: f64, false_alarm: f64) -> Rates {
        let chance = |c| Chance::new(c).unwrap();
        Rates {
            hit: chance(hit),
            false_alarm: chance(false_alarm),
            usual: Chance::FIFTH,
        }
    }

    #[test]
    fn posterior_is_that_of_the_published_example() {
        // Eddy 1982, in Kahneman, Slovic and Tversky (eds), Judgment under
        // Uncertainty: prevalence 1 %, hit rate 79.2 %, false alarms 9.6 %:
        // 7.7 % after a positive test.
        let after = posterior(0.01, rates(0.792, 0.096), true);
        assert!((after - 0.077).abs() < 0.0005, "{after}");
    }

    #[test]
    fn good_outcomes_lower_and_bad_ones_raise_and_certainty_stays() {
        let r = rates(0.8, 0.1);
        for p in [0.05, 0.3, 0.9] {
            assert!(posterior(p, r, true) > p && posterior(p, r, false) < p);
        }
        for bad in [true, false] {
            assert_eq!(posterior(0.0, r, bad), 0.0);
            assert_eq!(posterior(1.0, r, bad), 1.0);
        }
    }

    #[test]
    fn the_order_of_two_checks_does_not_matter() {
        let (a, b) = (rates(0.8, 0.1), rates(0.6, 0.2));
        let one = posterior(posterior(0.3, a, true), b, false);
        let other = posterior(posterior(0.3, b, false), a, true);
        assert!((one - other).abs() < 1e-12);
    }
}
