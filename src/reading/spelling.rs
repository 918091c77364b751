//! Misspelt part words put right before phrases are looked up: `rotars`,
//! `alternater`, `windsheild`.
//!
//! A word that no table knows is taken for the one word of the tables that it
//! is nearest to by optimal string alignment (insertions, deletions,
//! substitutions, neighbours swapped), if it is near enough and begins with the
//! same letter. Of several as near, the tables must use one far more than the
//! others: they hold common misspellings too, each in a phrase or two.

use hashbrown::HashMap;

use super::tokens::{TokenKind, Tokens};
use crate::lexicon::Lexicon;
use crate::lexicon::ordinary::OrdinaryWords;
use crate::lexicon::phrases::{Phrase, Phrases};
use crate::lexicon::words::{WordId, Words};

/// Shorter words are left alone: too many words are one letter apart.
const SHORTEST: usize = 5;
/// From this length two slips are forgiven.
const LONG: usize = 8;
/// Longer words are left alone.
const LONGEST: usize = 24;
/// Of several words as near, the one meant is used so many times as often.
const FAR_MORE: u32 = 4;
/// Most runs of drawn-out letters in one word.
const MOST_DRAWN: u32 = 4;
/// Most words that a [`Memory`] holds.
const REMEMBERED: usize = 50_000;

/// What was found for words seen before.
pub type Memory = HashMap<String, Option<WordId>>;

/// A word worth correcting to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Target {
    first: u8,
    length: u8,
    word: WordId,
    /// A bit for each letter that stands in it.
    letters: u32,
    /// How often the tables use it.
    uses: u32,
}

/// Knows the words of the tables.
pub struct Speller<'l> {
    phrases: &'l Phrases,
    words: &'l Words,
    ordinary: &'l OrdinaryWords,
    /// By first letter and length.
    targets: Vec<Target>,
}

impl<'l> Speller<'l> {
    /// A speller for the words of these tables.
    pub fn new(lexicon: &'l Lexicon) -> Self {
        let words = lexicon.phrases.words();
        let uses = lexicon.phrases.graph().uses(words.len());
        let mut targets: Vec<Target> = lexicon
            .phrases
            .part_words()
            .iter()
            .filter_map(|&id| {
                let word = words.word(id);
                let long = (SHORTEST..=LONGEST + LONG).contains(&word.len());
                (long && is_letters(word)).then(|| Target {
                    first: word.as_bytes()[0],
                    length: word.len() as u8,
                    word: id,
                    letters: letters(word),
                    uses: uses[id.index()],
                })
            })
            .collect();
        targets.sort_unstable();
        Speller {
            phrases: &lexicon.phrases,
            words,
            ordinary: &lexicon.ordinary,
            targets,
        }
    }

