//! What does not fit together: a model year in which the model was not built,
//! a distance that the age does not allow.
//!
//! Who sells a car in the United States has to state whether the odometer
//! shows the actual distance, has gone past its mechanical limits, or is not to
//! be relied upon (49 CFR 580.5); an ad need not, so the figures are compared.
//! There is no clock here: the age is counted to the ad's own date, else to
//! the newest model year of the tables, and so is rather too low.

use super::model::{MilesBasis, Reading};
use crate::lexicon::vehicles::Vehicles;
use crate::units::ModelYear;

/// A year more than the tables say may be a late registration.
const YEARS_OFF: u16 = 1;
/// Common practice, from memory: odometers of five digits went out of use in
/// the course of the 1980s; later cars show six.
const LAST_OF_FIVE_DIGITS: u16 = 1989;
/// More miles in a year than anyone drives: 270 every day.
const MOST_A_YEAR: u32 = 100_000;
/// Fewer miles a year, on average, than a car in use: with five digits the
/// odometer has rather begun anew.
const FEWEST_WITH_FIVE: u32 = 1000;
/// Fewer than any car but a museum's; rather the thousands are left out.
const FEWEST_A_YEAR: u32 = 300;
/// Younger cars may have stood.
const AGE_TO_TELL: u32 = 8;

/// Adds what is to be doubted. `as_of` is the year of the ad; `vouched` says
/// that the seller calls the distance the original one.
pub(super) fn raise(
    reading: &mut Reading,
    vehicles: &Vehicles,
    as_of: Option<ModelYear>,
    vouched: bool,
) {
    year(reading, vehicles);
    distance(reading, as_of.unwrap_or(vehicles.newest_year()), vouched);
}

fn year(reading: &mut Reading, vehicles: &Vehicles) {
    let (Some(year), Some(make), Some(model)) = (reading.year, &reading.make, &reading.model)
    else {
        return;
    };
    let Some((first, last)) = vehicles.years_built(make, model) else {
        return;
    };
    if year.0 + YEARS_OFF < first.0 {
        reading.warnings.push(format!(
            "model year {year}, but the {model} was first built for {first}: compare with the \
             papers"
        ));
    } else if year.0 > last.0 + YEARS_OFF && last < vehicles.newest_year() {
        reading.warnings.push(format!(
            "model year {year}, but the {model} was last built for {last}: compare with the papers"
        ));
    }
}

fn distance(reading: &mut Reading, as_of: ModelYear, vouched: bool) {
    let (Some(year), Some(miles)) = (reading.year, reading.miles) else {
        return;
    };
    let age = u32::from(as_of.0.saturating_sub(year.0));
    let doubt = if miles.0 / (age + 1) >= MOST_A_YEAR {
        Some(format!(
            "{miles} miles is more than a car of {year} can have run: a figure may be mistyped"
        ))
    } else if vouched || reading.miles_basis == MilesBasis::Doubted {
        None
    } else if year.0 <= LAST_OF_FIVE_DIGITS && miles.0 < (FEWEST_WITH_FIVE * age).min(99_999) {
        Some(format!(
            "{miles} miles on a car of {year}: with five digits the odometer may have begun anew \
             at 100,000; ask for the statement of distance"
        ))
    } else if age >= AGE_TO_TELL && miles.0 < FEWEST_A_YEAR * age {
        Some(format!(
            "{miles} miles is little for a car of {year}: the last figures may be left out, or \
             the odometer is not the first"
        ))
    } else {
        None
    };
    if let Some(doubt) = doubt {
        reading.miles_basis = MilesBasis::Doubted;
        reading.warnings.push(doubt);
    }
}
