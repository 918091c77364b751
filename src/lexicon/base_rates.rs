//! How often a cheap car has a fault, before anything is told of it.

use std::collections::HashMap;

use rust_decimal::prelude::ToPrimitive;

use super::classes::Classes;
use super::parts::Parts;
use super::repairs::{JobRef, Repairs, share};
use super::table::{LexiconError, Row, Sheet};

/// Years of the typical cheap car that the rates are given for.
pub const TYPICAL_YEARS: f64 = 15.0;
/// Miles of the typical cheap car that the rates are given for.
pub const TYPICAL_MILES: f64 = 130_000.0;

/// No cause is likelier than this before anything is told.
const MOST: f64 = 0.8;
/// Age and distance count as if within these multiples of the typical ones.
const BOUNDS: (f64, f64) = (0.2, 2.5);

/// Age and distance of a car, as multiples of the typical cheap car's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wear {
    years: f64,
    miles: f64,
}

impl Wear {
    /// The wear of a car of these years and miles; typical where not known.
    pub fn new(years: Option<f64>, miles: Option<f64>) -> Self {
        let bounded = |ratio: f64| ratio.clamp(BOUNDS.0, BOUNDS.1);
        Wear {
            years: bounded(years.map_or(1.0, |y| y / TYPICAL_YEARS)),
            miles: bounded(miles.map_or(1.0, |m| m / TYPICAL_MILES)),
        }
    }
}

/// One row of `base_rates.csv`.
#[derive(Debug, Clone, PartialEq)]
struct Rate {
    rate: f64,
    by_age: f64,
    by_miles: f64,
    classes: Vec<(String, f64)>,
}

/// The rates of all jobs that are causes.
#[derive(Debug)]
pub struct BaseRates {
    rows: HashMap<JobRef, Rate>,
}

impl BaseRates {
    /// Reads and checks `base_rates.csv`.
    ///
    /// # Errors
    /// An unknown job or class, a job twice, a rate of 0 or over 0.8, a factor
    /// that is no number.
    pub fn read(
        sheet: &Sheet,
        parts: &Parts,
        repairs: &Repairs,
        classes: &Classes,
    ) -> Result<Self, LexiconError> {
        let mut rows: HashMap<JobRef, Rate> = HashMap::new();
        for row in sheet.rows() {
            let cause = repairs.of_cell(&row, "cause", parts)?;
            if rows.contains_key(&cause) {
                return Err(row.error("cause", "stands twice; remove one"));
            }
            row.required("source")?;
            row.required("rate")?;
            let rate = share(&row, "rate")?.to_f64().unwrap_or_default();
            if !(rate > 0.0 && rate <= MOST) {
                return Err(row.error(
                    "rate",
                    format!("{rate} is not above 0 and at most {MOST}; give a share of cars"),
                ));
            }
            let rate = Rate {
                rate,
                by_age: row.amount("by_age")?.to_f64().unwrap_or_default(),
                by_miles: row.amount("by_miles")?.to_f64().unwrap_or_default(),
                classes: factors(&row, classes)?,
            };
            rows.insert(cause, rate);
        }
        Ok(BaseRates { rows })
    }

    /// Whether a cause has a rate.
    pub fn knows(&self, cause: JobRef) -> bool {
        self.rows.contains_key(&cause)
    }

    /// How often a car of this wear and class has the fault: the typical
    /// cheap car's rate times the ratios of age and distance to their powers.
    pub fn rate(&self, cause: JobRef, wear: Wear, class: &str) -> f64 {
        let Some(row) = self.rows.get(&cause) else {
            return 0.0;
        };
        let class = row.classes.iter().find(|(name, _)| name == class);
        let factor = class.map_or(1.0, |(_, factor)| *factor);
        let grown = wear.years.powf(row.by_age) * wear.miles.powf(row.by_miles);
        (row.rate * factor * grown).min(MOST)
    }
}

fn factors(row: &Row<'_>, classes: &Classes) -> Result<Vec<(String, f64)>, LexiconError> {
    let mut out = Vec::new();
    for text in row.list("classes")? {
        let wrong = || row.error("classes", format!("'{text}' is not like european=1.4"));
        let (class, factor) = text.split_once('=').ok_or_else(wrong)?;
        let factor: f64 = factor.parse().map_err(|_| wrong())?;
        if !(factor.is_finite() && factor > 0.0) {
            return Err(wrong());
        }
        if classes.find(class).is_none() {
            let problem = format!("'{class}' is no class of classes.csv");
            return Err(row.error("classes", problem));
        }
        out.push((class.to_owned(), factor));
    }
    Ok(out)
}
