//! The files of a run as exports of a day.

use std::path::Path;
use std::sync::Arc;

use super::shingles::hashed;
use super::sketch::{Column, Files};
use crate::day::{Day, Order};
use crate::intake::{Listing, Repeat};

/// The number of a file in the order given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ExportId(pub u32);

/// One file: what a site offered on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Export {
    /// The file as named by the user.
    pub file: Arc<str>,
    /// The day it was saved: as the user says, else the date in its name, else
    /// the newest date of its rows.
    pub day: Option<Day>,
    /// Whether only its rows tell the day. Each row then counts from its own.
    pub by_rows: bool,
    /// Which number comes first in its dates, where a date gives it away.
    order: Option<Order>,
}

/// All files of a run.
#[derive(Debug, Clone, Default)]
pub struct Exports {
    /// In the order given.
    pub list: Vec<Export>,
}

impl Exports {
    /// The files of these ads and of the repeats among them. `seen` are days
    /// that the user gives, by the file's name.
    pub(super) fn of(
        files: &mut Files,
        own: &[ExportId],
        dates: &Column<RowDate>,
        repeats: &[Repeat],
        seen: &[(String, Day)],
    ) -> Self {
        let again = repeats.iter().filter(|r| r.listing < own.len());
        let again = again.map(|r| (files.enter(&r.origin.file), r.listing));
        let again: Vec<(ExportId, usize)> = again.collect();
        let list = files.list.iter().map(|file| {
            let said = seen.iter().find(|(name, _)| **name == **file);
            let day = said.map(|(_, day)| *day).or_else(|| in_name(file));
            Export {
                file: Arc::clone(file),
                day,
                by_rows: day.is_none(),
                order: None,
            }
        });
        let mut exports = Exports {
            list: list.collect(),
        };
        for (row, file) in own.iter().enumerate() {
            let export = &mut exports.list[file.0 as usize];
            export.order = export.order.or_else(|| dates.get(row).order);
        }
        let first = own.iter().enumerate().map(|(row, file)| (*file, row));
        for (file, row) in first.chain(again) {
            let export = &mut exports.list[file.0 as usize];
            if export.by_rows {
                export.day = export.day.max(dates.get(row).day(export.order));
            }
        }
        exports
    }

    /// A file by its number.
    pub fn get(&self, id: ExportId) -> &Export {
        &self.list[id.0 as usize]
    }

    /// Where a file stands in time: its day, those without one first; then the
    /// order given.
    pub fn key(&self, id: ExportId) -> (Option<Day>, ExportId) {
        (self.get(id).day, id)
    }
}

impl Export {
    /// The date that a row carries.
    pub fn date_of(&self, listing: &Listing) -> Option<Day> {
        Day::find(listing.date.as_deref()?, self.order)
    }

    /// The day on which a row was seen in it. A row's own date is nearer the
    /// truth, where the file has no day but through its rows.
    pub(super) fn seen(&self, date: &RowDate) -> Option<Day> {
        let own = date.day(self.order);
        own.filter(|_| self.by_rows).or(self.day)
    }

    /// What the names of exports of one search have in common.
    pub(super) fn series(&self) -> u64 {
        series(&self.file)
    }
}

/// The date that a row carries, before it is known which number comes first in
/// the dates of its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(super) struct RowDate {
    /// As it is read where nothing tells, the month is first, the day is first.
    days: [Option<Day>; 3],
    /// Which is first, where the date itself tells.
    order: Option<Order>,
}

impl RowDate {
    /// The date in a cell.
    pub fn of(cell: Option<&str>) -> Self {
        let Some(cell) = cell else {
            return RowDate::default();
        };
        let orders = [None, Some(Order::MonthFirst), Some(Order::DayFirst)];
        RowDate {
            days: orders.map(|order| Day::find(cell, order)),
            order: Day::order_in(cell),
        }
    }

    /// The day, where the dates of its file are written so.
    pub fn day(&self, order: Option<Order>) -> Option<Day> {
        self.days[match order {
            None => 0,
            Some(Order::MonthFirst) => 1,
            Some(Order::DayFirst) => 2,
        }]
    }
}

/// What the names of exports of one search have in common: the name without
/// folder, ending, dates and numbers.
pub(super) fn series(file: &str) -> u64 {
    let letters: String = stem(file)
        .chars()
        .filter(|c| c.is_alphabetic())
        .flat_map(char::to_lowercase)
        .collect();
    hashed(&letters)
}

fn stem(file: &str) -> &str {
    let stem = Path::new(file).file_stem().and_then(|s| s.to_str());
    stem.unwrap_or(file)
}

/// The date in a file's name, if it holds just one that can be meant.
fn in_name(file: &str) -> Option<Day> {
    Day::find(stem(file), None)
}

/// The site that a link leads to, in lower case without `www.`.
pub(super) fn host(link: &str) -> Option<String> {
    let rest = link.split_once("://").map_or(link, |(_, rest)| rest);
    let host = rest.split(['/', '?', '#']).next()?;
    let host = host.rsplit('@').next()?.to_lowercase();
    let host = host.strip_prefix("www.").unwrap_or(&host);
    (host.contains('.')).then(|| host.to_owned())
}

/// A link without what varies from visit to visit: scheme, `www.`, fragment, a
/// slash at the end, letter case of the host. The query stays, for many sites
/// name the ad in it. None where it leads to a whole site and no ad.
pub(super) fn plain_link(link: &str) -> Option<String> {
    let host = host(link)?;
    let rest = link.split_once("://").map_or(link, |(_, rest)| rest);
    let path = rest.find(['/', '?']).map_or("", |at| &rest[at..]);
    let path = path.split('#').next()?.trim_end_matches('/');
    (!path.is_empty()).then(|| format!("{host}{path}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_is_the_same_however_it_was_copied() {
        let one = plain_link("https://www.Board.example.org/ad/7/");
        assert_eq!(one.as_deref(), Some("board.example.org/ad/7"));
        assert_eq!(one, plain_link("http://board.example.org/ad/7#photos"));
        assert_ne!(one, plain_link("http://board.example.org/ad?id=7"));
        assert_eq!(plain_link("https://board.example.org/"), None);
        assert_eq!(plain_link("no link"), None);
    }

    #[test]
    fn a_name_tells_its_date_and_its_series() {
        let export = |file: &str| Export {
            file: file.into(),
            day: None,
            by_rows: true,
            order: None,
        };
        assert_eq!(in_name("a/harbour-2026-02-14.csv"), Day::new(2026, 2, 14));
        assert_eq!(in_name("2026-02-14/harbour.csv"), None);
        assert_eq!(
            export("a/Harbour-2026-02-14.csv").series(),
            export("b/harbour 3.csv").series()
        );
        assert_ne!(export("harbour.csv").series(), export("depot.csv").series());
    }
}
