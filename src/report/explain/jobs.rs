//! What a car takes, job by job.

use std::io;

use super::Explanation;
use crate::costing::{FixBill, JobLine};
use crate::report::page::Page;
use crate::report::text::{likely, part_words, span};
use crate::units::{Hours, Money, ThreePoint};

/// Lines that count for less than this on average are told in short.
const SMALL: f64 = 6.0;

impl Explanation<'_> {
    pub(super) fn jobs(&self, page: &mut Page<'_>, bill: &FixBill) -> io::Result<()> {
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
        let names = bill.jobs.iter().filter(small).map(|job| {
            let chance = likely(job.chance.value());
            format!("{} ({}, {chance}: {})", job.name, job.cost.likely, job.why)
        });
        let names: Vec<_> = names.collect();
        if !names.is_empty() {
            page.put(2, &format!("Small or unlikely: {}", names.join("; ")))?;
        }
        for left in &bill.left {
            page.put(
                2,
                &format!(
                    "Left as it is: {} ({}, {}) takes {} off the value on average; \
                     doing it would cost {}",
                    left.name,
                    part_words(self.lexicon, left.part),
                    likely(left.chance.value()),
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
                "{}: {} ({}), {}: {}",
                job.name,
                job.cost.likely,
                span(&job.cost),
                likely(job.chance.value()),
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
}

fn points(range: &ThreePoint<Money>) -> String {
    format!("{} ({})", range.likely, span(range))
}
