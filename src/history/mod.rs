//! The same car over ads, sites and weeks: listings with their readings become
//! cars with a history.
//!
//! What is of one car is found by number, link, or facts and text together
//! ([`Ground`]), without comparing all pairs; files that are exports of one
//! search are found by the cars they share ([`Lines`]), for only then does it
//! mean anything that one leaves a car out. Each ad is then followed from
//! export to export: listed, price, text, distance, gone, back.
//!
//! What is decided here, and why:
//! - Time is the day of the export: as the user says, else the date in the
//!   file's name, else the newest date of its rows. Never the clock. Rows of a
//!   file without a day of its own count from their own dates. Files without
//!   any day come before those with one, in the order given.
//! - A car is called by the id of its oldest row, and is shown by the newest
//!   row of an ad that still stands. Several ads at once: the lower ask of
//!   those seen within two weeks of the newest counts, and what any tells.
//! - A fault that an older text tells and a newer leaves out, or calls sound
//!   without a repair, is not forgotten: it counts as suspected
//!   ([`Withdrawn`]). Good news that is withdrawn is forgotten; papers that are
//!   not clean and an engine that did not run are not.
//! - A distance that goes down counts as doubted.

mod blocks;
mod changes;
mod cluster;
mod exports;
mod gather;
mod lines;
mod merge;
mod model;
mod same;
mod sentences;
pub mod shingles;
mod sketch;
mod trail;

pub use changes::{Change, Since, changes};
pub use exports::{Export, ExportId, Exports};
pub use gather::{Gather, Gathered, Groups, Texts};
pub use lines::{LineId, Lines};
pub use model::{Ad, Event, History, Moment, Traced, What, Withdrawn};
pub use same::Ground;
pub(crate) use sentences::around as sentence_around;
pub use sketch::{Sketch, Sketches};
