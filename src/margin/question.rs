//! What is worth asking before driving out, and looking at first on arrival.

use super::appraisal::Unknown;
use super::information::Bet;
use super::position::{Leaves, Limits, Position};
use crate::costing::{FixBill, JobLine, Reason};
use crate::lexicon::Lexicon;
use crate::lexicon::checks::{Check, When};
use crate::lexicon::parts::PartId;
use crate::profile::Profile;
use crate::reading::Reading;
use crate::units::{Chance, Hours, Money};
use rust_decimal::Decimal;

/// Minutes that asking one question takes, the wait for an answer not
/// counted. Common practice, no source.
const ASKING: u32 = 5;

/// Something that is not known, and what it is worth to know it.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What is open, in few words.
    pub about: String,
    /// The question to the seller, or what to do at the car.
    pub question: String,
    /// The chance of the bad answer.
    pub chance: Chance,
    /// The expected gain from the answer, the time for it taken off; never
    /// negative.
    pub worth: Money,
}

/// One thing open: by how much the bill falls or grows with the answer.
#[derive(Debug, Clone, PartialEq)]
struct Stake {
    chance: f64,
    better: f64,
    worse: f64,
    settled: f64,
}

/// What questions are weighed by.
pub struct Scales<'a> {
    /// What the car leaves, and by which sums.
    pub position: &'a Position,
    /// Those sums.
    pub leaves: Leaves,
    /// Its bill.
    pub bill: &'a FixBill,
    /// The price.
    pub price: f64,
    /// What the buyer insists on.
    pub limits: Limits,
    /// What the user's hour is worth.
    pub profile: &'a Profile,
}

impl Scales<'_> {
    /// What is expected of a position over what the user wants to earn in any
    /// case, taken or not.
    fn over(&self, position: &Position) -> f64 {
        position.mean() - self.price - self.limits.wanted.to_f64()
    }

    /// What it is worth to take the car in a position; nothing where it would
    /// not be taken, whatever is expected of it.
    fn payoff(&self, position: &Position) -> f64 {
        let over = self.over(position);
        if position.pays(self.price, &self.limits) {
            over
        } else {
            over.min(0.0)
        }
    }

    /// The same if so much more had to be paid and so much were settled.
    fn payoff_if(&self, more: f64, settled: f64) -> f64 {
        let leaves = self.leaves.if_known(more, settled);
        self.payoff(&Position::new(&leaves, &self.bill.outcomes))
    }

    fn bet(&self, stake: &Stake) -> Bet {
        Bet {
            chance: stake.chance,
            good: self.payoff_if(-stake.better, stake.settled),
            bad: self.payoff_if(stake.worse, stake.settled),
        }
    }

    /// The expected gain from the answer. What is not taken because a loss is
    /// too likely may be taken once more is known.
    fn gain(&self, stake: &Stake) -> f64 {
        // A bill that is smaller by an amount leaves no more than that on top.
        if self.over(self.position) + stake.better <= 0.0 {
            return 0.0;
        }
        let bet = self.bet(stake);
        let known = bet.chance * bet.bad.max(0.0) + (1.0 - bet.chance) * bet.good.max(0.0);
        (known - self.payoff(self.position).max(0.0)).max(0.0)
    }

    fn worth(&self, gain: f64, minutes: u32) -> Money {
        let hours = Hours::new(Decimal::from(minutes) / Decimal::from(60));
        let time = hours * self.profile.hour_value;
        let gain = Money::from_f64(gain).unwrap_or_default();
        (gain - time).max(Money::ZERO).rounded()
    }

    /// The questions to the seller, the one worth most first; those that are
    /// worth nothing stand in the order of the tables.
    pub fn questions(&self, unknowns: &[Unknown], lexicon: &Lexicon) -> Vec<Question> {
        let mut out: Vec<Question> = unknowns
            .iter()
            .map(|unknown| {
                let allowance = unknown.allowance.to_f64();
                let stake = match unknown.part {
                    Some(part) => {
                        let sure = unknown.chance.unwrap_or(self.profile.suspect_chance);
                        of_part(self.bill, part, sure)
                    }
                    None => Stake {
                        // As likely nothing as twice what is set aside.
                        chance: 0.5,
                        better: allowance,
                        worse: allowance,
                        settled: allowance,
                    },
                };
                self.question(&unknown.words, &unknown.question, &stake)
            })
            .collect();
        for line in self.bill.jobs.iter().filter(|l| l.reason == Reason::Due) {
            let row = lexicon.due_work.iter().find(|row| {
                let job = lexicon.repairs.find(&line.job);
                job.is_some_and(|job| lexicon.repairs.means(row.job, job))
            });
            if let Some(row) = row {
                let about = format!("whether it was done: {}", line.name);
                out.push(self.question(&about, &row.question, &of_line(line)));
            }
        }
        out.sort_by_key(|q| std::cmp::Reverse(q.worth));
        out
    }

    fn question(&self, about: &str, question: &str, stake: &Stake) -> Question {
        let gain = if stake.better + stake.worse > 0.0 {
            self.gain(stake)
        } else {
            0.0
        };
        Question {
            about: about.to_owned(),
            question: question.to_owned(),
            chance: Chance::new(stake.chance).unwrap_or(Chance::HALF),
            worth: self.worth(gain, ASKING),
        }
    }

    /// The checks at the car that are worth their time, the best first.
    pub fn checks(&self, reading: &Reading, lexicon: &Lexicon) -> Vec<Question> {
        let mut out: Vec<Question> = Vec::new();
        for line in &self.bill.jobs {
            let chance = line.chance.value();
            let open = matches!(line.reason, Reason::Cause | Reason::Suspected);
            let job = lexicon.repairs.find(&line.job).filter(|_| open);
            let Some(job) = job.filter(|_| chance < 0.999) else {
                continue;
            };
            let part = lexicon.repairs.get(job).part;
            let bet = self.bet(&of_line(line));
            if bet.perfect() < 1.0 {
                continue;
            }
            let best = lexicon
                .checks
                .rows()
                .iter()
                .filter(|check| check.codes.contains(&part) && fits(check, reading))
                .filter_map(|check| {
                    let rates = check.rates?;
                    let gain = bet.test(rates.hit.value(), rates.false_alarm.value());
                    Some((check, self.worth(gain, check.minutes)))
                })
                .reduce(|best, next| if next.1 > best.1 { next } else { best });
            if let Some((check, worth)) = best.filter(|(_, worth)| *worth > Money::ZERO) {
                out.push(Question {
                    about: format!("whether it is: {}", line.name),
                    question: format!("{}: {}", check.name, check.how),
                    chance: line.chance,
                    worth,
                });
            }
        }
        out.sort_by_key(|q| std::cmp::Reverse(q.worth));
        out
    }
}

