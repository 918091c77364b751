//! One ad in full as JSON: the reading, the figures, each job, and what moves
//! the margin most.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::car::{Car, Range};
use super::explain::Explanation;
use super::json::{Number, write_pretty};
use super::reading::ReadRow;
use super::schema::id_of;
use super::shortlist::{Basis, Entry};
use super::text::shown;
use super::what_if::WhatIf;
use crate::costing::JobLine;
use crate::lexicon::Lexicon;
use crate::margin::Appraisal;
use crate::safe_text::cover_contacts;
use crate::sensitivity::{Tornado, tornado};
use crate::units::{Hours, ThreePoint};

/// One ad in full.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Explained<'a> {
    /// By which schema this is made.
    pub schema: String,
    /// What the figures rest on.
    pub basis: &'a Basis,
    /// The ad with its figures, as in the shortlist.
    pub car: Car,
    /// What was read, with the text that the evidence points into; in it
    /// contacts are covered letter by letter, unless they were asked for.
    pub reading: ReadRow<'a>,
    /// Each job of the bill in full, dearest first.
    pub jobs: Vec<FullJob<'a>>,
    /// What was supposed where something is not known.
    pub supposed: Vec<&'a str>,
    /// What moves the margin most, the strongest first.
    pub moves: Vec<BarPart<'a>>,
    /// What was supposed otherwise, and the car as it would be; null where
    /// nothing was.
    pub what_if: Option<WhatIfPart>,
}

/// One job in full.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FullJob<'a> {
    /// Its code in `repairs.csv`.
    pub job: &'a str,
    /// In words.
    pub name: &'a str,
    /// Codes of the parts and symptoms that call for it.
    pub because: Vec<&'a str>,
    /// How likely it has to be done.
    pub chance: f64,
    /// How that chance came about.
    pub why: &'a str,
    /// All of it in money, if it has to be done.
    pub cost: Range,
    /// Parts as bought.
    pub parts: Range,
    /// Whether these are used ones.
    pub parts_used: bool,
    /// Fluids, gaskets, sealer.
    pub consumables: Number,
    /// Hours of one's own.
    pub own_hours: HoursRange,
    /// Work that goes out.
    pub outwork: Range,
    /// Why work goes out, if it does.
    pub outwork_why: Option<&'a str>,
    /// With which jobs it shares work.
    pub shared_with: Option<&'a str>,
    /// The usual caution where the work can hurt someone.
    pub caution: Option<&'a str>,
    /// Where the figures are from.
    pub source: &'a str,
}

/// Three points of hours.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct HoursRange {
    /// Few jobs take less.
    pub low: Number,
    /// Most take about this.
    pub likely: Number,
    /// Few take more.
    pub high: Number,
}

/// An assumption with both its ends.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BarPart<'a> {
    /// What is assumed.
    pub words: &'a str,
    /// At its low value.
    pub low: EndPart<'a>,
    /// At its high value.
    pub high: EndPart<'a>,
    /// How far the margin moves between them.
    pub moves: Number,
}

/// One end of an assumption.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct EndPart<'a> {
    /// The value.
    pub value: &'a str,
    /// Expected margin; without a price what is left before it.
    pub margin: Number,
    /// What would be done.
    #[schemars(extend("enum" = ["view", "ask", "skip"]))]
    pub action: &'static str,
}

/// An ad with something supposed otherwise.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WhatIfPart {
    /// What was supposed.
    pub changes: Vec<ChangedPart>,
    /// The ad as it would be.
    pub car: Car,
}

/// One thing supposed otherwise.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ChangedPart {
    /// A key of the profile, a fact of the ad, `worth`, or a code.
    pub key: String,
    /// The value before; null where it was estimated.
    pub was: Option<String>,
    /// The value supposed.
    pub is: String,
}

/// Writes an explanation, with what is supposed otherwise where something is.
/// Telephone numbers and mail addresses of the text are given only where they
/// are to be kept.
///
/// # Errors
/// When writing fails.
pub fn write_json(
    explanation: &Explanation<'_>,
    what_if: Option<&WhatIf<'_>>,
    keep_contacts: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let e = explanation;
    let car = |appraisal: &Appraisal| {
        let entry = Entry {
            history: e.history,
            warnings: e.warnings,
            ..(e.listing, appraisal).into()
        };
        Car::new(1, &entry, e.lexicon)
    };
    let bill = e.appraisal.bill.as_ref();
    let jobs = bill.map_or(&[][..], |b| &b.jobs);
    let notes = bill.map_or(&[][..], |b| &b.notes);
    let worth = e.appraisal.worth.as_ref().map_or(&[][..], |w| &w.supposed);
    let bars = e.tornado.map_or(&[][..], |t: &Tornado| &t.bars);
    let text = match keep_contacts {
        true => e.listing.text.as_str().into(),
        false => cover_contacts(&e.listing.text),
    };
    let explained = Explained {
        schema: id_of("explain"),
        basis: e.basis,
        car: car(e.appraisal),
        reading: ReadRow {
            text: Some(&text),
            ..ReadRow::new(e.listing, &e.appraisal.reading, e.lexicon, false)
        },
        jobs: jobs
            .iter()
            .map(|job| FullJob::new(job, e.lexicon))
            .collect(),
        supposed: notes.iter().chain(worth).map(String::as_str).collect(),
        moves: bars.iter().map(BarPart::new).collect(),
        what_if: what_if.map(|w| WhatIfPart {
            changes: w.changes.iter().map(ChangedPart::new).collect(),
            car: car(w.after),
        }),
    };
    write_pretty(out, &explained)?;
    out.write_all(b"\n")
}

impl ChangedPart {
    fn new((key, was, is): &(String, Option<String>, String)) -> Self {
        ChangedPart {
            key: key.clone(),
            was: was.as_deref().map(shown),
            is: shown(is),
        }
    }
}

impl<'a> FullJob<'a> {
    fn new(job: &'a JobLine, lexicon: &'a Lexicon) -> Self {
        FullJob {
            job: &job.job,
            name: &job.name,
            because: job.because.iter().map(|p| lexicon.parts.code(*p)).collect(),
            chance: job.chance.value(),
            why: &job.why,
            cost: job.cost.into(),
            parts: job.parts.into(),
            parts_used: job.parts_used,
            consumables: job.consumables.into(),
            own_hours: job.own_hours.into(),
            outwork: job.outwork.into(),
            outwork_why: job.outwork_why.as_deref(),
            shared_with: job.shared_with.as_deref(),
            caution: job.caution.as_deref(),
            source: &job.source,
        }
    }
}

impl From<ThreePoint<Hours>> for HoursRange {
    fn from(hours: ThreePoint<Hours>) -> Self {
        HoursRange {
            low: hours.low.into(),
            likely: hours.likely.into(),
            high: hours.high.into(),
        }
    }
}

impl<'a> BarPart<'a> {
    fn new(bar: &'a tornado::Bar) -> Self {
        let end = |end: &'a tornado::End| EndPart {
            value: &end.value,
            margin: end.margin.into(),
            action: end.action.word(),
        };
        BarPart {
            words: &bar.words,
            low: end(&bar.low),
            high: end(&bar.high),
            moves: bar.moves().into(),
        }
    }
}
