//! One listing in full: what was read where, and how each figure was made.

mod jobs;
mod sum;

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
use super::text::{distance, left, right, shown, width};
use super::tornado::write_tornado;
use super::warnings::write_warnings;
use crate::history::History;
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::margin::Appraisal;
use crate::reading::Kind;
use crate::sensitivity::Tornado;
use crate::units::Money;
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
