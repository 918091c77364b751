//! Afterwards: what cars really took and brought, set against the estimate,
//! and what is learnt from it.
//!
//! The user keeps a plain CSV ([`Book`]); [`Accounts`] sums it up by car, job
//! and month beside the estimates; [`learn`] makes factors of the user's own
//! for jobs and groups of jobs, drawn towards the table by how little evidence
//! there is ([`shrink`]); [`Factors`] is the file they are kept in and what
//! applies them to the table of repairs.

mod accounts;
mod book;
mod factors;
mod learn;
pub mod shrink;

pub use accounts::{Accounts, CarAccount, JobAccount, JobEstimate, Known, MonthAccount};
pub use book::{Book, BookError, Entry, What};
pub use factors::{Factor, Factors, Scope};
pub use learn::learn;