    /// The words that the tables' words could be taken for: those that
    /// `ordinary_words.csv` must hold if they are English.
    pub fn targets(&self) -> impl Iterator<Item = &'l str> {
        self.targets.iter().map(|t| self.words.word(t.word))
    }

    /// The word meant by a misspelt one; `None` where it is right as it is or
    /// no one word is near enough.
    pub fn correct(&self, word: &str) -> Option<&'l str> {
        let known = self.words.find(word).is_known();
        let meant = (!known).then(|| self.nearest(word)).flatten();
        meant.map(|id| self.words.word(id))
    }

    /// The word meant by one that no phrase holds.
    fn nearest(&self, word: &str) -> Option<WordId> {
        if !(SHORTEST..=LONGEST).contains(&word.len())
            || !is_letters(word)
            || self.ordinary.contains(word)
        {
            return None;
        }
        let allowed = if word.len() >= LONG { 2 } else { 1 };
        let first = word.as_bytes()[0];
        let mine = letters(word);
        let from = self
            .targets
            .partition_point(|t| (t.first, usize::from(t.length) + allowed) < (first, word.len()));
        let near = self.targets[from..]
            .iter()
            .take_while(|t| t.first == first && usize::from(t.length) <= word.len() + allowed)
            // One slip changes at most two of the letters that stand in a word.
            .filter(|t| (t.letters ^ mine).count_ones() as usize <= 2 * allowed);
        let mut best: Option<(usize, &Target)> = None;
        // The most used of the others that are as near.
        let mut other: Option<&Target> = None;
        for target in near {
            let Some(distance) = distance(word, self.words.word(target.word), allowed) else {
                continue;
            };
            match best {
                Some((d, _)) if distance > d => {}
                Some((d, now)) if distance == d => {
                    let (more, less) = match target.uses > now.uses {
                        true => (target, now),
                        false => (now, target),
                    };
                    best = Some((d, more));
                    if !self.is_form_of(more, less) && other.is_none_or(|o| o.uses < less.uses) {
                        other = Some(less);
                    }
                }
                _ => {
                    best = Some((distance, target));
                    other = None;
                }
            }
        }
        let far_more = |best: &Target| other.is_none_or(|o| best.uses >= FAR_MORE * o.uses);
        best.filter(|(_, best)| far_more(best))
            .map(|(_, target)| target.word)
    }

    /// Whether either of the two will do: one is the other's plural, or both
    /// are long words that two slips make one.
    fn is_form_of(&self, a: &Target, b: &Target) -> bool {
        let [a, b] = [a, b].map(|t| self.words.word(t.word));
        let long = a.len().min(b.len()) >= LONG;
        a.strip_suffix('s') == Some(b)
            || b.strip_suffix('s') == Some(a)
            || long && distance(a, b, 2).is_some()
    }

    /// The word meant by one with letters drawn out: `sooo`, `workkk`, `greaaat`.
    /// Each run of three or more stands for two letters or for one.
    fn drawn_in(&self, word: &str) -> Option<WordId> {
        let runs = drawn_out(word)?;
        for ways in 0..1_u32 << runs {
            let short = draw_in(word, ways);
            let id = self.words.find(&short);
            if id.is_known() {
                return Some(id);
            }
        }
        self.nearest(&draw_in(word, (1 << runs) - 1))
    }

    /// The name of a part that an `'s` stands behind: `the gearbox's gone`.
    fn with_its_s(&self, tokens: &Tokens, i: usize) -> Option<WordId> {
        let word = tokens.word(i).strip_suffix('s')?;
        let named = |p: Phrase<'_>| !p.meaning.named.is_empty();
        let part = tokens.has_more_signs(i) && self.phrases.find(word).is_some_and(named);
        part.then(|| self.words.find(word))
    }

    /// Corrects all tokens and their words as looked up; `memory` keeps what
    /// was found for words seen before.
    pub fn apply(&self, tokens: &mut Tokens, words: &mut [WordId], memory: &mut Memory) {
        let mut corrections: Vec<(usize, &str)> = Vec::new();
        for (i, looked_up) in words.iter_mut().enumerate() {
            if looked_up.is_known() || tokens.kind(i) != TokenKind::Word {
                continue;
            }
            let word = tokens.word(i);
            if let Some(name) = self.with_its_s(tokens, i) {
                *looked_up = name;
                corrections.push((i, self.words.word(name)));
                continue;
            }
            let drawn = drawn_out(word).is_some();
            if word.len() < SHORTEST && !drawn {
                continue;
            }
            let found = match memory.get(word) {
                Some(found) => *found,
                None => {
                    if memory.len() >= REMEMBERED {
                        memory.clear();
                    }
                    let found = match drawn {
                        true => self.drawn_in(word),
                        false => self.nearest(word),
                    };
                    memory.insert(word.to_owned(), found);
                    found
                }
            };
            if let Some(right) = found {
                *looked_up = right;
                corrections.push((i, self.words.word(right)));
            }
        }
        if !corrections.is_empty() {
            tokens.replace(&corrections);
        }
    }
}

/// The optimal string alignment distance of two words of plain letters, where
/// it is no more than allowed. Only what is left between their common beginning
/// and end has to be aligned.
fn distance(a: &str, b: &str, allowed: usize) -> Option<usize> {
    let same = |(x, y): &(u8, u8)| x == y;
    let begin = a.bytes().zip(b.bytes()).take_while(same).count();
    let (a, b) = (&a[begin..], &b[begin..]);
    let end = a
        .bytes()
        .rev()
        .zip(b.bytes().rev())
        .take_while(same)
        .count();
    let (a, b) = (&a[..a.len() - end], &b[..b.len() - end]);
    // One slip spans two letters at most: a swap.
    if allowed == 1 && a.len().max(b.len()) > 2 {
        return None;
    }
    let distance = strsim::osa_distance(a, b);
    (distance <= allowed).then_some(distance)
}

/// How many runs of three or more of the same letter a word has, if it has any
/// and something else beside; words with more of them than anybody draws out
/// have none.
fn drawn_out(word: &str) -> Option<u32> {
    let bytes = word.as_bytes();
    let first = bytes.first()?;
    if bytes.len() > LONGEST + LONG || !is_letters(word) || bytes.iter().all(|b| b == first) {
        return None;
    }
    let runs = bytes.chunk_by(|a, b| a == b).filter(|run| run.len() > 2);
    let runs = runs.count() as u32;
    (1..=MOST_DRAWN).contains(&runs).then_some(runs)
}

