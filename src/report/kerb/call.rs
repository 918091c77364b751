//! One page to have at hand while talking to a seller.

use std::io::{self, Write};

use super::said;
use crate::kerb::{Answer, Question};
use crate::lexicon::Lexicon;
use crate::margin::Appraisal;
use crate::reading::Says;
use crate::report::car::Car;
use crate::report::page::Page;
use crate::report::screen::{Ink, Screen};
use crate::report::shortlist::Basis;
use crate::report::text::{distance, shown};
use crate::safe_text::for_markdown;
use crate::units::Money;

/// What a page for a call is made of.
#[derive(Debug)]
pub struct Call<'a> {
    /// The ad in short.
    pub car: &'a Car,
    /// What was worked out.
    pub appraisal: &'a Appraisal,
    /// What the figures rest on.
    pub basis: &'a Basis,
    /// What to ask, the most at stake first.
    pub questions: &'a [Question],
    /// The tables, for words.
    pub lexicon: &'a Lexicon,
}

/// A line of the page.
pub(super) enum Line {
    Title(String),
    Head(&'static str),
    Text(String),
    Ask(usize, String),
    Under(String),
    /// Room for a note.
    Room(&'static str),
}

impl Call<'_> {
    /// The page as text at a width in columns.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_text(&self, screen: impl Into<Screen>, out: &mut dyn Write) -> io::Result<()> {
        let mut page = Page::new(out, screen, 100);
        for line in self.lines() {
            match line {
                Line::Title(text) => page.title(&text)?,
                Line::Head(text) => page.head(text)?,
                Line::Text(text) => page.put_marked(2, (Ink::Care, "BEWARE"), &text)?,
                Line::Ask(n, text) => page.hang(&format!("{n:>3}. "), 5, &text)?,
                Line::Under(text) => page.hang("     ", 7, &text)?,
                Line::Room(label) => {
                    let start = format!("     {label} ");
                    let rule = "_".repeat(page.columns().saturating_sub(start.len()));
                    writeln!(page.out, "{start}{rule}")?;
                }
            }
        }
        Ok(())
    }

