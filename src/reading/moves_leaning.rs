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
    /// Whether the rules leave it open.
    pub open: bool,
    /// Its words, and every two side by side: all of them, since an ad that says
    /// that it drives teaches what such ads speak of.
    pub traits: Vec<String>,
}

impl Reading {
    /// Whether the car moves, as is likely by all that the ad says. What is reckoned with
    /// the car takes only what the ad says in so many words.
    pub fn moves_as_read(&self) -> Moves {
        self.likely_moves.unwrap_or(self.moves)
    }
}

impl Reader<'_> {
    /// What the words of an ad are, and whether the rules leave it open.
    pub fn moves_example(&self, listing: &Listing, scratch: &mut Scratch) -> MovesExample {
        let reading = self.read_with(listing, scratch);
        let headline = scratch.tokens.before(listing.headline_len);
        MovesExample {
            open: reading.moves == Moves::Unstated,
            traits: traits(&scratch.tokens, headline),
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

/// Whether a word or number stands here that is not taken.
fn is_free(tokens: &Tokens, taken: &[bool], i: usize) -> bool {
    i < tokens.list.len()
        && matches!(tokens.kind(i), TokenKind::Word | TokenKind::Number)
        && taken.get(i) != Some(&true)
}

/// The words of a text from this token on, and every two side by side, each once.
fn traits(tokens: &Tokens, from: usize) -> Vec<String> {
    let is_free = |i: &usize| is_free(tokens, &[], *i);
    let mut out: Vec<String> = (from..tokens.list.len())
        .filter(is_free)
        .flat_map(|i| {
            let word = tokens.word(i);
            let pair = is_free(&(i + 1)).then(|| format!("{word} {}", tokens.word(i + 1)));
            [Some(word.to_owned()), pair]
        })
        .flatten()
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// What the words from this token on make likely.
fn likely(scratch: &Scratch, from: usize, leanings: &MovesLeanings) -> Option<Likely> {
    if leanings.is_empty() {
        return None;
    }
    let mut sums = leanings.of(ANY).copied().unwrap_or_default();
    let tokens = &scratch.tokens;
    let taken = taken(scratch);
    let mut told: Vec<(usize, &Weights, (usize, usize))> = Vec::new();
    let mut pair = String::new();
    for at in (from..tokens.list.len()).filter(|i| is_free(tokens, &taken, *i)) {
        let word = tokens.word(at);
        let alone = leanings.row_of(word).map(|(row, w)| (*row, w, (at, at)));
        told.extend(alone);
        if leanings.begins_pair(word) && is_free(tokens, &taken, at + 1) {
            pair.clear();
            pair.extend([word, " ", tokens.word(at + 1)]);
            let both = leanings.row_of(&pair);
            told.extend(both.map(|(row, w)| (*row, w, (at, at + 1))));
        }
    }
    // Each once.
    told.sort_by_key(|(row, ..)| *row);
    told.dedup_by_key(|(row, ..)| *row);
    for (_, weights, _) in &told {
        sums.iter_mut().zip(*weights).for_each(|(s, w)| *s += w);
    }
    let best = |of: &Weights| (0..of.len()).max_by(|a, b| of[*a].total_cmp(&of[*b]));
    let answer = best(&sums)?;
    let (_, moves) = ANSWERS[answer];
    // Against that nothing is told, the last of the answers.
    let speaks = |w: &Weights| w[answer] - w[ANSWERS.len() - 1];
    let strongest = told
        .into_iter()
        .max_by(|a, b| speaks(a.1).total_cmp(&speaks(b.1)));
    let (_, weights, words) = strongest?;
    // One word alone tells nothing, however often it was told of a car that drives.
    let mut without = sums;
    without.iter_mut().zip(weights).for_each(|(s, w)| *s -= w);
    let chance = chances(sums)[answer];
    let likely = chance >= LEAST_CHANCE && best(&without) == Some(answer);
    (moves != Moves::Unstated && likely).then_some(Likely {
        moves,
        chance,
        tokens: words,
    })
}
