//! The shortlist of any number of ads, with memory for those that are shown.
//!
//! The ads are read once for what tells cars apart and what sound cars cost
//! ([`Sketch`], comparables), and put aside ([`Shelf`]). When the cars and the
//! prices are known, each car's ads are taken back and read again, the car is
//! appraised, and forgotten unless it is among the best so far.

use std::sync::Arc;

use rayon::prelude::*;

use super::batch::Spare;
use super::bench::{Bench, Least, Seat};
use super::chunks;
use super::config::{FigureConfig, InputConfig};
use super::error::CliError;
use super::front::Front;
use super::market::{Market, sound_car};
use super::notes::Note;
use super::pipeline::{self, as_of, found_at, seen_files_are_read};
use super::progress::Progress;
use super::prospects::Prospects;
use super::shelf::Shelf;
use super::skim::{Skimmed, skim};
use crate::history::{Change, Groups, History, Since, Traced, changes};
use crate::intake::{Listing, Reject};
use crate::kerb::Findings;
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Sort};
use crate::reading::Reading;
use crate::reading::reader::{Reader, Scratch};
#[cfg(feature = "page")]
use crate::report::html::Behind;
use crate::report::shortlist::Counts;
use crate::report::{Basis, Entry};
use crate::warnings::{Warning, Watcher};
use crate::worth::Comparable;

/// Which cars are wanted, and how many.
pub(super) struct Wanted<'a> {
    /// What they are ranked by.
    pub sort: Sort,
    /// The most that are shown.
    pub most: usize,
    /// Whether a car is wanted by what was worked out of it.
    pub chosen: &'a (dyn Fn(&Appraisal) -> bool + Sync),
    /// Only those that changed since.
    pub since: Option<Since>,
    /// Those too that stand nowhere any more.
    pub gone: bool,
    /// What stands behind their figures too.
    #[cfg(feature = "page")]
    pub behind: bool,
}

/// The cars that are shown, the best first.
pub(super) struct Ranked {
    pub cars: Vec<Shown>,
    pub counts: Counts,
    pub basis: Basis,
    pub rejects: Vec<Reject>,
    pub notes: Vec<Note>,
}

/// A car with all that is shown of it.
pub(super) struct Shown {
    place: usize,
    /// What stands behind the figures, where it was wanted.
    #[cfg(feature = "page")]
    pub behind: Option<Behind>,
    listing: Listing,
    appraisal: Appraisal,
    history: Arc<History>,
    changes: Vec<Change>,
    warnings: Vec<Warning>,
}

impl Shown {
    /// For a report.
    pub fn entry(&self) -> Entry<'_> {
        Entry {
            listing: &self.listing,
            appraisal: &self.appraisal,
            history: Some(&self.history),
            changes: self.changes.clone(),
            warnings: &self.warnings,
        }
    }
}

/// Reads the files and ranks the cars in them.
///
/// # Errors
/// A file that cannot be used at all.
pub(super) fn rank(
    input: &InputConfig,
    figures: &FigureConfig,
    wanted: &Wanted<'_>,
) -> Result<Ranked, CliError> {
    rank_in(input, figures, wanted, chunks::sizes())
}

/// The same with so many ads in each chunk.
fn rank_in(
    input: &InputConfig,
    figures: &FigureConfig,
    wanted: &Wanted<'_>,
    sizes: impl Iterator<Item = usize>,
) -> Result<Ranked, CliError> {
    let (lexicon, profile) = (&input.lexicon, &figures.profile);
    let reader = Reader::new(lexicon, profile.distance_unit);
    let Skimmed {
        mut shelf,
        sketches,
        prospects,
        first,
        mut sound,
        newest,
        foreign,
        repeats,
        rejects,
        mut notes,
    } = skim(input, figures, &reader, sizes)?;
    let said = notes.len();
    let progress = &input.progress;
    progress.begin("finding ads of one car", None, None);
    let (as_of, from) = as_of(figures, newest, lexicon, &mut notes);
    let rows = sketches.len();
    notes.extend(foreign.notes(profile));
    let groups = Groups::of(sketches, &repeats, &figures.seen, &shelf);
    drop(repeats);
    shelf.check().map_err(CliError::Shelf)?;
    seen_files_are_read(&figures.seen, &groups.exports)?;
    let archive = Archive {
        progress,
        shelf: &shelf,
        first: &first,
        reader: &reader,
        spare: &Spare::default(),
        groups: &groups,
        // What parts bring, and what was found, hangs on all that is told.
        prospects: (!profile.breaks_cars && figures.findings.is_none()).then_some(&prospects),
        lexicon,
    };
    progress.begin("learning prices", None, None);
    let joint = archive.sound_of_several(figures)?;
    let mut joint = joint.into_iter();
    let alone = (0..groups.len()).map(|car| match groups.ads(car) {
        [ad] => sound.remove(ad),
        _ => joint.next().flatten(),
    });
    let market = Market::new(figures, lexicon, as_of, alone, &mut notes)?;
    drop(sound);
    if groups.is_empty() {
        // What figures rest on matters to nobody where there are none.
        notes.truncate(said);
    }
    let findings = figures.findings(lexicon)?;
    let watcher = Watcher::new(lexicon);
    let bench = Bench::new(&watcher, &market, lexicon, profile, as_of.year.0);
    progress.begin("working out cars", Some("cars"), Some(groups.len() as u64));
    let (cars, asides) = archive.best(&bench, &findings, wanted)?;
    #[cfg(feature = "page")]
    let cars = match wanted.behind {
        true => look_behind(cars, &bench),
        false => cars,
    };
    let unclaimed = findings.of_none(|id| {
        let mut rows = findings.rows.iter().zip(&asides.claimed);
        rows.any(|(row, claimed)| row.id == id && *claimed)
    });
    notes.extend(unclaimed.into_iter().map(Note::no_ad));
    let count = asides.gone;
    notes.extend((count > 0).then_some(Note::Gone { count }));
    Ok(Ranked {
        cars,
        counts: Counts {
            ads: rows,
            cars: groups.len(),
        },
        basis: Basis::new(as_of.year, &from, profile, wanted.sort),
        rejects,
        notes,
    })
}

