//! What a person or a program sees. A report is built once ([`Shortlist`],
//! [`ReadRow`]) and rendered many ways; text that others wrote is made
//! harmless on the way ([`shown`]).
//!
//! # The shortlist as JSON
//!
//! `--format json` gives one object: `schema` (by which it is made, such as
//! `urn:fixworth:shortlist:1.1`), `as_of` (year that ages are counted to),
//! `as_of_from` (where that year is from), `currency`, `sort`,
//! `wanted_margin`, `loss_limit`, `ads` (listings read), `all_cars` (cars that
//! they are of), and `cars`, a list in
//! ranked order. `--format jsonl` gives the objects of `cars`, one a line, each
//! with a `schema` of its own before it. Each has all of these keys; what is unknown is null:
//!
//! | key | value |
//! | --- | --- |
//! | `rank` | from 1 |
//! | `id`, `file`, `line` | the listing and where it was read |
//! | `place`, `date`, `link` | as the site gave them |
//! | `action`, `reason`, `question` | `view`, `ask`, `skip`; why; what to ask |
//! | `kind` ... `vin` | as in [`ReadRow`] |
//! | `expected_price` | ask less the usual give |
//! | `faults` | list of `{part, says}`, `says` being `bad` or `suspect` |
//! | `bill` | `{low, likely, high, worst, hours, jobs, left}` |
//! | `worth` | `{low, likely, high, floor, basis, supposed}` |
//! | `margin` | `{low, likely, high}`, points of one in ten, mean, one in ten |
//! | `margin_per_hour`, `ceiling`, `first_offer` | money |
//! | `unknowns` | list of `{code, words, allowance, question}` |
//! | `steps` | list of `{label, amount, why}`; sums to `margin.likely` |
//! | `warnings` | what to distrust: list of `{code, words, grave, shown_by, why, advice, source}` |
//! | `doubts` | what a careful reader should doubt, in words |
//! | `history` | what became of the car over its ads, see below |
//!
//! Money is in units of `currency` to the cent, hours in hours, distance in
//! miles.
//!
//! `history` has `first_seen` and `last_seen` (days such as `2026-02-14`),
//! `gone` (whether the newest exports leave it out), `changes` (what changed
//! since the day of `--since`, or in the newest export with `--new`: list of
//! `{what, from, to}`, `what` being `new`, `cheaper`, `dearer`, `gone`, `back`,
//! `fault_left_out`, `changed`), `ads` (list of `{ids, file, line, link, place,
//! ask, first_seen, last_seen, gone}`), `events` (list of `{day, ad, what,
//! from, to, removed, added}`, `what` being `listed`, `listed_again`, `price`,
//! `distance`, `text`, `gone`, `back`; `removed` and `added` are sentences),
//! and `withdrawn` (faults told before and no more: list of `{part, was,
//! denied, told, left_out, words}`).
//!
//! # A reading as JSON
//!
//! See [`ReadRow`].

pub mod car;
pub mod columns;
mod entries;
pub mod explain;
pub mod explained;
pub mod flat;
pub mod gaps;
pub mod grade;
pub mod history;
#[cfg(feature = "page")]
pub mod html;
pub mod json;
pub mod kerb;
pub mod leanings;
pub mod ledger;
pub mod markdown;
pub mod marked;
mod outlook;
mod page;
#[cfg(feature = "parquet")]
mod parquet;
pub mod plan;
pub mod price;
pub mod reading;
pub mod readings;
pub mod schema;
pub mod screen;
pub mod shortlist;
pub mod table;
pub mod text;
mod tornado;
mod warnings;
pub mod what_if;
pub mod why;
#[cfg(feature = "workbook")]
pub mod workbook;

pub use car::Car;
pub use history::HistoryPart;
#[cfg(feature = "parquet")]
pub use parquet::{Shape, TableColumn};
pub use price::PriceRow;
pub use reading::ReadRow;
pub use readings::{Part, ReadForm, ReadWriter, Streamed};
pub use screen::Screen;
pub use shortlist::{Basis, Entry, Shortlist};
pub use text::shown;
