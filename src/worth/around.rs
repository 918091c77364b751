//! What stands behind a worth, to be looked at: the comparables that are like
//! the car, and what the model says of the car at other distances.

use super::estimate::{Comparable, PriceBasis, Subject};
use super::layout::key;
use super::model::PriceModel;
use super::options::ABSURD_MILES;
use super::scrap::Scrap;
use crate::lexicon::titles::Titles;
use crate::units::{Miles, ModelYear, Money, ThreePoint};

/// A comparable that is like the car.
#[derive(Debug, Clone, PartialEq)]
pub struct Like {
    /// Usual name of its model.
    pub model: String,
    /// Its model year.
    pub year: ModelYear,
    /// Its distance.
    pub miles: Miles,
    /// What was paid or asked.
    pub price: Money,
    /// Which of the two.
    pub basis: PriceBasis,
}

/// What stands around the worth of one car.
#[derive(Debug, Clone, PartialEq)]
pub struct Around {
    /// Comparables of the same model, or of the make where the model has none;
    /// the nearest in year and distance first.
    pub like: Vec<Like>,
    /// Whether they are of the same model.
    pub of_model: bool,
    /// The worth of the car at distances from none to beyond all of them.
    pub line: Vec<(Miles, ThreePoint<Money>)>,
}

/// A mile weighs as much as this part of a year where nearness is judged.
/// Common practice, no source: a car does some 12,000 miles a year.
const MILES_A_YEAR: f64 = 12_000.0;

/// Where lines of worth end at least.
const SHORTEST_LINE: u32 = 120_000;

/// Points of the line.
const POINTS: u32 = 6;

/// The comparables that are like a car, no more than `most`, without its own
/// row; and whether they are of its very model. Those without a distance are
/// left out.
pub fn like(
    given: &[Comparable],
    subject: &Subject,
    own: Option<usize>,
    most: usize,
) -> (Vec<Like>, bool) {
    let (Some(make), Some(year)) = (subject.make.as_deref().map(key), subject.year) else {
        return (Vec::new(), false);
    };
    let model = subject.model.as_deref().map(key);
    let of_make = given
        .iter()
        .enumerate()
        .filter(|(i, c)| own != Some(*i) && key(&c.make) == make)
        .filter_map(|(_, c)| {
            Some(Like {
                model: c.model.clone(),
                year: c.year,
                miles: c.miles.filter(|m| m.0 <= ABSURD_MILES)?,
                price: c.price,
                basis: c.basis,
            })
        });
    let mut of_make: Vec<Like> = of_make.collect();
    let of_model = |c: &Like| Some(key(&c.model)) == model;
    let is_of_model = of_make.iter().any(of_model);
    if is_of_model {
        of_make.retain(of_model);
    }
    let away = |c: &Like| {
        let miles = subject.miles.map_or(0.0, |own| {
            (f64::from(c.miles.0) - f64::from(own.0)) / MILES_A_YEAR
        });
        (f64::from(c.year.0) - f64::from(year.0)).hypot(miles)
    };
    of_make.sort_by(|a, b| {
        let facts = |c: &Like| (c.year, c.miles, c.price);
        away(a)
            .total_cmp(&away(b))
            .then_with(|| facts(a).cmp(&facts(b)))
            .then_with(|| a.model.cmp(&b.model))
    });
    of_make.truncate(most);
    (of_make, is_of_model)
}

impl PriceModel {
    /// What stands around the worth of a car; `given` are the comparables that
    /// the model was fitted to. `None` where the car cannot be valued.
    pub fn around(
        &self,
        given: &[Comparable],
        subject: &Subject,
        titles: &Titles,
        scrap: &Scrap,
        own: Option<usize>,
        most: usize,
    ) -> Option<Around> {
        let (like, of_model) = like(given, subject, own, most);
        let all = like.iter().map(|c| c.miles).chain(subject.miles);
        let far = all.map(|m| m.0).filter(|m| *m <= ABSURD_MILES).max();
        let end = far.unwrap_or_default().max(SHORTEST_LINE);
        let line = (0..=POINTS)
            .map(|i| {
                let miles =
                    Miles(u32::try_from(u64::from(end) * u64::from(i) / u64::from(POINTS)).ok()?);
                let there = Subject {
                    miles: Some(miles),
                    ..subject.clone()
                };
                let worth = self.estimate(&there, titles, scrap, own)?;
                Some((miles, worth.right))
            })
            .collect::<Option<Vec<_>>>()?;
        Some(Around {
            like,
            of_model,
            line,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Title;

    fn car(model: &str, year: u16, miles: Option<u32>, price: i64) -> Comparable {
        Comparable {
            make: "Saab".to_owned(),
            model: model.to_owned(),
            class: None,
            year: ModelYear(year),
            miles: miles.map(Miles),
            price: Money::whole(price),
            basis: PriceBasis::Sold,
            dated: None,
            body: None,
            engine: None,
        }
    }

    fn subject(model: &str) -> Subject {
        Subject {
            make: Some("SAAB".to_owned()),
            model: Some(model.to_owned()),
            class: None,
            year: Some(ModelYear(2004)),
            miles: Some(Miles(100_000)),
            body: None,
            engine: None,
            title: Title::Clean,
        }
    }

    #[test]
    fn the_same_model_goes_before_the_make_and_near_before_far() {
        let given = [
            car("9-5", 2004, Some(100_000), 1),
            car("9-3", 2009, Some(100_000), 2),
            car("9-3", 2004, Some(112_000), 3),
            car("9-3", 2003, None, 4),
            car("9-3", 2004, Some(100_000), 5),
        ];
        let prices = |(list, of_model): (Vec<Like>, bool)| {
            let prices: Vec<_> = list.iter().map(|c| c.price.to_f64() as i64).collect();
            (prices, of_model)
        };
        let near = |model, own, most| prices(like(&given, &subject(model), own, most));
        assert_eq!(near("9-3", Some(4), 9), (vec![3, 2], true));
        assert_eq!(near("9-3", None, 2), (vec![5, 3], true));
        assert_eq!(near("900", None, 9), (vec![1, 5, 3, 2], false));
    }
}
