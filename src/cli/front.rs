//! The cars of a long list that may leave most, to be worked out first: what
//! the best of them leave settles nearly all others by their prices alone.

use std::cmp::Reverse;
use std::collections::HashSet;

use rayon::prelude::*;

use super::bench::Least;
use crate::units::Money;

/// So many cars stand in front: far more than are worked out of a list of any
/// length, and few enough to be held beside it.
const FRONT: usize = 4096;

/// Cars that one thread looks at before what it found is put together: each
/// time as many as stand in front are held twice.
const STRETCH: usize = 1 << 15;

/// The most that a car can count for, and its place among the cars.
type Standing = (Option<Money>, usize);

/// Cars, that first which may leave most.
#[derive(Debug, Default)]
pub(super) struct Front {
    cars: Vec<usize>,
    /// The same, to be looked up.
    places: HashSet<usize>,
    /// What none of those that were looked at and stand behind can count for
    /// more than; not known where none were looked at.
    behind: Option<Option<Money>>,
}

impl Front {
    /// The front of so many cars. `at_most` tells what a car can count for, of
    /// those of which it is known.
    pub fn of(count: usize, at_most: impl Fn(usize) -> Option<Option<Money>> + Sync) -> Self {
        Front::no_longer_than(FRONT, count, at_most)
    }

    fn no_longer_than(
        length: usize,
        count: usize,
        at_most: impl Fn(usize) -> Option<Option<Money>> + Sync,
    ) -> Self {
        let line = (0..count)
            .into_par_iter()
            .with_min_len(STRETCH)
            .filter_map(|place| Some((at_most(place)?, place)))
            .fold(Line::default, |line, car| line.with(car, length))
            .reduce(Line::default, |a, b| a.joined(b, length));
        let Line { mut cars, behind } = line.cut(length);
        cars.sort_unstable_by_key(rank);
        let cars: Vec<_> = cars.into_iter().map(|(_, place)| place).collect();
        Front {
            places: cars.iter().copied().collect(),
            cars,
            behind: Some(behind),
        }
    }

    /// The places of so many cars: of those in front, then of the others in
    /// their order.
    pub fn places(&self, count: usize) -> impl Iterator<Item = usize> {
        let behind = (0..count).filter(|place| !self.places.contains(place));
        self.cars.iter().copied().chain(behind)
    }

    /// Whether a car that was looked at counts for less than that, by where it
    /// stands.
    pub fn counts_less(&self, place: usize, least: &Least) -> bool {
        let behind = self.behind.is_some_and(|most| most < least.counted);
        behind && !self.places.contains(&place)
    }
}

/// Those in front among the cars looked at so far.
#[derive(Default)]
struct Line {
    cars: Vec<Standing>,
    /// The most that those can count for that were sent away.
    behind: Option<Money>,
}

impl Line {
    fn with(mut self, car: Standing, length: usize) -> Self {
        self.cars.push(car);
        match self.cars.len() < 2 * length {
            true => self,
            false => self.cut(length),
        }
    }

    fn joined(mut self, other: Line, length: usize) -> Self {
        self.cars.extend(other.cars);
        self.behind = self.behind.max(other.behind);
        self.cut(length)
    }

    /// Sends away all but so many.
    fn cut(mut self, length: usize) -> Self {
        if self.cars.len() > length {
            let (_, first_away, _) = self.cars.select_nth_unstable_by_key(length, rank);
            self.behind = self.behind.max(first_away.0);
            self.cars.truncate(length);
        }
        self
    }
}

fn rank(car: &Standing) -> (Reverse<Option<Money>>, usize) {
    (Reverse(car.0), car.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::margin::Sort;

    /// Some figure of a car; of every seventh none is known.
    fn figure(place: usize) -> Option<Option<Money>> {
        let amount = (place * 7919 % 1009) as i64;
        let known = !place.is_multiple_of(7);
        known.then(|| (!place.is_multiple_of(5)).then(|| Money::whole(amount)))
    }

    #[test]
    fn the_best_come_first_and_each_car_once() {
        let front = Front::no_longer_than(50, 3000, figure);
        let places: Vec<_> = front.places(3000).collect();
        let mut known: Vec<_> = (0..3000).filter(|p| figure(*p).is_some()).collect();
        known.sort_by_key(|p| (Reverse(figure(*p)), *p));
        assert_eq!(places[..50], known[..50]);
        assert!(places[50..].is_sorted());
        let all: HashSet<_> = places.iter().copied().collect();
        assert_eq!((all.len(), places.len()), (3000, 3000));
    }

    #[test]
    fn who_stands_behind_counts_for_no_more_than_the_last_sent_away() {
        let front = Front::no_longer_than(50, 3000, figure);
        let figures = front.places(3000).skip(50).filter_map(figure);
        let most = figures.max().flatten().unwrap();
        let least = |counted| Least {
            sort: Sort::Margin,
            counted: Some(counted),
        };
        let back = front.places(3000).last().unwrap();
        assert!(front.counts_less(back, &least(most + Money::whole(1))));
        assert!(!front.counts_less(back, &least(most)));
        assert!(!front.counts_less(front.cars[0], &least(most + Money::whole(1))));
        // Where none was looked at, nothing is known.
        assert!(!Front::default().counts_less(0, &least(most)));
    }
}
