//! Faults told in passing: no claims, but in the bill by their chance, and
//! asked about until something else is told or found.

mod common;
mod hand_made;

use common::{LEXICON, bill_for, reading};
use fixworth::lexicon::unknowns::{Gap, Open};
use fixworth::margin::{Appraisal, Appraiser};
use fixworth::profile::Profile;
use fixworth::reading::{Evidence, InPassing, Reading, Says};
use fixworth::units::{Chance, Money};

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
    // Once the seller says that it is new, or somebody has heard it run, the
    // words in passing count no more.
    let settled = perhaps_blown(0.2, &[("engine", Says::Renewed)]);
    assert_eq!(mean(&settled), mean(&reading(&[("engine", Says::Renewed)])));
    assert!(!asked(&appraise(settled)));
}
