//! Keeping the tables: how well they read labelled ads ([`judge`],
//! [`score`], [`compare`]), what in them can never act ([`check`]), and which words of
//! the market they do not know yet ([`gaps`]).

pub mod bootstrap;
pub mod check;
pub mod compare;
pub mod context;
pub mod export;
pub mod gaps;
pub mod judge;
pub mod labelled;
pub mod leanings;
pub mod moves_leanings;
pub mod passing;
mod probe;
mod random;
mod rows;
pub mod score;

pub use judge::{Judged, Mistake};
pub use labelled::{Gold, Labelled, LabelledError};
pub use score::{Counts, Grade, Group};
