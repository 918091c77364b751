//! The stages in order, over all listings of a run.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use rayon::prelude::*;

use super::as_of;
use super::chunks;
use super::config::{FigureConfig, InputConfig};
use super::desk::Desk;
use super::error::{CliError, nearest};
use super::market::Market;
use super::notes::{Note, first_rejects};
use crate::day::Day;
use crate::history::{Exports, Gather, History, Lines};
use crate::intake::{self, Item, Listing, Reject, Repeat};
use crate::kerb::{Finding, Findings};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Sort};
use crate::reading::Reading;
use crate::reading::reader::{Reader, Scratch};
use crate::report::text::plain;
use crate::report::{Basis, Entry};
use crate::units::DistanceUnit;
use crate::warnings::{Warning, Watcher, temper};

/// Listings with what they say, in the order of the files.
#[derive(Debug)]
pub struct Batch {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What each says.
    pub readings: Vec<Reading>,
    /// Rows that say once more what was read before.
    pub repeats: Vec<Repeat>,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// A batch with everything worked out, one entry a car.
#[derive(Debug)]
pub struct Appraised {
    /// The row that shows each car best, under the car's id.
    pub listings: Vec<Listing>,
    /// What was worked out of each, in the same order.
    pub appraisals: Vec<Appraisal>,
    /// What is to be distrusted about each, in the same order.
    pub warnings: Vec<Vec<Warning>>,
    /// The ads of each and what became of them, in the same order.
    pub histories: Vec<Arc<History>>,
    /// How many different rows were read.
    pub rows: usize,
    /// The files.
    pub exports: Exports,
    /// Which files are exports of one search.
    pub lines: Lines,
    /// What the figures rest on.
    pub basis: Basis,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

impl Appraised {
    /// The place of the car with this id, or of which any row has it, as it
    /// stands in the file or as the shortlist shows it.
    ///
    /// # Errors
    /// No car has it.
    pub fn find(&self, id: &str) -> Result<usize, CliError> {
        find_car(&self.listings, &self.histories, id)
    }
}

/// Whether a car goes by this id, as it stands in a file or as the shortlist
/// shows it; any of its ads may have it.
fn goes_by(listing: &Listing, history: &History, id: &str) -> bool {
    let is = |held: &str| held == id || plain(held) == id;
    is(&listing.id.0) || history.ads.iter().flat_map(|ad| &ad.ids).any(|i| is(&i.0))
}

/// The place of the car that goes by this id; its own id before those of ads.
fn find_car(listings: &[Listing], histories: &[Arc<History>], id: &str) -> Result<usize, CliError> {
    let is = |held: &str| held == id || plain(held) == id;
    let own = listings.iter().position(|l| is(&l.id.0));
    let any = || {
        let mut all = listings.iter().zip(histories);
        all.position(|(l, h)| goes_by(l, h, id))
    };
    own.or_else(any)
        .ok_or_else(|| CliError::no_ad(id, listings.iter().map(|l| l.id.0.as_str())))
}

impl Ready<'_> {
    /// The place of the car with this id, or of which any row has it.
    ///
    /// # Errors
    /// No car has it.
    pub fn find(&self, id: &str) -> Result<usize, CliError> {
        find_car(&self.listings, &self.histories, id)
    }

