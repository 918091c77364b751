//! What the car is worth once right, and what it fetches if it never is.

pub mod around;
pub mod batch;
mod cells;
mod columns;
pub mod comparables;
pub mod date;
mod effects;
pub mod estimate;
mod fit;
mod layout;
pub mod model;
pub mod options;
pub mod parting;
pub mod predict;
pub mod scrap;
mod solve;

pub use around::{Around, Like};
pub use comparables::{Basis, ComparablesError, ComparablesFile, Named, ReadOptions, WorthWarning};
pub use date::{Month, SaleDate};
pub use estimate::{Comparable, PriceBasis, Subject, Worth, WorthBasis};
pub use model::{AskedPrices, Line, Origin, PriceModel};
pub use options::{Loss, Options, Pooling, Scale};
pub use parting::{Condition, PartedOut, part_out};
pub use predict::Prediction;
pub use scrap::Scrap;
