//! When a job was done is kept with the claim: the distance on the car then,
//! or the year. The ads are invented.

mod ad;

use ad::{LEXICON, listing};
use fixworth::reading::{Reader, Reading, Says};
use fixworth::units::DistanceUnit;

/// An ad of a 2004 car with 160,000 miles in the distance column.
fn read(body: &str) -> Reading {
    let mut ad = listing("2004 Mazda 626", body);
    ad.distance = Some("160,000".to_owned());
    Reader::new(&LEXICON, DistanceUnit::Miles).read(&ad)
}

/// Each renewed part with its distance or year, `-` where none is told.
fn done(reading: &Reading) -> Vec<String> {
    let renewed = reading.claims.iter().filter(|c| c.says == Says::Renewed);
    renewed
        .map(|c| {
            let at = c.done_at.map(|m| m.0.to_string());
            let year = c.done_in.map(|y| y.to_string());
            let when = at.or(year).unwrap_or_else(|| "-".to_owned());
            format!("{} {when}", LEXICON.parts.code(c.part))
        })
        .collect()
}

#[track_caller]
fn holds(body: &str, want: &[&str]) {
    assert_eq!(done(&read(body)), want, "{body}");
}

#[test]
fn a_distance_behind_the_cue_goes_with_the_whole_list() {
    holds(
        "Timing belt, water pump and tensioner done at 145,000.",
        &["timing_belt 145000", "water_pump 145000"],
    );
    holds("Clutch was replaced at 90k miles.", &["clutch 90000"]);
    holds("Alternator rebuilt at 99k.", &["alternator 99000"]);
}

#[test]
fn a_distance_ago_is_taken_from_that_on_the_car() {
    holds("Clutch replaced 3k ago.", &["clutch 157000"]);
    holds(
        "Head gasket replaced 10,000 miles ago.",
        &["head_gasket 150000"],
    );
    holds("New tires with 3k on them.", &["tire 157000"]);
}

#[test]
fn a_year_is_kept_as_a_year() {
    holds("Timing belt 2019.", &["timing_belt 2019"]);
    holds(
        "Brakes done in 2019, new battery 2023.",
        &["brake_pads 2019", "battery 2023"],
    );
    holds(
        "In 2019 I had the transmission rebuilt.",
        &["transmission 2019"],
    );
}

#[test]
fn each_item_of_a_list_has_its_own_number() {
    holds(
        "Replaced: timing belt at 90k, water pump at 95k, battery (2022), alternator.",
        &[
            "timing_belt 90000",
            "water_pump 95000",
            "battery 2022",
            "alternator -",
        ],
    );
    holds(
        "New clutch at 120k, new radiator at 130k.",
        &["clutch 120000", "radiator 130000"],
    );
}

#[test]
fn what_was_done_twice_was_last_done_the_second_time() {
    holds("Timing belt done at 60k and 120k.", &["timing_belt 120000"]);
    holds(
        "Clutch replaced at 60k and again at 130k.",
        &["clutch 130000"],
    );
}

#[test]
fn a_number_may_go_before_its_job() {
    holds("At 120k the timing belt was done.", &["timing_belt 120000"]);
}

#[test]
fn short_figures_are_thousands_and_kilometres_are_converted() {
    holds("Timing belt done at 145.", &["timing_belt 145000"]);
    holds("Clutch replaced at 100,000 km.", &["clutch 62137"]);
}

#[test]
fn what_is_no_time_of_a_job_is_left() {
    // Due later, more than the car has run, before it was built, no job at all.
    holds("New clutch. Belt due at 180k.", &["clutch -"]);
    holds("Clutch replaced at 190k.", &["clutch -"]);
    holds("Clutch replaced in 1998.", &["clutch -"]);
    holds("Ball joints both done, pads at 90%.", &["ball_joint -"]);
    let other = "Clutch was replaced by my cousin, 2011 Toyota Corolla is my other car.";
    holds(other, &["clutch -"]);
    holds("New clutch, 450 with labour.", &["clutch -"]);
    holds("Clutch replaced. Bought it at 90k.", &["clutch -"]);
}

#[test]
fn the_number_is_evidence_of_the_claim() {
    let mut ad = listing("2004 Mazda 626", "Clutch replaced at 90k.");
    ad.distance = Some("160,000".to_owned());
    let reading = Reader::new(&LEXICON, DistanceUnit::Miles).read(&ad);
    let claim = &reading.claims[0];
    let words: Vec<_> = claim
        .evidence
        .iter()
        .map(|e| &ad.text[e.range.clone()])
        .collect();
    assert_eq!(words, ["Clutch replaced at", "90k"]);
}
