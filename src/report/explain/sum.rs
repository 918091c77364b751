//! The sum, and what its figures mean for the price.

use std::io;

use super::Explanation;
use crate::margin::opening;
use crate::reading::AskBasis;
use crate::report::page::Page;
use crate::report::text::{left, right, span_signed, width, with_cents};
use crate::units::Money;

/// Widest label of a step that stands on the line of its figure.
const LABEL: usize = 26;

impl Explanation<'_> {
    pub(super) fn sum(&self, page: &mut Page<'_>) -> io::Result<()> {
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
