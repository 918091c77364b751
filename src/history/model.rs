//! The types of a car's history.

use std::sync::Arc;

use super::exports::ExportId;
use crate::day::Day;
use crate::intake::{ListingId, Origin};
use crate::lexicon::parts::PartId;
use crate::reading::Says;
use crate::units::{Miles, Money};

/// What became of one car over ads, sites and weeks.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct History {
    /// Its ads, in the order they were first seen.
    pub ads: Vec<Ad>,
    /// What happened, in order of time; the first is that it was listed.
    pub events: Vec<Event>,
    /// Faults told before that the newest texts leave out or deny.
    pub withdrawn: Vec<Withdrawn>,
    /// Since which export it stands nowhere any more.
    pub gone: Option<Moment>,
}

/// When something was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// The day, where one is known.
    pub day: Option<Day>,
    /// In which file.
    pub export: ExportId,
}

/// One ad of the car: what a site shows under one number or link.
#[derive(Debug, Clone, PartialEq)]
pub struct Ad {
    /// Ids of its rows in the run, the oldest first.
    pub ids: Vec<ListingId>,
    /// Where its newest row was read.
    pub origin: Origin,
    /// Link, as the site gave it.
    pub link: Option<String>,
    /// Place, as the site gave it.
    pub place: Option<String>,
    /// The price asked last.
    pub ask: Option<Money>,
    /// First and last time that it was seen.
    pub seen: (Moment, Moment),
    /// Whether a later export of the same site leaves it out.
    pub gone: bool,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// When it was seen.
    pub at: Moment,
    /// Which ad of [`History::ads`].
    pub ad: usize,
    /// What.
    pub what: What,
}

/// What can happen to an ad.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// It is there for the first time.
    Listed {
        /// The price asked.
        ask: Option<Money>,
        /// Whether it takes the place of another ad of the car on this site.
        again: bool,
    },
    /// Another price is asked.
    Price {
        /// Before.
        from: Option<Money>,
        /// Now.
        to: Option<Money>,
    },
    /// Another distance is told.
    Distance {
        /// Before.
        from: Miles,
        /// Now.
        to: Miles,
    },
    /// The text was changed: whole sentences, as they stood.
    Text {
        /// Sentences that are gone.
        removed: Vec<String>,
        /// Sentences that are new.
        added: Vec<String>,
    },
    /// An export of the site leaves it out.
    Gone,
    /// It stands there again.
    Back,
}

/// A fault that was told and is told no more.
#[derive(Debug, Clone, PartialEq)]
pub struct Withdrawn {
    /// The part or symptom.
    pub part: PartId,
    /// What had been said of it.
    pub was: Says,
    /// Whether the newer text says that it is sound, without a repair; else it
    /// is silent.
    pub denied: bool,
    /// The words it was read from.
    pub words: String,
    /// When it was told last.
    pub told: Moment,
    /// When it was first left out.
    pub left_out: Moment,
}

/// A car of the run.
#[derive(Debug, Clone, PartialEq)]
pub struct Traced {
    /// Its history.
    pub history: Arc<History>,
    /// Which listing of the run shows it best: the newest row of an ad that
    /// still stands.
    pub listing: usize,
    /// What the car is called: the id of its first row, so that the name stays
    /// when more exports come.
    pub id: ListingId,
    /// What all its ads together say.
    pub reading: crate::reading::Reading,
}

impl History {
    /// The day it was first seen.
    pub fn first_seen(&self) -> Option<Day> {
        self.ads.iter().filter_map(|ad| ad.seen.0.day).min()
    }

    /// The day it was last seen.
    pub fn last_seen(&self) -> Option<Day> {
        self.ads.iter().filter_map(|ad| ad.seen.1.day).max()
    }

    /// Prices asked in order of time, each step once, with the ads of all
    /// sites in one row.
    pub fn prices(&self) -> Vec<(Moment, Option<Money>)> {
        let mut out: Vec<(Moment, Option<Money>)> = Vec::new();
        for event in &self.events {
            let ask = match event.what {
                What::Listed { ask, .. } => ask,
                What::Price { to, .. } => to,
                _ => continue,
            };
            if out.last().is_none_or(|(_, last)| *last != ask) {
                out.push((event.at, ask));
            }
        }
        out
    }

    /// Whether anything is to be told but that it is there.
    pub fn tells(&self) -> bool {
        self.events.len() > 1 || self.gone.is_some() || self.ads.len() > 1
    }
}
