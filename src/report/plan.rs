//! A plan: which cars to buy under limits, for every format.
//!
//! `--format json` gives one object: `as_of`, `as_of_from` and `currency` as
//! in the shortlist; `ads`, how many were read; `candidates`, how many cars there
//! were to choose from; `ask_first`, how many more pay as far as told; `limits`, `together` and `left` with `outlay`,
//! `hours` and `cars` (null where there is no such limit; `together` has
//! `margin` too); `proved`, whether no other set is better; `cars`, a list
//! with `rank`, `id`, `year`, `make`, `model`, `action`, `reason`, `question`,
//! `expected_price`, `outlay`, `hours`, `margin`, `place`, `link`, `file` and
//! `line`; and `more`, a list with `of`, `adds`, `joins` and `leaves` (ids).

mod table;

use std::io::{self, Write};
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::car::Car;
use super::flat::{Column, write_csv};
use super::json::{Number, write_pretty};
use super::shortlist::{Basis, Entry, Shortlist};
use crate::lexicon::Lexicon;
use crate::plan::{Candidate, Chosen, Limits, More};
use crate::safe_text::for_markdown;
use crate::units::{Hours, ModelYear, Money};

/// Amounts of what limits are set to.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Amounts {
    /// Money.
    pub outlay: Option<Number>,
    /// Hours of one's own.
    pub hours: Option<Number>,
    /// Cars.
    pub cars: Option<usize>,
}

/// What the chosen cars come to.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Together {
    /// Money laid out, on average.
    pub outlay: Number,
    /// Hours of one's own, on average.
    pub hours: Number,
    /// How many they are.
    pub cars: usize,
    /// Expected margin.
    pub margin: Number,
}

/// A car of the plan.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // The keys are documented at the module.
pub struct Planned {
    pub rank: usize,
    pub id: String,
    pub year: Option<ModelYear>,
    pub make: Option<String>,
    pub model: Option<String>,
    #[schemars(extend("enum" = ["view", "ask", "skip"]))]
    pub action: &'static str,
    pub reason: String,
    pub question: Option<String>,
    pub expected_price: Option<Number>,
    pub outlay: Number,
    pub hours: Number,
    pub margin: Number,
    pub place: Option<String>,
    pub link: Option<String>,
    pub file: Arc<str>,
    pub line: u64,
    #[serde(skip)]
    name: String,
}

/// What more of a limit would add.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MorePart {
    /// What more there is.
    pub of: String,
    /// Expected margin that it adds.
    pub adds: Number,
    /// Ids of cars that come in.
    pub joins: Vec<String>,
    /// Ids of cars that go.
    pub leaves: Vec<String>,
    #[serde(skip)]
    joins_in_words: String,
    #[serde(skip)]
    leaves_in_words: String,
}

/// A plan as data.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PlanList {
    /// What the figures rest on.
    #[serde(flatten)]
    pub basis: Basis,
    /// Ads read.
    pub ads: usize,
    /// Cars there were to choose from.
    pub candidates: usize,
    /// Cars that pay as far as told and were not among them, since a question
    /// comes first.
    pub ask_first: usize,
    /// The limits.
    pub limits: Amounts,
    /// What the chosen cars come to.
    pub together: Together,
    /// What is left of the limits.
    pub left: Amounts,
    /// Whether no other set is better.
    pub proved: bool,
    /// The cars, the largest margin first.
    pub cars: Vec<Planned>,
    /// What more would add.
    pub more: Vec<MorePart>,
}

/// What a plan was chosen from, and what was chosen.
#[derive(Debug)]
pub struct PlanParts<'a> {
    /// What the figures rest on.
    pub basis: Basis,
    /// Ads read.
    pub ads: usize,
    /// The limits.
    pub limits: Limits,
    /// Cars that pay as far as told, and are not among the candidates.
    pub ask_first: usize,
    /// The cars to choose from, the largest margin first, with what they take.
    pub candidates: Vec<(Entry<'a>, Candidate)>,
    /// The best set.
    pub chosen: Chosen,
    /// What more would add.
    pub more: Vec<More>,
}

