//! Whether the car moves, by all the words of an ad, where nothing says so.

use super::model::{Evidence, Reading};
use super::page::Page;
use super::reader::{Reader, Scratch};
use super::tokens::{TokenKind, Tokens};
use super::values::{Kind, Moves};
use crate::intake::Listing;
use crate::lexicon::leanings::chances;
use crate::lexicon::moves_leanings::{ANSWERS, ANY, LEAST_CHANCE, MovesLeanings, Weights};

/// How the rule of a value begins that no saying tells.
const LIKELY: &str = "likely by all the words of the ad";

/// An ad to learn leanings from.
#[derive(Debug, Clone, PartialEq)]
pub struct MovesExample {
    /// What the rules alone make of it; none where they leave it open.
    pub by_rules: Option<Moves>,
    /// Its words, and every two side by side.
    pub traits: Vec<String>,
}

impl Reader<'_> {
    /// What the words of an ad are, and what the rules make of it.
    pub fn moves_example(&self, listing: &Listing, scratch: &mut Scratch) -> MovesExample {
        let reading = self.read_with(listing, scratch);
        let likely = |(key, e): &(&str, Evidence)| *key == "moves" && e.rule.contains(LIKELY);
        let told = reading.moves != Moves::Unstated && !reading.fields.iter().any(likely);
        let tokens = &scratch.tokens;
        let words = traits(tokens, tokens.before(listing.headline_len));
        MovesExample {
            by_rules: told.then_some(reading.moves),
            traits: words.into_iter().map(|(words, _)| words).collect(),
        }
    }

    /// Tells what is likely of a car where nothing says whether it moves.
    pub(super) fn likely_moves(&self, reading: &mut Reading, page: &Page<'_>) {
        if reading.kind != Kind::Car || reading.moves != Moves::Unstated {
            return;
        }
        if let Some(likely) = likely(page.tokens, page.headline, &self.lexicon.moves_leanings) {
            reading.moves = likely.moves;
            let words = page.words(likely.tokens);
            let rule = format!("{words}, {LIKELY} (chance {:.2})", likely.chance);
            page.note(reading, "moves", Some(likely.tokens), &rule);
        }
    }
}

/// What is likely, and the words that make it so most.
struct Likely {
    moves: Moves,
    /// How likely, from 0 to 1.
    chance: f64,
    /// First and last token.
    tokens: (usize, usize),
}

/// The words of a text from this token on, and every two side by side, each once
/// and with the token it begins with.
fn traits(tokens: &Tokens, from: usize) -> Vec<(String, usize)> {
    let is_word = |i: usize| matches!(tokens.kind(i), TokenKind::Word | TokenKind::Number);
    let all = (from..tokens.list.len()).filter(|i| is_word(*i));
    let mut out: Vec<(String, usize)> = all
        .flat_map(|i| {
            let word = tokens.word(i);
            let pair = is_word(i + 1) && i + 1 < tokens.list.len();
            let pair = pair.then(|| format!("{word} {}", tokens.word(i + 1)));
            [Some(word.to_owned()), pair]
                .into_iter()
                .flatten()
                .map(move |t| (t, i))
        })
        .collect();
    out.sort();
    out.dedup_by(|a, b| a.0 == b.0);
    out
}

/// What the words from this token on make likely.
fn likely(tokens: &Tokens, from: usize, leanings: &MovesLeanings) -> Option<Likely> {
    if leanings.is_empty() {
        return None;
    }
    let mut sums = leanings.of(ANY).copied().unwrap_or_default();
    let mut told: Vec<(&Weights, usize, usize)> = Vec::new();
    for (words, at) in traits(tokens, from) {
        if let Some(weights) = leanings.of(&words) {
            sums.iter_mut().zip(weights).for_each(|(s, w)| *s += w);
            told.push((weights, at, at + usize::from(words.contains(' '))));
        }
    }
    let chances = chances(sums);
    let best = (0..ANSWERS.len()).max_by(|a, b| chances[*a].total_cmp(&chances[*b]))?;
    let (_, moves) = ANSWERS[best];
    let (_, first, last) = told
        .into_iter()
        .max_by(|a, b| a.0[best].total_cmp(&b.0[best]))?;
    (moves != Moves::Unstated && chances[best] >= LEAST_CHANCE).then_some(Likely {
        moves,
        chance: chances[best],
        tokens: (first, last),
    })
}
