//! Which files are exports of one search, saved again and again.
//!
//! Only then does it say anything that a later file leaves a car out. Two
//! files are of one line where their names are alike but for dates and numbers
//! or their links lead to the same site, and where at least a quarter of the
//! cars of the smaller stand in both: a search for other cars on the same site
//! is another line. The quarter is a choice: from week to week most ads stay.

use std::collections::{BTreeMap, BTreeSet};

use super::cluster::Clusters;
use super::exports::{ExportId, Exports};
use super::gather::RowFiles;
use super::sketch::Column;

/// The smaller of two files must have one in this many of its cars in both.
const SHARE: usize = 4;

/// The number of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineId(pub u32);

/// All lines of a run.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lines {
    of: Vec<LineId>,
    /// Files of each line in order of time; files of one day are together.
    days: Vec<Vec<Vec<ExportId>>>,
}

impl Lines {
    pub(super) fn of(
        exports: &Exports,
        hosts: &Column<Option<u64>>,
        cars: &Clusters,
        files: &RowFiles,
    ) -> Self {
        let count = exports.list.len();
        let mut sites: Vec<BTreeSet<u64>> = vec![BTreeSet::new(); count];
        for row in 0..files.rows() {
            for file in files.of(row) {
                sites[file.0 as usize].extend(hosts.get(row));
            }
        }
        let mut sizes = vec![0_usize; count];
        let mut shared: BTreeMap<(u32, u32), usize> = BTreeMap::new();
        for car in cars.iter() {
            let mut its: Vec<u32> = car
                .iter()
                .flat_map(|i| files.of(*i as usize).iter().map(|f| f.0))
                .collect();
            its.sort_unstable();
            its.dedup();
            for (i, a) in its.iter().enumerate() {
                sizes[*a as usize] += 1;
                for b in &its[i + 1..] {
                    *shared.entry((*a, *b)).or_default() += 1;
                }
            }
        }
        let series: Vec<u64> = exports.list.iter().map(|e| e.series()).collect();
        let mut of: Vec<u32> = (0..count as u32).collect();
        for ((a, b), both) in shared {
            let (x, y) = (a as usize, b as usize);
            let alike = series[x] == series[y] || sites[x].intersection(&sites[y]).next().is_some();
            if alike && both * SHARE >= sizes[x].min(sizes[y]) {
                let (keep, give) = (of[x].min(of[y]), of[x].max(of[y]));
                of.iter_mut()
                    .filter(|l| **l == give)
                    .for_each(|l| *l = keep);
            }
        }
        let mut days: Vec<Vec<Vec<ExportId>>> = vec![Vec::new(); count];
        let mut order: Vec<ExportId> = (0..count as u32).map(ExportId).collect();
        order.sort_by_key(|id| exports.key(*id));
        for id in order {
            let line = &mut days[of[id.0 as usize] as usize];
            let day = exports.get(id).day;
            match line.last_mut() {
                Some(last) if day.is_some() && exports.get(last[0]).day == day => last.push(id),
                _ => line.push(vec![id]),
            }
        }
        Lines {
            of: of.into_iter().map(LineId).collect(),
            days,
        }
    }

    /// The line of a file.
    pub fn line(&self, export: ExportId) -> LineId {
        self.of[export.0 as usize]
    }

    /// The exports of a line in order of time, those of one day together.
    pub fn days(&self, line: LineId) -> &[Vec<ExportId>] {
        &self.days[line.0 as usize]
    }

    /// Which export of its line a file is, from 0.
    pub fn turn(&self, export: ExportId) -> usize {
        let days = self.days(self.line(export));
        let at = days.iter().position(|day| day.contains(&export));
        at.unwrap_or_default()
    }

    /// Whether a file is the newest of its line, and one before it is there.
    pub fn is_newest_of_several(&self, export: ExportId) -> bool {
        let count = self.days(self.line(export)).len();
        count > 1 && self.turn(export) + 1 == count
    }

    /// Whether any line has more than one export.
    pub fn any_of_several(&self) -> bool {
        self.days.iter().any(|days| days.len() > 1)
    }
}
