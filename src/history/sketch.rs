//! What is kept of every ad while cars are sought among them: enough to tell
//! cars apart, and no text. A run over a million ads holds a million of these
//! and nothing else of them.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::Arc;

use super::exports::{ExportId, RowDate, host};
use super::same::Facts;
use super::shingles::{self, Bands, hashed};
use crate::intake::Listing;
use crate::reading::Reading;

/// What is kept of one ad. Each is made by itself, so that any thread can.
#[derive(Debug, Clone)]
pub struct Sketch {
    pub(super) facts: Facts,
    date: RowDate,
    host: Option<u64>,
    /// The text's signature, kept beside the sketches.
    pub bands: Option<Bands>,
}

impl Sketch {
    /// The sketch of an ad.
    pub fn of(listing: &Listing, reading: &Reading) -> Self {
        let host = listing.link.as_deref().and_then(host);
        Sketch {
            facts: Facts::of(listing, reading, host.as_deref()),
            date: RowDate::of(listing.date.as_deref()),
            host: host.as_deref().map(hashed),
            bands: shingles::bands(&listing.text),
        }
    }
}

/// The sketches of a run's ads, in its order.
#[derive(Debug, Default)]
pub struct Sketches {
    pub(super) files: Files,
    pub(super) facts: Vec<Facts>,
    pub(super) dates: Column<RowDate>,
    /// The sites that the ads' links lead to.
    pub(super) hosts: Column<Option<u64>>,
}

impl Sketches {
    /// Adds the next ad of the run; `file` is the one that it was read from.
    pub fn add(&mut self, file: &Arc<str>, sketch: Sketch) {
        let file = self.files.enter(file);
        let mut facts = sketch.facts;
        facts.file = file;
        self.facts.push(facts);
        self.dates.push(sketch.date);
        self.hosts.push(sketch.host);
    }

    /// How many ads there are.
    pub fn len(&self) -> usize {
        self.facts.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.facts.is_empty()
    }
}

/// The files of a run, in the order in which they are met.
#[derive(Debug, Default)]
pub(super) struct Files {
    pub list: Vec<Arc<str>>,
    by_name: HashMap<Arc<str>, ExportId>,
}

impl Files {
    /// The number of a file, a new one where it has none.
    pub fn enter(&mut self, file: &Arc<str>) -> ExportId {
        // Most rows are of the same file as the row before.
        if let Some(last) = self.list.last()
            && Arc::ptr_eq(last, file)
        {
            return ExportId(self.list.len() as u32 - 1);
        }
        if let Some(id) = self.by_name.get(file) {
            return *id;
        }
        let id = ExportId(self.list.len() as u32);
        self.list.push(Arc::clone(file));
        self.by_name.insert(Arc::clone(file), id);
        id
    }

    /// The number of a file that was entered.
    pub fn find(&self, file: &str) -> Option<ExportId> {
        self.by_name.get(file).copied()
    }
}

/// A value for each ad, of which few are different: four bytes an ad.
#[derive(Debug)]
pub(super) struct Column<T> {
    values: Vec<T>,
    numbers: HashMap<T, u32>,
    of: Vec<u32>,
}

impl<T> Default for Column<T> {
    fn default() -> Self {
        Column {
            values: Vec::new(),
            numbers: HashMap::new(),
            of: Vec::new(),
        }
    }
}

impl<T: Copy + Eq + Hash> Column<T> {
    fn push(&mut self, value: T) {
        let number = *self.numbers.entry(value).or_insert_with(|| {
            self.values.push(value);
            self.values.len() as u32 - 1
        });
        self.of.push(number);
    }

    /// The value of an ad.
    pub fn get(&self, ad: usize) -> T {
        self.values[self.of[ad] as usize]
    }
}
