//! What is left: margin with its range, ceiling, first offer, and the order of
//! the shortlist.

pub mod appraisal;

pub use appraisal::{Action, Appraisal, Step};
