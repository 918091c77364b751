//! The stages in order, over all listings of a run.

use std::sync::Arc;

use rayon::prelude::*;

use super::as_of::Newest;
use super::batch::Batch;
use super::bench::{Bench, Seat};
use super::config::FigureConfig;
use super::error::CliError;
use super::foreign::Foreign;
use super::market::{Market, class_of, sound_car};
use super::notes::Note;
use super::progress::Progress;
use crate::day::Day;
use crate::history::{Exports, Gather, History, Lines};
use crate::intake::{Listing, Reject};
use crate::kerb::{Chosen, Finding, Findings, choose};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Sort};
use crate::near::hint;
use crate::profile::Profile;
use crate::reading::Reading;
use crate::report::text::plain;
use crate::report::{Basis, Entry};
use crate::sensitivity::Scenario;
use crate::warnings::{Warning, Watcher};
use crate::worth::SaleDate;

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
    /// The cars with what was worked out of each, for a report.
    pub fn entries(&self) -> impl Iterator<Item = Entry<'_>> {
        let words = self.histories.iter().zip(&self.warnings);
        let cars = self.listings.iter().zip(&self.appraisals).zip(words);
        cars.map(|((listing, appraisal), (history, warnings))| Entry {
            listing,
            appraisal,
            history: Some(history),
            changes: Vec::new(),
            warnings,
        })
    }

    /// The place of the car with this id, or of which any row has it, as it
    /// stands in the file or as the shortlist shows it.
    ///
    /// # Errors
    /// No car has it.
    pub fn find(&self, id: &str) -> Result<usize, CliError> {
        let is = |held: &str| held == id || plain(held) == id;
        let own = self.listings.iter().position(|l| is(&l.id.0));
        let any = || {
            let mut all = self.listings.iter().zip(&self.histories);
            all.position(|(listing, history)| goes_by(listing, history, id))
        };
        own.or_else(any)
            .ok_or_else(|| CliError::no_ad(id, self.listings.iter().map(|l| l.id.0.as_str())))
    }
}

/// Whether a car goes by this id, as it stands in a file or as the shortlist
/// shows it; any of its ads may have it.
pub(super) fn goes_by(listing: &Listing, history: &History, id: &str) -> bool {
    let is = |held: &str| held == id || plain(held) == id;
    is(&listing.id.0) || history.ads.iter().flat_map(|ad| &ad.ids).any(|i| is(&i.0))
}

/// A day for a file that is not read is a mistake in its name.
pub(super) fn seen_files_are_read(
    seen: &[(String, Day)],
    exports: &Exports,
) -> Result<(), CliError> {
    let names = || exports.list.iter().map(|e| &*e.file);
    match seen.iter().find(|(file, _)| names().all(|n| n != file)) {
        None => Ok(()),
        Some((file, _)) => {
            let near = hint(file, names(), "name it as among the files");
            let file = plain(file);
            Err(CliError::Usage(format!(
                "--seen: no ads are read from '{file}'{near}"
            )))
        }
    }
}

/// The date that ages are counted to, and where it is from; the user is told
/// where it was not given.
pub(super) fn as_of(
    config: &FigureConfig,
    newest: Newest,
    lexicon: &Lexicon,
    notes: &mut Vec<Note>,
) -> (SaleDate, String) {
    if let Some(given) = config.as_of {
        return (given.0, "as given".to_owned());
    }
    let (date, from) = newest.found(lexicon.vehicles.newest_year());
    notes.push(Note::AsOf {
        year: date.year,
        from: from.clone(),
    });
    (date, from)
}

/// Readings to cars, and cars to appraisals.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn appraise(
    batch: Batch,
    config: &FigureConfig,
    lexicon: &Lexicon,
    sort: Sort,
) -> Result<Appraised, CliError> {
    Ok(value(batch, config, lexicon, sort)?.appraise_all())
}

/// Cars whose prices are known, with all that they are appraised by.
pub struct Valued<'a> {
    /// The cars; their appraisals are yet to come.
    pub cars: Appraised,
    readings: Vec<Reading>,
    findings: Findings,
    market: Market<'a>,
    watcher: Watcher<'a>,
    profile: &'a Profile,
    lexicon: &'a Lexicon,
    progress: Progress,
}

