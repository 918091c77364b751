//! Claims to jobs and money: what it takes to put right what the ad tells.

pub mod bill;

pub use bill::{Chance, FixBill, JobLine, LeftAlone};
