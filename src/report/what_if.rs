//! The figures of one ad before and after something is supposed otherwise.

use std::io::{self, Write};

use super::explain::Explanation;
use super::page::Page;
use super::screen::Screen;
use super::text::{left, right, shown, width};
use super::tornado::write_tornado;
use crate::margin::Appraisal;
use crate::units::Money;

/// One ad as it is and as it would be.
#[derive(Debug)]
pub struct WhatIf<'a> {
    /// The ad as it is. Its tornado is that of the ad as it would be.
    pub explanation: Explanation<'a>,
    /// The ad as it would be.
    pub after: &'a Appraisal,
    /// Name, value before where there is one, and value after of each change.
    pub changes: Vec<(String, Option<String>, String)>,
}

/// One figure, before and after.
struct Line {
    label: String,
    before: Option<Money>,
    after: Option<Money>,
}

impl WhatIf<'_> {
    /// Writes it as text at a width in columns.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&self, screen: impl Into<Screen>, out: &mut dyn Write) -> io::Result<()> {
        let mut page = Page::new(out, screen, 100);
        self.explanation.summary(&mut page)?;
        page.head("What if")?;
        for (key, was, is) in &self.changes {
            let was = was
                .as_ref()
                .map_or_else(|| "estimated".to_owned(), |was| shown(was));
            page.put(2, &format!("{key} is {} instead of {was}", shown(is)))?;
        }
        self.figures(&mut page)?;
        self.words(&mut page)?;
        match self.explanation.tornado {
            Some(tornado) => write_tornado(tornado, &mut page),
            None => Ok(()),
        }
    }

    fn figures(&self, page: &mut Page<'_>) -> io::Result<()> {
        page.head("Before and after")?;
        let (before, after) = (self.explanation.appraisal, self.after);
        let mut lines = steps(before, after);
        let margin = |a: &Appraisal| a.margin.map(|m| m.likely);
        let hours = |a: &Appraisal| a.bill.as_ref().map(|b| b.hours.likely);
        for (label, of) in [
            ("expected margin", &margin as &dyn Fn(&Appraisal) -> _),
            ("one in ten below", &|a| a.margin.map(|m| m.low)),
            ("one in ten above", &|a| a.margin.map(|m| m.high)),
            ("margin per hour", &|a| a.margin_per_hour),
            ("ceiling", &|a| a.ceiling),
            ("first offer", &|a| a.first_offer),
        ] {
            lines.push(Line {
                label: label.to_owned(),
                before: of(before),
                after: of(after),
            });
        }
        lines.retain(|line| line.before.is_some() || line.after.is_some());
        // A longer label gets a line of its own.
        let room = page.columns().saturating_sub(2 + 3 * 11);
        let labels = lines.iter().map(|l| width(&l.label)).filter(|w| *w <= room);
        let wide = labels.max().unwrap_or(0);
        let head = format!(
            "  {}  {:>9}  {:>9}  {:>9}",
            left("", wide),
            "before",
            "after",
            "change"
        );
        writeln!(page.out, "{head}")?;
        for line in &lines {
            let figure = |m: Option<Money>| m.map_or_else(|| "-".to_owned(), |m| m.to_string());
            let change = match (line.before, line.after) {
                (Some(b), Some(a)) if a.rounded() == b.rounded() => String::new(),
                (Some(b), Some(a)) if a > b => format!("+{}", a.rounded() - b.rounded()),
                (Some(b), Some(a)) => (a.rounded() - b.rounded()).to_string(),
                _ => String::new(),
            };
            let mut label = line.label.as_str();
            if width(label) > wide {
                page.put(2, label)?;
                label = "";
            }
            let text = format!(
                "  {}  {}  {}  {}",
                left(label, wide),
                right(&figure(line.before), 9),
                right(&figure(line.after), 9),
                right(&change, 9)
            );
            writeln!(page.out, "{}", text.trim_end())?;
        }
        if let (Some(b), Some(a)) = (hours(before), hours(after)) {
            page.put(2, &format!("Hours of repair: {b} before, {a} after"))?;
        }
        Ok(())
    }

    fn words(&self, page: &mut Page<'_>) -> io::Result<()> {
        for (label, a) in [
            ("Before", self.explanation.appraisal),
            ("After", self.after),
        ] {
            let action = a.action.word().to_uppercase();
            let question = a
                .question
                .as_ref()
                .map_or_else(String::new, |q| format!(". Ask: {q}"));
            page.put(2, &format!("{label}: {action}: {}{question}", a.reason))?;
        }
        Ok(())
    }
}

/// The steps of both sums, those of the first in its order and behind each the
/// ones that only the second has there.
fn steps(before: &Appraisal, after: &Appraisal) -> Vec<Line> {
    let mut lines: Vec<Line> = before
        .steps
        .iter()
        .map(|step| Line {
            label: step.label.clone(),
            before: Some(step.amount),
            after: None,
        })
        .collect();
    let mut at = 0;
    for step in &after.steps {
        let found = lines
            .iter()
            .position(|l| l.label == step.label && l.after.is_none());
        match found {
            Some(place) => {
                lines[place].after = Some(step.amount);
                at = place + 1;
            }
            None => {
                let line = Line {
                    label: step.label.clone(),
                    before: None,
                    after: Some(step.amount),
                };
                lines.insert(at, line);
                at += 1;
            }
        }
    }
    lines
}
