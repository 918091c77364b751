//! When a job was done: the number beside a saying that something was renewed.
//!
//! `Belt and pump done at 145,000`, `clutch replaced 3k ago`, `timing belt
//! 2019`. A number belongs to the saying right before it in its sentence, or
//! else to the one right behind it (`at 90k the belt was done`); where the cue
//! stands between parts and number, to all the parts under that cue.

use super::distance::to_miles;
use super::items::{Item, ItemKind};
use super::model::{Evidence, Reading, Says};
use super::numbers::{Form, Number};
use super::roles::{Job, Roles};
use super::scope::Saying;
use super::tokens::{TokenKind, Tokens};
use super::years::is_year;
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::word_classes::WordClass;
use crate::units::{CalendarYear, DistanceUnit, Miles};

/// When a job was done, as far as a text tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// With this distance on the car.
    At(Miles),
    /// So far ago.
    Since(Miles),
    /// In this year.
    In(CalendarYear),
}

/// When the job of a saying was done, and the tokens that tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Done {
    /// When.
    pub when: When,
    /// First and last token.
    pub tokens: (u32, u32),
}

/// Items that may stand between a saying and its number.
const REACH: usize = 7;

/// Gives sayings of renewal the number that tells when. `unit` is that of
/// distances without one; `taken` are the tokens of the car's own year.
pub fn link(
    sayings: &mut [Saying],
    numbers: &[(Number, Roles)],
    items: &[Item],
    tokens: &Tokens,
    unit: DistanceUnit,
    taken: impl Fn(&Number) -> bool,
) {
    let mut last_job: Option<&Number> = None;
    for (n, roles) in numbers {
        let mut roles = *roles;
        // `at 92k and again at 181k`
        if roles.job.is_none()
            && roles.before.is_none()
            && last_job.is_some_and(|last| joined(last, n, tokens))
        {
            roles.job = Some(Job::At);
        }
        last_job = (roles.job == Some(Job::At)).then_some(n);
        let Some(when) = when(n, &roles, tokens, unit).filter(|_| !taken(n)) else {
            continue;
        };
        let done = Done {
            when,
            tokens: (n.tokens.0 as u32, n.tokens.1 as u32),
        };
        let at = items.partition_point(|i| i.last < done.tokens.0);
        let chosen = before(sayings, items, at).or_else(|| behind(sayings, items, at));
        let Some(chosen) = chosen else { continue };
        for i in group(sayings, items, chosen, at) {
            let old = &mut sayings[i].done;
            // Done again: the later time counts.
            let later = match (old.map(|d| d.when), when) {
                (None, _) => true,
                (Some(When::At(a)), When::At(b)) => b > a,
                (Some(When::In(a)), When::In(b)) => b > a,
                (Some(When::In(_)), _) => true,
                _ => false,
            };
            if later {
                *old = Some(done);
            }
        }
    }
}

/// Whether only an `and` stands between two numbers.
fn joined(first: &Number, second: &Number, tokens: &Tokens) -> bool {
    let between = first.tokens.1 + 1..second.tokens.0;
    between.len() == 1 && between.clone().all(|i| tokens.is_a(i, WordClass::And))
}

/// What a number tells of the time of a job, if it may.
fn when(n: &Number, roles: &Roles, tokens: &Tokens, unit: DistanceUnit) -> Option<When> {
    use NumberRole::{OtherDistance, UnitKm, UnitMiles};
    if n.money || tokens.kind(n.tokens.1 + 1) == TokenKind::Sign(b'%') {
        return None;
    }
    let leads = [WordClass::At, WordClass::Around, WordClass::In];
    let placed = tokens.is_any(n.tokens.0.wrapping_sub(1), &leads);
    let year = n.form == Form::Plain
        && n.tokens.0 == n.tokens.1
        && tokens.word(n.tokens.0).len() == 4
        && is_year(n.value)
        && matches!(roles.after, None | Some(OtherDistance));
    match (roles.job, roles.after) {
        (Some(Job::Since(said)), _) if n.value >= 100.0 && !year => {
            to_miles(n.value, said.unwrap_or(unit)).map(When::Since)
        }
        (Some(Job::At), None | Some(UnitKm | UnitMiles)) if !year || roles.after.is_some() => {
            let unit = match roles.after {
                Some(UnitKm) => DistanceUnit::Km,
                Some(UnitMiles) => DistanceUnit::Miles,
                _ => unit,
            };
            let plain = matches!(n.form, Form::Plain | Form::Words);
            let value = match n.value {
                // `belt at 145`
                v if plain && placed && (30.0..400.0).contains(&v) => v * 1000.0,
                v if plain && !placed && roles.after.is_none() && v < 10_000.0 => return None,
                v if (1000.0..1e6).contains(&v) => v,
                _ => return None,
            };
            to_miles(value, unit).map(When::At)
        }
        (_, None | Some(OtherDistance)) if year => Some(When::In(CalendarYear(n.value as u16))),
        _ => None,
    }
}

