//! What a car of the shortlist is made of.

use schemars::JsonSchema;
use serde::Serialize;

use super::Range;
use crate::costing::{FixBill, JobLine};
use crate::lexicon::Lexicon;
use crate::lexicon::unknowns::Open;
use crate::margin::Unknown;
use crate::report::json::Number;
use crate::report::text::shown;
use crate::warnings::Warning;
use crate::worth::{Worth, WorthBasis};

/// The fix bill in short.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BillPart {
    /// The range of the total.
    #[serde(flatten)]
    pub total: Range,
    /// If every job that may be needed is needed, at its high cost.
    pub worst: Number,
    /// The user's own hours.
    pub hours: Number,
    /// Jobs, dearest first.
    pub jobs: Vec<JobPart>,
    /// Faults that are cheaper to leave.
    pub left: Vec<LeftPart>,
}

/// One job in short.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct JobPart {
    /// Its code in `repairs.csv`.
    pub job: String,
    /// In words.
    pub name: String,
    /// How likely it has to be done.
    pub chance: f64,
    /// How it came into the bill: `stated`, `suspected`, `cause`,
    /// `something-else`, `follow-on`, `due` or `doubt`.
    pub reason: &'static str,
    /// What it costs if it has to be done.
    pub cost: Range,
}

/// Something worth knowing.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct QuestionPart {
    /// What is open.
    pub about: String,
    /// The question, or what to do.
    pub question: String,
    /// The chance of the bad answer, 0 to 1.
    pub chance: f64,
    /// The expected gain from the answer, the time for it taken off.
    pub worth: Number,
}

/// A fault left as it is.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LeftPart {
    /// In words.
    pub name: String,
    /// What it takes off the value.
    pub effect: Number,
}

/// The worth in short.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WorthPart {
    /// 10 %, 50 % and 90 % points once the car is right.
    #[serde(flatten)]
    pub right: Range,
    /// Scrap value.
    pub floor: Number,
    /// `comparables`, `batch` or `curve`.
    #[schemars(extend("enum" = ["comparables", "batch", "curve"]))]
    pub basis: &'static str,
    /// Facts that were missing and supposed.
    pub supposed: Vec<String>,
}

/// Something left open.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct UnknownPart {
    /// Code in `unknowns.csv`.
    pub code: &'static str,
    /// In words.
    pub words: String,
    /// Money set aside for it.
    pub allowance: Number,
    /// What to ask.
    pub question: String,
    /// Whether it is vague wording rather than a missing fact.
    #[serde(skip)]
    pub vague: bool,
}

/// A reason for distrust.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WarningPart {
    /// Code in `warnings.csv`.
    pub code: &'static str,
    /// In words.
    pub words: String,
    /// Whether it has to be settled before anything else.
    pub grave: bool,
    /// What shows it: a sentence of the ad, or a fact.
    pub shown_by: Option<String>,
    /// Why a careful buyer distrusts it.
    pub why: String,
    /// What to do.
    pub advice: String,
    /// What the advice rests on.
    pub source: String,
}

/// One line of the sum.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StepPart {
    /// What it is.
    pub label: String,
    /// What it adds.
    pub amount: Number,
    /// How it was made.
    pub why: String,
}

impl BillPart {
    pub(in crate::report) fn new(bill: &FixBill) -> Self {
        let job = |job: &JobLine| JobPart {
            job: job.job.clone(),
            name: job.name.clone(),
            chance: job.chance.value(),
            reason: job.reason.word(),
            cost: job.cost.into(),
        };
        let left = bill.left.iter().map(|left| LeftPart {
            name: left.name.clone(),
            effect: left.effect.into(),
        });
        BillPart {
            total: bill.total.into(),
            worst: bill.worst.into(),
            hours: bill.hours.likely.into(),
            jobs: bill.jobs.iter().map(job).collect(),
            left: left.collect(),
        }
    }
}

impl WorthPart {
    pub(super) fn new(worth: &Worth) -> Self {
        WorthPart {
            right: worth.right.into(),
            floor: worth.floor.into(),
            basis: match worth.basis {
                WorthBasis::Comparables { .. } => "comparables",
                WorthBasis::Batch { .. } => "batch",
                WorthBasis::Curve => "curve",
            },
            supposed: worth.supposed.clone(),
        }
    }
}

impl WarningPart {
    /// The warning with the words of its table.
    pub fn new(warning: &Warning, lexicon: &Lexicon) -> Option<Self> {
        let row = lexicon.warnings.get(warning.distrust)?;
        Some(WarningPart {
            code: warning.distrust.code(),
            words: row.words.clone(),
            grave: row.grave,
            shown_by: warning.shown_by.as_deref().map(shown),
            why: row.why.clone(),
            advice: row.advice.clone(),
            source: row.source.clone(),
        })
    }
}

impl UnknownPart {
    pub(super) fn new(unknown: &Unknown) -> Self {
        UnknownPart {
            code: unknown.open.code(),
            words: unknown.words.clone(),
            allowance: unknown.allowance.into(),
            question: unknown.question.clone(),
            vague: matches!(unknown.open, Open::Vague(_)),
        }
    }
}
