//! One ad of the shortlist, as data for every format.

mod parts;

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::history::HistoryPart;
use super::json::Number;
use super::shortlist::Entry;
use super::text::{cut, hundredths, part_words, plain, shown};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::margin::Question;
use crate::reading::{AskBasis, Gearbox, Kind, MilesBasis, Moves, Says, Title};
use crate::units::{Currency, Miles, ModelYear, Money, ThreePoint};

pub use parts::{
    BillPart, JobPart, LeftPart, QuestionPart, StepPart, UnknownPart, WarningPart, WorthPart,
};

/// Three points of an amount.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
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
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // The keys are documented once, at the module.
pub struct Car {
    pub rank: usize,
    pub id: String,
    #[schemars(extend("enum" = ["view", "ask", "skip"]))]
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
    /// The chance of losing money at the expected price, 0 to 1.
    pub loss: Option<f64>,
    /// How often it is better broken or scrapped than repaired, 0 to 1.
    pub goes_as_it_stands: Option<f64>,
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
    /// What is worth asking before driving out, the best first.
    pub questions: Vec<QuestionPart>,
    /// What is worth looking at first.
    pub checks: Vec<QuestionPart>,
    pub steps: Vec<StepPart>,
    pub warnings: Vec<WarningPart>,
    pub doubts: Vec<String>,
    pub place: Option<String>,
    pub date: Option<String>,
    pub link: Option<String>,
    pub file: Arc<str>,
    pub line: u64,
    /// The headline, for ads whose make was not read.
    pub headline: String,
    pub history: Option<HistoryPart>,
}

/// A fault that the ad tells.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Fault {
    /// Code of the part or symptom.
    pub part: String,
    /// `bad` or `suspect`.
    pub says: Says,
    /// The code in words.
    #[serde(skip)]
    pub words: String,
}

impl Car {
    /// The ad at a rank.
    pub fn new(rank: usize, entry: &Entry<'_>, lexicon: &Lexicon) -> Self {
        let (listing, a) = (entry.listing, entry.appraisal);
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
            loss: a.loss().map(|c| hundredths(c.value())),
            goes_as_it_stands: a.position.as_ref().map(|p| hundredths(p.gone().value())),
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
            questions: questions(&a.questions),
            checks: questions(&a.checks),
            steps: a
                .steps
                .iter()
                .map(|s| StepPart {
                    label: s.label.clone(),
                    amount: s.amount.into(),
                    why: s.why.clone(),
                })
                .collect(),
            warnings: entry
                .warnings
                .iter()
                .filter_map(|w| WarningPart::new(w, lexicon))
                .collect(),
            doubts: reading.warnings.iter().map(|w| shown(w)).collect(),
            place: clean(&listing.place),
            date: clean(&listing.date),
            link: listing.link.as_deref().map(plain),
            file: Arc::from(plain(&listing.origin.file)),
            line: listing.origin.line,
            headline: headline(listing),
            history: entry
                .history
                .map(|history| HistoryPart::new(history, &entry.changes, lexicon)),
        }
    }

    /// Year, make and model; the headline where the make was not read.
    pub fn name(&self) -> String {
        let Some(make) = &self.make else {
            return self.headline.trim().to_owned();
        };
        let year = self.year.map(|y| y.to_string());
        // `Mazda3` says its make itself.
        let model = self.model.as_deref();
        let within = |m: &str| m.starts_with(make.as_str());
        let make = Some(make.as_str()).filter(|_| !model.is_some_and(within));
        [year.as_deref(), make, model]
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

    /// What is worth asking, with what the answer is worth: `papers $67,
    /// whether it drives $12`.
    pub fn questions_in_words(&self, currency: Currency) -> String {
        let words = self.questions.iter().map(|q| {
            let worth = Money::from(q.worth);
            format!("{} {}{worth}", q.about, currency.sign())
        });
        words.collect::<Vec<_>>().join(", ")
    }

    /// What is to be distrusted: `far too cheap, an agent would deliver it`.
    pub fn warnings_in_words(&self) -> String {
        let words = self.warnings.iter().map(|w| w.words.as_str());
        words.collect::<Vec<_>>().join(", ")
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

/// The three that are worth most; none that are worth nothing.
fn questions(all: &[Question]) -> Vec<QuestionPart> {
    all.iter()
        .filter(|q| q.worth > Money::ZERO)
        .take(3)
        .map(|q| QuestionPart {
            about: shown(&q.about),
            question: shown(&q.question),
            chance: hundredths(q.chance.value()),
            worth: q.worth.into(),
        })
        .collect()
}

/// The headline; where there is none, how the text begins.
fn headline(listing: &Listing) -> String {
    /// Columns that serve for a name.
    const NAME: usize = 40;
    match listing.headline() {
        blank if blank.trim().is_empty() => {
            let first = listing.body().lines().find(|l| !l.trim().is_empty());
            cut(&shown(first.unwrap_or_default()), NAME)
        }
        headline => shown(headline),
    }
}
