//! What the cars of a run are worth: the comparables and the model fitted to
//! them.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::config::FigureConfig;
use super::error::CliError;
use super::notes::{Note, first_problems};
use super::prospects::Outline;
use crate::lexicon::Lexicon;
use crate::lexicon::parts::PartId;
use crate::lexicon::vehicles::VehicleName;
use crate::profile::Profile;
use crate::reading::{AskBasis, Reading};
use crate::units::{ModelYear, Money};
use crate::worth::parting::as_told;
use crate::worth::{
    self, Comparable, ComparablesFile, Condition, Named, PriceBasis, PriceModel, SaleDate, Scrap,
    Subject, part_out,
};

/// Stands for no position.
const NONE: u32 = u32::MAX;

/// What cars of a run are worth.
pub struct Market<'a> {
    model: PriceModel,
    /// What the model was fitted to.
    #[cfg(feature = "page")]
    comparables: Vec<Comparable>,
    /// For each car its position among the comparables, where it is one; empty
    /// where the cars of the run are none.
    own: Vec<u32>,
    lexicon: &'a Lexicon,
}

impl<'a> Market<'a> {
    /// Fits the prices: to the file of comparables where it has rows enough,
    /// else to the sound cars of the run, else to the general curve. `cars` are
    /// those of the run in order: what [`sound_car`] makes of each.
    ///
    /// # Errors
    /// A file of comparables that cannot be used at all.
    pub fn new(
        config: &'a FigureConfig,
        lexicon: &'a Lexicon,
        as_of: SaleDate,
        cars: impl Iterator<Item = Option<Comparable>>,
        notes: &mut Vec<Note>,
    ) -> Result<Self, CliError> {
        let profile = &config.profile;
        let mut own = Vec::new();
        let mut sound = Vec::new();
        for car in cars {
            own.push(car.as_ref().map_or(NONE, |_| sound.len() as u32));
            sound.extend(car);
        }
        let file = config
            .comparables
            .as_deref()
            .map(|path| {
                let options = worth::ReadOptions {
                    headers: &lexicon.comparable_headers,
                    distance_unit: profile.distance_unit,
                    names: &|make, model| named(make, model, lexicon),
                };
                ComparablesFile::read(path, &options)
            })
            .transpose()?;
        notes.extend(file.iter().flat_map(first_problems));
        let basis = worth::Basis::choose(file.as_ref(), &sound);
        if basis.origin != worth::Origin::Batch {
            own = Vec::new();
        }
        notes.extend(basis.warning.iter().map(|w| Note::File {
            what: w.to_string(),
        }));
        let give = lexicon.give.get(AskBasis::Plain).give;
        let options = worth::Options {
            asked_give: give.to_f64().unwrap_or_default(),
            ..worth::Options::new(as_of)
        };
        Ok(Market {
            model: PriceModel::fit(basis.rows, basis.origin, &lexicon.curves, &options),
            #[cfg(feature = "page")]
            comparables: basis.rows.to_vec(),
            own,
            lexicon,
        })
    }

    /// What the car at this place of the batch is worth to this user.
    pub fn worth(
        &self,
        place: usize,
        reading: &Reading,
        class: Option<&str>,
        profile: &Profile,
    ) -> Option<worth::Worth> {
        let (subject, scrap) = self.subject(reading, class, profile);
        let titles = &self.lexicon.titles;
        let worth = self
            .model
            .estimate(&subject, titles, &scrap, self.own(place))?;
        if !profile.breaks_cars {
            return Some(worth);
        }
        let classes = &self.lexicon.classes;
        let class = class.and_then(|c| classes.find(c));
        let class = class.unwrap_or_else(|| classes.reference());
        let bad = as_told(reading, profile);
        let condition = condition(reading, &bad);
        Some(worth.or_broken(&part_out(&condition, class, self.lexicon, profile)))
    }

    /// What a car is worth at most, once right and as it stands, for all that
    /// an outline tells. Not for users who break cars: what parts bring hangs
    /// on all that is told.
    pub fn most(
        &self,
        place: usize,
        car: &Outline<'_>,
        profile: &Profile,
    ) -> Option<(Money, Money)> {
        let class = class_by_name(car.make, car.model, car.year, self.lexicon);
        let subject = car.subject(class);
        let scrap = Scrap::complete(self.weight(class), profile.scrap_per_short_ton());
        let titles = &self.lexicon.titles;
        let right = self
            .model
            .at_most(&subject, titles, &scrap, self.own(place))?;
        Some((right, scrap.floor()))
    }

