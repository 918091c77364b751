//! Whether the car moves, out of what the signs and the claims tell of it.

use super::model::Moves;
use super::sign_values::MovesSign;
use super::signs::{Found, Signs};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::word_classes::WordClass;

/// What the signs tell of moving, without those that hold at times only: they
/// go to what is unsure. `won't crank until you wait`: what stands right before
/// holds at times.
pub(super) fn settle(signs: &mut Signs, tokens: &Tokens) {
    let mut kept: Vec<Found<MovesSign>> = Vec::new();
    // Where the last wish, or what was said of the thing wished, ends.
    let mut wish: Option<usize> = None;
    for f in std::mem::take(&mut signs.moves) {
        // In the same clause: not `does not run. Inspected until June`.
        let near = |k: &Found<MovesSign>| {
            let (from, to) = (k.tokens.1 + 1, f.tokens.0);
            let words =
                (from..to).all(|i| matches!(tokens.kind(i), TokenKind::Word | TokenKind::Number));
            to < from + 4 && (words || to == from + 1)
        };
        let start = |v: MovesSign| matches!(v, MovesSign::NoStart | MovesSign::DidNotStart);
        let drives = |v: MovesSign| {
            matches!(
                v,
                MovesSign::Drives | MovesSign::InUse | MovesSign::RunsWell | MovesSign::Implied
            )
        };
        // `trade for a truck that runs and drives`
        let only_words = |from: usize| {
            from <= f.tokens.0
                && f.tokens.0 < from + 2
                && (from..f.tokens.0).all(|i| tokens.kind(i) == TokenKind::Word)
        };
        if f.value == MovesSign::Wished || wish.is_some_and(|last| only_words(last + 1)) {
            wish = Some(f.tokens.1);
            continue;
        }
        match f.value {
            MovesSign::Seldom if kept.last().is_some_and(|k| near(k) && start(k.value)) => {
                signs.unsure.extend(kept.pop().map(|k| k.tokens));
            }
            MovesSign::Ended if kept.last().is_some_and(|k| near(k) && drives(k.value)) => {
                kept.pop();
                signs.driven_once = true;
            }
            MovesSign::Seldom | MovesSign::Ended => {}
            MovesSign::InUse | MovesSign::Over => {
                let known = signs.unsure.len();
                let unsure = kept.extract_if(.., |k| start(k.value));
                signs.unsure.extend(unsure.map(|k| k.tokens));
                if f.value == MovesSign::InUse || signs.unsure.len() > known {
                    kept.push(Found {
                        value: MovesSign::Drives,
                        tokens: f.tokens,
                    });
                }
            }
            _ => kept.push(f),
        }
    }
    signs.moves = kept;
    signs.driven_now = signs.moves.iter().any(|f| {
        let (first, last) = f.tokens;
        f.value == MovesSign::Drives
            && (first..=last).any(|i| tokens.is_a(i, WordClass::Driven))
            && !not_now(first, tokens)
    });
}

/// So many words before a saying may put it in the past or deny it.
const BEFORE: usize = 5;

/// `was my work car`, `please do not drive it`: whether a saying is told of the past
/// or denied.
fn not_now(at: usize, tokens: &Tokens) -> bool {
    const NOT_NOW: [WordClass; 5] = [
        WordClass::Was,
        WordClass::Were,
        WordClass::Not,
        WordClass::No,
        WordClass::Never,
    ];
    let words = (at.saturating_sub(BEFORE)..at).rev();
    let mut words =
        words.take_while(|i| matches!(tokens.kind(*i), TokenKind::Word | TokenKind::Number));
    words.any(|i| tokens.is_any(i, &NOT_NOW)) || tokens.is_any(at, &NOT_NOW)
}

/// What the claims read tell of whether the car moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stoppers {
    /// The engine is said not to start or run.
    pub no_start: bool,
    /// It is said to start after all: a fault that was put right.
    pub starts: bool,
    /// An engine that gave out was renewed, and none is said not to start.
    pub mended: bool,
    /// A fault with which a car is better not driven.
    pub stays: bool,
    /// It has not passed the inspection that it needs.
    pub no_pass: bool,
    /// A fault that leaves an engine running and a car standing.
    pub no_drive: bool,
    /// A fault that shows only while the engine runs.
    pub runs: bool,
}