/// Whether a check can be done on this car.
fn fits(check: &Check, reading: &Reading) -> bool {
    check.when.iter().any(|when| match when {
        When::Always | When::Fault(_) | When::Open(_) => true,
        When::Gearbox(gearbox) => reading.gearbox == *gearbox,
        When::Moves(moves) => reading.moves == *moves,
        When::Since(year) => reading.year.is_none_or(|y| y >= *year),
        When::Before(year) => reading.year.is_none_or(|y| y < *year),
        When::Class(_) | When::Make(_) | When::Model(_) | When::Belt => false,
    })
}

fn of_line(line: &JobLine) -> Stake {
    let (cost, chance) = (line.cost.mean().to_f64(), line.chance.value());
    Stake {
        chance,
        better: cost * chance,
        worse: cost * (1.0 - chance),
        settled: 0.0,
    }
}

/// What the bill expects for a fault that is not certain, and what would come
/// on top if it is one.
fn of_part(bill: &FixBill, part: PartId, sure: Chance) -> Stake {
    let jobs = bill
        .jobs
        .iter()
        .filter(|job| job.reason == Reason::Suspected && job.because.contains(&part))
        .map(|job| (job.cost.mean().to_f64(), job.chance.value()));
    let left = bill.left.iter().filter(|left| left.part == part);
    let left = left
        .map(|left| (left.effect.to_f64(), left.chance.value()))
        .filter(|(_, chance)| *chance > 0.0)
        .map(|(expected, chance)| (expected / chance, chance));
    // The causes of a symptom that only this one speaks for: with it they are as much
    // likelier as it was doubted.
    let causes = bill.jobs.iter();
    let causes = causes.filter(|job| job.reason == Reason::Cause && job.because == [part]);
    let causes = causes.map(|job| {
        let chance = job.chance.value();
        let sure = sure.value().max(chance);
        (job.cost.mean().to_f64() * chance / sure, sure)
    });
    let causes = causes.filter(|(_, sure)| *sure > 0.0);
    let all: Vec<_> = jobs.chain(left).chain(causes).collect();
    let better = all.iter().map(|(cost, chance)| cost * chance).sum();
    let worse = all.iter().map(|(cost, chance)| cost * (1.0 - chance)).sum();
    let sum: f64 = better + worse;
    Stake {
        chance: if sum > 0.0 { better / sum } else { 0.5 },
        better,
        worse,
        settled: 0.0,
    }
}