/// Works out what stands behind the figures of the cars that are shown.
#[cfg(feature = "page")]
fn look_behind(cars: Vec<Shown>, bench: &Bench<'_>) -> Vec<Shown> {
    let cars = cars.into_par_iter().map(|car| {
        let seat = Seat {
            place: car.place,
            listing: &car.listing,
            history: &car.history,
        };
        let behind = Some(bench.behind(seat, &car.appraisal));
        Shown { behind, ..car }
    });
    cars.collect()
}

/// Cars that one thread works out before what it found is looked at.
const TURN: usize = 16;

/// Turns that are under way before the best are chosen from them: few at
/// first, since what is wanted of a car is known when the best of others are.
const TURNS: (usize, usize) = (4, 32);

/// Where cars are taken back from.
struct Archive<'a> {
    progress: &'a Progress,
    shelf: &'a Shelf,
    first: &'a [Reading],
    reader: &'a Reader<'a>,
    spare: &'a Spare,
    groups: &'a Groups,
    /// Where they settle anything.
    prospects: Option<&'a Prospects>,
    lexicon: &'a Lexicon,
}

/// What is counted beside the cars that are shown.
#[derive(Default)]
struct Asides {
    /// Cars that would be shown if they were not gone.
    gone: usize,
    /// For each row of the findings whether it is of some car.
    claimed: Vec<bool>,
}

