//! The stages in order, over all listings of a run.

use rayon::prelude::*;

use super::as_of;
use super::config::{FigureConfig, InputConfig};
use super::desk::Desk;
use super::error::CliError;
use super::market::Market;
use super::notes::{Note, first_rejects};
use crate::intake::{self, Listing, Reject};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Sort};
use crate::reading::Reading;
use crate::reading::reader::{Reader, Scratch};
use crate::report::Basis;
use crate::units::DistanceUnit;

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

/// Files to readings; `unit` is that of distances where an ad does not say.
///
/// # Errors
/// A file that cannot be used at all.
pub fn read(config: &InputConfig, unit: DistanceUnit) -> Result<Batch, CliError> {
    let options = intake::Options {
        columns: config.columns.clone(),
    };
    let intake = intake::read_all(&config.files, &options, &config.lexicon)?;
    let reader = Reader::new(&config.lexicon, unit);
    let readings = intake
        .listings
        .par_iter()
        // So that what one worker keeps from ad to ad is worth keeping.
        .with_min_len(256)
        .map_init(Scratch::default, |scratch, l| reader.read_with(l, scratch))
        .collect();
    let mut notes: Vec<Note> = intake
        .warnings
        .iter()
        .map(|w| Note::File {
            what: w.to_string(),
        })
        .collect();
    notes.extend(first_rejects(&intake.rejects, config.rejects.is_some()));
    Ok(Batch {
        listings: intake.listings,
        readings,
        rejects: intake.rejects,
        notes,
    })
}

/// A batch with what it takes to appraise any of its cars.
pub struct Ready<'a> {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What each says.
    pub readings: Vec<Reading>,
    /// Works out what is left of one.
    pub desk: Desk<'a>,
    /// What the figures rest on.
    pub basis: Basis,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
}

/// Readings to appraisals, each in the place of its listing. What was found at
/// a car is weighed in.
///
/// # Errors
/// A file of comparables or findings that cannot be used at all.
pub fn appraise(
    batch: Batch,
    config: &FigureConfig,
    lexicon: &Lexicon,
    sort: Sort,
) -> Result<Appraised, CliError> {
    let Ready {
        listings,
        readings,
        desk,
        basis,
        rejects,
        mut notes,
    } = ready(batch, config, lexicon, sort)?;
    let findings = config.findings(lexicon)?;
    notes.extend(findings.of_no_ad(&listings).into_iter().map(Note::no_ad));
    let appraisals = readings
        .into_par_iter()
        .zip(&listings)
        .enumerate()
        .map(|(place, (reading, listing))| {
            desk.appraise(place, desk.weighed(reading, &findings.of_ad(listing)).0)
        })
        .collect();
    Ok(Appraised {
        listings,
        appraisals,
        basis,
        rejects,
        notes,
    })
}

/// A batch made ready: the prices fitted, nothing appraised yet.
///
/// # Errors
/// A file of comparables that cannot be used at all.
pub fn ready<'a>(
    batch: Batch,
    config: &'a FigureConfig,
    lexicon: &'a Lexicon,
    sort: Sort,
) -> Result<Ready<'a>, CliError> {
    let Batch {
        listings,
        readings,
        rejects,
        mut notes,
    } = batch;
    let profile = &config.profile;
    let said = notes.len();
    let (as_of, from) = config.as_of.map_or_else(
        || {
            let (date, from) = as_of::found(&listings, &readings);
            notes.push(Note::AsOf {
                year: date.year,
                from: from.clone(),
            });
            (date, from)
        },
        |given| (given.0, "as given".to_owned()),
    );
    let market = Market::new(config, lexicon, as_of, &readings, &mut notes)?;
    if listings.is_empty() {
        // What figures rest on matters to nobody where there are none.
        notes.truncate(said);
    }
    Ok(Ready {
        listings,
        readings,
        desk: Desk::new(market, lexicon, profile),
        basis: Basis::new(as_of.year, &from, profile, sort),
        rejects,
        notes,
    })
}
