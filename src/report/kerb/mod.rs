//! Pages for the telephone and for the car: the call, the sheet, the decision.

pub mod call;
mod call_html;
pub mod decision;
mod html;
pub mod json;
mod paper;
pub mod sheet;

use crate::lexicon::Lexicon;
use crate::reading::{Reading, Says};

use super::text::part_words;

/// What is said of parts, by what is said: `head gasket, water pump`.
fn said(reading: &Reading, says: Says, lexicon: &Lexicon) -> String {
    let claims = reading.claims.iter().filter(|c| c.says == says);
    let words: Vec<_> = claims.map(|c| part_words(lexicon, c.part)).collect();
    words.join(", ")
}
