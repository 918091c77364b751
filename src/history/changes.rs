//! What is new since a day, or in the newest exports.

use super::exports::{ExportId, Exports};
use super::lines::Lines;
use super::model::{Event, History, What};
use crate::day::Day;
use crate::units::Money;

/// Since when changes are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Since {
    /// After this day.
    Day(Day),
    /// In the newest export of each search, against the one before.
    LastExport,
}

/// What changed about a car.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change {
    /// It was not there before.
    New,
    /// Less is asked: before and now.
    Cheaper(Money, Money),
    /// More is asked: before and now.
    Dearer(Money, Money),
    /// It stands nowhere any more.
    Gone,
    /// It was gone and stands again.
    Back,
    /// A fault told before is told no more.
    FaultLeftOut,
    /// The text or the distance was changed.
    Changed,
}

impl Change {
    /// The word printed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Change::New => "new",
            Change::Cheaper(..) => "cheaper",
            Change::Dearer(..) => "dearer",
            Change::Gone => "gone",
            Change::Back => "back",
            Change::FaultLeftOut => "fault_left_out",
            Change::Changed => "changed",
        }
    }
}

/// What changed about a car since then; nothing where it is as it was.
pub fn changes(history: &History, since: Since, exports: &Exports, lines: &Lines) -> Vec<Change> {
    let news = |event: &Event| is_news(event, since, exports, lines);
    if !history.events.iter().any(|e| !news(e)) {
        let mut all = vec![Change::New];
        all.extend(history.gone.map(|_| Change::Gone));
        return all;
    }
    let mut out = Vec::new();
    if history
        .events
        .iter()
        .any(|e| e.what == What::Gone && news(e))
        && history.gone.is_some()
    {
        out.push(Change::Gone);
    }
    let returns = |e: &Event| matches!(e.what, What::Back | What::Listed { again: true, .. });
    if history.gone.is_none() && history.events.iter().any(|e| returns(e) && news(e)) {
        out.push(Change::Back);
    }
    out.extend(price(history, &news));
    let left_out = |e: &&Event| news(e);
    let faults = history.withdrawn.iter().any(|w| {
        let mut at = history.events.iter().filter(left_out);
        at.any(|e| e.at.export == w.left_out.export)
    });
    if faults {
        out.push(Change::FaultLeftOut);
    }
    let text = |e: &Event| matches!(e.what, What::Text { .. } | What::Distance { .. });
    if out.is_empty() && history.events.iter().any(|e| text(e) && news(e)) {
        out.push(Change::Changed);
    }
    out
}

/// The lowest ask before against that of now.
fn price(history: &History, news: &impl Fn(&Event) -> bool) -> Option<Change> {
    let asks = |new: bool| {
        let events = history.events.iter().filter(move |e| news(e) == new);
        events.filter_map(|e| match e.what {
            What::Listed { ask, .. } => ask,
            What::Price { to, .. } => to,
            _ => None,
        })
    };
    let (before, now) = (asks(false).last()?, asks(true).last()?);
    match before.cmp(&now) {
        std::cmp::Ordering::Greater => Some(Change::Cheaper(before, now)),
        std::cmp::Ordering::Less => Some(Change::Dearer(before, now)),
        std::cmp::Ordering::Equal => None,
    }
}

fn is_news(event: &Event, since: Since, exports: &Exports, lines: &Lines) -> bool {
    let export = event.at.export;
    match since {
        Since::LastExport => {
            lines.is_newest_of_several(export)
                || !lines.any_of_several() && matches!(event.what, What::Listed { .. })
        }
        Since::Day(day) => {
            let saved = exports.get(export).day;
            // Whoever saved the site by that day would have seen it; otherwise
            // only the row's own date can tell.
            let looked = saved_by(day, export, exports, lines);
            match event.at.day.filter(|_| !looked) {
                Some(own) => own > day,
                None => saved.is_none_or(|saved| saved > day),
            }
        }
    }
}

/// Whether an export of this search was saved by then.
fn saved_by(day: Day, export: ExportId, exports: &Exports, lines: &Lines) -> bool {
    let mut all = lines.days(lines.line(export)).iter().flatten();
    all.any(|e| exports.get(*e).day.is_some_and(|saved| saved <= day))
}