impl PlanList {
    /// Puts a plan into figures and words.
    pub fn new(parts: PlanParts<'_>, lexicon: &Lexicon) -> Self {
        let PlanParts {
            basis,
            ads,
            limits,
            ask_first,
            candidates,
            chosen,
            more,
        } = parts;
        let figures: Vec<Candidate> = candidates.iter().map(|(_, c)| *c).collect();
        let entries = candidates.into_iter().map(|(entry, _)| entry);
        let all = Shortlist::new(basis.clone(), ads, entries, lexicon).cars;
        let of = |place: &usize| figures.get(*place);
        let picked = || chosen.places.iter().filter_map(of);
        let outlay: Money = picked().map(|c| c.outlay).sum();
        let hours: Hours = picked().map(|c| c.hours).sum();
        let more = more.iter().map(|m| more_part(m, &all)).collect();
        let cars: Vec<Planned> = chosen
            .places
            .iter()
            .filter_map(|p| Some((all.get(*p)?, figures.get(*p)?)))
            .zip(1..)
            .map(|((car, figures), rank)| planned(rank, car, figures))
            .collect();
        PlanList {
            basis,
            ads,
            candidates: all.len(),
            ask_first,
            limits: Amounts {
                outlay: limits.budget.map(Number::from),
                hours: limits.hours.map(Number::from),
                cars: limits.space,
            },
            together: Together {
                outlay: outlay.into(),
                hours: hours.into(),
                cars: cars.len(),
                margin: picked().map(|c| c.margin).sum::<Money>().into(),
            },
            left: Amounts {
                outlay: limits.budget.map(|b| (b - outlay).into()),
                hours: limits.hours.map(|h| (h - hours).into()),
                cars: limits.space.map(|s| s.saturating_sub(cars.len())),
            },
            proved: chosen.proved,
            cars,
            more,
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

    /// The cars for a spreadsheet.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_csv(&self, out: &mut dyn Write) -> io::Result<()> {
        write_csv(out, COLUMNS, &self.cars)
    }

    /// A Markdown table, and below it what is left and what more would add.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_markdown(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(out, "{}\n", self.title())?;
        writeln!(
            out,
            "| # | car | price | laid out | hours | margin | do | id |"
        )?;
        writeln!(out, "|{}", " --- |".repeat(8))?;
        for car in &self.cars {
            let cells = [
                car.rank.to_string(),
                car.name.clone(),
                price(car),
                Money::from(car.outlay).to_string(),
                one_digit(car.hours),
                Money::from(car.margin).to_string(),
                format!("{}: {}", car.action, car.reason),
                car.id.clone(),
            ]
            .map(|cell| for_markdown(&cell).into_owned());
            writeln!(out, "| {} |", cells.join(" | "))?;
        }
        writeln!(out)?;
        for line in self.notes() {
            writeln!(out, "- {}", for_markdown(&line))?;
        }
        Ok(())
    }

