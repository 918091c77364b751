//! Sayings of one code brought together to the claims of a listing.
//!
//! The contract's rules: broken, then repaired, is `renewed` (a symptom:
//! `sound`); repaired and broken again is `bad` alone; one code stands twice
//! only where two different things are said of it, as of a front and a rear
//! brake.

use super::model::Says;
use super::news::News;
use super::scope::Saying;
use crate::lexicon::Lexicon;
use crate::lexicon::parts::PartKind;

/// Brings together what is said of each code; the order of first mention is
/// kept.
pub(super) fn merge(mut sayings: Vec<Saying>, news: &News, lexicon: &Lexicon) -> Vec<Saying> {
    let parts = &lexicon.parts;
    settle_past(&mut sayings, lexicon);
    settle_repaired_hit(&mut sayings, lexicon);
    let mut out: Vec<Saying> = Vec::with_capacity(sayings.len());
    let mut codes: Vec<_> = Vec::with_capacity(sayings.len());
    for s in &sayings {
        if !codes.contains(&s.part) {
            codes.push(s.part);
        }
    }
    for code in codes {
        let symptom = parts.get(code).kind == PartKind::Symptom;
        let before = out.len();
        for s in sayings.iter().filter(|s| s.part == code) {
            take(&mut out, before, s, symptom, news);
        }
    }
    drop_covered(&mut out, lexicon);
    drop_implied(&mut out, lexicon);
    out
}

/// That it cranks is told by `cranks but will not fire` already.
fn drop_implied(out: &mut Vec<Saying>, lexicon: &Lexicon) {
    let is = |s: &Saying, code: &str| lexicon.parts.code(s.part) == code;
    if out
        .iter()
        .any(|s| s.says.is_fault() && is(s, "cranks_no_start"))
    {
        out.retain(|s| !(s.says == Says::Sound && is(s, "no_crank")));
    }
}

/// A fault that says less than another one beside it goes: `no start` beside
/// `cranks but will not fire`.
fn drop_covered(out: &mut Vec<Saying>, lexicon: &Lexicon) {
    let faults: Vec<_> = out
        .iter()
        .filter(|s| s.says.is_fault())
        .map(|s| s.part)
        .collect();
    out.retain(|s| {
        !(s.says.is_fault() && lexicon.covers.of(s.part).any(|more| faults.contains(&more)))
    });
}

/// What was so once, and mended since: a past symptom with a repair or a
/// denial told beside it is not there any more.
fn settle_past(sayings: &mut [Saying], lexicon: &Lexicon) {
    let mended: Vec<_> = sayings
        .iter()
        .filter(|s| s.says == Says::Renewed)
        .map(|s| (s.sentence, s.part))
        .collect();
    for s in sayings.iter_mut() {
        // `the tailgate was removed` is so still.
        let symptom = lexicon.parts.get(s.part).kind == PartKind::Symptom;
        if s.past && s.says == Says::Bad && symptom {
            let near = |sentence: u32| sentence >= s.sentence && sentence <= s.sentence + 1;
            let mut mended = mended.iter().filter(|(sentence, _)| near(*sentence));
            // Of a part that was renewed itself, that is what is told.
            if mended.clone().all(|(_, part)| *part != s.part) && mended.next().is_some() {
                s.says = Says::Sound;
            }
        }
    }
}

/// A hit is repaired where panels are told to be, right behind it, and none to
/// be damaged still: `hit a deer, bumper and headlight replaced`.
fn settle_repaired_hit(sayings: &mut [Saying], lexicon: &Lexicon) {
    let panel = |s: &Saying| {
        let part = lexicon.parts.get(s.part);
        let body = part.group == "body" && part.kind == PartKind::Part;
        body && !part.code.starts_with("rust_") || part.code == "lamp"
    };
    let panels: Vec<_> = sayings
        .iter()
        .filter(|s| panel(s) && lexicon.parts.code(s.part) != "collision")
        .map(|s| (s.sentence, s.item, s.says))
        .collect();
    for s in sayings.iter_mut().filter(|s| s.says == Says::Bad) {
        if lexicon.parts.code(s.part) != "collision" {
            continue;
        }
        let mut behind = panels
            .iter()
            .filter(|(sentence, item, _)| *item > s.item && *sentence <= s.sentence + 1)
            .map(|(.., says)| *says)
            .peekable();
        if behind.peek().is_some() && behind.all(|says| says == Says::Renewed) {
            s.says = Says::Renewed;
        }
    }
}

/// Whether two sayings speak of different things of one code: each has words
/// of place, or of kind, and none in common.
fn of_different_things(a: &Saying, b: &Saying) -> bool {
    let apart = |side: bool| {
        let of = |s: &'_ Saying| s.qualifiers.iter().any(|q| q.is_side() == side);
        let mut told = a.qualifiers.iter().filter(|q| q.is_side() == side);
        of(a) && of(b) && !told.any(|q| b.qualifiers.contains(q))
    };
    apart(true) || apart(false)
}

/// Takes a saying to those of its code, which stand behind `before` others.
fn take(kept: &mut Vec<Saying>, before: usize, new: &Saying, symptom: bool, news: &News) {
    let number = |s: &Saying| news.number(s.tokens.0 as usize);
    for old in &mut kept[before..] {
        if old.says == new.says {
            old.done = old.done.or(new.done);
            return;
        }
        let apart = of_different_things(old, new);
        // `UPDATE: fixed the window. Original ad: the window is stuck`
        if !apart && number(new) < number(old) {
            return;
        }
        if !apart && let Some(winner) = settle(old, new, symptom, number(old) < number(new)) {
            if winner == Winner::New {
                *old = new.clone();
            }
            return;
        }
    }
    if kept.len() < before + 2 {
        kept.push(new.clone());
    }
}

#[derive(PartialEq, Eq)]
enum Winner {
    Old,
    New,
}

/// Which of two different sayings of one thing stands; `None`: both. `added`:
/// the new one stands in what was added to the ad later.
fn settle(old: &Saying, new: &Saying, symptom: bool, added: bool) -> Option<Winner> {
    use Says::{Bad, Renewed, Sound, Spare, Suspect};
    Some(match (old.says, new.says) {
        // `Battery light is on. Alternator, at a guess`
        (Bad, Suspect) if old.implied => Winner::New,
        (Bad, Suspect) => Winner::Old,
        (Suspect, Bad) if new.implied => Winner::Old,
        (Suspect, Bad) => Winner::New,
        // Broken, then mended.
        (Bad | Suspect, Renewed) => Winner::New,
        // Mended, then broken again.
        (Renewed, Bad) => Winner::New,
        (Renewed, Suspect) => return None,
        (Renewed, Sound) => Winner::Old,
        (Sound, Renewed) => Winner::New,
        (Bad, Sound) if symptom => Winner::New,
        (Bad, Sound) => {
            if new.latest || added {
                Winner::New
            } else {
                Winner::Old
            }
        }
        (Sound, Bad) => Winner::New,
        (Suspect, Sound) => Winner::New,
        (Sound, Suspect) => Winner::New,
        (Bad | Suspect | Renewed, Spare) | (Spare, Bad | Suspect) => return None,
        (Spare, Renewed | Sound) | (Sound, Spare) => Winner::Old,
        (Bad, Bad) | (Suspect, Suspect) | (Renewed, Renewed) | (Sound, Sound) | (Spare, Spare) => {
            Winner::Old
        }
    })
}
