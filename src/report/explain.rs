//! One listing in full: what was read where, and how each figure was made.

use std::io::{self, Write};
use std::ops::Range;

use super::car::Car;
use super::entries::{UNTOLD, entries, field};
use super::history::{HistoryPart, write_history};
use super::marked::marked;
use super::outlook::{write_optional, write_outlook, write_questions, write_talking_points};
use super::page::Page;
use super::screen::{Ink, Screen};
use super::shortlist::{Basis, Entry, Shortlist};
use super::text::{distance, left, part_words, right, shown, span, span_signed, width, with_cents};
use super::tornado::write_tornado;
use super::warnings::write_warnings;
use crate::costing::{FixBill, JobLine};
use crate::history::History;
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, opening};
use crate::reading::{AskBasis, Kind};
use crate::sensitivity::Tornado;
use crate::units::{Hours, Money, ThreePoint};
use crate::warnings::Warning;

/// Everything there is to say about one listing.
#[derive(Debug, Clone, Copy)]
pub struct Explanation<'a> {
    /// The ad.
    pub listing: &'a Listing,
    /// What was worked out.
    pub appraisal: &'a Appraisal,
    /// What is to be distrusted.
    pub warnings: &'a [Warning],
    /// What became of the car, where it was followed.
    pub history: Option<&'a History>,
    /// What the figures rest on.
    pub basis: &'a Basis,
    /// The tables, for words and sources.
    pub lexicon: &'a Lexicon,
    /// What moves the margin most, where it is known.
    pub tornado: Option<&'a Tornado>,
}

/// Lines that count for less than this on average are told in short.
const SMALL: f64 = 6.0;
/// Widest label of a step that stands on the line of its figure.
const LABEL: usize = 26;

