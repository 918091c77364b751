//! Listings of all exports to cars.

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::blocks::pairs;
use super::cluster::cars;
use super::exports::{ExportId, Exports};
use super::lines::Lines;
use super::model::Traced;
use super::same::Facts;
use super::trail::{Row, trace};
use crate::day::Day;
use crate::intake::{Listing, Repeat};
use crate::lexicon::Lexicon;
use crate::reading::Reading;

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
        let exports = Exports::of(self.listings, self.repeats, self.seen);
        let files = self.files(&exports);
        let facts: Vec<Facts> = (0..self.listings.len())
            .into_par_iter()
            .map(|i| {
                let days = files[i].iter().filter_map(|file| {
                    let export = exports.get(*file);
                    let row = export.date_of(&self.listings[i]);
                    // A row's own date is nearer the truth, where the file has
                    // no day but through its rows.
                    row.filter(|_| export.by_rows).or(export.day)
                });
                let days = days.fold(None, |held: Option<(Day, Day)>, day| {
                    Some(held.map_or((day, day), |(a, b)| (a.min(day), b.max(day))))
                });
                let file = files[i].first().copied().unwrap_or(ExportId(0));
                Facts::of(&self.listings[i], &self.readings[i], &exports, file, days)
            })
            .collect();
        let pairs = pairs(self.listings, &facts);
        let clusters = cars(self.listings.len(), &facts, &pairs);
        let lines = Lines::of(&exports, self.listings, &clusters, &files);
        let cars = clusters
            .into_par_iter()
            .filter_map(|cluster| {
                let rows = cluster.iter().map(|i| {
                    let at = *i as usize;
                    Row {
                        index: at,
                        listing: &self.listings[at],
                        reading: &self.readings[at],
                        files: &files[at],
                        ad: facts[at].link.or(facts[at].number),
                    }
                });
                trace(rows.collect(), &exports, &lines, self.lexicon)
            })
            .collect();
        Gathered {
            cars,
            exports,
            lines,
        }
    }

    /// For each listing the files it stands in, in order of time.
    fn files(&self, exports: &Exports) -> Vec<Vec<ExportId>> {
        let of = |file: &Arc<str>| exports.find(file);
        let mut again: HashMap<usize, Vec<ExportId>> = HashMap::new();
        for repeat in self.repeats {
            let held = again.entry(repeat.listing).or_default();
            held.extend(of(&repeat.origin.file));
        }
        let files = self.listings.iter().enumerate().map(|(i, listing)| {
            let mut files: Vec<_> = of(&listing.origin.file).into_iter().collect();
            files.extend(again.remove(&i).unwrap_or_default());
            files.sort_by_key(|file| exports.key(*file));
            files.dedup();
            files
        });
        files.collect()
    }
}
