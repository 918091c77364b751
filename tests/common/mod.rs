//! Readings and bills made from codes, for the tests of costing.

use std::sync::LazyLock;

use fixworth::costing::{FixBill, cost};
use fixworth::intake::ListingId;
use fixworth::lexicon::Lexicon;
use fixworth::profile::Profile;
use fixworth::reading::{Claim, Reading, Says};

pub static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

pub fn reading(claims: &[(&str, Says)]) -> Reading {
    let mut reading = Reading::unread(ListingId("1".into()));
    reading.claims = claims
        .iter()
        .map(|(code, says)| Claim {
            part: LEXICON.parts.find(code).unwrap(),
            says: *says,
            done_at: None,
            done_in: None,
            evidence: Vec::new(),
            found: None,
        })
        .collect();
    reading
}

pub fn bill_of(claims: &[(&str, Says)], profile: &Profile) -> FixBill {
    cost(&reading(claims), Some("midsize"), &LEXICON, profile)
}
