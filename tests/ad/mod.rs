//! Reads a text as the body of an ad, for tests of the reading.
#![allow(dead_code)] // not every test takes all of it

use std::sync::LazyLock;

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::reading::{Reader, Reading, Says};
use fixworth::units::DistanceUnit;

pub static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

static READER: LazyLock<Reader<'static>> =
    LazyLock::new(|| Reader::new(&LEXICON, DistanceUnit::Miles));

pub fn listing(headline: &str, body: &str) -> Listing {
    let origin = Origin {
        file: "test".into(),
        line: 1,
    };
    Listing::new(ListingId("1".to_owned()), origin, headline, body)
}

pub fn read(body: &str) -> Reading {
    read_ad("", body)
}

pub fn read_ad(headline: &str, body: &str) -> Reading {
    READER.read(&listing(headline, body))
}

/// What an ad tells, `code state` each, in the order of the text.
pub fn told(body: &str) -> Vec<String> {
    let claims = claims(&read_ad("2006 Toyota Sienna", body));
    let words = claims
        .iter()
        .map(|(code, says)| format!("{code} {}", says.word()));
    words.collect()
}

/// What is said of each code, in the order of the text.
pub fn claims(reading: &Reading) -> Vec<(&'static str, Says)> {
    let code = |part| LEXICON.parts.code(part);
    reading
        .claims
        .iter()
        .map(|c| (code(c.part), c.says))
        .collect()
}
