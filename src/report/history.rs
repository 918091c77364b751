//! A car's history as data, and in few words or in full.

use std::collections::BTreeMap;
use std::io;

use schemars::JsonSchema;
use serde::Serialize;

use super::json::Number;
use super::page::Page;
use super::text::{left, part_words, plain, shown};
use crate::day::Day;
use crate::history::{Change, Event, History, What};
use crate::lexicon::Lexicon;
use crate::reading::Says;
use crate::units::{Miles, Money};

/// What became of a car over its ads. The module [`crate::report`] lists the
/// keys.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // The keys are documented once, at the module.
pub struct HistoryPart {
    pub first_seen: Option<Day>,
    pub last_seen: Option<Day>,
    pub gone: bool,
    pub changes: Vec<ChangePart>,
    pub ads: Vec<AdPart>,
    pub events: Vec<EventPart>,
    pub withdrawn: Vec<WithdrawnPart>,
}

/// One ad.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See above.
pub struct AdPart {
    pub ids: Vec<String>,
    pub file: String,
    pub line: u64,
    pub link: Option<String>,
    pub place: Option<String>,
    pub ask: Option<Number>,
    pub first_seen: Option<Day>,
    pub last_seen: Option<Day>,
    pub gone: bool,
}

/// One event.
#[derive(Debug, Default, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See above.
pub struct EventPart {
    pub day: Option<Day>,
    pub ad: String,
    pub what: &'static str,
    pub from: Option<Number>,
    pub to: Option<Number>,
    pub removed: Vec<String>,
    pub added: Vec<String>,
}

/// A fault that is told no more.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See above.
pub struct WithdrawnPart {
    pub part: String,
    pub was: Says,
    pub denied: bool,
    pub told: Option<Day>,
    pub left_out: Option<Day>,
    pub words: String,
    /// The code in words.
    #[serde(skip)]
    pub name: String,
}

/// One change since the day that was asked about.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See above.
pub struct ChangePart {
    pub what: &'static str,
    pub from: Option<Number>,
    pub to: Option<Number>,
}

impl HistoryPart {
    /// The history as data, with what changed since the day asked about.
    pub fn new(history: &History, changes: &[Change], lexicon: &Lexicon) -> Self {
        let ads = history.ads.iter().map(|ad| AdPart {
            ids: ad.ids.iter().map(|id| plain(&id.0)).collect(),
            file: plain(&ad.origin.file),
            line: ad.origin.line,
            link: ad.link.as_deref().map(plain),
            place: ad.place.as_deref().map(shown),
            ask: ad.ask.map(Number::from),
            first_seen: ad.seen.0.day,
            last_seen: ad.seen.1.day,
            gone: ad.gone,
        });
        let withdrawn = history.withdrawn.iter().map(|w| WithdrawnPart {
            part: lexicon.parts.code(w.part).to_owned(),
            was: w.was,
            denied: w.denied,
            told: w.told.day,
            left_out: w.left_out.day,
            words: shown(&w.words),
            name: part_words(lexicon, w.part),
        });
        HistoryPart {
            first_seen: history.first_seen(),
            last_seen: history.last_seen(),
            gone: history.gone.is_some(),
            changes: changes.iter().map(ChangePart::new).collect(),
            ads: ads.collect(),
            events: history
                .events
                .iter()
                .map(|event| EventPart::new(event, history))
                .collect(),
            withdrawn: withdrawn.collect(),
        }
    }

    /// What there is to tell beside that it stands there: `since 2026-01-19;
    /// 2,200, 1,900; also in valley.csv`. Empty where that is nothing.
    pub fn in_few_words(&self) -> String {
        let mut out = Vec::new();
        if self.events.len() < 2 && self.ads.len() < 2 && !self.gone {
            return String::new();
        }
        if let Some(first) = self.first_seen {
            out.push(format!("since {first}"));
        }
        let asks = self.asks();
        if asks.len() > 1 {
            let asks: Vec<_> = asks
                .iter()
                .map(|ask| {
                    ask.map_or_else(|| "no price".to_owned(), |a| Money::from(a).to_string())
                })
                .collect();
            out.push(format!("asked {}", asks.join(" > ")));
        }
        if self.events.iter().any(|e| e.what == "back") {
            out.push("gone and back".to_owned());
        }
        if self.events.iter().any(|e| e.what == "listed_again") {
            out.push("listed anew".to_owned());
        }
        let mut files: BTreeMap<&str, usize> = BTreeMap::new();
        for ad in self.ads.iter().filter(|ad| !ad.gone || self.gone) {
            *files.entry(ad.file.as_str()).or_default() += 1;
        }
        if files.len() > 1 {
            out.push(format!("on {} boards", files.len()));
        } else if let Some(times) = files.values().next().filter(|n| **n > 1) {
            out.push(format!("posted {times} times"));
        }
        if self.events.iter().any(|e| e.what == "text") {
            out.push("text changed".to_owned());
        }
        if self.gone {
            let last = self
                .last_seen
                .map_or_else(String::new, |d| format!(", last seen {d}"));
            out.push(format!("gone{last}"));
        }
        out.join("; ")
    }

    /// Parts and symptoms that are told no more.
    pub fn withdrawn_in_words(&self) -> String {
        let names = self.withdrawn.iter().map(|w| w.name.as_str());
        names.collect::<Vec<_>>().join(", ")
    }

