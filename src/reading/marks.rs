//! Ticks and crosses that tell a state: `✅ radio ❌ AC`, `Engine ✅`.
//!
//! A mark at the head of its entry rules what follows, one behind an entry
//! answers it like a `no`. A tick heads what is good only in an ad that heads
//! what is bad with crosses: without them it is a bullet like any other.

use super::model::Says;
use super::scan::Scanner;
use super::tokens::{Rewrite, TokenKind, Tokens};
use crate::lexicon::phrases::Act;

/// What a mark says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mark {
    Tick,
    Cross,
}

impl Mark {
    fn of(c: char) -> Option<Self> {
        match c {
            '✅' | '✔' | '✓' | '☑' | '👍' | '🟢' => Some(Mark::Tick),
            '❌' | '❎' | '✖' | '✗' | '✘' | '👎' | '🔴' | '🚫' => Some(Mark::Cross),
            _ => None,
        }
    }

    /// Words of `cues.csv` that say as much before what they tell of.
    fn ahead(self) -> &'static str {
        match self {
            Mark::Tick => "no problem with",
            Mark::Cross => "problem with",
        }
    }

    /// Words of `cues.csv` that say as much behind it.
    fn behind(self) -> &'static str {
        match self {
            Mark::Tick => "good",
            Mark::Cross => "no",
        }
    }
}

/// Most words of an entry that a mark stands behind.
const ENTRY: usize = 5;

/// A mark found in a text.
struct Found {
    at: usize,
    mark: Mark,
    spot: Spot,
}

/// Where a mark stands in its entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Spot {
    Head,
    End,
    /// `radio ❌ dead`: between a name and a state.
    Between,
}

/// Puts words in the place of marks; `text` is what the tokens were taken from.
pub fn apply(tokens: &mut Tokens, text: &str, scanner: &Scanner<'_>) {
    // Most ads have none of them.
    if text.is_ascii() {
        return;
    }
    let found = find(tokens, text, scanner);
    let heads = |f: &Found| f.spot == Spot::Head;
    let crossed = found.iter().any(|f| heads(f) && f.mark == Mark::Cross);
    let changes: Vec<Rewrite<'static>> = found
        .iter()
        .filter(|f| !heads(f) || crossed)
        .filter(|f| f.spot == Spot::Between || !denied_behind(tokens, f.at, scanner))
        .map(|f| {
            let (words, kind) = match f.spot {
                Spot::Head => (f.mark.ahead(), TokenKind::Word),
                Spot::End => (f.mark.behind(), TokenKind::Word),
                Spot::Between => (":", TokenKind::Sign(b':')),
            };
            Rewrite {
                first: f.at,
                width: 1,
                words,
                kind,
            }
        })
        .collect();
    if !changes.is_empty() {
        tokens.rewrite(&changes);
    }
}

fn find(tokens: &Tokens, text: &str, scanner: &Scanner<'_>) -> Vec<Found> {
    let mark = |at: usize| {
        let token = tokens.list.get(at)?;
        if token.kind != TokenKind::Sign(b'*') {
            return None;
        }
        Mark::of(text.get(token.source_range())?.chars().next()?)
    };
    let mut found = Vec::new();
    // How the entries of this line are marked, and where the last one began.
    let mut heads = None;
    let mut entry = 0;
    for at in 0..tokens.list.len() {
        if matches!(tokens.kind(at), TokenKind::Line | TokenKind::Blank) {
            heads = None;
            entry = at + 1;
            continue;
        }
        let Some(mark) = mark(at) else { continue };
        let first = (entry..at).all(|j| !is_word(tokens, j));
        let heads = *heads.get_or_insert(first);
        let ends = !is_word(tokens, at + 1);
        let spot = match heads {
            true => Spot::Head,
            false if !ends && agrees(mark, tokens, at + 1, scanner) => Spot::Between,
            false => Spot::End,
        };
        // `new exhaust ✓`: the entry says more than that it is good.
        let renewed = |j: usize| {
            let cue = scanner.cue(tokens.word(j));
            cue.is_some_and(|c| c.act == Act::State(Says::Renewed))
        };
        let told = mark == Mark::Tick && spot == Spot::End && (entry..at).any(renewed);
        if heads && !ends || !heads && !told && (1..=ENTRY).contains(&(at - entry)) {
            found.push(Found { at, mark, spot });
        }
        entry = at + 1;
    }
    found
}

fn is_word(tokens: &Tokens, at: usize) -> bool {
    matches!(tokens.kind(at), TokenKind::Word | TokenKind::Number)
}

/// Whether a word that tells a state as the mark does stands here and nothing behind
/// it in its line.
fn agrees(mark: Mark, tokens: &Tokens, at: usize, scanner: &Scanner<'_>) -> bool {
    let told = match scanner.cue(tokens.word(at)).map(|c| c.act) {
        Some(Act::State(Says::Sound | Says::Renewed)) => mark == Mark::Tick,
        Some(Act::State(Says::Bad)) => mark == Mark::Cross,
        _ => false,
    };
    told && !is_word(tokens, at + 1)
}

/// Whether the entry says by itself that something is not there or does not
/// work: `❌ no AC`, `Warning lights ❌ none`.
fn denied_behind(tokens: &Tokens, at: usize, scanner: &Scanner<'_>) -> bool {
    let cue = scanner.cue(tokens.word(at + 1));
    cue.is_some_and(|c| matches!(c.act, Act::Lacks | Act::Negates | Act::NegatesAll))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    fn read(text: &str) -> String {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        let lexicon = Lexicon::built_in().unwrap();
        apply(&mut tokens, text, &Scanner::new(&lexicon));
        tokens.folded.trim().to_owned()
    }

    #[test]
    fn a_mark_tells_by_where_it_stands() {
        assert_eq!(read("radio ❌"), "radio no");
        assert_eq!(read("motor ✅ AC ❌"), "motor good ac no");
        assert_eq!(
            read("❌ radio ✅ AC"),
            "problem with radio no problem with ac"
        );
        assert_eq!(read("✅ radio ✅ AC"), "* radio * ac");
        assert_eq!(read("❌ no AC"), "* no ac");
        assert_eq!(read("radio ❌ dead"), "radio : dead");
    }

    #[test]
    fn the_words_put_for_marks_are_cues() {
        let lexicon = Lexicon::built_in().unwrap();
        let reader = crate::reading::Reader::new(&lexicon, crate::units::DistanceUnit::Miles);
        for mark in [Mark::Tick, Mark::Cross] {
            for words in [mark.ahead(), mark.behind()] {
                let cue = reader.scanner.cue(words);
                assert!(cue.is_some(), "{words}");
            }
        }
    }
}
