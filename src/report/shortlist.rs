//! The shortlist as data, built once for every format.

use std::io::{self, Write};
use std::sync::Arc;

use serde::Serialize;

use super::flat::{Column, write_csv};
use super::json::{Number, write_line, write_pretty};
use super::text::{part_words, plain, shown};
use crate::costing::{FixBill, JobLine};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Sort};
use crate::profile::Profile;
use crate::reading::{AskBasis, Gearbox, Kind, MilesBasis, Moves, Says, Title};
use crate::units::{Currency, DistanceUnit, Miles, ModelYear, Money, ThreePoint};
use crate::worth::{Worth, WorthBasis};

/// What the figures of a run rest on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Basis {
    /// The year that ages are counted to.
    pub as_of: ModelYear,
    /// Where that year is from, in words.
    pub as_of_from: String,
    /// The money of all figures.
    pub currency: Currency,
    /// The unit for distances that people read; JSON and CSV stay in miles.
    #[serde(skip)]
    pub distance_unit: DistanceUnit,
    /// What the list is ranked by.
    pub sort: &'static str,
    /// The least margin that makes a car worth the trouble.
    pub wanted_margin: Number,
    /// The chance of losing money that is accepted.
    pub loss_limit: f64,
}

impl Basis {
    /// The basis of a run.
    pub fn new(as_of: ModelYear, as_of_from: &str, profile: &Profile, sort: Sort) -> Self {
        Basis {
            as_of,
            as_of_from: as_of_from.to_owned(),
            currency: profile.currency,
            distance_unit: profile.distance_unit,
            sort: sort.word(),
            wanted_margin: profile.wanted_margin.into(),
            loss_limit: profile.loss_limit.value(),
        }
    }
}

/// A ranked list of ads.
#[derive(Debug, Serialize)]
pub struct Shortlist {
    /// What the figures rest on.
    #[serde(flatten)]
    pub basis: Basis,
    /// How many listings were read.
    pub ads: usize,
    /// Those shown, the best first.
    pub cars: Vec<Car>,
}

/// Three points of an amount.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Range {
    /// About one in ten is below.
    pub low: Number,
    /// The middle or mean.
    pub likely: Number,
    /// About one in ten is above.
    pub high: Number,
    /// The same as money, for people's formats.
    #[serde(skip)]
    pub money: ThreePoint<Money>,
}

impl From<ThreePoint<Money>> for Range {
    fn from(money: ThreePoint<Money>) -> Self {
        Range {
            low: money.low.into(),
            likely: money.likely.into(),
            high: money.high.into(),
            money,
        }
    }
}

/// One ad with what was worked out about it. The module [`crate::report`]
/// lists the keys.
#[derive(Debug, Serialize)]
#[allow(missing_docs)] // The keys are documented once, at the module.
pub struct Car {
    pub rank: usize,
    pub id: String,
    pub action: &'static str,
    pub reason: String,
    pub question: Option<String>,
    pub kind: Kind,
    pub year: Option<ModelYear>,
    pub make: Option<String>,
    pub model: Option<String>,
    pub ask: Option<Number>,
    pub ask_basis: AskBasis,
    pub expected_price: Option<Number>,
    pub ceiling: Option<Number>,
    pub first_offer: Option<Number>,
    pub margin: Option<Range>,
    pub margin_per_hour: Option<Number>,
    pub bill: Option<BillPart>,
    pub worth: Option<WorthPart>,
    pub miles: Option<Miles>,
    pub miles_basis: MilesBasis,
    pub title: Title,
    pub moves: Moves,
    pub gearbox: Gearbox,
    pub vin: Option<String>,
    pub faults: Vec<Fault>,
    pub unknowns: Vec<UnknownPart>,
    pub steps: Vec<StepPart>,
    pub warnings: Vec<String>,
    pub place: Option<String>,
    pub date: Option<String>,
    pub link: Option<String>,
    pub file: Arc<str>,
    pub line: u64,
    /// The headline, for ads whose make was not read.
    pub headline: String,
}

/// A fault that the ad tells.
#[derive(Debug, Serialize)]
pub struct Fault {
    /// Code of the part or symptom.
    pub part: String,
    /// `bad` or `suspect`.
    pub says: Says,
    /// The code in words.
    #[serde(skip)]
    pub words: String,
}

