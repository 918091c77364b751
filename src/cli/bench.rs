//! Where one car is worked out: what it is worth, what it takes to put it right,
//! what is left, and what is to be distrusted.

use std::borrow::Cow;

use super::market::{Market, class_of};
use super::prospects::Outline;
use crate::costing::Estimator;
use crate::history::History;
use crate::intake::Listing;
#[cfg(feature = "page")]
use crate::kerb::questions;
use crate::kerb::{Finding, weigh};
use crate::lexicon::Lexicon;
use crate::lexicon::patience::Waited;
use crate::margin::{Appraisal, Appraiser, Bound, Sort};
use crate::profile::Profile;
use crate::reading::{Kind, Reading};
#[cfg(feature = "page")]
use crate::report::html::Behind;
use crate::units::Money;
use crate::warnings::{Warning, Watcher, temper};
use crate::worth::Worth;

/// A car on the bench.
#[derive(Clone, Copy)]
pub(super) struct Seat<'a> {
    /// Its place among the cars of the run.
    pub place: usize,
    /// The ad that shows it best.
    pub listing: &'a Listing,
    /// What became of it.
    pub history: &'a History,
}

/// What a car has to count for, to be among those that are shown.
#[derive(Clone, Copy)]
pub(super) struct Least {
    /// In this order.
    pub sort: Sort,
    /// What the last of them counts for.
    pub counted: Option<Money>,
}

/// Where cars are worked out for one profile.
pub(super) struct Bench<'a> {
    watcher: &'a Watcher<'a>,
    market: &'a Market<'a>,
    lexicon: &'a Lexicon,
    profile: &'a Profile,
    year: u16,
    estimator: Estimator<'a>,
    appraiser: Appraiser<'a>,
}

impl<'a> Bench<'a> {
    /// A bench for these figures; `year` is the one in which cars are looked
    /// at.
    pub fn new(
        watcher: &'a Watcher<'a>,
        market: &'a Market<'a>,
        lexicon: &'a Lexicon,
        profile: &'a Profile,
        year: u16,
    ) -> Self {
        Bench {
            watcher,
            market,
            lexicon,
            profile,
            year,
            estimator: Estimator::new(lexicon, profile, year),
            appraiser: Appraiser::new(profile, lexicon),
        }
    }

    /// A reading with what was found at the car weighed in.
    pub fn weighed(&self, findings: &[&Finding], reading: Reading) -> Reading {
        if findings.is_empty() {
            return reading;
        }
        let class = class_of(&reading, self.lexicon);
        let told = self.estimator.cost(&reading, class);
        weigh(reading, Some(&told), findings, self.lexicon, self.profile).0
    }

    /// What is left of a car, the way to where it stands counted, and what is to
    /// be distrusted about it.
    pub fn appraise_there(&self, seat: Seat<'_>, reading: Reading) -> (Appraisal, Vec<Warning>) {
        match self.profile.at(seat.listing.place.as_deref()) {
            Cow::Borrowed(_) => self.appraise(seat, reading, None),
            Cow::Owned(profile) => self.with(&profile).appraise(seat, reading, None),
        }
    }

    /// The same if it is as this reading says.
    pub fn work_out_there(&self, seat: Seat<'_>, reading: Reading) -> Appraisal {
        match self.profile.at(seat.listing.place.as_deref()) {
            Cow::Borrowed(_) => self.work_out(seat, reading, None),
            Cow::Owned(profile) => self.with(&profile).work_out(seat, reading, None),
        }
    }

    /// The same bench for other figures.
    fn with<'b>(&'b self, profile: &'b Profile) -> Bench<'b> {
        Bench::new(self.watcher, self.market, self.lexicon, profile, self.year)
    }

    /// What a page tells of a car beside its row of the list.
    #[cfg(feature = "page")]
    pub fn behind(&self, seat: Seat<'_>, appraisal: &Appraisal) -> Behind {
        // More comparables than these hide each other.
        const COMPARABLES: usize = 24;
        let reading = &appraisal.reading;
        let class = class_of(reading, self.lexicon);
        let place = seat.place;
        Behind {
            around: self
                .market
                .around(place, reading, class, self.profile, COMPARABLES),
            questions: questions(appraisal, self.lexicon, &|reading| {
                self.work_out_there(seat, reading)
            }),
            away: self.profile.distance_to(seat.listing.place.as_deref()),
        }
    }

    /// What is left of a car, and what is to be distrusted about it, the usual
    /// way to it counted.
    pub fn appraise(
        &self,
        seat: Seat<'_>,
        reading: Reading,
        supposed: Option<Money>,
    ) -> (Appraisal, Vec<Warning>) {
        let mut appraisal = self.work_out(seat, reading, supposed);
        let warnings = self.watcher.watch(seat.listing, &appraisal, seat.history);
        temper(&mut appraisal, &warnings, self.lexicon);
        (appraisal, warnings)
    }

    fn worth(&self, place: usize, reading: &Reading, class: Option<&str>) -> Option<Worth> {
        let is_car = reading.kind == Kind::Car;
        let worth = || self.market.worth(place, reading, class, self.profile);
        is_car.then(worth).flatten()
    }

    /// Whether a car counts for less than that, whatever it takes to put it
    /// right.
    pub fn counts_less(&self, place: usize, reading: &Reading, least: &Least) -> bool {
        let worth = self.worth(place, reading, class_of(reading, self.lexicon));
        let bound = self.appraiser.bound(reading, worth.as_ref());
        bound.and_then(|bound| bound.at_most(least.sort, self.profile)) < least.counted
    }

    /// The most that a car can count for of which no more is known.
    pub fn outline_at_most(&self, place: usize, car: &Outline<'_>, sort: Sort) -> Option<Money> {
        let (right, way_out) = self.market.most(place, car, self.profile)?;
        Bound::of(right, way_out, car.price, self.profile).at_most(sort, self.profile)
    }

    /// What is left of a car that is as this reading says.
    pub fn work_out(&self, seat: Seat<'_>, reading: Reading, supposed: Option<Money>) -> Appraisal {
        let class = class_of(&reading, self.lexicon);
        let worth = self
            .worth(seat.place, &reading, class)
            .map(|worth| match supposed {
                Some(likely) => worth.moved_to(likely),
                None => worth,
            });
        let bill = (reading.kind == Kind::Car).then(|| self.estimator.cost(&reading, class));
        let waited = waited(seat.history, reading.ask);
        self.appraiser.appraise_waited(reading, bill, worth, waited)
    }
}

/// How long a seller has waited for the ask of now, and how far it came down.
fn waited(history: &History, ask: Option<Money>) -> Waited {
    let days = history.first_seen().zip(history.last_seen());
    let first = history.prices().into_iter().find_map(|(_, ask)| ask);
    let fallen = first.zip(ask).map_or(0.0, |(first, ask)| {
        let (first, ask) = (first.to_f64(), ask.to_f64());
        if first > 0.0 { 1.0 - ask / first } else { 0.0 }
    });
    Waited {
        fallen: fallen.max(0.0),
        days: days.map_or(0.0, |(from, to)| f64::from(to.since(from).max(0))),
    }
}