impl Archive<'_> {
    /// The car at a place, with the ad that shows it best under its id.
    fn car(
        &self,
        place: usize,
        scratch: &mut Scratch,
    ) -> Result<Option<(Listing, Traced)>, CliError> {
        let places = self.groups.ads(place);
        let mut ads = Vec::with_capacity(places.len());
        for ad in places {
            let listing = self.shelf.take(*ad as usize).map_err(CliError::Shelf)?;
            let reading = match self.first.get(*ad as usize) {
                Some(reading) => reading.clone(),
                None => self.reader.read_with(&listing, scratch),
            };
            ads.push((listing, reading));
        }
        let shown: Vec<_> = ads
            .iter()
            .map(|(listing, reading)| (listing, reading))
            .collect();
        let traced = self.groups.trace(place, &shown, self.lexicon);
        Ok(traced.and_then(|car| {
            let at = places.iter().position(|ad| *ad as usize == car.listing)?;
            let (listing, _) = ads.swap_remove(at);
            let id = car.id.clone();
            Some((Listing { id, ..listing }, car))
        }))
    }

    /// For each car of several ads, in order, what it costs if it is sound.
    fn sound_of_several(
        &self,
        figures: &FigureConfig,
    ) -> Result<Vec<Option<Comparable>>, CliError> {
        (0..self.groups.len())
            .into_par_iter()
            .filter(|car| self.groups.ads(*car).len() > 1)
            .map_init(Scratch::default, |scratch, place| {
                let car = self.car(place, scratch)?;
                Ok(
                    car.and_then(|(_, car)| {
                        sound_car(&car.reading, &figures.profile, self.lexicon)
                    }),
                )
            })
            .collect()
    }

    /// The best of all cars.
    fn best(
        &self,
        bench: &Bench<'_>,
        findings: &Findings,
        wanted: &Wanted<'_>,
    ) -> Result<(Vec<Shown>, Asides), CliError> {
        let mut best = Vec::new();
        let mut asides = Asides {
            gone: 0,
            claimed: vec![false; findings.rows.len()],
        };
        let front = self.front(bench, wanted);
        let mut places = front.places(self.groups.len());
        let mut turns = TURNS.0;
        loop {
            let next: Vec<usize> = places.by_ref().take(TURN * turns).collect();
            if next.is_empty() {
                break;
            }
            let least = least(&best, wanted);
            let found: Result<Vec<_>, CliError> = next
                .par_chunks(TURN)
                .map(|cars| self.turn(cars, bench, findings, wanted, least, &front))
                .collect();
            for (cars, aside) in found? {
                best.extend(cars);
                asides.gone += aside.gone;
                let claimed = asides.claimed.iter_mut().zip(aside.claimed);
                claimed.for_each(|(held, new)| *held |= new);
            }
            if best.len() >= wanted.most {
                keep_best(&mut best, wanted);
            }
            turns = TURNS.1.min(turns * 2);
        }
        keep_best(&mut best, wanted);
        Ok((best, asides))
    }

    /// The cars that may leave most: when they are worked out, what is wanted
    /// of all others is known.
    fn front(&self, bench: &Bench<'_>, wanted: &Wanted<'_>) -> Front {
        match self.prospects {
            Some(prospects) if wanted.most < self.groups.len() => {
                Front::of(self.groups.len(), |place| {
                    let ad = self.groups.only_ad(place)?;
                    Some(prospects.at_most(ad, place, bench, wanted.sort))
                })
            }
            _ => Front::default(),
        }
    }

    fn turn(
        &self,
        cars: &[usize],
        bench: &Bench<'_>,
        findings: &Findings,
        wanted: &Wanted<'_>,
        least: Option<Least>,
        front: &Front,
    ) -> Result<(Vec<Shown>, Asides), CliError> {
        let mut scratch = self.spare.take();
        let mut shown = Vec::new();
        let mut asides = Asides::default();
        for &place in cars {
            if let Some((least, prospects)) = least.zip(self.prospects)
                && let Some(ad) = self.groups.only_ad(place)
                && (front.counts_less(place, &least)
                    || prospects.counts_less(ad, place, bench, &least))
            {
                self.progress.add(1);
                continue;
            }
            let Some((listing, car)) = self.car(place, &mut scratch)? else {
                continue;
            };
            let own = found_at(findings, &listing, &car.history);
            if !own.is_empty() {
                asides.claimed.resize(findings.rows.len(), false);
                let rows = findings.rows.iter().zip(&mut asides.claimed);
                rows.for_each(|(row, claimed)| {
                    *claimed |= pipeline::goes_by(&listing, &car.history, &row.id);
                });
            }
            let reading = bench.weighed(&own, car.reading);
            // What is gone is counted.
            if let Some(least) = least
                && car.history.gone.is_none()
                && bench.counts_less(place, &reading, &least)
            {
                self.progress.add(1);
                continue;
            }
            let seat = Seat {
                place,
                listing: &listing,
                history: &car.history,
            };
            let (appraisal, warnings) = bench.appraise_there(seat, reading);
            self.progress.add(1);
            if !(wanted.chosen)(&appraisal) {
                continue;
            }
            let changes = wanted.since.map(|since| {
                changes(
                    &car.history,
                    since,
                    &self.groups.exports,
                    &self.groups.lines,
                )
            });
            match &changes {
                Some(changes) if changes.is_empty() => continue,
                None if !wanted.gone && car.history.gone.is_some() => {
                    asides.gone += 1;
                    continue;
                }
                _ => {}
            }
            shown.push(Shown {
                place,
                #[cfg(feature = "page")]
                behind: None,
                listing,
                appraisal,
                history: car.history,
                changes: changes.unwrap_or_default(),
                warnings,
            });
        }
        self.spare.put(scratch);
        if shown.len() > wanted.most {
            keep_best(&mut shown, wanted);
        }
        Ok((shown, asides))
    }
}

/// What a car has to count for to come among the best, where there are as many
/// as are wanted.
fn least(best: &[Shown], wanted: &Wanted<'_>) -> Option<Least> {
    let last = best.get(wanted.most.checked_sub(1)?)?;
    last.history.gone.is_none().then(|| Least {
        sort: wanted.sort,
        counted: wanted.sort.counted(&last.appraisal),
    })
}

/// Puts cars in order and keeps as many as are wanted. What is gone cannot be
/// bought: it comes last.
fn keep_best(cars: &mut Vec<Shown>, wanted: &Wanted<'_>) {
    let gone = |car: &Shown| car.history.gone.is_some();
    cars.sort_by(|a, b| {
        let order = wanted.sort.compare(&a.appraisal, &b.appraisal);
        let order = gone(a).cmp(&gone(b)).then(order);
        order.then(a.place.cmp(&b.place))
    });
    cars.truncate(wanted.most);
}

#[cfg(test)]
mod tests;
