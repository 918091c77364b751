//! Faults told in passing: no claims, but in the bill by their chance, and
//! asked about until something else is told or found.

mod common;
mod hand_made;

use std::path::Path;

use common::{LEXICON, bill_for, reading};
use fixworth::intake::{Options, read_all};
use fixworth::kerb::questions;
use fixworth::lexicon::unknowns::{Gap, Open};
use fixworth::margin::{Appraisal, Appraiser};
use fixworth::profile::Profile;
use fixworth::reading::{Evidence, InPassing, Kind, Reader, Reading, Says};
use fixworth::units::{Chance, DistanceUnit, Money};

/// A car of which a blown engine is told in passing, beside these claims.
fn perhaps_blown(chance: f64, claims: &[(&str, Says)]) -> Reading {
    let mut car = reading(claims);
    car.told_in_passing.push(InPassing {
        part: LEXICON.parts.find("engine").unwrap(),
        chance: Chance::new(chance).unwrap(),
        evidence: Evidence {
            range: 0..0,
            rule: String::new(),
        },
    });
    car
}

/// What the bill is expected to come to.
fn mean(car: &Reading) -> f64 {
    let bill = bill_for(car, None, &Profile::default());
    bill.with_left().to_f64()
}

fn appraise(mut car: Reading) -> Appraisal {
    car.ask = Some(Money::whole(500));
    let profile = Profile::default();
    let bill = bill_for(&car, None, &profile);
    let worth = hand_made::worth();
    Appraiser::new(&profile, &LEXICON).appraise(car, Some(bill), Some(worth))
}

fn asked(a: &Appraisal) -> bool {
    let open = Open::Gap(Gap::InPassing);
    let engine = LEXICON.parts.find("engine");
    a.unknowns
        .iter()
        .any(|u| u.open == open && u.part == engine)
}

#[test]
fn it_costs_as_much_as_it_is_likely() {
    let lamp = ("lamp", Says::Bad);
    let without = mean(&reading(&[lamp]));
    let stated = mean(&reading(&[lamp, ("engine", Says::Bad)]));
    let perhaps = mean(&perhaps_blown(0.25, &[lamp]));
    let quarter = without + (stated - without) / 4.0;
    assert!(stated > without + 500.0, "{without} {stated}");
    assert!(
        (perhaps - quarter).abs() < 0.02 * stated,
        "{perhaps} {quarter}"
    );
    assert!(mean(&perhaps_blown(0.1, &[lamp])) < perhaps);
}

#[test]
fn it_is_asked_about_until_more_is_told_of_the_part() {
    let open = appraise(perhaps_blown(0.2, &[]));
    assert!(asked(&open));
    let told = open.questions.iter().find(|q| q.about.contains("engine"));
    let chance = told.map(|q| q.chance.value());
    assert!(chance.is_some_and(|c| (c - 0.2).abs() < 0.01), "{chance:?}");
    // Once the seller says that it is new, the words in passing count no more.
    let settled = perhaps_blown(0.2, &[("engine", Says::Renewed)]);
    assert_eq!(mean(&settled), mean(&reading(&[("engine", Says::Renewed)])));
    assert!(!asked(&appraise(settled)));
}

/// What the reader leaves out in the sample ads goes all the way: it stands in the
/// text, no claim speaks of it, and it is in the bill and among what is open.
#[test]
fn what_ads_tell_in_passing_is_read_costed_and_asked() {
    let reader = Reader::new(&LEXICON, DistanceUnit::Miles);
    let mut told = 0;
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/harbour-board.csv");
    let ads = read_all(&[file], &Options::default(), &LEXICON).unwrap();
    for listing in ads.listings {
        let mut car = reader.read(&listing);
        for passing in car.in_passing() {
            let words = listing.text.get(passing.evidence.range.clone());
            assert!(words.is_some_and(|w| !w.is_empty()), "{:?}", car.id);
            assert!(car.claims.iter().all(|c| c.part != passing.part));
            assert!(passing.chance.value() < 0.5, "{passing:?}");
            told += 1;
        }
        if car.in_passing().next().is_none() || car.kind != Kind::Car {
            continue;
        }
        let whole = mean(&car);
        let open = appraise(car.clone()).unknowns;
        let asked = open.iter().filter(|u| u.open == Open::Gap(Gap::InPassing));
        assert_eq!(asked.count(), car.in_passing().count());
        car.told_in_passing.clear();
        assert!(whole > mean(&car), "{:?}", car.id);
    }
    assert!(told >= 4, "{told} told in passing");
}

/// That it is not one of this car praises nothing: what is set aside for all that
/// the ad leaves unsaid stays.
#[test]
fn a_good_answer_takes_off_what_it_costs_and_no_more() {
    let lamp = ("lamp", Says::Bad);
    let car = appraise(perhaps_blown(0.2, &[lamp]));
    let asked = questions(&car, &LEXICON, &appraise);
    let mut asked = asked.iter();
    let engine = asked.find(|q| q.about.contains("in passing")).unwrap();
    let never_told = appraise(reading(&[lamp])).ceiling;
    assert!(never_told > car.ceiling, "{never_told:?} {:?}", car.ceiling);
    assert_eq!(engine.good.ceiling, never_told);
    assert!(engine.bad.ceiling < never_told);
}
