//! What to ask, in the order of what hangs on it.

use std::cmp::Reverse;

use super::weigh::set;
use crate::lexicon::Lexicon;
use crate::lexicon::facts::Fact;
use crate::lexicon::unknowns::{Gap, Open};
use crate::margin::{Appraisal, Unknown};
use crate::reading::{Reading, Says};
use crate::units::Money;

/// What one answer would mean.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The answer in words.
    pub words: String,
    /// The most to pay after it; none where the car cannot be valued, or where
    /// nothing follows from the answer.
    pub ceiling: Option<Money>,
}

/// A question with what hangs on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What is open, in few words.
    pub about: String,
    /// The question.
    pub question: String,
    /// A good answer.
    pub good: Answer,
    /// A bad one.
    pub bad: Answer,
    /// The expected gain from asking before driving out, the time for it
    /// taken off.
    pub worth: Money,
}

impl Question {
    /// What hangs on it: how far apart the two ceilings lie.
    pub fn stake(&self) -> Money {
        match (self.good.ceiling, self.bad.ceiling) {
            (Some(good), Some(bad)) if good > bad => good - bad,
            (Some(good), Some(bad)) => bad - good,
            _ => Money::ZERO,
        }
    }
}

/// The questions that an ad leaves, the one worth most first, then the one on
/// which most hangs; those
/// that decide whether there is anything to talk about before all.
///
/// `again` makes the appraisal of a changed reading. What an answer means is
/// the ceiling as if it were true; where no plain fact follows, a good answer
/// gives back what was set aside and a bad one takes as much again.
pub fn questions(
    appraisal: &Appraisal,
    lexicon: &Lexicon,
    again: &dyn Fn(Reading) -> Appraisal,
) -> Vec<Question> {
    let mut all: Vec<(bool, Question)> = appraisal
        .unknowns
        .iter()
        .map(|unknown| {
            let asked = Asked {
                unknown,
                appraisal,
                again,
            };
            (is_first(unknown.open), asked.question(lexicon))
        })
        .collect();
    all.sort_by_key(|(first, q)| (!first, Reverse(q.worth), Reverse(q.stake())));
    all.into_iter().map(|(_, q)| q).collect()
}

/// Without these there is no figure to speak of.
fn is_first(open: Open) -> bool {
    matches!(
        open,
        Open::Gap(Gap::NoMake | Gap::NoYear | Gap::NoPrice | Gap::OtherCurrency | Gap::TooCheap)
    )
}

struct Asked<'a> {
    unknown: &'a Unknown,
    appraisal: &'a Appraisal,
    again: &'a dyn Fn(Reading) -> Appraisal,
}

impl Asked<'_> {
    fn question(&self, lexicon: &Lexicon) -> Question {
        let row = lexicon.answers.get(self.unknown.open);
        let part = self
            .unknown
            .part
            .map(|p| lexicon.parts.words(p))
            .unwrap_or_default();
        let words =
            |text: Option<&String>| text.map(|t| t.replace("{part}", &part)).unwrap_or_default();
        let mut weighed = self.appraisal.questions.iter();
        let weighed = weighed.find(|q| q.question == self.unknown.question);
        Question {
            worth: weighed.map_or(Money::ZERO, |q| q.worth),
            about: self.unknown.words.clone(),
            question: self.unknown.question.clone(),
            good: Answer {
                words: words(row.map(|r| &r.good)),
                ceiling: self.ceiling(true, row.map_or(&[], |r| &r.if_good)),
            },
            bad: Answer {
                words: words(row.map(|r| &r.bad)),
                ceiling: self.ceiling(false, row.map_or(&[], |r| &r.if_bad)),
            },
        }
    }

    fn ceiling(&self, good: bool, facts: &[Fact]) -> Option<Money> {
        let now = self.appraisal.ceiling?;
        if self.unknown.part.is_none() && facts.is_empty() && self.unknown.allowance == Money::ZERO
        {
            return None;
        }
        let mut reading = self.appraisal.reading.clone();
        reading.settled.push(self.unknown.open);
        for fact in facts {
            set(&mut reading, *fact);
        }
        if let Some(part) = self.unknown.part {
            // Only this suspicion is settled, not those of other parts.
            reading.settled.pop();
            match (self.unknown.open, good) {
                // What is not of this car praises nothing of it.
                (Open::Gap(Gap::InPassing), true) => {
                    reading.told_in_passing.retain(|t| t.part != part);
                }
                (_, true) => reading.answered(part, Says::Sound),
                (_, false) => reading.answered(part, Says::Bad),
            }
        }
        let known = (self.again)(reading).ceiling?;
        if good || !facts.is_empty() || self.unknown.part.is_some() {
            return Some(known);
        }
        let bad = now - self.unknown.allowance;
        Some(Money::new(bad.amount().floor()).max(Money::ZERO).min(known))
    }
}
