//! `fixworth` reads saved ads for cars that need work and says what is left
//! after the repair.
//!
//! One direction: [`intake`] (files to listings) → [`reading`] (text to
//! claims) → [`history`] (ads of many weeks to cars) → [`costing`] (claims to
//! jobs and money) → [`worth`] (value once right, and the floor) → [`margin`]
//! (range, ceiling, rank) → [`report`].
//! Each stage takes the type before it and gives its own; none looks back.
//! What the trade knows lives in the tables of [`lexicon`], what the user
//! wants in the [`profile`]; [`sensitivity`] works one car out anew with
//! something supposed otherwise; [`plan`] chooses cars under limits; [`warnings`]
//! says what to distrust, and the [`ledger`] what came of it; [`upkeep`] helps to
//! keep the tables.
//!
//! From an ad to what is left, without files:
//!
//! ```
//! use fixworth::costing::Estimator;
//! use fixworth::intake;
//! use fixworth::lexicon::Lexicon;
//! use fixworth::margin::{Action, Appraiser};
//! use fixworth::profile::Profile;
//! use fixworth::reading::Reader;
//! use fixworth::units::ModelYear;
//! use fixworth::worth::{self, Origin, PriceModel, Scrap, Subject};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let lexicon = Lexicon::built_in()?;
//! let profile = Profile::default();
//!
//! // Rows to listings, whatever the file looks like.
//! let rows = "title,description,price,mileage\n\
//!     2009 Toyota Corolla,\"clutch slips, clean title, drives\",500,131000\n";
//! let options = intake::Options::default();
//! let rows = intake::Reader::of_stream("ads.csv", rows.as_bytes(), &options, &lexicon);
//! let read: intake::Intake = rows.collect::<Result<_, _>>()?;
//!
//! // Text to claims, claims to jobs and money.
//! let reading = Reader::new(&lexicon, profile.distance_unit).read(&read.listings[0]);
//! let estimator = Estimator::new(&lexicon, &profile, 2026);
//! let bill = estimator.cost(&reading, Some("compact"));
//! assert!(bill.jobs.iter().any(|job| job.job == "clutch"));
//!
//! // Worth once right; without known prices the general curve serves.
//! let options = worth::Options::new(ModelYear(2026));
//! let prices = PriceModel::fit(&[], Origin::File, &lexicon.curves, &options);
//! let subject = Subject {
//!     make: reading.make.clone(),
//!     model: reading.model.clone(),
//!     class: Some("compact".to_owned()),
//!     year: reading.year,
//!     miles: reading.miles,
//!     body: None,
//!     engine: None,
//!     title: reading.title,
//! };
//! let weight = lexicon.classes.reference().curb_weight_lb;
//! let scrap = Scrap::complete(weight, profile.scrap_per_short_ton());
//! let worth = prices.estimate(&subject, &lexicon.titles, &scrap, None);
//!
//! // The sum, the most to pay, and what to do.
//! let appraisal = Appraiser::new(&profile, &lexicon).appraise(reading, Some(bill), worth);
//! let margin = appraisal.margin.ok_or("no margin")?;
//! assert!(margin.low <= margin.likely && margin.likely <= margin.high);
//! assert_ne!(appraisal.action, Action::Skip);
//! # Ok(())
//! # }
//! ```
//!
//! Features that are on by default: `page` (the shortlist as a page for a
//! browser), `terminal` (completions, manual pages) and `workbook` (the
//! shortlist as a workbook). Without them the core remains. `parquet` (Parquet
//! tables in and out) has to be asked for.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod aside;
pub mod cli;
pub mod costing;
pub mod day;
pub mod history;
pub mod intake;
pub mod kerb;
pub mod ledger;
pub mod lexicon;
pub mod margin;
pub mod near;
pub mod normal;
pub mod plan;
pub mod profile;
pub mod reading;
pub mod report;
pub mod safe_text;
pub mod sensitivity;
pub mod units;
pub mod upkeep;
pub mod warnings;
pub mod worth;