/// The fix bill in short.
#[derive(Debug, Serialize)]
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
#[derive(Debug, Serialize)]
pub struct JobPart {
    /// Its code in `repairs.csv`.
    pub job: String,
    /// In words.
    pub name: String,
    /// How likely it has to be done.
    pub chance: f64,
    /// What it costs if it has to be done.
    pub cost: Range,
}

/// A fault left as it is.
#[derive(Debug, Serialize)]
pub struct LeftPart {
    /// In words.
    pub name: String,
    /// What it takes off the value.
    pub effect: Number,
}

/// The worth in short.
#[derive(Debug, Serialize)]
pub struct WorthPart {
    /// 10 %, 50 % and 90 % points once the car is right.
    #[serde(flatten)]
    pub right: Range,
    /// Scrap value.
    pub floor: Number,
    /// `comparables`, `batch` or `curve`.
    pub basis: &'static str,
    /// Facts that were missing and supposed.
    pub supposed: Vec<String>,
}

/// Something left open.
#[derive(Debug, Serialize)]
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

/// One line of the sum.
#[derive(Debug, Serialize)]
pub struct StepPart {
    /// What it is.
    pub label: String,
    /// What it adds.
    pub amount: Number,
    /// How it was made.
    pub why: String,
}

impl Shortlist {
    /// The list of these ads, which are in ranked order already.
    pub fn new<'a>(
        basis: Basis,
        ads: usize,
        ranked: impl IntoIterator<Item = (&'a Listing, &'a Appraisal)>,
        lexicon: &Lexicon,
    ) -> Self {
        let ranked = ranked.into_iter().zip(1..);
        Shortlist {
            basis,
            ads,
            cars: ranked
                .map(|((listing, appraisal), rank)| Car::new(rank, listing, appraisal, lexicon))
                .collect(),
        }
    }

    /// One JSON object.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_json(&self, out: &mut dyn Write) -> io::Result<()> {
        write_pretty(out, self)?;
        out.write_all(b"\n")
    }

    /// One JSON object a car, one a line.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_jsonl(&self, out: &mut dyn Write) -> io::Result<()> {
        for car in &self.cars {
            write_line(out, car)?;
            out.write_all(b"\n")?;
        }
        Ok(())
    }

    /// A table for a spreadsheet.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_csv(&self, out: &mut dyn Write) -> io::Result<()> {
        write_csv(out, COLUMNS, &self.cars)
    }
}

impl Car {
    fn new(rank: usize, listing: &Listing, a: &Appraisal, lexicon: &Lexicon) -> Self {
        let reading = &a.reading;
        let faults = reading.claims.iter().filter(|c| c.says.is_fault());
        let clean = |text: &Option<String>| text.as_deref().map(shown);
        Car {
            rank,
            id: plain(&reading.id.0),
            action: a.action.word(),
            reason: a.reason.clone(),
            question: a.question.clone(),
            kind: reading.kind,
            year: reading.year,
            make: clean(&reading.make),
            model: clean(&reading.model),
            ask: reading.ask.map(Number::from),
            ask_basis: reading.ask_basis,
            expected_price: a.expected_price.map(Number::from),
            ceiling: a.ceiling.map(Number::from),
            first_offer: a.first_offer.map(Number::from),
            margin: a.margin.map(Range::from),
            margin_per_hour: a.margin_per_hour.map(Number::from),
            bill: a.bill.as_ref().map(BillPart::new),
            worth: a.worth.as_ref().map(WorthPart::new),
            miles: reading.miles,
            miles_basis: reading.miles_basis,
            title: reading.title,
            moves: reading.moves,
            gearbox: reading.gearbox,
            vin: reading.vin.clone(),
            faults: faults
                .map(|c| Fault {
                    part: lexicon.parts.code(c.part).to_owned(),
                    says: c.says,
                    words: part_words(lexicon, c.part),
                })
                .collect(),
            unknowns: a.unknowns.iter().map(UnknownPart::new).collect(),
            steps: a
                .steps
                .iter()
                .map(|s| StepPart {
                    label: s.label.clone(),
                    amount: s.amount.into(),
                    why: s.why.clone(),
                })
                .collect(),
            warnings: reading.warnings.iter().map(|w| shown(w)).collect(),
            place: clean(&listing.place),
            date: clean(&listing.date),
            link: listing.link.as_deref().map(plain),
            file: Arc::from(plain(&listing.origin.file)),
            line: listing.origin.line,
            headline: shown(listing.headline()),
        }
    }

