//! What the rules found in words that are likely not said of the car.

use super::around::Fullness;
use super::*;
use crate::lexicon::leanings::{Near, chances};
use crate::lexicon::passing::{LEAST_CHANCE, LEAST_CHANCE_OF_FAULT, Passing, meant};
use crate::units::Chance;

/// Words looked at on either side of a saying.
const BESIDE: usize = 4;
/// Lengths of ads are told apart by so many words and signs.
const STEP: usize = 30;

/// A fault that was left out.
#[derive(Debug)]
pub struct LeftOut {
    /// What the rules found.
    pub saying: Saying,
    /// The chance that it is said of the car all the same.
    pub meant: Chance,
}

impl<'a> Walk<'a> {
    /// Lets a table tell what is likely said in passing.
    pub fn doubting(mut self, passing: &'a Passing) -> Self {
        self.passing = Some(passing).filter(|p| !p.is_empty());
        self
    }

    /// Leaves out what is likely not said of the car, and tells which faults
    /// those are.
    pub(super) fn leave_out_passing(
        &mut self,
        sayings: &mut Vec<Saying>,
        fullness: Fullness,
    ) -> Vec<LeftOut> {
        let mut out = Vec::new();
        let Some(passing) = self.passing else {
            return out;
        };
        // Who writes little, or of little else, means it.
        if matches!(fullness, Fullness::Brief | Fullness::Full) {
            return out;
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
            let passing = chance >= least;
            if passing && self.trace.is_some() {
                let (words, says) = (self.words(s.item), s.says.word());
                let text = format!(
                    "'{words}' ({says}) is likely told in passing, and not of the car: left out \
                     (chance {chance:.2})"
                );
                notes.push(Step { item: s.item, text });
            }
            if passing
                && s.says.is_fault()
                && let Some(meant) = meant(sums)
            {
                let saying = s.clone();
                out.push(LeftOut { saying, meant });
            }
            !passing
        });
        if let Some(trace) = &mut self.trace {
            trace.extend(notes);
        }
        out
    }

    /// Tells of all that stands around a saying, and of what it says.
    fn around_saying(
        &self,
        saying: &Saying,
        fullness: Fullness,
        key: &mut String,
        tell: &mut dyn FnMut(Near, &str),
    ) {
        let says = saying.says.word();
        let mut both = |near: Near, name: &str, tell: &mut dyn FnMut(Near, &str)| {
            key.clear();
            key.extend([name, " ", says]);
            tell(near, key);
        };
        match self.part_of_saying(saying) {
            Some(k) => self.around((k, saying.part), fullness, &mut |near, word| {
                tell(near, word);
                if near == Near::Form {
                    both(Near::FormSays, word, tell);
                }
            }),
            None => tell(Near::Form, "any"),
        }
        tell(Near::Says, says);
        both(Near::PartSays, self.parts.code(saying.part), tell);
        both(Near::NameSays, self.words(saying.item), tell);
        for word in self.measures(saying) {
            tell(Near::Form, word);
            both(Near::FormSays, word, tell);
        }
        // A number may be the cue.
        let cue = saying.cue.map_or("", |cue| self.words(cue));
        if !cue.is_empty() {
            tell(Near::Cue, cue);
        }
        self.words_beside(saying, key, tell);
    }

    /// The part that a saying is of: the one named with it, or else within its words.
    fn part_of_saying(&self, saying: &Saying) -> Option<usize> {
        let k = self.mentions.partition_point(|m| m.item < saying.item);
        if self.mentions.get(k).is_some_and(|m| m.item == saying.item) {
            return Some(k);
        }
        let (first, last) = saying.tokens;
        let from = self
            .mentions
            .partition_point(|m| self.items.list[m.item].first < first);
        let within = |m: &Mention| self.items.list[m.item].last <= last;
        self.mentions.get(from).is_some_and(within).then_some(from)
    }

    /// How many words a saying spans, where in the ad it stands, and how long that is.
    fn measures(&self, saying: &Saying) -> [&'static str; 3] {
        const SPANS: [&str; 7] = [
            "span 0", "span 1", "span 2", "span 3", "span 4", "span 5", "span 6",
        ];
        const PLACES: [&str; 4] = ["place 0", "place 1", "place 2", "place 3"];
        const LENGTHS: [&str; 9] = [
            "length 0", "length 1", "length 2", "length 3", "length 4", "length 5", "length 6",
            "length 7", "length 8",
        ];
        let (first, last) = (saying.tokens.0 as usize, saying.tokens.1 as usize);
        let all = self.items.tokens.list.len().max(1);
        [
            SPANS[((last + 1 - first) / 2).min(SPANS.len() - 1)],
            PLACES[(PLACES.len() * first / all).min(PLACES.len() - 1)],
            LENGTHS[(all / STEP).min(LENGTHS.len() - 1)],
        ]
    }

    /// The words on either side of a saying, each with how far off it stands.
    fn words_beside(&self, saying: &Saying, key: &mut String, tell: &mut dyn FnMut(Near, &str)) {
        let (first, last) = (saying.tokens.0 as usize, saying.tokens.1 as usize);
        let tokens = self.items.tokens;
        let mut beside = |near: Near, far: usize, at: usize| {
            key.clear();
            key.push(char::from(b'0' + far as u8));
            key.push(' ');
            match tokens.word(at) {
                "" => key.push_str("(line)"),
                word => key.push_str(word),
            }
            tell(near, key);
        };
        for far in 1..=BESIDE {
            if let Some(at) = first.checked_sub(far) {
                beside(Near::Left, far, at);
            }
            if last + far < tokens.list.len() {
                beside(Near::Right, far, last + far);
            }
        }
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
