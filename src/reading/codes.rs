//! Trouble codes that an ad reads out: `P0420`, `p-0171`, `PO300`.

use super::model::{Evidence, FaultCode};
use super::scan::{Hit, Scanner};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::Lexicon;
use crate::lexicon::fault_codes::TroubleCode;

/// How many tokens away a warning light or another code vouches for one whose
/// meaning the maker gives.
const NEAR: usize = 8;

/// One code and the tokens it covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// The code.
    pub code: TroubleCode,
    /// First and last token.
    pub tokens: (usize, usize),
    /// Nothing else looks like it. Else it counts beside another code or a
    /// warning light.
    sure: bool,
}

/// All codes of a text in order. A name of the tables of makes and models is
/// none (`C1500`), and what only a maker's list could explain counts beside
/// another code or a warning light.
pub fn find(tokens: &Tokens, hits: &[Hit], scanner: &Scanner, lexicon: &Lexicon) -> Vec<Found> {
    let mut all: Vec<Found> = Vec::new();
    for (at, token) in tokens.list.iter().enumerate() {
        // A letter before figures, or as long as a code and with a figure behind
        // its letter: nearly all words end here.
        let start = token.folded.0 as usize;
        let may_be = token.kind == TokenKind::Word
            && match token.folded.1 - token.folded.0 {
                1 => tokens.kind(at + 1) == TokenKind::Number,
                4..=6 => matches!(tokens.folded.as_bytes()[start + 1], b'0'..=b'9' | b'o'),
                _ => false,
            };
        if !may_be {
            continue;
        }
        if let Some(found) = code_at(tokens, at).filter(|f| !names_a_car(f, hits)) {
            all.push(found);
        }
    }
    if all.is_empty() {
        return all;
    }
    let sure: Vec<usize> = all
        .iter()
        .filter(|f| f.sure)
        .map(|f| f.tokens.0)
        .chain(warnings(hits, scanner, lexicon))
        .collect();
    all.retain(|f| f.sure || sure.iter().any(|at| at.abs_diff(f.tokens.0) <= NEAR));
    all
}

/// The code at a token, in one word or with a hyphen or space after its
/// letter.
fn code_at(tokens: &Tokens, at: usize) -> Option<Found> {
    let word = tokens.word(at);
    if tokens.kind(at) != TokenKind::Word {
        return None;
    }
    if word.len() == 1 {
        let digits = tokens.word(at + 1);
        let close = tokens.kind(at + 1) == TokenKind::Number
            && tokens.list[at + 1].source.0 <= tokens.list[at].source.1 + 1;
        // `P 2500` may be anything; nothing but a code begins with nought.
        if !close || !digits.starts_with('0') {
            return None;
        }
        let code = read(&format!("{word}{digits}"))?;
        return Some(Found {
            code,
            tokens: (at, at + 1),
            sure: code.is_standard(),
        });
    }
    let (code, short) = match read(word) {
        Some(code) => (code, false),
        None => (short(word)?, true),
    };
    // P205/75R14 is a tire.
    if short && tokens.kind(at + 1) == TokenKind::Sign(b'/') {
        return None;
    }
    Some(Found {
        code,
        tokens: (at, at),
        sure: code.is_standard() && !short,
    })
}

/// A code in a folded word: the letter O stands for nought, a plural is let
/// be. Words of letters alone are none.
fn read(word: &str) -> Option<TroubleCode> {
    let letters = word.as_bytes();
    if !matches!(letters, [_, _, _, _, _] | [_, _, _, _, _, b's']) {
        return None;
    }
    let digit = |b: &&u8| b.is_ascii_digit() || **b == b'o';
    if letters[1..5].iter().filter(digit).count() < 2 || !word.is_ascii() {
        return None;
    }
    let (code, _) = word.split_at(5);
    let digits = code[1..].replace('o', "0");
    format!("{}{digits}", &code[..1]).parse().ok()
}

/// `p420` for P0420.
fn short(word: &str) -> Option<TroubleCode> {
    let digits = word.strip_prefix('p').filter(|d| d.len() == 3)?;
    let all = digits.bytes().all(|b| b.is_ascii_digit());
    all.then(|| format!("p0{digits}").parse().ok()).flatten()
}

fn names_a_car(found: &Found, hits: &[Hit]) -> bool {
    let (first, last) = (found.tokens.0 as u32, found.tokens.1 as u32);
    // No name has as many words.
    const WORDS: u32 = 32;
    let end = hits.partition_point(|h| h.first <= first);
    let near = hits[..end].iter().rev();
    near.take_while(|h| h.first + WORDS > first)
        .any(|h| last <= h.last && h.marks.vehicles())
}

/// Tokens at which a symptom of the computers is named.
fn warnings<'a>(
    hits: &'a [Hit],
    scanner: &'a Scanner<'_>,
    lexicon: &'a Lexicon,
) -> impl Iterator<Item = usize> + 'a {
    let light = lexicon.parts.find("engine_light");
    let lights = [
        light,
        lexicon.parts.find("abs"),
        lexicon.parts.find("airbag"),
    ];
    hits.iter()
        .filter(move |h| {
            let named = &scanner.meaning(h).named;
            named.iter().any(|n| lights.contains(&Some(n.part)))
        })
        .map(|h| h.last as usize)
}

/// Puts each code into the hits as a fault found, so that the cues beside it
/// (`no`, `cleared`, `maybe`) act on it as on any other.
pub fn mark(found: &[Found], scanner: &Scanner, hits: &mut Vec<Hit>) {
    let Some(phrase) = scanner.code_phrase().filter(|_| !found.is_empty()) else {
        return;
    };
    hits.extend(
        found
            .iter()
            .map(|f| scanner.hit(phrase, f.tokens.0 as u32, f.tokens.1 as u32)),
    );
    hits.sort_unstable_by_key(|h| (h.first, u32::MAX - h.last));
}

/// The codes for the reading, each once.
pub fn told(found: &[Found], tokens: &Tokens, lexicon: &Lexicon) -> Vec<FaultCode> {
    let mut out: Vec<FaultCode> = Vec::new();
    for f in found {
        if out.iter().any(|c| c.code == f.code) {
            continue;
        }
        let range = lexicon.fault_codes.find(f.code);
        out.push(FaultCode {
            code: f.code,
            means: range.map(|r| r.means.clone()),
            hints: range.map_or_else(Vec::new, |r| r.hints.clone()),
            evidence: Evidence {
                range: tokens.source(f.tokens.0, f.tokens.1),
                rule: match range {
                    Some(r) if r.low != r.high => format!("code of {}-{}", r.low, r.high),
                    Some(_) => "code of the table".to_owned(),
                    None => "letter and four digits of a code".to_owned(),
                },
            },
        });
    }
    out
}