/// Readings to cars, and the prices that these are valued by.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn value<'a>(
    batch: Batch,
    config: &'a FigureConfig,
    lexicon: &'a Lexicon,
    sort: Sort,
) -> Result<Valued<'a>, CliError> {
    let Batch {
        listings,
        readings,
        repeats,
        rejects,
        mut notes,
        progress,
    } = batch;
    progress.begin("finding ads of one car", None, None);
    let profile = &config.profile;
    let said = notes.len();
    let (mut newest, mut foreign) = (Newest::default(), Foreign::default());
    for (listing, reading) in listings.iter().zip(&readings) {
        newest.look(listing, reading);
        foreign.look(listing, reading, profile, lexicon);
    }
    let (as_of, from) = as_of(config, newest, lexicon, &mut notes);
    let rows = listings.len();
    notes.extend(foreign.notes(profile));
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
    progress.begin("learning prices", None, None);
    let sound = readings.iter();
    let sound = sound.map(|reading| sound_car(reading, profile, lexicon));
    let market = Market::new(config, lexicon, as_of, sound, &mut notes)?;
    if listings.is_empty() {
        // What figures rest on matters to nobody where there are none.
        notes.truncate(said);
    }
    let findings = config.findings(lexicon)?;
    let unclaimed = findings.of_none(|id| {
        let mut all = listings.iter().zip(&histories);
        all.any(|(listing, history)| goes_by(listing, history, id))
    });
    notes.extend(unclaimed.into_iter().map(Note::no_ad));
    Ok(Valued {
        findings,
        cars: Appraised {
            listings,
            appraisals: Vec::new(),
            warnings: Vec::new(),
            histories,
            rows,
            exports: gathered.exports,
            lines: gathered.lines,
            basis: Basis::new(as_of.year, &from, profile, sort),
            rejects,
            notes,
        },
        readings,
        market,
        watcher: Watcher::new(lexicon),
        profile,
        lexicon,
        progress,
    })
}

impl Valued<'_> {
    /// All cars with their appraisals.
    pub fn appraise_all(mut self) -> Appraised {
        let readings = std::mem::take(&mut self.readings);
        let bench = self.bench(self.profile);
        let total = readings.len() as u64;
        self.progress
            .begin("working out cars", Some("cars"), Some(total));
        let (appraisals, warnings) = readings
            .into_par_iter()
            .enumerate()
            .map(|(place, reading)| {
                let reading = self.with_findings(place, reading);
                let appraised = bench.appraise_there(self.seat(place), reading);
                self.progress.add(1);
                appraised
            })
            .unzip();
        Appraised {
            appraisals,
            warnings,
            ..self.cars
        }
    }

    /// The car at a place as it was read, with the user's figures.
    ///
    /// # Panics
    /// Where there is no such place.
    pub fn scenario(&self, place: usize) -> Scenario {
        Scenario {
            profile: self
                .profile
                .at(self.cars.listings[place].place.as_deref())
                .into_owned(),
            reading: self.with_findings(place, self.readings[place].clone()),
            worth: None,
        }
    }

    /// What the ads of the car at a place say, before anybody looked at it.
    ///
    /// # Panics
    /// Where there is no such place.
    pub fn told(&self, place: usize) -> &Reading {
        &self.readings[place]
    }

    /// What was found at the car at a place.
    pub fn findings_of(&self, place: usize) -> Vec<&Finding> {
        match (
            self.cars.listings.get(place),
            self.cars.histories.get(place),
        ) {
            (Some(listing), Some(history)) => found_at(&self.findings, listing, history),
            _ => Vec::new(),
        }
    }

    fn with_findings(&self, place: usize, reading: Reading) -> Reading {
        let bench = self.bench(self.profile);
        bench.weighed(&self.findings_of(place), reading)
    }

    fn seat(&self, place: usize) -> Seat<'_> {
        Seat {
            place,
            listing: &self.cars.listings[place],
            history: &self.cars.histories[place],
        }
    }

    /// What is left of the car at a place if it is as this reading says.
    pub fn work_out(&self, place: usize, reading: Reading) -> Appraisal {
        self.bench(self.profile)
            .work_out_there(self.seat(place), reading)
    }

    /// The checks that a car calls for.
    pub fn checks(&self, appraisal: &Appraisal) -> Vec<Chosen<'_>> {
        choose(
            &appraisal.reading,
            class_of(&appraisal.reading, self.lexicon),
            appraisal.bill.as_ref(),
            &appraisal.unknowns,
            self.lexicon,
        )
    }

    /// The car at a place with what was worked out of it, for a report.
    pub fn entry<'e>(
        &'e self,
        place: usize,
        appraisal: &'e Appraisal,
        warnings: &'e [Warning],
    ) -> Entry<'e> {
        Entry {
            listing: &self.cars.listings[place],
            appraisal,
            history: self.cars.histories.get(place).map(|h| &**h),
            changes: Vec::new(),
            warnings,
        }
    }

    /// That car with something supposed otherwise, and what to distrust then.
    /// Prices of other cars stay as they were fitted.
    pub fn appraise_as(&self, place: usize, scenario: &Scenario) -> (Appraisal, Vec<Warning>) {
        let bench = self.bench(&scenario.profile);
        bench.appraise(self.seat(place), scenario.reading.clone(), scenario.worth)
    }

    fn bench<'b>(&'b self, profile: &'b Profile) -> Bench<'b> {
        let year = self.cars.basis.as_of.0;
        Bench::new(&self.watcher, &self.market, self.lexicon, profile, year)
    }
}

/// What was found at a car.
pub(super) fn found_at<'f>(
    findings: &'f Findings,
    listing: &Listing,
    history: &History,
) -> Vec<&'f Finding> {
    findings.of(|id| goes_by(listing, history, id))
}