/// Whether the thought ends at this item.
fn ends(item: &Item) -> bool {
    matches!(
        item.kind,
        ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b';')
    )
}

/// The saying of renewal whose part or cue stands nearest before the number;
/// or the one that rests on the number itself: `timing belt 2019`.
fn before(sayings: &[Saying], items: &[Item], at: usize) -> Option<usize> {
    let renewed = |i: &usize| sayings[*i].says == Says::Renewed;
    if let Some(i) = sayings.iter().position(|s| s.cue == Some(at)) {
        return Some(i).filter(renewed);
    }
    let mut commas = 0;
    for j in (at.saturating_sub(REACH + 1)..at).rev() {
        if ends(&items[j]) {
            return None;
        }
        commas += usize::from(items[j].kind == ItemKind::Sign(b','));
        if commas > 1 {
            return None;
        }
        if let Some(i) = resting_on(sayings, j, at) {
            return Some(i).filter(renewed);
        }
    }
    None
}

/// The saying of renewal that begins nearest behind the number.
fn behind(sayings: &[Saying], items: &[Item], at: usize) -> Option<usize> {
    for (j, item) in items.iter().enumerate().skip(at + 1).take(REACH) {
        if ends(item) {
            return None;
        }
        if let Some(i) = resting_on(sayings, j, at) {
            return Some(i).filter(|i| sayings[*i].says == Says::Renewed);
        }
    }
    None
}

/// The saying that this item is part or cue of; of several under one cue that
/// whose part is nearest to the number at `at`.
fn resting_on(sayings: &[Saying], item: usize, at: usize) -> Option<usize> {
    (0..sayings.len())
        .filter(|i| sayings[*i].item == item || sayings[*i].cue == Some(item))
        .min_by_key(|i| sayings[*i].item.abs_diff(at))
}

/// The sayings that share the number with the chosen one: under its cue, where
/// the number stands beside the cue, else those joined to it by `and`.
fn group(sayings: &[Saying], items: &[Item], chosen: usize, at: usize) -> Vec<usize> {
    let one = &sayings[chosen];
    let mut out = vec![chosen];
    let Some(cue) = one.cue else { return out };
    let apart = |a: usize, b: usize| {
        let (low, high) = (a.min(b), a.max(b));
        items[low..high].iter().any(ends)
    };
    // `belt and pump done at 90k`, `at 90k replaced belt and pump`; or the
    // number is the cue, or heads a list: `replaced at 90k: belt, pump`.
    let beside = (one.item < cue && cue <= at) || (at <= cue && cue < one.item);
    let heads_list = cue < at && at < one.item;
    for (i, s) in sayings.iter().enumerate() {
        if i == chosen || s.cue != one.cue || s.says != Says::Renewed || apart(s.item, at) {
            continue;
        }
        let same_side = (s.item < at) == (one.item < at);
        let near = s.item.abs_diff(one.item) <= 2
            && !items[s.item.min(one.item)..s.item.max(one.item)]
                .iter()
                .any(|x| matches!(x.kind, ItemKind::Sign(b',')));
        if same_side && (beside || heads_list || near) && s.done.is_none() {
            out.push(i);
        }
    }
    out
}

/// Writes to the claims when their jobs were done. What was done with more on
/// the clock than there is now was never done, so that it is left out.
pub fn tell(reading: &mut Reading, done: &[Option<Done>], tokens: &Tokens) {
    let now = reading.miles;
    let built = reading.year;
    for (claim, done) in reading.claims.iter_mut().zip(done) {
        let Some(done) = done else { continue };
        match done.when {
            When::At(miles) if now.is_none_or(|now| miles.0 <= now.0 + now.0 / 50 + 500) => {
                claim.done_at = Some(miles);
            }
            When::Since(ago) => {
                let then = now.and_then(|now| now.0.checked_sub(ago.0));
                claim.done_at = then.map(Miles);
            }
            When::In(year) if built.is_none_or(|b| year.0 >= b.0) => claim.done_in = Some(year),
            _ => {}
        }
        if claim.done_at.is_some() || claim.done_in.is_some() {
            claim.evidence.push(Evidence {
                range: tokens.source(done.tokens.0 as usize, done.tokens.1 as usize),
                rule: "when it was done".to_owned(),
            });
        }
    }
}