    /// What changed, in words: `cheaper by 200, fault left out`.
    pub fn changes_in_words(&self) -> String {
        let words = self.changes.iter().map(|c| {
            let step = c.from.zip(c.to).map(|(from, to)| {
                let step = Money::from(from) - Money::from(to);
                format!(" by {}", if step < Money::ZERO { -step } else { step })
            });
            format!("{}{}", c.what.replace('_', " "), step.unwrap_or_default())
        });
        words.collect::<Vec<_>>().join(", ")
    }

    fn asks(&self) -> Vec<Option<Number>> {
        let asks = self.events.iter().filter(|e| e.asks());
        let mut asks: Vec<_> = asks.map(|e| e.to).collect();
        asks.dedup();
        asks
    }
}

impl EventPart {
    fn new(event: &Event, history: &History) -> Self {
        let ad = history.ads.get(event.ad).and_then(|ad| ad.ids.first());
        let mut part = EventPart {
            day: event.at.day,
            ad: ad.map_or_else(String::new, |id| plain(&id.0)),
            ..Default::default()
        };
        let clean = |texts: &[String]| texts.iter().map(|t| shown(t)).collect();
        match &event.what {
            What::Listed { ask, again } => {
                part.what = if *again { "listed_again" } else { "listed" };
                part.to = ask.map(Number::from);
            }
            What::Price { from, to } => {
                part.what = "price";
                (part.from, part.to) = (from.map(Number::from), to.map(Number::from));
            }
            What::Distance { from, to } => {
                part.what = "distance";
                let number = |miles: Miles| Number::from(Money::whole(i64::from(miles.0)));
                (part.from, part.to) = (Some(number(*from)), Some(number(*to)));
            }
            What::Text { removed, added } => {
                part.what = "text";
                (part.removed, part.added) = (clean(removed), clean(added));
            }
            What::Gone => part.what = "gone",
            What::Back => part.what = "back",
        }
        part
    }

    fn asks(&self) -> bool {
        matches!(self.what, "listed" | "listed_again" | "price")
    }

    /// The event in words: `asks 1,900, before 2,200`.
    pub fn in_words(&self) -> String {
        let amount = |n: Option<Number>| {
            n.map_or_else(|| "no price".to_owned(), |n| Money::from(n).to_string())
        };
        let quoted = |texts: &[String]| {
            let texts: Vec<_> = texts.iter().map(|t| format!("'{t}'")).collect();
            texts.join(", ")
        };
        match self.what {
            "listed" => format!("listed, asks {}", amount(self.to)),
            "listed_again" => format!("listed anew, asks {}", amount(self.to)),
            "price" => format!("asks {}, before {}", amount(self.to), amount(self.from)),
            "distance" => format!("{} mi, before {}", amount(self.to), amount(self.from)),
            "text" => {
                let mut words = Vec::new();
                if !self.removed.is_empty() {
                    words.push(format!("taken out: {}", quoted(&self.removed)));
                }
                if !self.added.is_empty() {
                    words.push(format!("put in: {}", quoted(&self.added)));
                }
                words.join("; ")
            }
            "gone" => "the newer export leaves it out".to_owned(),
            _ => "stands there again".to_owned(),
        }
    }
}

impl ChangePart {
    fn new(change: &Change) -> Self {
        let (from, to) = match change {
            Change::Cheaper(from, to) | Change::Dearer(from, to) => (Some(*from), Some(*to)),
            _ => (None, None),
        };
        ChangePart {
            what: change.word(),
            from: from.map(Number::from),
            to: to.map(Number::from),
        }
    }
}

/// Columns of a day.
const DAY: usize = 10;

/// Writes the whole history: the ads, and what happened in order of time.
pub(super) fn write_history(page: &mut Page<'_>, history: &HistoryPart) -> io::Result<()> {
    page.head("What became of it")?;
    let several = history.ads.len() > 1;
    for ad in history.ads.iter().filter(|_| several) {
        let ask = ad
            .ask
            .map_or_else(String::new, |a| format!(", asks {}", Money::from(a)));
        let place = ad
            .place
            .as_ref()
            .map_or_else(String::new, |p| format!(", {p}"));
        let gone = if ad.gone { ", gone" } else { "" };
        page.put(
            2,
            &format!(
                "Ad {}: {} line {}{place}{ask}{gone}",
                ad.ids.first().map_or("", String::as_str),
                ad.file,
                ad.line
            ),
        )?;
    }
    for event in &history.events {
        let day = event
            .day
            .map_or_else(|| "no date".to_owned(), |d| d.to_string());
        let ad = if several {
            format!("ad {}: ", event.ad)
        } else {
            String::new()
        };
        let prefix = format!("  {}  ", left(&day, DAY));
        page.hang(&prefix, DAY + 4, &format!("{ad}{}", event.in_words()))?;
    }
    for w in &history.withdrawn {
        let told = w.told.map_or_else(String::new, |d| format!(" on {d}"));
        let how = if w.denied {
            "called sound since, with no repair told"
        } else {
            "left out since"
        };
        page.put(
            2,
            &format!(
                "No longer told: {} was {}{told} ('{}'), {how}; it still counts as suspected. \
                 Ask what was done about it, and for the bill.",
                w.name, w.was, w.words
            ),
        )?;
    }
    Ok(())
}