impl Explanation<'_> {
    /// Writes it as text at a width in columns.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&self, screen: impl Into<Screen>, out: &mut dyn Write) -> io::Result<()> {
        let mut page = Page::new(out, screen, 100);
        self.summary(&mut page)?;
        write_warnings(&mut page, self.warnings, self.lexicon)?;
        self.history(&mut page)?;
        self.text(&mut page)?;
        self.claims(&mut page)?;
        if self.appraisal.reading.kind != Kind::Car {
            return Ok(());
        }
        self.open(&mut page)?;
        if let Some(bill) = &self.appraisal.bill {
            self.jobs(&mut page, bill)?;
        }
        self.sum(&mut page)?;
        write_outlook(&mut page, self.appraisal)?;
        if let Some(bill) = &self.appraisal.bill {
            write_optional(&mut page, bill)?;
        }
        write_questions(&mut page, self.appraisal)?;
        write_talking_points(&mut page, self.appraisal, self.lexicon, &self.listing.text)?;
        self.tornado.map_or(Ok(()), |t| write_tornado(t, &mut page))
    }

    pub(super) fn summary(&self, page: &mut Page<'_>) -> io::Result<()> {
        let one = Shortlist::new(
            self.basis.clone(),
            1,
            [Entry {
                history: self.history,
                ..(self.listing, self.appraisal).into()
            }],
            self.lexicon,
        );
        let Some(car) = one.cars.first() else {
            return Ok(());
        };
        page.title(&car.name())?;
        page.put(2, &format!("id {}, {} line {}", car.id, car.file, car.line))?;
        for (label, value) in [
            ("place", &car.place),
            ("date", &car.date),
            ("link", &car.link),
        ] {
            if let Some(value) = value {
                page.put(2, &format!("{label} {value}"))?;
            }
        }
        page.put(2, &facts(car, self.basis))?;
        let sign = self.basis.currency.sign();
        let action = car.action.to_uppercase();
        let ink = Ink::from(self.appraisal.action);
        page.put_marked(2, (ink, &action), &format!("{action}: {}", car.reason))?;
        if let Some(question) = &car.question {
            page.put(2, &format!("Ask: {question}"))?;
        }
        let amount = |n: super::json::Number| format!("{sign}{}", Money::from(n));
        if let Some(ceiling) = car.ceiling {
            let offer = car.first_offer.map_or_else(String::new, |offer| {
                format!("; first offer {}", amount(offer))
            });
            page.put(2, &format!("Pay no more than {}{offer}", amount(ceiling)))?;
        }
        Ok(())
    }

    fn history(&self, page: &mut Page<'_>) -> io::Result<()> {
        let Some(history) = self.history.filter(|h| h.tells()) else {
            return Ok(());
        };
        write_history(page, &HistoryPart::new(history, &[], self.lexicon))
    }

    fn text(&self, page: &mut Page<'_>) -> io::Result<()> {
        page.head("What the ad says")?;
        let places: Vec<(usize, Range<usize>)> = entries(&self.appraisal.reading, self.lexicon)
            .into_iter()
            .zip(1..)
            .flat_map(|(entry, n)| {
                entry
                    .evidence
                    .into_iter()
                    .map(move |e| (n, e.range.clone()))
            })
            .collect();
        for line in marked(&self.listing.text, &places).lines() {
            page.put(2, line)?;
        }
        let cells = [
            ("price", &self.listing.price),
            ("distance", &self.listing.distance),
            ("year", &self.listing.year),
            ("make", &self.listing.make),
            ("model", &self.listing.model),
        ];
        let cells: Vec<_> = cells
            .iter()
            .filter_map(|(name, cell)| Some(format!("{name} '{}'", shown(cell.as_ref()?))))
            .collect();
        if !cells.is_empty() {
            page.put(2, &format!("Cells of the row: {}", cells.join(", ")))?;
        }
        Ok(())
    }

    fn claims(&self, page: &mut Page<'_>) -> io::Result<()> {
        page.head("What was read")?;
        let entries = entries(&self.appraisal.reading, self.lexicon);
        if entries.is_empty() {
            page.put(2, "nothing")?;
        }
        let wide = entries.iter().map(|e| width(&e.what)).max().unwrap_or(0);
        for (entry, n) in entries.iter().zip(1..) {
            let prefix = format!(
                "  {} {}  ",
                right(&n.to_string(), 2),
                left(&entry.what, wide)
            );
            let rules: Vec<_> = entry.evidence.iter().map(|e| shown(&e.rule)).collect();
            let mut text = rules.join("; ");
            if let Some(meaning) = &entry.meaning {
                text.push_str(&format!(" ({meaning}{})", entry.more));
            }
            page.hang(&prefix, width(&prefix), &text)?;
        }
        for key in ["year", "make", "model", "ask", "miles"] {
            let reading = &self.appraisal.reading;
            let value = field(reading, key);
            if value != UNTOLD && !reading.fields.iter().any(|(k, _)| *k == key) {
                page.put(
                    5,
                    &format!("{key} {value}: not from the text but from a cell of the row"),
                )?;
            }
        }
        for warning in &self.appraisal.reading.warnings {
            page.put(2, &format!("Doubt: {}", shown(warning)))?;
        }
        Ok(())
    }

    fn open(&self, page: &mut Page<'_>) -> io::Result<()> {
        let unknowns = &self.appraisal.unknowns;
        if unknowns.is_empty() {
            return Ok(());
        }
        page.head("What is left open")?;
        for unknown in unknowns {
            let row = self.lexicon.unknowns.get(unknown.open);
            let source = row.map_or("", |r| r.source.as_str());
            let aside = if unknown.allowance == Money::ZERO {
                "nothing set aside".to_owned()
            } else {
                format!("{} set aside ({source})", unknown.allowance)
            };
            page.put(
                2,
                &format!("{}: {aside}. Ask: {}", unknown.words, unknown.question),
            )?;
        }
        Ok(())
    }

    fn jobs(&self, page: &mut Page<'_>, bill: &FixBill) -> io::Result<()> {
        page.head("What it takes")?;
        if bill.jobs.is_empty() {
            page.put(2, "no job is called for")?;
        }
        let small = |job: &&JobLine| {
            job.chance.value() < 1.0 && job.cost.mean().to_f64() * job.chance.value() < SMALL
        };
        for (i, job) in bill.jobs.iter().enumerate() {
            if small(&job) {
                continue;
            }
            self.job(page, job)?;
            // The same caution holds for many jobs; once in full is read, ten
            // times is not.
            let before = bill.jobs[..i].iter().find(|j| j.caution == job.caution);
            match (&job.caution, before) {
                (Some(_), Some(before)) => {
                    page.put(4, &format!("Caution: as for {}", before.name))?;
                }
                (Some(caution), None) => page.put(4, &format!("Caution: {caution}"))?,
                (None, _) => {}
            }
        }
        let small: Vec<_> = bill.jobs.iter().filter(small).collect();
        if !small.is_empty() {
            let names = small.iter().map(|job| {
                let chance = job.chance.value() * 100.0;
                format!(
                    "{} ({}, {chance:.0} % likely: {})",
                    job.name, job.cost.likely, job.why
                )
            });
            let names: Vec<_> = names.collect();
            page.put(2, &format!("Small or unlikely: {}", names.join("; ")))?;
        }
        for left in &bill.left {
            page.put(
                2,
                &format!(
                    "Left as it is: {} ({}, {:.0} % likely) takes {} off the value on average; \
                     doing it would cost {}",
                    left.name,
                    part_words(self.lexicon, left.part),
                    left.chance.value() * 100.0,
                    left.effect,
                    left.instead_of
                ),
            )?;
        }
        for note in &bill.notes {
            page.put(2, &format!("Supposed: {note}"))?;
        }
        Ok(())
    }

    fn job(&self, page: &mut Page<'_>, job: &JobLine) -> io::Result<()> {
        page.put(
            2,
            &format!(
                "{}: {} ({}), {:.0} % likely: {}",
                job.name,
                job.cost.likely,
                span(&job.cost),
                job.chance.value() * 100.0,
                job.why
            ),
        )?;
        let because: Vec<_> = job
            .because
            .iter()
            .map(|part| part_words(self.lexicon, *part))
            .collect();
        if !because.is_empty() {
            page.put(4, &format!("because of: {}", because.join(", ")))?;
        }
        let used = if job.parts_used { "used" } else { "new" };
        let mut made = Vec::new();
        if job.parts.high > Money::ZERO {
            made.push(format!("parts ({used}) {}", points(&job.parts)));
        }
        if job.consumables > Money::ZERO {
            made.push(format!("consumables {}", job.consumables));
        }
        if job.own_hours.high > Hours::ZERO {
            let ThreePoint { low, likely, high } = job.own_hours;
            made.push(format!("own hours {likely} ({low}-{high})"));
        }
        if job.outwork.high > Money::ZERO {
            let why = job.outwork_why.as_deref().unwrap_or("goes out");
            made.push(format!(
                "work that goes out {}: {why}",
                points(&job.outwork)
            ));
        }
        if let Some(shared) = &job.shared_with {
            made.push(format!("done together with {shared}, saving taken off"));
        }
        page.put(4, &made.join("; "))?;
        page.put(4, &format!("Source: {}", job.source))
    }

    fn sum(&self, page: &mut Page<'_>) -> io::Result<()> {
        let a = self.appraisal;
        page.head("The sum")?;
        if a.steps.is_empty() {
            return page.put(2, &a.reason);
        }
        let total = a.margin.map_or_else(
            || a.steps.iter().map(|s| s.amount).sum(),
            |margin| margin.likely,
        );
        let name = if a.margin.is_some() {
            "expected margin"
        } else {
            "left before the price"
        };
        // A longer label gets a line of its own, so that the figures stay in
        // one column and leave room for the words.
        let labels = a.steps.iter().map(|s| width(&s.label));
        let short = labels.filter(|w| *w <= LABEL);
        let wide = short.chain([width(name)]).max().unwrap_or(0);
        let amounts: Vec<_> = a.steps.iter().map(|s| with_cents(s.amount)).collect();
        let figure = amounts.iter().map(|t| width(t)).max().unwrap_or(0).max(9);
        for (step, amount) in a.steps.iter().zip(&amounts) {
            let mut label = step.label.as_str();
            if width(label) > wide {
                page.put(2, label)?;
                label = "";
            }
            let prefix = format!("  {}  {}  ", left(label, wide), right(amount, figure));
            page.hang(&prefix, 2 + wide + figure + 4, &step.why)?;
        }
        writeln!(page.out, "  {}  {}", " ".repeat(wide), "-".repeat(figure))?;
        writeln!(
            page.out,
            "  {}  {}",
            left(name, wide),
            right(&with_cents(total), figure)
        )?;
        self.limits(page)
    }

    fn limits(&self, page: &mut Page<'_>) -> io::Result<()> {
        let a = self.appraisal;
        if let Some(margin) = &a.margin {
            page.put(
                2,
                &format!(
                    "Range: {} in four of five, from the worth's range, the bill's and what is \
                     set aside",
                    span_signed(margin)
                ),
            )?;
        }
        if let (Some(rate), Some(bill)) = (a.margin_per_hour, &a.bill) {
            page.put(
                2,
                &format!(
                    "Margin per hour: {rate}, over {} h of repair and the hours of selling, on \
                     top of their pay",
                    bill.hours.likely
                ),
            )?;
        }
        if let Some(ceiling) = a.ceiling {
            page.put(
                2,
                &format!(
                    "Ceiling: {ceiling} is the most at which {} is still expected and a loss is \
                     no likelier than {:.0} %",
                    Money::from(self.basis.wanted_margin),
                    self.basis.loss_limit * 100.0
                ),
            )?;
        }
        if let Some(offer) = a.first_offer {
            let priced = a.expected_price.map(|_| a.reading.ask_basis);
            let basis = priced.unwrap_or(AskBasis::None);
            let give = self.lexicon.give.get(basis);
            let waited = if self.lexicon.patience.less(a.waited).is_zero() {
                String::new()
            } else {
                format!(
                    ", as the seller has waited {:.0} days and come down by {:.0} %",
                    a.waited.days,
                    a.waited.fallen * 100.0
                )
            };
            page.put(
                2,
                &format!(
                    "First offer: {offer}, {} % of what is asked or, where that is less, of the \
                     ceiling, rounded down{waited} ({})",
                    (opening(basis, a.waited, self.lexicon) * rust_decimal::Decimal::ONE_HUNDRED)
                        .normalize(),
                    give.source
                ),
            )?;
        }
        if let Some(worth) = &a.worth {
            for supposed in &worth.supposed {
                page.put(2, &format!("Supposed: {supposed}"))?;
            }
        }
        Ok(())
    }
}

fn facts(car: &Car, basis: &Basis) -> String {
    let miles = car.miles.map_or_else(
        || "distance not told".to_owned(),
        |m| format!("{} ({})", distance(m, basis.distance_unit), car.miles_basis),
    );
    let ask = car.ask.map_or_else(
        || format!("no price ({})", car.ask_basis),
        |ask| format!("asks {} ({})", Money::from(ask), car.ask_basis),
    );
    format!(
        "{}: {ask}, {miles}, papers {}, moves {}, gearbox {}",
        car.kind, car.title, car.moves, car.gearbox
    )
}

fn points(range: &ThreePoint<Money>) -> String {
    format!("{} ({})", range.likely, span(range))
}
