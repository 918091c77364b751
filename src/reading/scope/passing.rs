//! What the rules found in words that are likely not said of the car.

use super::around::Fullness;
use super::*;
use crate::lexicon::leanings::{Near, chances};
use crate::lexicon::passing::{LEAST_CHANCE, LEAST_CHANCE_OF_FAULT, Passing};

impl<'a> Walk<'a> {
    /// Lets a table tell what is likely said in passing.
    pub fn doubting(mut self, passing: &'a Passing) -> Self {
        self.passing = Some(passing).filter(|p| !p.is_empty());
        self
    }

    /// Leaves out what is likely not said of the car.
    pub(super) fn leave_out_passing(&mut self, sayings: &mut Vec<Saying>, fullness: Fullness) {
        let Some(passing) = self.passing else { return };
        // Who writes little, or of little else, means it.
        if matches!(fullness, Fullness::Brief | Fullness::Full) {
            return;
        }
        let mut key = String::new();
        let mut notes = Vec::new();
        sayings.retain(|s| {
            let mut sums = [0.0; 2];
            self.around_saying(s, fullness, &mut key, &mut |near, word| {
                if let Some(weights) = passing.of(near, word) {
                    sums.iter_mut().zip(weights).for_each(|(s, w)| *s += w);
                }
            });
            let [chance, _] = chances(sums);
            let least = match s.says.is_fault() {
                true => LEAST_CHANCE_OF_FAULT,
                false => LEAST_CHANCE,
            };
            if chance >= least && self.trace.is_some() {
                let (words, says) = (self.words(s.item), s.says.word());
                let text = format!(
                    "'{words}' ({says}) is likely told in passing, and not of the car: left out \
                     (chance {chance:.2})"
                );
                notes.push(Step { item: s.item, text });
            }
            chance < least
        });
        if let Some(trace) = &mut self.trace {
            trace.extend(notes);
        }
    }

    /// Tells of all that stands around a saying, and of what it says.
    fn around_saying(
        &self,
        saying: &Saying,
        fullness: Fullness,
        key: &mut String,
        tell: &mut dyn FnMut(Near, &str),
    ) {
        let k = self.mentions.partition_point(|m| m.item < saying.item);
        match self.mentions.get(k).filter(|m| m.item == saying.item) {
            Some(_) => self.around((k, saying.part), fullness, tell),
            None => tell(Near::Form, "any"),
        }
        let says = saying.says.word();
        tell(Near::Says, says);
        let mut both = |near: Near, name: &str| {
            key.clear();
            key.extend([name, " ", says]);
            tell(near, key);
        };
        both(Near::PartSays, self.parts.code(saying.part));
        both(Near::NameSays, self.words(saying.item));
    }

    /// All that the rules say, with what stands around it, to learn from.
    pub(super) fn told_examples(&self, sayings: &[Saying], fullness: Fullness) -> Vec<Example> {
        let mut key = String::new();
        let example = |s: &Saying| {
            let mut traits = Vec::new();
            self.around_saying(s, fullness, &mut key, &mut |near, word| {
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
