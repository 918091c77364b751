//! What is kept of every ad to tell what its car can count for at most: most
//! cars of a long list are settled by that, and their ads need not be taken
//! back and read again.

use std::collections::HashMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::bench::{Bench, Least};
use crate::margin::Sort;
use crate::reading::{Kind, Reading, Title};
use crate::units::{Miles, ModelYear, Money};
use crate::worth::Subject;

/// Make and model as they are read.
type Name = (Option<Box<str>>, Option<Box<str>>);

/// One ad. A million of them are held: they are small.
#[derive(Debug, Clone, Copy)]
struct Row {
    /// The price that it can be had for, the usual give counted; some where
    /// there is one in the user's money. Rounded down, so that no car counts for
    /// more than is told of it here.
    price: Option<u32>,
    miles: Option<Miles>,
    /// Place among the names.
    name: u32,
    year: Option<ModelYear>,
    title: Title,
    kind: Kind,
}

/// The ads of a run, in its order.
#[derive(Debug, Default)]
pub(super) struct Prospects {
    names: Vec<Name>,
    numbers: HashMap<Name, u32>,
    rows: Vec<Row>,
}

/// What an ad tells for this.
pub(super) struct Prospect {
    name: Name,
    row: Row,
}

/// A car that is for sale, as far as a prospect tells of it.
pub(super) struct Outline<'a> {
    pub make: Option<&'a str>,
    pub model: Option<&'a str>,
    pub year: Option<ModelYear>,
    pub miles: Option<Miles>,
    pub title: Title,
    pub price: Option<Money>,
}

impl<'a> Outline<'a> {
    /// That of a car that is read, without a price.
    pub fn of(reading: &'a Reading) -> Self {
        Outline {
            make: reading.make.as_deref(),
            model: reading.model.as_deref(),
            year: reading.year,
            miles: reading.miles,
            title: reading.title,
            price: None,
        }
    }

    /// The car to be valued.
    pub fn subject(&self, class: Option<&str>) -> Subject {
        let owned = |text: Option<&str>| text.map(str::to_owned);
        Subject {
            make: owned(self.make),
            model: owned(self.model),
            class: owned(class),
            year: self.year,
            miles: self.miles,
            body: None,
            engine: None,
            title: self.title,
        }
    }
}

impl Prospect {
    /// That of an ad that can be had for a price.
    pub fn of(reading: &Reading, price: Option<Money>) -> Self {
        let name = |text: &Option<String>| text.as_deref().map(Box::from);
        Prospect {
            name: (name(&reading.make), name(&reading.model)),
            row: Row {
                price: price.map(whole),
                miles: reading.miles,
                name: 0,
                year: reading.year,
                title: reading.title,
                kind: reading.kind,
            },
        }
    }
}

impl Prospects {
    /// Adds the next ad of the run.
    pub fn add(&mut self, prospect: Prospect) {
        let next = self.names.len() as u32;
        let number = match self.numbers.get(&prospect.name) {
            Some(number) => *number,
            None => {
                self.names.push(prospect.name.clone());
                self.numbers.insert(prospect.name, next);
                next
            }
        };
        self.rows.push(Row {
            name: number,
            ..prospect.row
        });
    }

    /// The most that the car of this ad, that stands in no other, can count
    /// for in this order, whatever else the ad says.
    pub fn at_most(&self, ad: u32, place: usize, bench: &Bench<'_>, sort: Sort) -> Option<Money> {
        let row = &self.rows[ad as usize];
        if row.kind != Kind::Car {
            return None;
        }
        let (make, model) = &self.names[row.name as usize];
        let outline = Outline {
            make: make.as_deref(),
            model: model.as_deref(),
            year: row.year,
            miles: row.miles,
            title: row.title,
            price: row.price.map(|price| Money::whole(i64::from(price))),
        };
        bench.outline_at_most(place, &outline, sort)
    }

    /// Whether that is less than is wanted.
    pub fn counts_less(&self, ad: u32, place: usize, bench: &Bench<'_>, least: &Least) -> bool {
        self.at_most(ad, place, bench, least.sort) < least.counted
    }
}

/// Whole units of an amount, rounded down.
fn whole(price: Money) -> u32 {
    let floor = price.amount().floor().max(Decimal::ZERO);
    floor.to_u32().unwrap_or(u32::MAX)
}
