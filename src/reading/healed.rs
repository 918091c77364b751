//! Faults that what was added to an ad later says are gone: `Loses coolant. EDIT:
//! new water pump, no leak since`.

use super::model::Says;
use super::news::News;
use super::scan::{Hit, Scanner};
use super::scope::Saying;
use super::tokens::Tokens;
use crate::lexicon::Lexicon;
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::phrases::Act;
use crate::lexicon::plainer::FaultKind;
use crate::lexicon::repairs::JobRef;

/// Takes back the faults told before an addition that says that they are gone.
pub(super) fn apply(
    sayings: &mut Vec<Saying>,
    news: &News,
    (hits, tokens): (&[Hit], &Tokens),
    scanner: &Scanner<'_>,
    lexicon: &Lexicon,
) {
    if news.is_empty() {
        return;
    }
    let healing = Healing { news, lexicon };
    let mut k = 0;
    while k < sayings.len() {
        match healing.named_by(sayings, k) {
            Some(fault) => {
                sayings[fault].says = Says::Sound;
                sayings.remove(k);
                k = k.saturating_sub(usize::from(fault < k));
            }
            None => k += 1,
        }
    }
    let cures = |h: &&Hit| {
        scanner
            .meaning(h)
            .cue
            .is_some_and(|c| matches!(c.act, Act::Cures | Act::NoLonger))
    };
    for hit in hits.iter().filter(cures) {
        let (first, last) = (hit.first as usize, hit.last as usize);
        let words = (first..=last).map(|i| tokens.word(i));
        let kind = lexicon.plainer.kind_of(words);
        if let Some(fault) = healing.mended_at(sayings, first, kind) {
            sayings[fault].says = Says::Sound;
        }
    }
}

struct Healing<'a> {
    news: &'a News,
    lexicon: &'a Lexicon,
}

impl Healing<'_> {
    fn number(&self, s: &Saying) -> usize {
        self.news.number(s.tokens.0 as usize)
    }

    /// The symptoms told as faults before this addition.
    fn faults<'s>(&'s self, sayings: &'s [Saying], addition: usize) -> Vec<usize> {
        let symptom = |s: &Saying| self.lexicon.parts.get(s.part).kind == PartKind::Symptom;
        let fault = |s: &Saying| symptom(s) && s.says.is_fault() && self.number(s) < addition;
        (0..sayings.len()).filter(|k| fault(&sayings[*k])).collect()
    }

    /// The fault that a plainer saying denies: `no leaks since` behind `leaks
    /// oil`, `no more rattle` behind a tick.
    fn named_by(&self, sayings: &[Saying], k: usize) -> Option<usize> {
        let s = &sayings[k];
        let addition = self.number(s);
        if s.says != Says::Sound || addition == 0 {
            return None;
        }
        let more: Vec<PartId> = self.lexicon.covers.of(s.part).collect();
        let faults = self.faults(sayings, addition);
        if faults.iter().any(|f| sayings[*f].part == s.part) {
            return None;
        }
        let meant = |f: &usize| {
            let part = sayings[*f].part;
            more.contains(&part) || self.lexicon.plainer.are_alike(part, s.part)
        };
        let those: Vec<usize> = faults.iter().copied().filter(meant).collect();
        self.only(sayings, &those, addition)
    }

    /// The fault that words of mending without its name end: `quiet now`.
    fn mended_at(
        &self,
        sayings: &[Saying],
        token: usize,
        kind: Option<&FaultKind>,
    ) -> Option<usize> {
        let addition = self.news.number(token);
        if addition == 0 {
            return None;
        }
        let mut faults = self.faults(sayings, addition);
        if let Some(kind) = kind {
            let part = |f: &usize| sayings[*f].part;
            faults.retain(|f| kind.takes(part(f)));
            if faults.windows(2).all(|two| part(&two[0]) == part(&two[1])) {
                return faults.pop();
            }
        }
        self.by_work(sayings, &faults, addition)
    }

    /// Of several the one that comes from what was renewed in this addition.
    fn only(&self, sayings: &[Saying], faults: &[usize], addition: usize) -> Option<usize> {
        match faults {
            [one] => Some(*one),
            _ => self.by_work(sayings, faults, addition),
        }
    }

    /// The one fault that comes from a part renewed in this addition.
    fn by_work(&self, sayings: &[Saying], faults: &[usize], addition: usize) -> Option<usize> {
        let renewed: Vec<PartId> = sayings
            .iter()
            .filter(|s| s.says == Says::Renewed && self.number(s) == addition)
            .map(|s| s.part)
            .collect();
        let from = |f: &usize| {
            let causes = &self.lexicon.causes.of(sayings[*f].part).causes;
            let mut parts = causes.iter().filter_map(|c| match c.work {
                JobRef::OfPart(part) => Some(part),
                JobRef::Job(_) => None,
            });
            parts.any(|part| renewed.contains(&part))
        };
        let mut those = faults.iter().copied().filter(from);
        let one = those.next()?;
        those.next().is_none().then_some(one)
    }
}
