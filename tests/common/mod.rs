//! Readings and bills made from codes, for the tests of costing.

use std::sync::LazyLock;

use fixworth::costing::{Estimator, FixBill};
use fixworth::intake::ListingId;
use fixworth::lexicon::Lexicon;
use fixworth::profile::Profile;
use fixworth::reading::{Claim, Reading, Says};

/// The built-in tables but for what is only due, so that a bill holds what the
/// claims call for and nothing else.
pub static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| {
    let dir = tempfile::tempdir().unwrap();
    let header = "job,miles,years,chance,when,question,source\n";
    std::fs::write(dir.path().join("due_work.csv"), header).unwrap();
    Lexicon::from_dir(dir.path()).unwrap()
});

pub fn reading(claims: &[(&str, Says)]) -> Reading {
    let mut reading = Reading::unread(ListingId("1".into()));
    reading.claims = claims
        .iter()
        .map(|(code, says)| Claim::new(LEXICON.parts.find(code).unwrap(), *says))
        .collect();
    reading
}

/// The bill of a reading, in the year that the tests live in.
pub fn bill_for(reading: &Reading, class: Option<&str>, profile: &Profile) -> FixBill {
    Estimator::new(&LEXICON, profile, 2026).cost(reading, class)
}
