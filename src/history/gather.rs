//! Listings of all exports to cars.

use std::collections::HashMap;

use rayon::prelude::*;

use super::blocks::pairs;
use super::cluster::{Clusters, cars};
use super::exports::{ExportId, Exports};
use super::lines::Lines;
use super::model::Traced;
use super::same::Key;
use super::shingles::Bands;
use super::sketch::{Sketch, Sketches};
use super::trail::{Row, trace};
use crate::day::Day;
use crate::intake::{Listing, Repeat};
use crate::lexicon::Lexicon;
use crate::reading::Reading;

/// The texts of a run's ads and their signatures, wherever they are kept. Only
/// texts of ads whose facts agree are looked at.
pub trait Texts: Sync {
    /// Hands over the text of an ad, by its place in the run.
    fn with(&self, ad: usize, take: &mut dyn FnMut(&str));

    /// Hands over one number of all signatures, in the order of the run.
    fn band(&self, band: usize, take: &mut dyn FnMut(Option<u32>));
}

/// Texts that are in memory.
pub(super) struct Held<'a> {
    pub listings: &'a [Listing],
    pub bands: Vec<Option<Bands>>,
}

impl Texts for Held<'_> {
    fn with(&self, ad: usize, take: &mut dyn FnMut(&str)) {
        take(&self.listings[ad].text);
    }

    fn band(&self, band: usize, take: &mut dyn FnMut(Option<u32>)) {
        let all = self.bands.iter();
        all.for_each(|bands| take(bands.map(|bands| bands[band])));
    }
}

/// What a run has read, for the history.
#[derive(Debug, Clone, Copy)]
pub struct Gather<'a> {
    /// The rows of all files.
    pub listings: &'a [Listing],
    /// What each says.
    pub readings: &'a [Reading],
    /// Rows that say once more what was read before.
    pub repeats: &'a [Repeat],
    /// Days that the user gives, by the name of the file.
    pub seen: &'a [(String, Day)],
    /// The tables.
    pub lexicon: &'a Lexicon,
}

/// The cars of a run with the exports they come from.
#[derive(Debug)]
pub struct Gathered {
    /// In order of their first rows.
    pub cars: Vec<Traced>,
    /// The files.
    pub exports: Exports,
    /// Which files are exports of one search.
    pub lines: Lines,
}

impl Gather<'_> {
    /// Brings together what is of one car.
    pub fn run(&self) -> Gathered {
        let ads = self.listings.par_iter().zip(self.readings);
        let sketched: Vec<Sketch> = ads.map(|(l, r)| Sketch::of(l, r)).collect();
        let mut sketches = Sketches::default();
        let mut texts = Held {
            listings: self.listings,
            bands: Vec::with_capacity(sketched.len()),
        };
        for (listing, sketch) in self.listings.iter().zip(sketched) {
            texts.bands.push(sketch.bands);
            sketches.add(&listing.origin.file, sketch);
        }
        let groups = Groups::of(sketches, self.repeats, self.seen, &texts);
        let cars = (0..groups.len())
            .into_par_iter()
            .filter_map(|car| {
                let ads = groups.ads(car).iter().map(|i| {
                    let at = *i as usize;
                    (&self.listings[at], &self.readings[at])
                });
                groups.trace(car, &ads.collect::<Vec<_>>(), self.lexicon)
            })
            .collect();
        Gathered {
            cars,
            exports: groups.exports,
            lines: groups.lines,
        }
    }
}

/// Which ads of a run are of one car, and what is needed to follow one.
#[derive(Debug)]
pub struct Groups {
    /// The files.
    pub exports: Exports,
    /// Which files are exports of one search.
    pub lines: Lines,
    cars: Clusters,
    files: RowFiles,
    /// What tells an ad from others of its site, by its place in the run.
    numbers: Vec<Option<Key>>,
}

impl Groups {
    /// Finds the ads of one car among all.
    pub fn of(
        sketches: Sketches,
        repeats: &[Repeat],
        seen: &[(String, Day)],
        texts: &dyn Texts,
    ) -> Self {
        let Sketches {
            mut files,
            mut facts,
            dates,
            hosts,
        } = sketches;
        let own: Vec<ExportId> = facts.iter().map(|f| f.file).collect();
        let exports = Exports::of(&mut files, &own, &dates, repeats, seen);
        let mut again: HashMap<usize, Vec<ExportId>> = HashMap::new();
        for repeat in repeats {
            let held = again.entry(repeat.listing).or_default();
            held.extend(files.find(&repeat.origin.file));
        }
        for (row, held) in &mut again {
            held.extend(own.get(*row));
            held.sort_by_key(|file| exports.key(*file));
            held.dedup();
        }
        let files = RowFiles { own, again };
        facts.par_iter_mut().enumerate().for_each(|(row, facts)| {
            let its = files.of(row);
            facts.file = its[0];
            let days = its.iter();
            let days = days.filter_map(|file| exports.get(*file).seen(&dates.get(row)));
            facts.days = days.fold(None, |held: Option<(Day, Day)>, day| {
                Some(held.map_or((day, day), |(a, b)| (a.min(day), b.max(day))))
            });
        });
        let pairs = pairs(&facts, texts);
        let cars = cars(&facts, &pairs);
        let lines = Lines::of(&exports, &hosts, &cars, &files);
        Groups {
            exports,
            lines,
            cars,
            files,
            numbers: facts.iter().map(|f| f.link.or(f.number)).collect(),
        }
    }

    /// How many cars there are.
    pub fn len(&self) -> usize {
        self.cars.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.cars.len() == 0
    }

    /// The ads of a car by their places in the run, in its order; cars are in
    /// order of their first ad.
    pub fn ads(&self, car: usize) -> &[u32] {
        self.cars.get(car)
    }

    /// The ad of a car that stands in one file only and is not gone from there;
    /// there is nothing to follow.
    pub fn only_ad(&self, car: usize) -> Option<u32> {
        let [ad] = self.ads(car) else {
            return None;
        };
        let [file] = self.files.of(*ad as usize) else {
            return None;
        };
        let days = self.lines.days(self.lines.line(*file));
        let gone = days.len() > self.lines.turn(*file) + 1;
        (!gone).then_some(*ad)
    }

    /// Follows a car; `ads` are those of [`Self::ads`]. None where there are
    /// none.
    pub fn trace(
        &self,
        car: usize,
        ads: &[(&Listing, &Reading)],
        lexicon: &Lexicon,
    ) -> Option<Traced> {
        let rows = self
            .ads(car)
            .iter()
            .zip(ads)
            .map(|(i, (listing, reading))| {
                let index = *i as usize;
                Row {
                    index,
                    listing,
                    reading,
                    files: self.files.of(index),
                    ad: self.numbers[index],
                }
            });
        trace(rows.collect(), &self.exports, &self.lines, lexicon)
    }
}

/// For each ad of a run the files it stands in.
#[derive(Debug)]
pub(super) struct RowFiles {
    own: Vec<ExportId>,
    /// Of those that stand in several, all of them in order of time.
    again: HashMap<usize, Vec<ExportId>>,
}

impl RowFiles {
    /// How many ads there are.
    pub fn rows(&self) -> usize {
        self.own.len()
    }

    /// The files of an ad, in order of time.
    pub fn of(&self, row: usize) -> &[ExportId] {
        let own = std::slice::from_ref(&self.own[row]);
        match self.again.is_empty() {
            true => own,
            false => self.again.get(&row).map_or(own, Vec::as_slice),
        }
    }
}