/// Whether it moves: what stops it counts before what it does otherwise.
pub fn moves(signs: &Signs, claims: Stoppers) -> Option<(Moves, Option<&Found<MovesSign>>)> {
    let first = |v: MovesSign| signs.moves.iter().find(|f| f.value == v);
    let driven = first(MovesSign::Drives);
    let implied = || first(MovesSign::Implied).filter(|_| !claims.no_start);
    let drives = driven
        .or_else(|| first(MovesSign::RunsWell))
        .or_else(implied);
    let no_start = first(MovesSign::NoStart);
    let spoilt = first(MovesSign::Spoilt);
    if no_start.is_some()
        && !(drives.is_some() && (claims.starts || claims.mended))
        && !(signs.driven_now && !claims.no_start && spoilt.is_none())
    {
        return Some((Moves::NoStart, no_start));
    }
    let starts = first(MovesSign::Starts);
    // `bad motor. Starts up, but knocks`: what it still does counts.
    if let Some(spoilt) = spoilt
        && !(drives.is_some() && claims.mended)
    {
        return Some(match starts.or(drives) {
            Some(still) if !claims.no_start => (Moves::RunsOnly, Some(still)),
            _ => (Moves::NoStart, Some(spoilt)),
        });
    }
    if let Some(stays) = first(MovesSign::Stays)
        && !(signs.driven_now
            && !claims.stays
            && !claims.no_drive
            && first(MovesSign::Tow).is_none()
            && first(MovesSign::Limited).is_none())
    {
        let moves = if claims.no_start && starts.is_none() {
            Moves::NoStart
        } else {
            Moves::RunsOnly
        };
        return Some((moves, Some(stays)));
    }
    // A trailer may be asked for only because it is not allowed on the road.
    if drives.is_some()
        && claims.stays
        && !claims.no_pass
        && let Some(tow) = first(MovesSign::Tow)
    {
        return Some((Moves::RunsOnly, Some(tow)));
    }
    // `runs great, transmission is out`
    if driven.is_none()
        && let Some(gone) = first(MovesSign::Gone)
        && (drives.is_some() || starts.is_some())
        && !claims.no_start
    {
        return Some((Moves::RunsOnly, Some(gone)));
    }
    let once = first(MovesSign::DidNotStart).filter(|_| starts.is_none());
    // `drove it home, the next day it would not start`
    let last = signs
        .moves
        .iter()
        .rfind(|f| matches!(f.value, MovesSign::Drives | MovesSign::RunsWell));
    let since = |once: &&Found<MovesSign>| last.is_some_and(|d| d.tokens.1 < once.tokens.0);
    if claims.no_start
        && let Some(once) = once.filter(since)
    {
        return Some((Moves::NoStart, Some(once)));
    }
    if drives.is_some() {
        return Some((Moves::Drives, drives));
    }
    if claims.no_start && starts.is_none() {
        return Some((Moves::NoStart, None));
    }
    if let Some(once) = once {
        return Some((Moves::NoStart, Some(once)));
    }
    let limited = first(MovesSign::Limited);
    let tow = first(MovesSign::Tow).or(limited);
    if limited.is_some() && !(claims.stays && starts.is_some()) {
        return Some((Moves::Drives, limited));
    }
    // A trailer alone does not say whether the engine runs.
    let runs = starts.is_some() || claims.runs;
    // `drove it until the brakes went, still starts`
    if signs.driven_once && starts.is_some() {
        return Some((Moves::RunsOnly, starts));
    }
    if tow.is_some() && runs || starts.is_some() && claims.no_drive {
        return Some((Moves::RunsOnly, tow.or(starts)));
    }
    None
}

impl Signs {
    /// The signs of moving that stand from this token on.
    pub(super) fn moves_from(&self, first: usize) -> Signs {
        let from = |f: &&Found<MovesSign>| f.tokens.0 >= first;
        Signs {
            moves: self.moves.iter().filter(from).cloned().collect(),
            ..Signs::default()
        }
    }
}
