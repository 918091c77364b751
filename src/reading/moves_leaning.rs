//! Whether the car moves, by all the words of an ad, where nothing says so.

use super::model::Reading;
use super::page::Page;
use super::reader::{Reader, Scratch};
use super::scan::Hit;
use super::tokens::{TokenKind, Tokens};
use super::values::{Kind, Moves};
use crate::intake::Listing;
use crate::lexicon::leanings::chances;
use crate::lexicon::moves_leanings::{ANSWERS, ANY, LEAST_CHANCE, MovesLeanings, Weights};
use crate::lexicon::phrases::SignField;

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

impl Reading {
    /// Whether the car moves: as the ad says or, where it does not, as is likely.
    /// What is reckoned with the car takes only what the ad says.
    pub fn moves_as_read(&self) -> Moves {
        match self.moves {
            Moves::Unstated => self.likely_moves.unwrap_or(Moves::Unstated),
            told => told,
        }
    }
}

impl Reader<'_> {
    /// What the words of an ad are, and what the rules make of it.
    pub fn moves_example(&self, listing: &Listing, scratch: &mut Scratch) -> MovesExample {
        let reading = self.read_with(listing, scratch);
        let headline = scratch.tokens.before(listing.headline_len);
        let words = traits(&scratch.tokens, headline, &[]);
        MovesExample {
            by_rules: Some(reading.moves).filter(|m| *m != Moves::Unstated),
            traits: words.into_iter().map(|(words, _)| words).collect(),
        }
    }

    /// Tells what is likely of a car where nothing says whether it moves.
    pub(super) fn likely_moves(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        if reading.kind != Kind::Car || reading.moves != Moves::Unstated {
            return;
        }
        if let Some(likely) = likely(scratch, page.headline, &self.lexicon.moves_leanings) {
            reading.likely_moves = Some(likely.moves);
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

/// What the rules have taken for a saying of moving, or of another thing than the
/// car: it is left to them, as `no test drives` is.
fn taken(scratch: &Scratch) -> Vec<bool> {
    let mut taken = vec![false; scratch.tokens.list.len()];
    let of_moves = |h: &&Hit| h.marks.sign_of(SignField::Moves);
    let signs = scratch.hits.iter().filter(of_moves);
    let signs = signs.map(|h| (h.first as usize, h.last as usize));
    for (first, last) in signs.chain(scratch.asides.iter().copied()) {
        let within = taken.iter_mut().take(last + 1).skip(first);
        within.for_each(|t| *t = true);
    }
    taken
}

/// The words of a text from this token on, and every two side by side, each once
/// and with the token it begins with; without those that are taken.
fn traits(tokens: &Tokens, from: usize, taken: &[bool]) -> Vec<(String, usize)> {
    let is_word = |i: &usize| {
        let word = matches!(tokens.kind(*i), TokenKind::Word | TokenKind::Number);
        word && taken.get(*i) != Some(&true)
    };
    let mut out: Vec<(String, usize)> = (from..tokens.list.len())
        .filter(is_word)
        .flat_map(|i| {
            let word = tokens.word(i);
            let pair = is_word(&(i + 1)).then(|| format!("{word} {}", tokens.word(i + 1)));
            [Some(word.to_owned()), pair]
                .into_iter()
                .flatten()
                .map(move |words| (words, i))
        })
        .collect();
    out.sort();
    out.dedup_by(|a, b| a.0 == b.0);
    out
}

/// What the words from this token on make likely.
fn likely(scratch: &Scratch, from: usize, leanings: &MovesLeanings) -> Option<Likely> {
    if leanings.is_empty() {
        return None;
    }
    let mut sums = leanings.of(ANY).copied().unwrap_or_default();
    let mut told: Vec<(&Weights, usize, usize)> = Vec::new();
    for (words, at) in traits(&scratch.tokens, from, &taken(scratch)) {
        if let Some(weights) = leanings.of(&words) {
            sums.iter_mut().zip(weights).for_each(|(s, w)| *s += w);
            told.push((weights, at, at + usize::from(words.contains(' '))));
        }
    }
    let best = |of: &Weights| (0..of.len()).max_by(|a, b| of[*a].total_cmp(&of[*b]));
    let answer = best(&sums)?;
    let (_, moves) = ANSWERS[answer];
    // Against that nothing is told, the last of the answers.
    let speaks = |w: &Weights| w[answer] - w[ANSWERS.len() - 1];
    let strongest = told
        .into_iter()
        .max_by(|a, b| speaks(a.0).total_cmp(&speaks(b.0)));
    let (weights, first, last) = strongest?;
    // One word alone tells nothing, however often it was told of a car that drives.
    let mut without = sums;
    without.iter_mut().zip(weights).for_each(|(s, w)| *s -= w);
    let chance = chances(sums)[answer];
    let likely = chance >= LEAST_CHANCE && best(&without) == Some(answer);
    (moves != Moves::Unstated && likely).then_some(Likely {
        moves,
        chance,
        tokens: (first, last),
    })
}
