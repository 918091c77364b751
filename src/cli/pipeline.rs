//! The stages in order, over all listings of a run.

use rayon::prelude::*;

use super::as_of;
use super::config::{FigureConfig, InputConfig};
use super::error::CliError;
use super::notes::{Note, first_rejects};
use crate::costing::Costing;
use crate::intake::{self, Listing, Reject};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Appraiser, Sort};
use crate::profile::Profile;
use crate::reading::{Kind, Reader, Reading};
use crate::report::Basis;
use crate::units::{ModelYear, Money};
use crate::worth::{self, Comparable, ComparablesFile, PriceModel, Scrap, Subject};

/// Listings with what they say, in the order of the files.
#[derive(Debug)]
pub struct Batch {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What each says.
    pub readings: Vec<Reading>,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// A batch with everything worked out.
#[derive(Debug)]
pub struct Appraised {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What was worked out of each, in the same order.
    pub appraisals: Vec<Appraisal>,
    /// What the figures rest on.
    pub basis: Basis,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// Files to readings.
///
/// # Errors
/// A file that cannot be used at all.
pub fn read(config: &InputConfig) -> Result<Batch, CliError> {
    let options = intake::Options {
        columns: config.columns.clone(),
    };
    let intake = intake::read_all(&config.files, &options, &config.lexicon)?;
    let reader = Reader::new(&config.lexicon);
    let readings = intake.listings.par_iter().map(|l| reader.read(l)).collect();
    let mut notes: Vec<Note> = intake
        .warnings
        .iter()
        .map(|w| Note::File { what: w.to_string() })
        .collect();
    notes.extend(first_rejects(&intake.rejects, config.rejects.is_some()));
    Ok(Batch {
        listings: intake.listings,
        readings,
        rejects: intake.rejects,
        notes,
    })
}

/// Readings to appraisals, each in the place of its listing.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn appraise(
    batch: Batch,
    config: &FigureConfig,
    lexicon: &Lexicon,
    sort: Sort,
) -> Result<Appraised, CliError> {
    let Batch {
        listings,
        readings,
        rejects,
        mut notes,
    } = batch;
    let profile = &config.profile;
    let (as_of, from) = config.as_of.map_or_else(
        || {
            let (year, from) = as_of::found(&listings, &readings);
            notes.push(Note::AsOf {
                year,
                from: from.clone(),
            });
            (year, from)
        },
        |given| (given.0, "as given".to_owned()),
    );
    let market = Market::new(config, lexicon, as_of, &readings, &mut notes)?;
    let costing = Costing::new(profile, lexicon);
    let appraiser = Appraiser::new(profile, lexicon);
    let appraisals = readings
        .into_par_iter()
        .enumerate()
        .map(|(i, reading)| {
            let class = class_of(&reading, lexicon);
            let is_car = reading.kind == Kind::Car;
            let worth = is_car.then(|| market.worth(i, &reading, class)).flatten();
            let bill = is_car.then(|| costing.bill(&reading, class, worth.as_ref()));
            appraiser.appraise(reading, bill, worth)
        })
        .collect();
    Ok(Appraised {
        listings,
        appraisals,
        basis: Basis::new(as_of, &from, profile, sort),
        rejects,
        notes,
    })
}

/// What cars of a run are worth.
struct Market<'a> {
    model: PriceModel,
    /// For each listing its position among the comparables, where it is one.
    own: Vec<Option<usize>>,
    profile: &'a Profile,
    lexicon: &'a Lexicon,
}

impl<'a> Market<'a> {
    fn new(
        config: &'a FigureConfig,
        lexicon: &'a Lexicon,
        as_of: ModelYear,
        readings: &[Reading],
        notes: &mut Vec<Note>,
    ) -> Result<Self, CliError> {
        let profile = &config.profile;
        let mut own = vec![None; readings.len()];
        let mut sound = Vec::new();
        for (reading, own) in readings.iter().zip(&mut own) {
            if let Some(car) = sound_car(reading, profile, lexicon) {
                *own = Some(sound.len());
                sound.push(car);
            }
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
        let basis = worth::Basis::choose(file.as_ref(), &sound);
        if basis.origin != worth::Origin::Batch {
            own.fill(None);
        }
        notes.extend(basis.warning.iter().map(|w| Note::File {
            what: w.to_string(),
        }));
        let options = worth::Options::new(as_of);
        Ok(Market {
            model: PriceModel::fit(basis.rows, basis.origin, &lexicon.curves, &options),
            own,
            profile,
            lexicon,
        })
    }

    /// What the car at this place of the batch is worth.
    fn worth(&self, place: usize, reading: &Reading, class: Option<&str>) -> Option<worth::Worth> {
        let classes = &self.lexicon.classes;
        let weight = class.and_then(|c| classes.find(c));
        let scrap = Scrap {
            curb_weight_lb: weight.unwrap_or_else(|| classes.reference()).curb_weight_lb,
            per_ton: self.profile.scrap_per_ton,
        };
        let subject = Subject {
            make: reading.make.clone(),
            model: reading.model.clone(),
            class: class.map(str::to_owned),
            year: reading.year,
            miles: reading.miles,
            body: None,
            engine: None,
            title: reading.title,
        };
        let own = self.own.get(place).copied().flatten();
        self.model.estimate(&subject, &self.lexicon.titles, &scrap, own)
    }
}