    fn title(&self) -> String {
        let cars = if self.together.cars == 1 {
            "car"
        } else {
            "cars"
        };
        let of = |what: Option<String>| what.into_iter();
        let sign = self.basis.currency.sign();
        let money = |n: Number| format!("{sign}{}", Money::from(n));
        let limits: Vec<_> = of(self
            .limits
            .outlay
            .map(|n| format!("{} to lay out", money(n))))
        .chain(of(self.limits.hours.map(|h| format!("{h} hours"))))
        .chain(of(self.limits.cars.map(|c| format!("room for {c}"))))
        .collect();
        format!(
            "{} {cars} of {} that pay, for a margin of {} expected, with {}; money in {sign}, \
             ages as of {}",
            self.together.cars,
            self.candidates,
            money(self.together.margin),
            limits.join(", "),
            self.basis.as_of
        )
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        let left: Vec<_> = [
            self.left
                .outlay
                .map(|n| format!("{} of the money", Money::from(n))),
            self.left.hours.map(|h| format!("{} hours", one_digit(h))),
            self.left.cars.map(|c| format!("room for {c}")),
        ]
        .into_iter()
        .flatten()
        .collect();
        notes.push(format!("Left over: {}.", left.join(", ")));
        for more in &self.more {
            let mut line = format!("With {} ", more.of);
            let adds = Money::from(more.adds);
            if adds == Money::ZERO {
                line.push_str("nothing would be added.");
            } else {
                line.push_str(&format!("{adds} would be added: {}", more.joins_in_words));
                if !more.leaves_in_words.is_empty() {
                    line.push_str(&format!(" instead of {}", more.leaves_in_words));
                }
                line.push('.');
            }
            notes.push(line);
        }
        if !self.proved {
            notes.push(
                "The search was given up before it was certain: a better set may be there. \
                 Narrow the choice, for instance with a smaller budget."
                    .to_owned(),
            );
        }
        if self.ask_first > 0 {
            notes.push(format!(
                "{} more would pay as far as told, but a question comes first; --actions view,ask \
                 takes them in.",
                self.ask_first
            ));
        }
        notes.push(
            "Laid out is what leaves your pocket until the car is sold, on average; your own \
             hours count as hours. Cars are chosen by expected margin alone: buy the first, see \
             how it turns out, and plan anew."
                .to_owned(),
        );
        notes
    }
}

fn more_part(more: &More, all: &[Car]) -> MorePart {
    let cars =
        |places: &[usize]| -> Vec<&Car> { places.iter().filter_map(|p| all.get(*p)).collect() };
    let (joins, leaves) = (cars(&more.joins), cars(&more.leaves));
    let ids = |cars: &[&Car]| cars.iter().map(|c| c.id.clone()).collect();
    let words = |cars: &[&Car]| {
        let names: Vec<_> = cars
            .iter()
            .map(|c| format!("{} ({})", c.name(), c.id))
            .collect();
        names.join(", ")
    };
    MorePart {
        of: more.of.clone(),
        adds: more.adds.into(),
        joins: ids(&joins),
        leaves: ids(&leaves),
        joins_in_words: words(&joins),
        leaves_in_words: words(&leaves),
    }
}

fn planned(rank: usize, car: &Car, figures: &Candidate) -> Planned {
    Planned {
        rank,
        id: car.id.clone(),
        year: car.year,
        make: car.make.clone(),
        model: car.model.clone(),
        action: car.action,
        reason: car.reason.clone(),
        question: car.question.clone(),
        expected_price: car.expected_price,
        outlay: figures.outlay.into(),
        hours: figures.hours.into(),
        margin: figures.margin.into(),
        place: car.place.clone(),
        link: car.link.clone(),
        file: Arc::clone(&car.file),
        line: car.line,
        name: car.name(),
    }
}

fn price(car: &Planned) -> String {
    car.expected_price
        .map_or_else(|| "?".to_owned(), |n| Money::from(n).to_string())
}

/// Hours as people say them.
fn one_digit(hours: Number) -> String {
    format!("{:.1}", hours.value())
}

fn opt<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

const COLUMNS: &[Column<Planned>] = &[
    ("rank", |c| c.rank.to_string()),
    ("id", |c| c.id.clone()),
    ("action", |c| c.action.to_owned()),
    ("reason", |c| c.reason.clone()),
    ("question", |c| opt(c.question.as_ref())),
    ("year", |c| opt(c.year)),
    ("make", |c| opt(c.make.as_ref())),
    ("model", |c| opt(c.model.as_ref())),
    ("expected_price", |c| opt(c.expected_price)),
    ("outlay", |c| c.outlay.to_string()),
    ("hours", |c| c.hours.to_string()),
    ("margin", |c| c.margin.to_string()),
    ("place", |c| opt(c.place.as_ref())),
    ("link", |c| opt(c.link.as_ref())),
    ("file", |c| c.file.to_string()),
    ("line", |c| c.line.to_string()),
];
