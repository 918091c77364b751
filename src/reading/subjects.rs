//! Sayings whose subject the ad does not name.
//!
//! `heater is dead` tells of an oxygen sensor, and of nothing else; where no
//! sensor is named it would only stand before the words within it, by which the
//! heater is dead.

use super::scan::{Hit, Scanner};
use crate::lexicon::phrases::{Effect, EffectOf, Meaning};

/// How many words may stand between a saying and its subject.
const REACH: u32 = 40;

/// Takes out what says something of certain parts only, where none of them is
/// named near it.
pub(super) fn leave_out_orphans(hits: &mut Vec<Hit>, scanner: &Scanner<'_>) {
    let mut orphans = (0..hits.len())
        .filter(|at| hits[*at].marks.only_of_some())
        .filter(|at| hides(hits, *at) && !has_subject(hits, *at, scanner))
        .collect::<Vec<_>>()
        .into_iter()
        .peekable();
    if orphans.peek().is_some() {
        let mut at = 0..;
        hits.retain(|_| orphans.next_if_eq(&at.next().unwrap_or_default()).is_none());
    }
}

/// Whether a saying stands before something else that words of it tell.
fn hides(hits: &[Hit], at: usize) -> bool {
    near(hits, at).any(|h| overlap(h, &hits[at]) && h.marks.names())
}

/// The phrases around one, and that itself.
fn near(hits: &[Hit], at: usize) -> impl Iterator<Item = &Hit> {
    let saying = &hits[at];
    let before = hits[..at].iter().rev();
    let before = before.take_while(|h| h.first + REACH > saying.first);
    let behind = hits[at..].iter();
    before.chain(behind.take_while(|h| h.first < saying.last + REACH))
}

/// Whether two phrases have a word in common.
fn overlap(a: &Hit, b: &Hit) -> bool {
    a.last >= b.first && a.first <= b.last
}

/// Whether one of the subjects of a saying is named before or behind it.
fn has_subject(hits: &[Hit], at: usize, scanner: &Scanner<'_>) -> bool {
    let effects = &scanner.meaning(&hits[at]).effects;
    near(hits, at).any(|h| !overlap(h, &hits[at]) && may_name(h, effects, scanner))
}

/// Whether a phrase names a subject of one of these.
fn may_name(hit: &Hit, effects: &[Effect], scanner: &Scanner<'_>) -> bool {
    if !hit.marks.names() {
        return false;
    }
    let meaning = scanner.meaning(hit);
    let named = meaning.named.iter().map(|n| n.part);
    let mut meant = named.chain(meaning.senses.iter().map(|s| s.part));
    meant.any(|part| effects.iter().any(|e| e.subjects.contains(&part)))
}

/// Whether a phrase is nothing but what is said of certain parts.
pub(super) fn only_of_some(m: &Meaning) -> bool {
    let of_some = !m.effects.is_empty() && m.effects.iter().all(|e| e.of == EffectOf::Named);
    of_some
        && m.named.is_empty()
        && m.senses.is_empty()
        && m.signs.is_empty()
        && m.numbers.is_empty()
        && m.lists.is_empty()
        && m.cue.is_none()
        && m.heading.is_none()
        && !m.decoy
}
