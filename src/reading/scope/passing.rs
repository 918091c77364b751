//! A second look at what the rules found: by all that stands around it, it may be
//! likelier that something else is meant, or that the words are not said of the car.

use super::around::Fullness;
use super::*;
use crate::lexicon::leanings::{Near, chances};
use crate::lexicon::passing::{ANSWERS, Found, Passing, Verdict};
use crate::units::Chance;

/// A fault that was left out.
#[derive(Debug)]
pub struct LeftOut {
    /// What the rules found.
    pub saying: Saying,
    /// The chance that it is a fault of the car all the same.
    pub meant: Chance,
}

/// What a rule found, to learn from.
#[derive(Debug)]
pub struct Remark {
    /// The code.
    pub part: PartId,
    /// What is said of it.
    pub found: Found,
    /// What stands around it.
    pub traits: Vec<(Near, String)>,
}

impl<'a> Walk<'a> {
    /// Lets a table look again at what the rules found.
    pub fn doubting(mut self, passing: &'a Passing) -> Self {
        self.passing = Some(passing).filter(|p| !p.is_empty());
        self
    }

    /// Leaves out what is likely not said of the car, tells which faults those are,
    /// and puts right what likely says another thing.
    pub(super) fn look_again(
        &mut self,
        sayings: &mut Vec<Saying>,
        fullness: Fullness,
    ) -> Vec<LeftOut> {
        let mut out = Vec::new();
        let Some(passing) = self.passing else {
            return out;
        };
        // Who writes little means it.
        if fullness == Fullness::Brief {
            return out;
        }
        let mut key = String::new();
        let by_traits = |s: &Saying| {
            let mut sums = [0.0; ANSWERS.len()];
            self.around_saying((s, sayings), fullness, &mut key, &mut |near, word| {
                if let Some(weights) = passing.of(near, word) {
                    sums.iter_mut().zip(weights).for_each(|(s, w)| *s += w);
                }
            });
            sums
        };
        let sums: Vec<_> = sayings.iter().map(by_traits).collect();
        let verdict = |(s, sums): (&Saying, &[f64; _])| Verdict::on(self.found(s), chances(*sums));
        let verdicts: Vec<_> = sayings.iter().zip(&sums).map(verdict).collect();
        if self.trace.is_some() {
            let note = |(s, verdict): (&Saying, &Verdict)| {
                let text = verdict.in_words(self.words(s.item), s.says)?;
                Some(Step { item: s.item, text })
            };
            let told = sayings.iter().zip(&verdicts);
            let notes: Vec<_> = told.filter_map(note).collect();
            self.trace
                .iter_mut()
                .for_each(|t| t.extend_from_slice(&notes));
        }
        let mut verdicts = verdicts.into_iter();
        sayings.retain_mut(|s| match verdicts.next() {
            None | Some(Verdict::Stands) => true,
            Some(Verdict::Means { says, .. }) => {
                s.says = self.fitting(s.part, says);
                s.rule.leans = true;
                true
            }
            Some(Verdict::InPassing { meant, .. }) => {
                let meant = meant.filter(|_| s.says.is_fault());
                let saying = s.clone();
                out.extend(meant.map(|meant| LeftOut { saying, meant }));
                false
            }
        });
        out
    }

    fn found(&self, saying: &Saying) -> Found {
        Found {
            says: saying.says,
            ruinous: self.parts.get(saying.part).ruinous,
            denied: saying.denied,
        }
    }

    /// What weights make likely of a code, as it can be said of it: a symptom is never
    /// renewed, it is gone.
    pub(super) fn fitting(&self, part: PartId, says: Says) -> Says {
        match says {
            Says::Renewed if self.is_symptom(part) => Says::Sound,
            says => says,
        }
    }

    /// All that the rules say, with what stands around it, to learn from.
    pub(super) fn remarks(&self, sayings: &[Saying], fullness: Fullness) -> Vec<Remark> {
        let mut key = String::new();
        let remark = |s: &Saying| {
            let mut traits = Vec::new();
            self.around_saying((s, sayings), fullness, &mut key, &mut |near, word| {
                traits.push((near, word.to_owned()));
            });
            Remark {
                part: s.part,
                found: self.found(s),
                traits,
            }
        };
        sayings.iter().map(remark).collect()
    }
}
