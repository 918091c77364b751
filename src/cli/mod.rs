//! The command line: raw arguments ([`args`]), what they mean ([`config`]),
//! the stages in order ([`pipeline`]), and one function a command ([`mod@run`]).

pub mod args;
pub mod as_of;
pub mod chunks;
pub mod config;
pub mod error;
mod kerb;
pub mod kerb_args;
mod language;
pub mod ledger;
mod market;
pub mod notes;
pub mod output;
pub mod pipeline;
pub mod plan;
pub mod progress;
mod read;
pub mod run;
pub mod seen;
#[cfg(feature = "terminal")]
pub mod shell;
pub mod survey;
pub mod terminal;
mod upkeep;
pub mod upkeep_args;
mod usage;

pub use args::Args;
pub use error::CliError;
pub use run::{Outcome, run};
