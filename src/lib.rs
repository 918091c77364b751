//! `fixworth` reads saved ads for cars that need work and says what is left
//! after the repair.
//!
//! One direction: [`intake`] (files to listings) → [`reading`] (text to
//! claims) → [`history`] (ads of many weeks to cars) → [`costing`] (claims to
//! jobs and money) → [`worth`] (value once right, and the floor) → [`margin`]
//! (range, ceiling, rank) → [`report`].
//! Each stage takes the type before it and gives its own; none looks back.
//! What the trade knows lives in the tables of [`lexicon`], what the user
//! wants in the [`profile`]; [`sensitivity`] works one car out anew with
//! something supposed otherwise; [`plan`] chooses cars under limits; [`warnings`]
//! says what to distrust, and the [`ledger`] what came of it; [`upkeep`] helps to
//! keep the tables.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod aside;
pub mod cli;
pub mod costing;
pub mod day;
pub mod history;
pub mod intake;
pub mod kerb;
pub mod ledger;
pub mod lexicon;
pub mod margin;
pub mod plan;
pub mod profile;
pub mod reading;
pub mod report;
pub mod safe_text;
pub mod sensitivity;
pub mod units;
pub mod upkeep;
pub mod warnings;
pub mod worth;
