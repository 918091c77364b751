//! How a cause came into the bill, in words.

use super::case::Case;
use super::evidence::{Cluster, Explainer};
use crate::lexicon::parts::PartId;

/// What one symptom alone would make of a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CauseShare {
    /// The symptom.
    pub symptom: PartId,
    /// The chance of the cause if only this symptom were told.
    alone: f64,
}

/// What each symptom alone would make of a candidate.
pub fn shares(cluster: &Cluster, place: usize) -> Vec<CauseShare> {
    let rate = |c: usize| cluster.candidates[c].rate;
    let of = cluster.symptoms.iter().filter_map(|s| {
        let shown = s.shown_by(place);
        let all: f64 = s.causes.iter().map(|(c, w)| rate(*c) * w).sum::<f64>() + s.other;
        let alone = (rate(place) * shown / all).min(1.0);
        (shown > 0.0).then_some(CauseShare {
            symptom: s.code,
            alone,
        })
    });
    of.collect()
}

/// Why a candidate stands in the bill: its symptoms, and what makes it less
/// likely.
pub fn why_cause(
    case: &Case<'_>,
    cluster: &Cluster,
    place: usize,
    shares: &[CauseShare],
) -> String {
    let code = |p| case.lexicon.parts.code(p);
    let of: Vec<_> = shares
        .iter()
        .map(|s| format!("'{}' ({:.0} % by itself)", code(s.symptom), s.alone * 100.0))
        .collect();
    let mut text = format!("likely cause of {}", of.join(" and "));
    let candidate = &cluster.candidates[place];
    if candidate.cleared {
        text.push_str("; less likely, as it is said to be renewed or in order");
    }
    let explains = |e: &&Explainer| {
        let theirs = cluster.candidates.iter().position(|c| c.part == e.part);
        let shows = |s: &CauseShare| {
            let symptom = cluster.symptoms.iter().find(|x| x.code == s.symptom);
            theirs.is_some_and(|t| symptom.is_some_and(|x| x.shown_by(t) > 0.0))
        };
        e.part != candidate.part && e.sure > 0.0 && shares.iter().any(shows)
    };
    let parts = cluster.explainers.iter().filter(explains);
    let parts: Vec<_> = parts.map(|e| e.part).collect();
    if !parts.is_empty() {
        let parts = quoted(case, parts.into_iter());
        text.push_str(&format!("; less likely, as {parts} explains it"));
    }
    text
}

/// Codes in quotes, as `'overheats' and 'leak'`.
pub fn quoted(case: &Case<'_>, codes: impl Iterator<Item = PartId>) -> String {
    let all: Vec<_> = codes
        .map(|c| format!("'{}'", case.lexicon.parts.code(c)))
        .collect();
    all.join(" and ")
}
