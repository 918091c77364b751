//! One car's ads followed from export to export.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::exports::{ExportId, Exports};
use super::lines::{LineId, Lines};
use super::merge::{merged, withdrawn};
use super::model::{Ad, Event, History, Moment, Traced, What};
use super::same::Key;
use super::sentences::difference;
use crate::day::Day;
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::reading::Reading;

/// A row of the car.
#[derive(Clone, Copy)]
pub(super) struct Row<'a> {
    /// Which listing of the run.
    pub index: usize,
    pub listing: &'a Listing,
    pub reading: &'a Reading,
    /// The files it stands in, in order of time.
    pub files: &'a [ExportId],
    /// What tells its ad from others: link, or number and site.
    pub ad: Option<Key>,
}

/// A row as it stood in one file.
#[derive(Clone, Copy)]
pub(super) struct Sighting<'a> {
    pub row: Row<'a>,
    pub at: Moment,
}

/// The rows of one ad in order of time.
pub(super) struct Strand<'a> {
    pub sightings: Vec<Sighting<'a>>,
    /// The strand on the same site whose place it takes.
    pub before: Option<usize>,
    /// When an export first left it out for good.
    pub gone: Option<Moment>,
}

impl<'a> Strand<'a> {
    pub fn newest(&self) -> &Sighting<'a> {
        // A strand is made with a sighting and never loses one.
        &self.sightings[self.sightings.len() - 1]
    }
}

/// The car of these rows; none of no rows.
pub(super) fn trace(
    rows: Vec<Row<'_>>,
    exports: &Exports,
    lines: &Lines,
    lexicon: &Lexicon,
) -> Option<Traced> {
    let mut strands = strands(rows, exports, lines);
    for strand in &mut strands {
        let newest = strand.newest().at.export;
        let days = lines.days(lines.line(newest));
        let next = days.get(lines.turn(newest) + 1);
        strand.gone = next.map(|day| moment(day[0], exports));
    }
    tell_before(&mut strands, lines);
    let followers = followers(&strands, lines);
    let mut history = History::default();
    for (i, strand) in strands.iter().enumerate() {
        history.ads.push(ad(strand));
        let last = strand.before.map(|b| strands[b].newest());
        events(&mut history.events, i, strand, last, exports, lines);
        let followed = followers[i]
            .zip(strand.gone)
            .is_some_and(|(turn, gone)| turn <= lines.turn(gone.export));
        if let Some(at) = strand.gone.filter(|_| !followed) {
            let what = What::Gone;
            history.events.push(Event { at, ad: i, what });
        }
    }
    history
        .events
        .sort_by_key(|e| (exports.key(e.at.export), e.at.day));
    let live = |s: &&Strand<'_>| s.gone.is_none();
    if !strands.iter().any(|s| live(&s)) {
        let gone = strands.iter().filter_map(|s| s.gone);
        history.gone = gone.max_by_key(|at| exports.key(at.export));
    }
    let gone = history.gone.is_some();
    let newest_first = |s: &&Strand<'_>| order(s.newest(), exports);
    let mut shown: Vec<&Strand<'_>> = strands.iter().filter(|s| gone || live(s)).collect();
    shown.sort_by_key(|s| std::cmp::Reverse(newest_first(s)));
    history.withdrawn = withdrawn(&strands, &shown, lexicon);
    let oldest = strands.iter().map(|s| &s.sightings[0]);
    let oldest = oldest.min_by_key(|s| order(s, exports))?;
    let best = shown.first()?.newest();
    let id = oldest.row.listing.id.clone();
    let reading = merged(&id, best, &shown, &strands, &history.withdrawn);
    Some(Traced {
        listing: best.row.index,
        id,
        reading,
        history: Arc::new(history),
    })
}

fn moment(export: ExportId, exports: &Exports) -> Moment {
    let day = exports.get(export).day;
    Moment { day, export }
}

/// The order of sightings in time.
fn order(s: &Sighting<'_>, exports: &Exports) -> (Option<Day>, ExportId, Option<Day>, usize) {
    let (day, export) = exports.key(s.at.export);
    let row = exports.get(export).date_of(s.row.listing);
    (day, export, row, s.row.index)
}

fn strands<'a>(rows: Vec<Row<'a>>, exports: &Exports, lines: &Lines) -> Vec<Strand<'a>> {
    let mut sightings: Vec<Sighting<'a>> = Vec::with_capacity(rows.len());
    for row in rows {
        for file in row.files {
            let export = exports.get(*file);
            let own = exports.get(*file).date_of(row.listing);
            let day = own.filter(|_| export.by_rows).or(export.day);
            let at = Moment { day, export: *file };
            sightings.push(Sighting { row, at });
        }
    }
    sightings.sort_by_key(|s| order(s, exports));
    let mut strands: Vec<Strand<'a>> = Vec::new();
    let mut by_ad: HashMap<Key, usize> = HashMap::new();
    let mut unnumbered: HashMap<LineId, Unnumbered> = HashMap::new();
    for s in sightings {
        let held = match s.row.ad {
            Some(ad) => by_ad.get(&ad).copied(),
            // Without a number the next row of the line that comes later is
            // the same ad; two rows of one file are two ads.
            None => {
                let line = unnumbered.entry(lines.line(s.at.export)).or_default();
                line.next(lines.turn(s.at.export), strands.len())
            }
        };
        match held {
            Some(at) => strands[at].sightings.push(s),
            None => {
                by_ad.extend(s.row.ad.map(|ad| (ad, strands.len())));
                strands.push(Strand {
                    sightings: vec![s],
                    before: None,
                    gone: None,
                });
            }
        }
    }
    strands
}

