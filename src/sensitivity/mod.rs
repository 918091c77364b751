//! What if: one car worked out anew with a figure of the profile or a fact of
//! the ad changed, and which assumption moves its margin most.

pub mod change;
pub mod facts;
pub mod tornado;

pub use change::{Change, ChangeError, Scenario};
pub use tornado::{Bar, Tornado};
