//! How a price model is fitted, and what it supposes before it sees data.

use super::date::SaleDate;

/// How residuals count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Loss {
    /// Huber's loss: squares near zero, absolute values beyond
    /// [`HUBER_TUNING`] robust deviations, so that a few odd prices cannot pull
    /// the fit (Huber 1964, Annals of Mathematical Statistics 35(1)).
    #[default]
    Huber,
    /// Least squares.
    Squares,
}

/// What is regressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scale {
    /// The logarithm of the price: effects are shares of the price.
    #[default]
    Log,
    /// The price itself: effects are amounts.
    Plain,
}

/// Whether makes, models and the curve of the class lend each other strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pooling {
    /// Partial pooling: class, make, model and variant are random effects
    /// around the curve of `worth.csv` (Laird and Ware 1982, Biometrics 38(4);
    /// Gelman and Hill 2007, chapter 12).
    #[default]
    Partial,
    /// One line through all rows, with no curve and no prior: the ordinary
    /// regression, for comparison with published fits.
    None,
}

/// How to fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// The date that worth is told for, and that ages are counted to for cars
    /// without a date of their own.
    pub as_of: SaleDate,
    /// The share of an asked price that usually comes off, 0 to 1 (`give.csv`):
    /// what asked prices stand above sold ones where the data hold no both.
    pub asked_give: f64,
    /// How residuals count.
    pub loss: Loss,
    /// What is regressed.
    pub scale: Scale,
    /// Whether groups lend each other strength.
    pub pooling: Pooling,
}

impl Options {
    /// The usual way, with ages counted to a year or date, and asked prices
    /// taken as they stand.
    pub fn new(as_of: impl Into<SaleDate>) -> Self {
        Options {
            as_of: as_of.into(),
            asked_give: 0.0,
            loss: Loss::default(),
            scale: Scale::default(),
            pooling: Pooling::default(),
        }
    }
}

/// Tuning constant of Huber's loss: 95 % efficiency where errors are normal
/// (Holland and Welsch 1977, Communications in Statistics A6(9)).
pub const HUBER_TUNING: f64 = 1.345;

/// The median absolute deviation of a normal variable is this times its
/// standard deviation (the 75 % point of the normal distribution).
pub const MAD_TO_DEVIATION: f64 = 0.674_489_750_196_081_7;

/// Cars older than this count as this old: beyond it price follows rarity and
/// not age.
pub const OLDEST_AGE: f64 = 35.0;

/// Age is measured in decades from this age, where most cars of this trade are,
/// so that slopes of makes and models say little about their level.
pub(super) const AGE_ORIGIN: f64 = 8.0;

/// Distance beyond the usual counts up to this, in 10,000 miles either way.
pub(super) const FARTHEST_BEYOND: f64 = 15.0;

/// A distance above this is taken for a slip of the pen and not used.
pub(super) const ABSURD_MILES: u32 = 700_000;

/// Cars of one age differ in distance by about this share of the usual
/// distance (standard deviation; from memory).
pub(super) const DISTANCE_SPREAD: f64 = 0.4;

/// Smallest and largest price that is taken for one.
pub(super) const PRICE_LIMITS: (f64, f64) = (20.0, 10_000_000.0);

/// Dates count up to this many years away from the one that worth is told for.
pub(super) const FARTHEST_DATE: f64 = 10.0;