    /// What stands around that worth, with no more than `most` comparables.
    #[cfg(feature = "page")]
    pub fn around(
        &self,
        place: usize,
        reading: &Reading,
        class: Option<&str>,
        profile: &Profile,
        most: usize,
    ) -> Option<worth::Around> {
        let (subject, scrap) = self.subject(reading, class, profile);
        let titles = &self.lexicon.titles;
        let (given, own) = (&self.comparables, self.own(place));
        self.model
            .around(given, &subject, titles, &scrap, own, most)
    }

    /// The position of a car among the comparables.
    fn own(&self, place: usize) -> Option<usize> {
        let own = self.own.get(place).filter(|own| **own != NONE);
        own.map(|own| *own as usize)
    }

    /// What cars of a class weigh, in pounds.
    fn weight(&self, class: Option<&str>) -> Decimal {
        let classes = &self.lexicon.classes;
        let class = class.and_then(|c| classes.find(c));
        class.unwrap_or_else(|| classes.reference()).curb_weight_lb
    }

    fn subject(
        &self,
        reading: &Reading,
        class: Option<&str>,
        profile: &Profile,
    ) -> (Subject, Scrap) {
        let bad = as_told(reading, profile);
        let condition = condition(reading, &bad);
        let scrap = Scrap::of(
            self.weight(class),
            profile.scrap_per_short_ton(),
            &condition,
            false,
            &self.lexicon.deductions,
        );
        (Outline::of(reading).subject(class), scrap)
    }
}

/// The state that a car is in, as told.
fn condition<'a>(reading: &Reading, bad: &'a dyn Fn(PartId) -> f64) -> Condition<'a> {
    Condition {
        title: reading.title,
        moves: reading.moves,
        bad,
    }
}

/// The class of the car that is read, where the model is known.
pub fn class_of<'a>(reading: &Reading, lexicon: &'a Lexicon) -> Option<&'a str> {
    class_by_name(
        reading.make.as_deref(),
        reading.model.as_deref(),
        reading.year,
        lexicon,
    )
}

fn class_by_name<'a>(
    make: Option<&str>,
    model: Option<&str>,
    year: Option<ModelYear>,
    lexicon: &'a Lexicon,
) -> Option<&'a str> {
    let model = lexicon.vehicles.find_model(make?, model?, year)?;
    Some(&model.class)
}

/// A sound car of the batch at the price that it should sell for: what is
/// usually given is taken off the ask. Prices in other money do not count.
pub(super) fn sound_car(
    reading: &Reading,
    profile: &Profile,
    lexicon: &Lexicon,
) -> Option<Comparable> {
    let same_money = reading
        .currency
        .is_none_or(|c| c.sign() == profile.currency.sign());
    let class = class_of(reading, lexicon);
    let car = Comparable::from_reading(reading, class, &lexicon.light_faults)?;
    let kept = Decimal::ONE - lexicon.give.get(reading.ask_basis).give;
    same_money.then(|| Comparable {
        price: Money::new((car.price.amount() * kept).round_dp(2)),
        // What comes off is off already, by how the very price is meant.
        basis: PriceBasis::Sold,
        ..car
    })
}

/// Usual names and class of a make and model as a file writes them; as written
/// where the tables do not know them.
fn named(make: &str, model: &str, lexicon: &Lexicon) -> Named {
    let vehicles = &lexicon.vehicles;
    let makes = vehicles.makes_of(&make.to_lowercase());
    let known = vehicles.names.get(&model.to_lowercase());
    let known = known.into_iter().flatten().find_map(|name| match name {
        VehicleName::Model { model, .. } => {
            let row = vehicles.model(*model);
            makes.contains(&row.make).then_some(row)
        }
        VehicleName::Make(_) => None,
    });
    let usual = makes.first().map_or(make, |id| vehicles.make(*id));
    Named {
        make: known
            .map_or(usual, |row| vehicles.make(row.make))
            .to_owned(),
        model: known.map_or(model, |row| &row.name).to_owned(),
        class: known.map(|row| row.class.clone()),
    }
}
