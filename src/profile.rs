//! What the user's time is worth, what they can do, and what they want.
//!
//! A profile is a TOML file; every key is optional, and a missing one has the
//! value of [`Profile::default`]. [`Profile::commented`] writes the default
//! with an explanation above each key. The keys stand in one registry
//! ([`keys::KEYS`]) that reading and writing share.

use std::borrow::Cow;
use std::collections::BTreeMap;

use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use crate::lexicon::skills::Skills;
use crate::units::{Chance, Currency, DistanceUnit, HourlyRate, Hours, KM_PER_MILE, Miles, Money};

pub mod keys;
mod read;

pub use read::ProfileError;

/// The user's own figures. Amounts are in [`Profile::currency`]; rates per
/// distance are per mile here, whatever unit the file used.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// The money of all figures.
    pub currency: Currency,
    /// The unit that distances are written in, here and in reports.
    pub distance_unit: DistanceUnit,
    /// What an hour of the user's own work is worth.
    pub hour_value: HourlyRate,
    /// What an hour in a workshop costs.
    pub shop_rate: HourlyRate,
    /// Hours a workshop takes for one hour of the home mechanic. Above 0.
    pub shop_hours_factor: Decimal,
    /// Codes of `skills.csv` that the user has.
    pub skills: Vec<String>,
    /// Codes of `skills.csv` (kind `tool`) that the user has or can borrow.
    pub tools: Vec<String>,
    /// Whether parts are bought at a salvage yard where that is usual.
    pub buys_used_parts: bool,
    /// Local price level of parts: 1 is that of the tables. Above 0.
    pub parts_factor: Decimal,
    /// How likely a fault is that the seller only suspects.
    pub suspect_chance: Chance,
    /// Correlation between the costs of two jobs on one car: a car that
    /// turns out rusty and seized is dear in all of them.
    pub job_correlation: Chance,
    /// Distance to the seller where the ad's place is not among `distances_to`.
    pub distance_to_seller: Miles,
    /// Distance to places, by their names in lower case.
    pub distances_to: BTreeMap<String, Miles>,
    /// Cost of a mile driven to view and fetch a car (each way counts).
    pub travel_per_mile: Money,
    /// Fixed part of towing or hiring a trailer, where the car does not drive.
    pub trailer_base: Money,
    /// Part of it that grows with the distance, a mile one way.
    pub trailer_per_mile: Money,
    /// Title and registration of one car.
    pub registration_fee: Money,
    /// Roadworthiness and emissions test of one car.
    pub inspection_fee: Money,
    /// Ads, and what else selling one car costs.
    pub selling_cost: Money,
    /// The user's hours to clean, photograph and show one car.
    pub prepare_hours: Hours,
    /// Materials for that.
    pub prepare_cost: Money,
    /// The least margin that makes a car worth the trouble.
    pub wanted_margin: Money,
    /// The chance of losing money that is still accepted.
    pub loss_limit: Chance,
    /// What the scrap yard pays for a complete car, a ton.
    pub scrap_per_ton: Money,
    /// Which ton that is.
    pub scrap_ton: Ton,
    /// Whether the user breaks cars for parts where that pays.
    pub breaks_cars: bool,
}

/// The ton a scrap price is quoted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ton {
    /// 2,000 lb, usual in the United States.
    Short,
    /// 2,240 lb.
    Long,
    /// 1,000 kg.
    Metric,
}

impl Ton {
    /// All tons.
    pub const ALL: &'static [Ton] = &[Ton::Short, Ton::Long, Ton::Metric];

    /// The word used in the profile.
    pub const fn word(self) -> &'static str {
        match self {
            Ton::Short => "short",
            Ton::Long => "long",
            Ton::Metric => "metric",
        }
    }

    /// Its weight in pounds (one pound is exactly 0.45359237 kg).
    pub const fn pounds(self) -> f64 {
        match self {
            Ton::Short => 2_000.0,
            Ton::Long => 2_240.0,
            Ton::Metric => 1_000.0 / 0.453_592_37,
        }
    }
}

