//! What the car is worth once right, and what it fetches if it never is.

pub mod estimate;

pub use estimate::{Comparable, Subject, Worth, WorthBasis};
