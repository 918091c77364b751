//! A task's axis of chance, cut where what covers it changes.

use super::doubt::{MILLION, Work};
use crate::lexicon::parts::PartId;

/// One stretch of a task's axis of chance.
#[derive(Debug, PartialEq)]
pub struct Stretch {
    /// The task, as a place in the list of work.
    pub work: usize,
    /// Its length in millionths.
    pub length: i64,
    /// What covers it.
    pub kind: StretchKind,
}

/// What covers a stretch.
#[derive(Debug, PartialEq)]
pub enum StretchKind {
    /// Covered by a claim alone: gives. `joint` is its part in what two jobs
    /// share, `explains` the part of a symptom it can explain, in millionths.
    Claimed { joint: i64, explains: i64 },
    /// Covered by these symptoms; by a claim too where `claimed`. Only takes.
    Feared {
        symptoms: Vec<PartId>,
        claimed: bool,
    },
}

/// Cuts a task's axis where its cover changes. `suspect` is the chance of a
/// suspicion in millionths.
pub fn stretches(index: usize, work: &Work, suspect: i64) -> Vec<Stretch> {
    let claim = work.sure;
    let fear = work.demands.iter().map(|d| d.chance).max().unwrap_or(0);
    let mut marks: Vec<i64> = work.demands.iter().map(|d| d.chance).collect();
    marks.extend([claim, suspect.min(claim)]);
    marks.sort_unstable();
    marks.dedup();
    let mut out = Vec::new();
    let mut low = 0;
    for high in marks.into_iter().filter(|m| *m > 0) {
        let kind = if high > fear {
            // Two fixed stretches, below and above the chance of a suspicion:
            // what one gives must not depend on how long the other is.
            if high <= suspect {
                StretchKind::Claimed {
                    joint: suspect,
                    explains: suspect,
                }
            } else {
                StretchKind::Claimed {
                    joint: MILLION - suspect,
                    explains: MILLION,
                }
            }
        } else {
            StretchKind::Feared {
                symptoms: work
                    .demands
                    .iter()
                    .filter(|d| d.chance >= high)
                    .map(|d| d.symptom)
                    .collect(),
                claimed: high <= claim,
            }
        };
        out.push(Stretch {
            work: index,
            length: high - low,
            kind,
        });
        low = high;
    }
    out
}