    /// The car at this place with what was worked out of it, for a report.
    pub fn entry<'e>(
        &'e self,
        place: usize,
        appraisal: &'e Appraisal,
        warnings: &'e [Warning],
    ) -> Entry<'e> {
        Entry {
            listing: &self.listings[place],
            appraisal,
            history: self.histories.get(place).map(|h| &**h),
            changes: Vec::new(),
            warnings,
        }
    }

    /// What was found at the car at this place.
    pub fn findings_of<'f>(&self, place: usize, findings: &'f Findings) -> Vec<&'f Finding> {
        match (self.listings.get(place), self.histories.get(place)) {
            (Some(listing), Some(history)) => findings.of(|id| goes_by(listing, history, id)),
            _ => Vec::new(),
        }
    }

    /// What is left of the car at this place, what was found weighed in, and
    /// what to distrust about it.
    pub fn appraise(&self, place: usize, findings: &Findings) -> (Appraisal, Vec<Warning>) {
        let own = self.findings_of(place, findings);
        let (reading, _) = self.desk.weighed(self.readings[place].clone(), &own);
        let mut appraisal = self.desk.appraise(place, reading);
        let warnings = self.watch(place, &appraisal);
        temper(&mut appraisal, &warnings, self.lexicon);
        (appraisal, warnings)
    }

    /// What to distrust about the car at this place.
    pub fn watch(&self, place: usize, appraisal: &Appraisal) -> Vec<Warning> {
        let (listing, history) = (&self.listings[place], &self.histories[place]);
        self.watcher.watch(listing, appraisal, history)
    }

    /// Notes on findings of no car.
    pub fn of_no_car(&self, findings: &Findings) -> Vec<Note> {
        let of_no_car = findings.of_none(|id| {
            let mut all = self.listings.iter().zip(&self.histories);
            all.any(|(l, h)| goes_by(l, h, id))
        });
        of_no_car.into_iter().map(Note::no_ad).collect()
    }
}

/// Files to readings; `unit` is that of distances where an ad does not say.
///
/// # Errors
/// A file that cannot be used at all.
pub fn read(config: &InputConfig, unit: DistanceUnit) -> Result<Batch, CliError> {
    let options = options(config);
    let reader = Reader::new(&config.lexicon, unit);
    let (mut listings, mut readings) = (Vec::new(), Vec::new());
    let (mut repeats, mut rejects, mut notes) = (Vec::new(), Vec::new(), Vec::new());
    let spare = Spare::default();
    chunks::in_order::<_, CliError>(
        intake::Reader::new(&config.files, &options, &config.lexicon),
        chunks::sizes(),
        |chunk| {
            let mut scratch = spare.take();
            let read = chunk.iter().map(|l| reader.read_with(l, &mut scratch));
            let read: Vec<_> = read.collect();
            spare.put(scratch);
            (chunk, read)
        },
        |(chunk, read)| {
            listings.extend(chunk);
            readings.extend(read);
            Ok(())
        },
        |item| {
            match item {
                // Went with its chunk.
                Item::Listing(_) => {}
                Item::Repeat(repeat) => repeats.push(repeat),
                Item::Reject(reject) => rejects.push(reject),
                Item::Warning(warning) => notes.push(Note::of_file(&warning)),
            }
            Ok(())
        },
    )?;
    notes.extend(first_rejects(&rejects, config.rejects.is_some()));
    Ok(Batch {
        listings,
        readings,
        repeats,
        rejects,
        notes,
    })
}

/// What the user says of the files.
pub(super) fn options(config: &InputConfig) -> intake::Options {
    intake::Options {
        columns: config.columns.clone(),
    }
}

/// Memory of the reader that waits for the next chunk.
#[derive(Default)]
pub(super) struct Spare(Mutex<Vec<Scratch>>);

impl Spare {
    /// Memory kept from a chunk before, if any waits.
    pub(super) fn take(&self) -> Scratch {
        self.list().pop().unwrap_or_default()
    }

    /// Keeps memory for a chunk to come.
    pub(super) fn put(&self, scratch: Scratch) {
        self.list().push(scratch);
    }