    /// The page as Markdown.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_markdown(&self, out: &mut dyn Write) -> io::Result<()> {
        for line in self.lines() {
            match line {
                Line::Title(text) => writeln!(out, "# {}", for_markdown(&text))?,
                Line::Head(text) => writeln!(out, "\n## {}\n", for_markdown(text))?,
                Line::Text(text) => writeln!(out, "- {}", for_markdown(&text))?,
                Line::Ask(n, text) => writeln!(out, "{n}. {}", for_markdown(&text))?,
                Line::Under(text) => writeln!(out, "   - {}", for_markdown(&text))?,
                Line::Room(label) => writeln!(out, "   - {label} {}", "\\_".repeat(40))?,
            }
        }
        Ok(())
    }

    pub(super) fn lines(&self) -> Vec<Line> {
        let mut lines = vec![Line::Title(format!(
            "Call: {}, id {}",
            self.car.name(),
            self.car.id
        ))];
        self.facts(&mut lines);
        let beware = self.car.warnings_in_words();
        if !beware.is_empty() {
            lines.push(Line::Text(format!("BEWARE: {beware}")));
        }
        lines.push(Line::Head("What the ad says"));
        self.says(&mut lines);
        lines.push(Line::Head("What it leaves out"));
        let open: Vec<_> = [self.car.open_in_words(false), self.car.open_in_words(true)]
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect();
        lines.push(Line::Text(if open.is_empty() {
            "nothing that is asked for here".to_owned()
        } else {
            open.join("; vague: ")
        }));
        lines.push(Line::Head("Ask, what is worth most to know first"));
        if self.questions.is_empty() {
            lines.push(Line::Text("nothing: see the car".to_owned()));
        }
        for (question, n) in self.questions.iter().zip(1..) {
            let worth = if question.worth > Money::ZERO {
                format!(
                    " (worth {}{} to know)",
                    self.basis.currency.sign(),
                    question.worth
                )
            } else {
                String::new()
            };
            lines.push(Line::Ask(
                n,
                format!("{}{worth}", shown(&question.question)),
            ));
            for (word, answer) in [("good", &question.good), ("bad", &question.bad)] {
                lines.push(Line::Under(self.answer(word, answer)));
            }
            lines.push(Line::Room("note:"));
        }
        lines.push(Line::Head("Agree on"));
        for text in [
            "The engine cold when you come, the papers on the table, daylight, a place to look \
             underneath.",
            "No money, no deposit and no card number before you have seen car and papers.",
        ] {
            lines.push(Line::Text(text.to_owned()));
        }
        for label in ["when:", "where:", "name:"] {
            lines.push(Line::Room(label));
        }
        lines
    }

    fn facts(&self, lines: &mut Vec<Line>) {
        let amount = |money: Money| format!("{}{money}", self.basis.currency.sign());
        let mut facts = vec![self.car.ask.map_or_else(
            || "no price".to_owned(),
            |ask| format!("asks {} ({})", amount(ask.into()), self.car.ask_basis),
        )];
        if let Some(ceiling) = self.appraisal.ceiling {
            facts.push(format!("pay no more than {}", amount(ceiling)));
        }
        if let Some(offer) = self.appraisal.first_offer {
            facts.push(format!("first offer {}", amount(offer)));
        }
        lines.push(Line::Text(facts.join("; ")));
        let reason = format!("{}: {}", self.car.action.to_uppercase(), self.car.reason);
        lines.push(Line::Text(reason));
        let place = [&self.car.place, &self.car.date, &self.car.link];
        let place: Vec<_> = place.into_iter().flatten().map(|t| shown(t)).collect();
        if !place.is_empty() {
            lines.push(Line::Text(place.join(", ")));
        }
    }

    fn says(&self, lines: &mut Vec<Line>) {
        let car = self.car;
        let mut facts = Vec::new();
        if let Some(miles) = car.miles {
            let miles = distance(miles, self.basis.distance_unit);
            facts.push(format!("{miles} ({})", car.miles_basis));
        }
        for (label, word) in [
            ("papers", car.title.word()),
            ("moves", car.moves.word()),
            ("gearbox", car.gearbox.word()),
        ] {
            if word != "unstated" {
                facts.push(format!("{label} {}", word.replace('_', " ")));
            }
        }
        if !facts.is_empty() {
            lines.push(Line::Text(facts.join(", ")));
        }
        for (label, says) in [
            ("bad", Says::Bad),
            ("perhaps bad", Says::Suspect),
            ("renewed", Says::Renewed),
            ("good", Says::Sound),
            ("comes along", Says::Spare),
        ] {
            let words = said(&self.appraisal.reading, says, self.lexicon);
            if !words.is_empty() {
                lines.push(Line::Text(format!("{label}: {words}")));
            }
        }
        for doubt in &car.doubts {
            lines.push(Line::Text(format!("doubt: {doubt}")));
        }
    }

    /// `good (clean, in hand): pay up to $2,950, 74 more`.
    fn answer(&self, word: &str, answer: &Answer) -> String {
        let means = match (answer.ceiling, self.appraisal.ceiling) {
            (Some(after), Some(now)) => {
                let sign = self.basis.currency.sign();
                let change = after - now;
                let change = match change.amount() {
                    a if a.is_zero() => "no change".to_owned(),
                    a if a.is_sign_negative() => format!("{} less", -change),
                    _ => format!("{change} more"),
                };
                if after == Money::ZERO {
                    "walk away".to_owned()
                } else {
                    format!("pay up to {sign}{after}, {change}")
                }
            }
            _ => "no figure hangs on it".to_owned(),
        };
        format!("{word} ({}): {means}", answer.words)
    }
}