/// A word with its drawn-out runs cut to two letters, or to one where the bit of
/// the run is set.
fn draw_in(word: &str, ways: u32) -> String {
    let mut short = String::with_capacity(word.len());
    let mut run_number = 0;
    for run in word.as_bytes().chunk_by(|a, b| a == b) {
        let keep = match run.len() {
            0..=2 => run.len(),
            _ => {
                run_number += 1;
                2 - (ways >> (run_number - 1) & 1) as usize
            }
        };
        short.extend(std::iter::repeat_n(char::from(run[0]), keep));
    }
    short
}

fn is_letters(word: &str) -> bool {
    word.bytes().all(|b| b.is_ascii_lowercase())
}

fn letters(word: &str) -> u32 {
    word.bytes().fold(0, |all, b| all | 1 << (b & 31))
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn the_distance_is_that_of_the_whole_words(
            a in "[abc]{0,9}", b in "[abc]{0,9}", allowed in 1_usize..3
        ) {
            let whole = Some(strsim::osa_distance(&a, &b)).filter(|d| *d <= allowed);
            proptest::prop_assert_eq!(distance(&a, &b, allowed), whole);
        }
    }

    /// Slips in words from all over the tables, and every target looked at.
    #[test]
    fn the_one_nearest_word_of_all_is_meant() {
        let lexicon = Lexicon::built_in().unwrap();
        let speller = Speller::new(&lexicon);
        let all: Vec<&str> = speller.targets().collect();
        let mut corrected = 0;
        for (target, n) in all.iter().step_by(211).zip(1..) {
            let at = 1 + n % (target.len() - 1);
            let slips = [
                format!("{}q{}", &target[..at], &target[at..]),
                format!("{}{}", &target[..at], &target[at + 1..]),
                format!("{}z{}", &target[..at], &target[at + 1..]),
            ];
            for word in slips
                .iter()
                .filter(|w| (SHORTEST..=LONGEST).contains(&w.len()))
            {
                let known = speller.words.find(word).is_known();
                if known || speller.ordinary.contains(word) {
                    continue;
                }
                let allowed = if word.len() >= LONG { 2 } else { 1 };
                let near = |d: usize| {
                    let same = |t: &&&str| t[..1] == word[..1];
                    let all = all.iter().filter(same);
                    all.filter(move |t| strsim::osa_distance(word, t) == d)
                };
                let nearest = (0..=allowed).find(|d| near(*d).count() > 0);
                // The most used of the nearest, if none but its forms is used
                // more than a quarter as often.
                let target = |word: &str| {
                    speller
                        .targets
                        .iter()
                        .find(|t| speller.words.word(t.word) == word)
                };
                let uses = |word: &str| target(word).map_or(0, |t| t.uses);
                let form = |a: &str, b: &str| {
                    let plural = format!("{a}s") == b || format!("{b}s") == a;
                    plural || a.len().min(b.len()) >= LONG && strsim::osa_distance(a, b) <= 2
                };
                let most = nearest.and_then(|d| near(d).rev().max_by_key(|t| uses(t)).copied());
                let expected = most.filter(|most| {
                    let mut others = nearest.into_iter().flat_map(near);
                    others.all(|t| t == most || form(t, most) || uses(most) >= 4 * uses(t))
                });
                assert_eq!(speller.correct(word), expected, "{word}");
                corrected += usize::from(expected.is_some());
            }
        }
        assert!(corrected >= 10, "{corrected}");
    }

    #[test]
    fn drawn_out_letters_stand_for_one_or_two() {
        let lexicon = Lexicon::built_in().unwrap();
        let speller = Speller::new(&lexicon);
        let meant = |word| speller.drawn_in(word).map(|id| speller.words.word(id));
        assert_eq!(meant("goooood"), Some("good"));
        assert_eq!(meant("newww"), Some("new"));
        assert_eq!(meant("smmmmellls"), Some("smells"));
        assert_eq!(meant("alterntorrr"), Some("alternator"));
        // Nothing but one letter, or no run of three, is no such word.
        assert_eq!(meant("xxxx"), None);
        assert_eq!(meant("good"), None);
    }

    #[test]
    fn misspellings_that_the_tables_hold_do_not_stand_in_the_way_of_others() {
        let lexicon = Lexicon::built_in().unwrap();
        let speller = Speller::new(&lexicon);
        for (slip, meant) in [
            ("alterntor", "alternator"),
            ("radiaor", "radiator"),
            ("thermustat", "thermostat"),
            ("exhaut", "exhaust"),
            ("brakkes", "brakes"),
            ("intarior", "interior"),
            ("ditributor", "distributor"),
        ] {
            assert!(!speller.words.find(slip).is_known(), "{slip}");
            assert_eq!(speller.correct(slip), Some(meant));
        }
    }
}
