//! What is left: margin with its range, ceiling, first offer, and the order of
//! the shortlist.

pub mod appraisal;
mod appraiser;
pub mod order;
pub mod position;
mod sum;
mod unknown;
mod verdict;

pub use appraisal::{Action, Appraisal, Step, Unknown};
pub use appraiser::Appraiser;
pub use order::Sort;
pub use sum::fetching;
