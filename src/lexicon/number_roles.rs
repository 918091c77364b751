//! What a number is, by the words beside it.

use serde::{Deserialize, Serialize};

/// What a number beside this phrase is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum NumberRole {
    /// The price asked now.
    Ask,
    /// A price that was asked before.
    Was,
    /// A price paid, spent, quoted, offered, of a part, a book value: not the
    /// price asked.
    OtherMoney,
    /// A down payment or a rate.
    Deposit,
    /// What has been bid so far, or a bid has to reach: not the price asked.
    Bid,
    /// The car's distance.
    Distance,
    /// A distance that is not the car's: of a belt change, to town.
    OtherDistance,
    /// The distance of an engine or a gearbox out of another car.
    DonorDistance,
    /// The distance on the car when a job was done: `replaced at`.
    JobDistance,
    /// The distance on the car when its odometer was exchanged.
    SwapDistance,
    /// The distance driven since a job: `3k ago`, `5k on them`.
    SinceJob,
    /// Somewhere before it in the sentence: it was the distance in the past.
    PastDistance,
    /// A unit of distance: miles.
    UnitMiles,
    /// A unit of distance: kilometres.
    UnitKm,
    /// Neither money nor distance: litres, phone, sizes.
    Neither,
    /// Not exact: `about`.
    Approximate,
    /// Part of a number plate that tells the year: `08 plate`.
    Plate,
    /// The car's model year: `year`, `it's a`.
    ModelYear,
    /// Stands between an old price and the new one: `from 900 to 800`.
    Lowered,
    /// Goes before a price as before much else: `only`.
    PerhapsAsk,
}

impl NumberRole {
    /// Every role.
    pub const ALL: [NumberRole; 20] = [
        NumberRole::Ask,
        NumberRole::Was,
        NumberRole::OtherMoney,
        NumberRole::Deposit,
        NumberRole::Bid,
        NumberRole::Distance,
        NumberRole::OtherDistance,
        NumberRole::DonorDistance,
        NumberRole::JobDistance,
        NumberRole::SwapDistance,
        NumberRole::SinceJob,
        NumberRole::PastDistance,
        NumberRole::UnitMiles,
        NumberRole::UnitKm,
        NumberRole::Neither,
        NumberRole::Approximate,
        NumberRole::Plate,
        NumberRole::ModelYear,
        NumberRole::Lowered,
        NumberRole::PerhapsAsk,
    ];

    /// The role of a word of `numbers.csv`.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|role| role.word() == word)
    }

    /// Its word in `numbers.csv`.
    pub fn word(self) -> &'static str {
        match self {
            NumberRole::Ask => "ask",
            NumberRole::Was => "was",
            NumberRole::OtherMoney => "other_money",
            NumberRole::Deposit => "deposit",
            NumberRole::Bid => "bid",
            NumberRole::Distance => "distance",
            NumberRole::OtherDistance => "other_distance",
            NumberRole::DonorDistance => "donor_distance",
            NumberRole::JobDistance => "job_distance",
            NumberRole::SwapDistance => "swap_distance",
            NumberRole::SinceJob => "since_job",
            NumberRole::PastDistance => "past_distance",
            NumberRole::UnitMiles => "unit_miles",
            NumberRole::UnitKm => "unit_km",
            NumberRole::Neither => "neither",
            NumberRole::Approximate => "approximate",
            NumberRole::Plate => "plate",
            NumberRole::ModelYear => "model_year",
            NumberRole::Lowered => "lowered",
            NumberRole::PerhapsAsk => "perhaps_ask",
        }
    }

    /// Whether it may stand beside another role of the same phrase, since it
    /// does not say which kind of number it is.
    pub const fn is_beside(self) -> bool {
        matches!(
            self,
            NumberRole::Approximate
                | NumberRole::Lowered
                | NumberRole::ModelYear
                | NumberRole::PerhapsAsk
        )
    }
}

/// A number cue and on which side of the number it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct NumberCue {
    /// What the number is.
    pub role: NumberRole,
    /// Whether the phrase stands before the number or after it.
    pub before: bool,
}
