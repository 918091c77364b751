//! A call and a decision as JSON.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::call::Call;
use super::decision::DecisionPage;
use crate::kerb::{Advice, Answer, Question};
use crate::margin::Appraisal;
use crate::report::car::{Car, Range};
use crate::report::json::{Number, write_pretty};
use crate::report::shortlist::Basis;
use crate::report::text::shown;

/// What to ask a seller, and what each answer means for the price.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CallJson<'a> {
    /// What the figures rest on.
    pub basis: &'a Basis,
    /// The ad with its figures, as in the shortlist.
    pub car: &'a Car,
    /// The questions, the most at stake first.
    pub questions: Vec<CallQuestion>,
}

/// A question.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CallQuestion {
    /// What is open, in few words.
    pub about: String,
    /// The question.
    pub question: String,
    /// A good answer.
    pub good: CallAnswer,
    /// A bad one.
    pub bad: CallAnswer,
    /// How far apart the two ceilings lie.
    pub stake: Number,
}

/// An answer.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CallAnswer {
    /// In words.
    pub words: String,
    /// The most to pay after it; null where nothing follows from it.
    pub ceiling: Option<Number>,
}

/// What to do about a car that was looked at.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DecisionJson<'a> {
    /// What the figures rest on.
    pub basis: &'a Basis,
    /// The ad with its figures before anybody looked, as in the shortlist.
    pub car: &'a Car,
    /// What to do.
    pub advice: AdvicePart,
    /// Figures by the ad alone.
    pub told: FiguresPart,
    /// Figures with the findings weighed in.
    pub now: FiguresPart,
    /// What each finding did to the ceiling.
    pub found: Vec<FoundThing>,
    /// Checks that the ad calls for and nobody did.
    pub left: Vec<LeftCheck>,
}

/// What to do.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct AdvicePart {
    /// What kind of advice it is.
    #[schemars(extend("enum" = ["offer", "walk_away", "check_first", "ask_first"]))]
    pub what: &'static str,
    /// The most to pay, for an offer; the price at which it would pay after
    /// all, for walking away.
    pub up_to: Option<Number>,
    /// Where to begin, for an offer.
    pub begin: Option<Number>,
    /// The check, by its code in `checks.csv`, or the question, that comes
    /// first.
    pub first: Option<String>,
}

/// Figures of a car.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FiguresPart {
    /// The fix bill.
    pub bill: Option<Range>,
    /// Worth once right.
    pub worth: Option<Range>,
    /// What is left.
    pub margin: Option<Range>,
    /// The most to pay.
    pub ceiling: Option<Number>,
    /// Why.
    pub reason: String,
}

/// A finding.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FoundThing {
    /// Its line in the file of findings.
    pub line: u64,
    /// In words.
    pub words: String,
    /// Ceiling with it less ceiling without it.
    pub ceiling_moves: Option<Number>,
}

/// A check that was not done.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LeftCheck {
    /// Its code in `checks.csv`.
    pub check: String,
    /// In few words.
    pub name: String,
    /// Why the ad calls for it.
    pub why: Vec<String>,
}

impl Call<'_> {
    /// The page as one JSON object.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_json(&self, out: &mut dyn Write) -> io::Result<()> {
        let call = CallJson {
            basis: self.basis,
            car: self.car,
            questions: self.questions.iter().map(CallQuestion::new).collect(),
        };
        write_pretty(out, &call)?;
        out.write_all(b"\n")
    }
}

/// Writes decisions as one JSON list.
///
/// # Errors
/// When writing fails.
pub fn write_decisions(pages: &[DecisionPage<'_>], out: &mut dyn Write) -> io::Result<()> {
    let all: Vec<_> = pages.iter().map(DecisionJson::new).collect();
    write_pretty(out, &all)?;
    out.write_all(b"\n")
}

impl CallQuestion {
    fn new(question: &Question) -> Self {
        CallQuestion {
            about: shown(&question.about),
            question: shown(&question.question),
            good: CallAnswer::new(&question.good),
            bad: CallAnswer::new(&question.bad),
            stake: question.stake().into(),
        }
    }
}

impl CallAnswer {
    fn new(answer: &Answer) -> Self {
        CallAnswer {
            words: shown(&answer.words),
            ceiling: answer.ceiling.map(Number::from),
        }
    }
}

impl<'a> DecisionJson<'a> {
    fn new(page: &DecisionPage<'a>) -> Self {
        let decision = page.decision;
        let found = decision.effects.iter().map(|effect| FoundThing {
            line: effect.finding.line,
            words: page.words(effect.finding),
            ceiling_moves: effect.ceiling.map(Number::from),
        });
        let left = decision.left.iter().map(|chosen| LeftCheck {
            check: chosen.check.check.clone(),
            name: chosen.check.name.clone(),
            why: chosen.why.clone(),
        });
        DecisionJson {
            basis: page.basis,
            car: page.car,
            advice: AdvicePart::new(&decision.advice),
            told: FiguresPart::new(&decision.told),
            now: FiguresPart::new(&decision.now),
            found: found.collect(),
            left: left.collect(),
        }
    }
}

impl AdvicePart {
    fn new(advice: &Advice<'_>) -> Self {
        let none = AdvicePart {
            what: "offer",
            up_to: None,
            begin: None,
            first: None,
        };
        match advice {
            Advice::Offer { up_to, begin, .. } => AdvicePart {
                up_to: Some((*up_to).into()),
                begin: begin.map(Number::from),
                ..none
            },
            Advice::WalkAway { unless } => AdvicePart {
                what: "walk_away",
                up_to: unless.map(Number::from),
                ..none
            },
            Advice::CheckFirst { check, .. } => AdvicePart {
                what: "check_first",
                first: Some(check.check.clone()),
                ..none
            },
            Advice::AskFirst { question } => AdvicePart {
                what: "ask_first",
                first: Some(shown(question)),
                ..none
            },
        }
    }
}

impl FiguresPart {
    fn new(appraisal: &Appraisal) -> Self {
        FiguresPart {
            bill: appraisal.bill.as_ref().map(|b| b.total.into()),
            worth: appraisal.worth.as_ref().map(|w| w.right.into()),
            margin: appraisal.margin.map(Range::from),
            ceiling: appraisal.ceiling.map(Number::from),
            reason: appraisal.reason.clone(),
        }
    }
}
