//! Text to claims: what the seller says, with the place where it is said.
//!
//! One pass over the words of the folded text finds the phrases of all tables
//! ([`scan`]); the scope of cue words is then worked out over the items of each
//! sentence ([`scope`]), sayings of one code are brought together ([`merge`]),
//! and the plain fields are read from the same hits.

mod asides;
mod capitals;
pub mod codes;
mod columns;
pub mod context;
pub mod distance;
pub mod done;
mod doubts;
mod features;
pub mod forms;
mod frames;
mod healed;
pub mod items;
mod marks;
pub mod merge;
pub mod model;
mod moves_leaning;
mod moving;
mod names;
mod news;
pub mod numbers;
mod numerals;
mod offered;
mod page;
mod pairs;
mod papers;
mod posting;
pub mod price;
pub mod reader;
pub mod roles;
pub mod scan;
pub mod scope;
mod separators;
mod several;
pub mod short_words;
mod sign_values;
pub mod signs;
pub mod spelling;
mod subjects;
pub mod tokens;
mod tree;
mod values;
pub mod vehicle;
pub mod vin;
mod wrapping;
mod years;

pub use model::{
    AskBasis, Claim, Evidence, FaultCode, Found, Gearbox, InPassing, Kind, MilesBasis, Moves,
    Reading, Says, Title, Vague,
};
pub use reader::Reader;
