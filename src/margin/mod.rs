//! What is left: margin with its range, ceiling, first offer, and the order of
//! the shortlist.

pub mod appraisal;
mod appraiser;
mod bound;
pub mod information;
pub mod offer;
pub mod order;
pub mod position;
pub mod question;
pub mod spread;
mod sum;
mod unknown;
mod verdict;

pub use appraisal::{Action, Appraisal, Step, Unknown};
pub use appraiser::Appraiser;
pub use bound::Bound;
pub use offer::{TalkingPoint, opening};
pub use order::Sort;
pub use position::{Limits, Position};
pub use question::Question;
pub use spread::{AtPrice, Spread, Standing};
pub use sum::fetching;
