//! A second look at what the rules found: by all that stands around it, it may be
//! likelier that something else is meant, or that the words are not said of the car.

use super::around::Fullness;
use super::standing::InShort;
use super::*;
use crate::lexicon::leanings::chances;
use crate::lexicon::passing::{Passing, Verdict};
use crate::units::Chance;

/// A fault that was left out.
#[derive(Debug)]
pub struct LeftOut {
    /// What the rules found.
    pub saying: Saying,
    /// The chance that it is a fault of the car all the same.
    pub meant: Chance,
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
        let mut notes = Vec::new();
        let told = InShort::all(sayings);
        sayings.retain_mut(|s| {
            let mut sums = [0.0; _];
            self.around_saying((s, &told), fullness, &mut key, &mut |near, word| {
                if let Some(weights) = passing.of(near, word) {
                    sums.iter_mut().zip(weights).for_each(|(s, w)| *s += w);
                }
            });
            let verdict = Verdict::on(s.says, self.parts.get(s.part).ruinous, chances(sums));
            if self.trace.is_some()
                && let Some(text) = verdict.in_words(self.words(s.item), s.says)
            {
                notes.push(Step { item: s.item, text });
            }
            match verdict {
                Verdict::Stands => true,
                // `no rust on the sills` is never a fault.
                Verdict::Means { says, .. } if s.denied && says.is_fault() => true,
                Verdict::Means { says, .. } => {
                    s.says = match says {
                        Says::Renewed if self.is_symptom(s.part) => Says::Sound,
                        says => says,
                    };
                    s.rule.leans = true;
                    true
                }
                Verdict::InPassing { meant, .. } => {
                    if s.says.is_fault()
                        && let Some(meant) = meant
                    {
                        let saying = s.clone();
                        out.push(LeftOut { saying, meant });
                    }
                    false
                }
            }
        });
        if let Some(trace) = &mut self.trace {
            trace.extend(notes);
        }
        out
    }

    /// All that the rules say, with what stands around it, to learn from.
    pub(super) fn told_examples(&self, sayings: &[Saying], fullness: Fullness) -> Vec<Example> {
        let mut key = String::new();
        let told = InShort::all(sayings);
        let example = |s: &Saying| {
            let mut traits = Vec::new();
            self.around_saying((s, &told), fullness, &mut key, &mut |near, word| {
                traits.push((near, word.to_owned()));
            });
            Example {
                part: s.part,
                says: Some(s.says),
                traits,
            }
        };
        sayings.iter().map(example).collect()
    }
}
