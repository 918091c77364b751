//! What a careful buyer distrusts about a car, beside its faults.
//!
//! Some of it stands in the text (`warning_phrases.csv`); the rest follows from
//! what other stages found: price against worth, papers, the identification
//! number, the history. Each warning has its words, reason, advice and source
//! in `warnings.csv`. A grave one makes a car that was to be viewed one to ask
//! about first and puts it behind in the order ([`temper`]); no figure changes.

mod watcher;

use crate::lexicon::Lexicon;
use crate::lexicon::warnings::Distrust;
use crate::margin::{Action, Appraisal};

pub use watcher::Watcher;

/// One reason for distrust.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// The reason.
    pub distrust: Distrust,
    /// What shows it: the sentence of the ad, or the fact.
    pub shown_by: Option<String>,
}

/// Where a warning is grave, the car is asked about before it is viewed.
pub fn temper(appraisal: &mut Appraisal, warnings: &[Warning], lexicon: &Lexicon) {
    let rows = warnings
        .iter()
        .filter_map(|w| lexicon.warnings.get(w.distrust));
    if let Some(row) = rows.into_iter().find(|row| row.grave) {
        appraisal.distrusted = true;
        if appraisal.action != Action::View {
            return;
        }
        appraisal.action = Action::Ask;
        appraisal.reason = format!("not to be trusted as it stands: {}", row.words);
        appraisal.question = Some(row.question.clone());
    }
}