    fn list(&self) -> MutexGuard<'_, Vec<Scratch>> {
        // Whole whatever happened to the thread that held it.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A day for a file that is not read is a mistake in its name.
fn seen_files_are_read(seen: &[(String, Day)], exports: &Exports) -> Result<(), CliError> {
    let names = || exports.list.iter().map(|e| &*e.file);
    match seen.iter().find(|(file, _)| names().all(|n| n != file)) {
        None => Ok(()),
        Some((file, _)) => {
            let near = nearest(file, names()).map_or_else(
                || "; name it as among the files".to_owned(),
                |near| format!("; did you mean '{}'?", plain(near)),
            );
            let file = plain(file);
            Err(CliError::Usage(format!(
                "--seen: no ads are read from '{file}'{near}"
            )))
        }
    }
}

/// The cars of a batch with what it takes to appraise any of them.
pub struct Ready<'a> {
    /// The row that shows each car best, under the car's id.
    pub listings: Vec<Listing>,
    /// What each says.
    pub readings: Vec<Reading>,
    /// The ads of each and what became of them.
    pub histories: Vec<Arc<History>>,
    /// How many different rows were read.
    pub rows: usize,
    /// The files.
    pub exports: Exports,
    /// Which files are exports of one search.
    pub lines: Lines,
    /// Works out what is left of one.
    pub desk: Desk<'a>,
    /// Tells what to distrust about one.
    watcher: Watcher<'a>,
    lexicon: &'a Lexicon,
    /// What the figures rest on.
    pub basis: Basis,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// Readings to cars, and cars to appraisals; what was found at a car is weighed
/// in.
///
/// # Errors
/// A file of comparables or findings that cannot be used at all.
pub fn appraise(
    batch: Batch,
    config: &FigureConfig,
    lexicon: &Lexicon,
    sort: Sort,
) -> Result<Appraised, CliError> {
    let findings = config.findings(lexicon)?;
    let ready = ready(batch, config, lexicon, sort)?;
    let unclaimed = ready.of_no_car(&findings);
    let (appraisals, warnings): (Vec<_>, Vec<_>) = (0..ready.listings.len())
        .into_par_iter()
        .map(|place| ready.appraise(place, &findings))
        .unzip();
    let Ready {
        listings,
        histories,
        rows,
        exports,
        lines,
        basis,
        rejects,
        mut notes,
        ..
    } = ready;
    notes.extend(unclaimed);
    Ok(Appraised {
        listings,
        appraisals,
        warnings,
        histories,
        rows,
        exports,
        lines,
        basis,
        rejects,
        notes,
    })
}

/// A batch made ready: the prices fitted, nothing appraised yet.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn ready<'a>(
    batch: Batch,
    config: &'a FigureConfig,
    lexicon: &'a Lexicon,
    sort: Sort,
) -> Result<Ready<'a>, CliError> {
    let Batch {
        listings,
        readings,
        repeats,
        rejects,
        mut notes,
    } = batch;
    let profile = &config.profile;
    let said = notes.len();
    let (as_of, from) = config.as_of.map_or_else(
        || {
            let (date, from) = as_of::found(&listings, &readings);
            notes.push(Note::AsOf {
                year: date.year,
                from: from.clone(),
            });
            (date, from)
        },
        |given| (given.0, "as given".to_owned()),
    );
    let rows = listings.len();
    let gathered = Gather {
        listings: &listings,
        readings: &readings,
        repeats: &repeats,
        seen: &config.seen,
        lexicon,
    }
    .run();
    seen_files_are_read(&config.seen, &gathered.exports)?;
    drop(readings);
    let mut rows_left: Vec<Option<Listing>> = listings.into_iter().map(Some).collect();
    let mut listings = Vec::with_capacity(gathered.cars.len());
    let mut readings = Vec::with_capacity(gathered.cars.len());
    let mut histories = Vec::with_capacity(gathered.cars.len());
    for car in gathered.cars {
        // No row is of two cars.
        let Some(row) = rows_left.get_mut(car.listing).and_then(Option::take) else {
            continue;
        };
        listings.push(Listing { id: car.id, ..row });
        readings.push(car.reading);
        histories.push(car.history);
    }
    let market = Market::new(config, lexicon, as_of, &readings, &mut notes)?;
    if listings.is_empty() {
        // What figures rest on matters to nobody where there are none.
        notes.truncate(said);
    }
    Ok(Ready {
        listings,
        readings,
        desk: Desk::new(market, lexicon, profile),
        watcher: Watcher::new(lexicon),
        lexicon,
        histories,
        rows,
        exports: gathered.exports,
        lines: gathered.lines,
        basis: Basis::new(as_of.year, &from, profile, sort),
        rejects,
        notes,
    })
}
