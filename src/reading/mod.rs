//! Text to claims: what the seller says, with the place where it is said.

pub mod model;

pub use model::{
    AskBasis, Claim, Evidence, Gearbox, Kind, MilesBasis, Moves, Reading, Says, Title, Vague,
};
