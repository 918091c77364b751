//! Which cars to buy with so much money, so many hours and room for so many.

pub mod candidate;
pub mod more;
pub mod solve;

pub use candidate::{Candidate, Limits};
pub use more::{More, more};
pub use solve::{Chosen, best};