impl Default for Profile {
    /// Someone with hand tools at home in the United States. All figures are
    /// common practice of the 2010s and 2020s, from memory: they are there to
    /// be replaced by one's own.
    fn default() -> Self {
        let words = |list: &[&str]| list.iter().map(|s| (*s).to_owned()).collect();
        Profile {
            currency: Currency::Usd,
            distance_unit: DistanceUnit::Miles,
            hour_value: HourlyRate(Money::whole(15)),
            shop_rate: HourlyRate(Money::whole(90)),
            shop_hours_factor: Decimal::new(7, 1),
            skills: words(&[
                "basic",
                "brakes",
                "cooling",
                "electrical",
                "engine",
                "exhaust",
                "fuel",
                "interior",
                "suspension",
                "transmission",
            ]),
            tools: words(&[
                "code_reader",
                "engine_hoist",
                "jack_stands",
                "joint_press",
                "multimeter",
                "puller",
                "spring_compressor",
                "torque_wrench",
                "transmission_jack",
            ]),
            buys_used_parts: true,
            parts_factor: Decimal::ONE,
            suspect_chance: Chance::HALF,
            job_correlation: Chance::QUARTER,
            distance_to_seller: Miles(30),
            distances_to: BTreeMap::new(),
            travel_per_mile: Money::new(Decimal::new(50, 2)),
            trailer_base: Money::whole(60),
            trailer_per_mile: Money::whole(2),
            registration_fee: Money::whole(80),
            inspection_fee: Money::whole(40),
            selling_cost: Money::whole(40),
            prepare_hours: Hours::new(Decimal::from(4)),
            prepare_cost: Money::whole(25),
            wanted_margin: Money::whole(500),
            loss_limit: Chance::FIFTH,
            scrap_per_ton: Money::whole(200),
            scrap_ton: Ton::Short,
            breaks_cars: false,
        }
    }
}

impl Profile {
    /// Reads a profile; `name` stands for the file in messages.
    ///
    /// Words of `skills` and `tools` are taken as they are, because the table
    /// that they come from may be the user's own: see [`Profile::parse_checked`].
    ///
    /// # Errors
    /// What is wrong, with file and line: no TOML, an unknown key, a value of
    /// the wrong kind, a negative rate, a chance outside 0 to 1.
    pub fn parse(name: &str, text: &str) -> Result<Self, ProfileError> {
        read::parse(name, text, None)
    }

    /// Reads a profile and looks its skills and tools up in the table.
    ///
    /// # Errors
    /// As [`Profile::parse`], and for a skill or tool the table does not have.
    pub fn parse_checked(name: &str, text: &str, skills: &Skills) -> Result<Self, ProfileError> {
        read::parse(name, text, Some(skills))
    }

    /// Takes the value of one key, written as in the file; a word may go without
    /// its quotes.
    ///
    /// # Errors
    /// What is wrong with the value, and what would do.
    pub fn set(
        &mut self,
        key: &keys::Key,
        value: &str,
        skills: Option<&Skills>,
    ) -> Result<(), String> {
        read::set(self, key, value, skills)
    }

    /// The default profile as a file with an explanation above each key.
    pub fn commented() -> String {
        keys::commented(&Profile::default())
    }

    /// Whether the user has this skill.
    pub fn has_skill(&self, code: &str) -> bool {
        self.skills.iter().any(|s| s == code)
    }

    /// Whether the user has this tool or can borrow it.
    pub fn has_tool(&self, code: &str) -> bool {
        self.tools.iter().any(|t| t == code)
    }

    /// How far away a place is, as an ad names it; none where the user has not
    /// said.
    pub fn distance_to(&self, place: Option<&str>) -> Option<Miles> {
        let place = keys::place_key(place?);
        self.distances_to.get(&place).copied()
    }

    /// The figures for a car that stands at a place.
    pub fn at(&self, place: Option<&str>) -> Cow<'_, Profile> {
        match self.distance_to(place) {
            None => Cow::Borrowed(self),
            Some(distance) => Cow::Owned(Profile {
                distance_to_seller: distance,
                ..self.clone()
            }),
        }
    }

    /// The scrap price by the ton of 2,000 lb, whichever ton it was quoted in.
    pub fn scrap_per_short_ton(&self) -> Money {
        let factor = Ton::Short.pounds() / self.scrap_ton.pounds();
        self.scrap_per_ton
            .times(Decimal::from_f64(factor).unwrap_or(Decimal::ONE))
    }

    /// An amount per written distance unit, as an amount per mile.
    fn per_mile(unit: DistanceUnit, rate: Decimal) -> Decimal {
        match unit {
            DistanceUnit::Miles => rate,
            // Exact: KM_PER_MILE has seven digits.
            DistanceUnit::Km => {
                rate * Decimal::from_f64_retain(KM_PER_MILE)
                    .map_or(Decimal::ONE, |factor| factor.round_dp(6))
            }
        }
    }

    /// An amount per mile, as it is written in the profile's distance unit.
    fn per_unit(&self, rate: Money) -> Decimal {
        let factor = Profile::per_mile(self.distance_unit, Decimal::ONE);
        let written = rate.amount().checked_div(factor).unwrap_or(rate.amount());
        written.round_dp(6).normalize()
    }
}