/// The strands of one line whose ads have no number, the oldest first.
#[derive(Default)]
struct Unnumbered {
    strands: Vec<usize>,
    /// How many of them the rows of this turn have been given to.
    turn: usize,
    given: usize,
    /// How many there were before this turn.
    before: usize,
}

impl Unnumbered {
    /// The strand that the next row of this turn goes on with; turns come in
    /// order. Where there is none, the row begins the strand `new`.
    fn next(&mut self, turn: usize, new: usize) -> Option<usize> {
        if turn != self.turn {
            (self.turn, self.given, self.before) = (turn, 0, self.strands.len());
        }
        if self.given < self.before {
            self.given += 1;
            return Some(self.strands[self.given - 1]);
        }
        self.strands.push(new);
        None
    }
}

/// Tells each strand which one of the same line was there last before it
/// began.
fn tell_before(strands: &mut [Strand<'_>], lines: &Lines) {
    let mut ends: HashMap<LineId, Vec<(usize, usize)>> = HashMap::new();
    for (i, strand) in strands.iter().enumerate() {
        let last = strand.newest().at.export;
        let ends = ends.entry(lines.line(last)).or_default();
        ends.push((lines.turn(last), i));
    }
    ends.values_mut().for_each(|ends| ends.sort_unstable());
    for (this, strand) in strands.iter_mut().enumerate() {
        let first = strand.sightings[0].at.export;
        let ends = ends.get(&lines.line(first)).map_or(&[][..], Vec::as_slice);
        let earlier = ends.partition_point(|(turn, _)| *turn < lines.turn(first));
        let latest = ends[..earlier].iter().rev().find(|(_, i)| *i != this);
        strand.before = latest.map(|(_, i)| *i);
    }
}

/// For each strand when the first began that took its place.
fn followers(strands: &[Strand<'_>], lines: &Lines) -> Vec<Option<usize>> {
    let mut out: Vec<Option<usize>> = vec![None; strands.len()];
    for strand in strands {
        if let Some(before) = strand.before {
            let turn = lines.turn(strand.sightings[0].at.export);
            out[before] = Some(out[before].map_or(turn, |held| held.min(turn)));
        }
    }
    out
}

fn ad(strand: &Strand<'_>) -> Ad {
    let newest = strand.newest();
    let mut held = HashSet::new();
    let ids = strand.sightings.iter().map(|s| &s.row.listing.id);
    let ids = ids.filter(|id| held.insert(*id)).cloned().collect();
    let listing = newest.row.listing;
    Ad {
        ids,
        origin: listing.origin.clone(),
        link: listing.link.clone(),
        place: listing.place.clone(),
        ask: newest.row.reading.ask,
        seen: (strand.sightings[0].at, newest.at),
        gone: strand.gone.is_some(),
    }
}

/// What happened to one ad; `last` is what stood there before it.
fn events(
    out: &mut Vec<Event>,
    ad: usize,
    strand: &Strand<'_>,
    last: Option<&Sighting<'_>>,
    exports: &Exports,
    lines: &Lines,
) {
    let mut tell = |at: Moment, what: What| out.push(Event { at, ad, what });
    let mut seen: Option<&Sighting<'_>> = None;
    for s in &strand.sightings {
        let Some(old) = seen.or(last) else {
            let ask = s.row.reading.ask;
            let again = false;
            tell(s.at, What::Listed { ask, again });
            seen = Some(s);
            continue;
        };
        // A site that shows the day of posting shows the old one for ever.
        let at = if s.at.day > old.at.day || seen.is_none() {
            s.at
        } else {
            moment(s.at.export, exports)
        };
        let (was, is) = (old.row.reading, s.row.reading);
        if seen.is_none() {
            let (ask, again) = (is.ask, true);
            tell(at, What::Listed { ask, again });
        } else {
            let line = lines.line(s.at.export);
            let gap = lines.turn(old.at.export) + 1;
            if lines.line(old.at.export) == line && gap < lines.turn(s.at.export) {
                let missing = lines.days(line)[gap][0];
                tell(moment(missing, exports), What::Gone);
                tell(moment(s.at.export, exports), What::Back);
            }
            if was.ask != is.ask {
                let (from, to) = (was.ask, is.ask);
                tell(at, What::Price { from, to });
            }
        }
        if let (Some(from), Some(to)) = (was.miles, is.miles)
            && from != to
        {
            tell(at, What::Distance { from, to });
        }
        let (before, now) = (&old.row.listing.text, &s.row.listing.text);
        if before != now {
            let (removed, added) = difference(before, now);
            if !removed.is_empty() || !added.is_empty() {
                tell(at, What::Text { removed, added });
            }
        }
        seen = Some(s);
    }
}
