//! What does not fit together is a warning, and a distance that cannot be is
//! doubted. The ads are invented.

mod ad;

use ad::{LEXICON, listing};
use fixworth::reading::{MilesBasis, Reader, Reading};
use fixworth::units::DistanceUnit;

fn read(headline: &str, body: &str) -> Reading {
    Reader::new(&LEXICON, DistanceUnit::Miles).read(&listing(headline, body))
}

fn warned(reading: &Reading, of: &str) -> bool {
    reading.warnings.iter().any(|w| w.contains(of))
}

#[test]
fn a_year_in_which_the_model_was_not_built() {
    let early = read("1974 Mazda Protege", "Runs, $900.");
    assert!(
        warned(&early, "was first built for"),
        "{:?}",
        early.warnings
    );
    let late = read("2015 Saturn Ion", "Runs, $900.");
    assert!(warned(&late, "was last built for"), "{:?}", late.warnings);
    let right = read("1999 Mazda Protege", "Runs, 140,000 miles, $900.");
    assert_eq!(right.warnings, [""; 0]);
}

#[test]
fn five_digits_may_have_begun_anew() {
    let r = read("1985 Volvo 240", "Runs, 23,400 miles, $900.");
    assert_eq!(r.miles_basis, MilesBasis::Doubted);
    assert_eq!(r.miles.map(|m| m.0), Some(23_400));
    assert!(warned(&r, "five digits"), "{:?}", r.warnings);
    // Vouched for, or as many as such a car has.
    for body in ["23,400 original miles, $900.", "88,400 miles, $900."] {
        let r = read("1985 Volvo 240", body);
        assert_eq!(
            (r.miles_basis, r.warnings.len()),
            (MilesBasis::Stated, 0),
            "{body}"
        );
    }
}

#[test]
fn a_distance_that_the_age_does_not_allow() {
    let little = read("2006 Buick LeSabre", "1,550 miles, $900.");
    assert_eq!(little.miles_basis, MilesBasis::Doubted);
    assert!(warned(&little, "is little"), "{:?}", little.warnings);
    let mut new = listing("2015 Kia Rio", "$900");
    new.distance = Some("390,000".to_owned());
    new.date = Some("2016-05-03".to_owned());
    let reader = Reader::new(&LEXICON, DistanceUnit::Miles);
    let much = reader.read(&new);
    assert_eq!(much.miles_basis, MilesBasis::Doubted);
    assert!(
        warned(&much, "more than a car of 2015"),
        "{:?}",
        much.warnings
    );
    // Ten years on it may have run so far.
    new.date = Some("2026-05-03".to_owned());
    assert_eq!(reader.read(&new).miles_basis, MilesBasis::Stated);
}

#[test]
fn an_identification_number_that_is_wrong_or_of_another_year() {
    // The specimen of a published check digit, right and with one figure changed.
    let right = read("1989 truck", "VIN 1M8GDM9AXKP042788, $900");
    assert!(!warned(&right, "check digit"), "{:?}", right.warnings);
    let wrong = read("1989 truck", "VIN 1M8GDM9A1KP042788, $900");
    assert!(warned(&wrong, "check digit"), "{:?}", wrong.warnings);
    let year = read("1996 Chevrolet Malibu", "VIN 1G1ZH57B28F204417, $900");
    assert!(warned(&year, "model year 2008"), "{:?}", year.warnings);
}

#[test]
fn a_number_without_check_digit_is_usual_outside_north_america() {
    let r = read("2004 Volkswagen Golf", "VIN WVWZZZ1KZ4W000001, £900");
    assert_eq!(r.vin.as_deref(), Some("WVWZZZ1KZ4W000001"));
    assert!(!warned(&r, "identification number"), "{:?}", r.warnings);
    let r = read("2004 Volkswagen Golf", "VIN WVWZZZ1KZ4W000001, $900");
    assert!(warned(&r, "check digit"), "{:?}", r.warnings);
}

#[test]
fn several_cars_are_told_with_their_prices() {
    let r = read(
        "Two Saturns, one price list",
        "The one you want: 2001 SC2 coupe, 139k, drives, 1,300. The one you need: 1999 SL1, \
         engine good, 200 for the carcass. Both: 1,400.",
    );
    assert!(
        warned(&r, "several cars (2001 SC2 at 1300; 1999 SL1 at 200)"),
        "{:?}",
        r.warnings
    );
    assert_eq!(r.ask.map(|m| m.to_string()).as_deref(), Some("1,300"));
    let r = read(
        "2003 Mazda Protege and 2001 Kia Rio",
        "Selling both cars. $1500 for both.",
    );
    assert!(warned(&r, "its own price unclear"), "{:?}", r.warnings);
    // Another car is spoken of and not offered.
    let r = read(
        "2004 Mazda 626",
        "$900. Paid $4000 for a 2010 Toyota Corolla, so it has to go.",
    );
    assert!(!warned(&r, "several cars"), "{:?}", r.warnings);
}
