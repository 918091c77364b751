//! The command line: raw arguments ([`args`]), what they mean ([`config`]),
//! the stages in order ([`batch`], [`pipeline`]), and one function a command ([`mod@run`]).

pub mod args;
pub mod as_of;
pub mod batch;
mod bench;
pub mod chunks;
pub mod config;
pub mod error;
mod foreign;
mod front;
mod kerb;
pub mod kerb_args;
pub mod ledger;
mod market;
pub mod notes;
pub mod output;
#[cfg(feature = "page")]
mod page;
pub mod pipeline;
pub mod plan;
pub mod price;
pub mod progress;
mod prospects;
mod ranking;
mod read;
pub mod run;
pub mod seen;
mod shelf;
#[cfg(feature = "terminal")]
pub mod shell;
pub mod skim;
mod stream;
mod survey;
pub mod terminal;
mod upkeep;
pub mod upkeep_args;
mod usage;
mod values;

pub use args::Args;
pub use error::CliError;
pub use run::{Outcome, print, run};