    /// Year, make and model; the headline where the make was not read.
    pub fn name(&self) -> String {
        let Some(make) = &self.make else {
            return self.headline.trim().to_owned();
        };
        let year = self.year.map(|y| y.to_string());
        [year.as_deref(), Some(make), self.model.as_deref()]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// Bad parts, then those that may be: `head gasket, maybe water pump`.
    pub fn faults_in_words(&self) -> String {
        let bad = self.faults.iter().filter(|f| f.says == Says::Bad);
        let maybe = self.faults.iter().filter(|f| f.says != Says::Bad);
        bad.map(|f| f.words.clone())
            .chain(maybe.map(|f| format!("maybe {}", f.words)))
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// What is left open, of the one kind or the other. A part that is only
    /// suspected stands among the faults already.
    pub fn open_in_words(&self, vague: bool) -> String {
        self.unknowns
            .iter()
            .filter(|u| u.vague == vague && u.code != "suspect")
            .map(|u| u.words.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    }
}

impl BillPart {
    fn new(bill: &FixBill) -> Self {
        let job = |job: &JobLine| JobPart {
            job: job.job.clone(),
            name: job.name.clone(),
            chance: job.chance.value(),
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
    fn new(worth: &Worth) -> Self {
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

impl UnknownPart {
    fn new(unknown: &crate::margin::Unknown) -> Self {
        UnknownPart {
            code: unknown.open.code(),
            words: unknown.words.clone(),
            allowance: unknown.allowance.into(),
            question: unknown.question.clone(),
            vague: matches!(unknown.open, crate::lexicon::unknowns::Open::Vague(_)),
        }
    }
}

fn opt<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

const COLUMNS: &[Column<Car>] = &[
    ("rank", |c| c.rank.to_string()),
    ("id", |c| c.id.clone()),
    ("action", |c| c.action.to_owned()),
    ("reason", |c| c.reason.clone()),
    ("question", |c| opt(c.question.as_ref())),
    ("kind", |c| c.kind.to_string()),
    ("year", |c| opt(c.year)),
    ("make", |c| opt(c.make.as_ref())),
    ("model", |c| opt(c.model.as_ref())),
    ("ask", |c| opt(c.ask)),
    ("ask_basis", |c| c.ask_basis.to_string()),
    ("expected_price", |c| opt(c.expected_price)),
    ("ceiling", |c| opt(c.ceiling)),
    ("first_offer", |c| opt(c.first_offer)),
    ("margin_low", |c| opt(c.margin.map(|m| m.low))),
    ("margin_likely", |c| opt(c.margin.map(|m| m.likely))),
    ("margin_high", |c| opt(c.margin.map(|m| m.high))),
    ("margin_per_hour", |c| opt(c.margin_per_hour)),
    ("bill_low", |c| opt(c.bill.as_ref().map(|b| b.total.low))),
    ("bill_likely", |c| {
        opt(c.bill.as_ref().map(|b| b.total.likely))
    }),
    ("bill_high", |c| opt(c.bill.as_ref().map(|b| b.total.high))),
    ("hours", |c| opt(c.bill.as_ref().map(|b| b.hours))),
    ("worth_low", |c| opt(c.worth.as_ref().map(|w| w.right.low))),
    ("worth_likely", |c| {
        opt(c.worth.as_ref().map(|w| w.right.likely))
    }),
    ("worth_high", |c| {
        opt(c.worth.as_ref().map(|w| w.right.high))
    }),
    ("floor", |c| opt(c.worth.as_ref().map(|w| w.floor))),
    ("miles", |c| opt(c.miles.map(|m| m.0))),
    ("miles_basis", |c| c.miles_basis.to_string()),
    ("title", |c| c.title.to_string()),
    ("moves", |c| c.moves.to_string()),
    ("gearbox", |c| c.gearbox.to_string()),
    ("vin", |c| opt(c.vin.as_ref())),
    ("faults", Car::faults_in_words),
    ("unsaid", |c| c.open_in_words(false)),
    ("vague", |c| c.open_in_words(true)),
    ("warnings", |c| c.warnings.join("; ")),
    ("place", |c| opt(c.place.as_ref())),
    ("date", |c| opt(c.date.as_ref())),
    ("link", |c| opt(c.link.as_ref())),
    ("file", |c| c.file.to_string()),
    ("line", |c| c.line.to_string()),
];
