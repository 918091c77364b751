//! On the telephone and at the car: what to ask, what to look at, and what to
//! do about what was found.
//!
//! [`questions()`] puts what an ad leaves open in the order of what hangs on it;
//! [`choose()`] picks the checks of `checks.csv` for a car; [`findings`] reads
//! what somebody found, [`weigh()`] brings it into the reading, so that bill,
//! margin and ceiling are made anew, and [`decide()`] says what to do.

pub mod choose;
pub mod decide;
pub mod findings;
pub mod questions;
pub mod weigh;

pub use choose::{Chosen, choose};
pub use decide::{Advice, Decision, decide};
pub use findings::{About, Finding, Findings, FindingsError, Outcome};
pub use questions::{Answer, Question, questions};
pub use weigh::{Weighed, weigh};
