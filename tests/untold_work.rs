//! Work that the ad does not speak of, faults that may be left, offers to
//! sellers who have waited, and what is asked before driving out.

mod hand_made;

use std::sync::LazyLock;

use fixworth::costing::{Choice, Estimator, FixBill, JobLine, Reason};
use fixworth::intake::ListingId;
use fixworth::lexicon::Lexicon;
use fixworth::lexicon::patience::Waited;
use fixworth::margin::{Action, Appraiser};
use fixworth::profile::Profile;
use fixworth::reading::{Claim, Gearbox, MilesBasis, Reading, Says};
use fixworth::units::{Miles, ModelYear, Money};

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

fn car(miles: u32, claims: &[(&str, Says, Option<u32>)]) -> Reading {
    let mut reading = Reading::unread(ListingId("1".into()));
    reading.year = Some(ModelYear(2006));
    reading.miles = Some(Miles(miles));
    reading.miles_basis = MilesBasis::Stated;
    reading.gearbox = Gearbox::Manual;
    reading.claims = claims
        .iter()
        .map(|(code, says, done_at)| Claim {
            done_at: done_at.map(Miles),
            ..Claim::new(LEXICON.parts.find(code).unwrap(), *says)
        })
        .collect();
    reading
}

fn bill(reading: &Reading) -> FixBill {
    let profile = Profile::default();
    Estimator::new(&LEXICON, &profile, 2026).cost(reading, Some("midsize"))
}

fn line<'b>(bill: &'b FixBill, job: &str, reason: Reason) -> Option<&'b JobLine> {
    bill.jobs
        .iter()
        .find(|l| l.job == job && l.reason == reason)
}

fn belt(reading: &Reading) -> f64 {
    let bill = bill(reading);
    line(&bill, "timing_belt", Reason::Due).map_or(0.0, |l| l.chance.value())
}

#[test]
fn a_belt_is_due_by_distance_and_not_when_it_was_just_done() {
    // The interval of due_work.csv is 90,000 miles; the engine is not known.
    let untold = belt(&car(180_000, &[]));
    assert!((untold - 0.4).abs() < 1e-6, "{untold}");
    let done = belt(&car(
        180_000,
        &[("timing_belt", Says::Renewed, Some(165_000))],
    ));
    assert!(done < untold / 5.0, "{done}");
    let long_ago = belt(&car(
        270_000,
        &[("timing_belt", Says::Renewed, Some(120_000))],
    ));
    assert!((long_ago - untold).abs() < 1e-6, "{long_ago}");
    // Told to be bad it is in the bill already.
    assert_eq!(
        belt(&car(180_000, &[("timing_belt", Says::Bad, None)])),
        0.0
    );
}

#[test]
fn an_engine_with_a_chain_has_no_belt_due() {
    let mut reading = car(180_000, &[]);
    reading.make = Some("Saturn".to_owned());
    reading.model = Some("SL2".to_owned());
    reading.year = Some(ModelYear(1999));
    let known = LEXICON
        .vehicles
        .find_model("Saturn", "SL2", reading.year)
        .or_else(|| LEXICON.vehicles.find_model("Saturn", "SL", reading.year));
    let known = known.expect("a model of the table");
    assert_eq!(known.timing.as_deref(), Some("chain"));
    reading.model = Some(known.name.clone());
    assert_eq!(belt(&reading), 0.0);
}

#[test]
fn a_blown_gasket_brings_a_radiator_and_a_told_radiator_comes_once() {
    let alone = bill(&car(120_000, &[("head_gasket", Says::Bad, None)]));
    let radiator = line(&alone, "radiator", Reason::FollowOn).unwrap();
    assert!((radiator.chance.value() - 0.2).abs() < 1e-6);
    assert!(radiator.why.contains("sealer"), "{}", radiator.why);
    let both = [
        ("head_gasket", Says::Bad, None),
        ("radiator", Says::Bad, None),
    ];
    let both = bill(&car(120_000, &both));
    assert!(line(&both, "radiator", Reason::FollowOn).is_none());
    assert!(line(&both, "radiator", Reason::Stated).is_some());
}

#[test]
fn what_can_be_left_is_left_where_that_pays_and_sorted_by_the_hour() {
    let claims = ["paint", "dent", "window_motor", "mirror", "headliner"];
    let claims: Vec<_> = claims.iter().map(|c| (*c, Says::Bad, None)).collect();
    let bill = bill(&car(120_000, &claims));
    assert!(bill.optional.len() >= 4, "{:?}", bill.optional);
    for optional in &bill.optional {
        let pays = optional.cost.mean() <= optional.effect;
        assert_eq!(optional.choice == Choice::Repair, pays, "{}", optional.name);
    }
    let rates: Vec<_> = bill.optional.iter().map(|o| o.earns_per_hour()).collect();
    assert!(rates.is_sorted_by(|a, b| a >= b), "{rates:?}");
}

fn offer(waited: Waited) -> Money {
    let reading = hand_made::reading(&LEXICON, "1");
    let (bill, worth) = (hand_made::bill(&LEXICON), hand_made::worth());
    let profile = Profile::default();
    let appraiser = Appraiser::new(&profile, &LEXICON);
    let appraisal = appraiser.appraise_waited(reading, Some(bill), Some(worth), waited);
    appraisal.first_offer.unwrap()
}

#[test]
fn sellers_who_have_waited_are_offered_less() {
    let fresh = offer(Waited::default());
    let fallen = Waited {
        fallen: 0.2,
        days: 0.0,
    };
    let both = Waited {
        fallen: 0.2,
        days: 60.0,
    };
    assert!(offer(fallen) < fresh);
    assert!(offer(both) < offer(fallen));
}

#[test]
fn a_question_is_asked_where_its_answer_could_change_the_trip() {
    let profile = Profile::default();
    let appraiser = Appraiser::new(&profile, &LEXICON);
    let at = |ask: i64| {
        let mut reading = hand_made::reading(&LEXICON, "1");
        reading.ask = Some(Money::whole(ask));
        reading.moves = fixworth::reading::Moves::Unstated;
        let (bill, worth) = (hand_made::bill(&LEXICON), hand_made::worth());
        appraiser.appraise(reading, Some(bill), Some(worth))
    };
    // Far below and far above the ceiling nothing could change it.
    let (cheap, dear) = (at(900), at(4000));
    assert_eq!(cheap.action, Action::View, "{}", cheap.reason);
    assert_eq!(dear.action, Action::Skip, "{}", dear.reason);
    assert!(cheap.questions.iter().all(|q| q.worth == Money::ZERO));
    let edge = cheap.ceiling.unwrap().to_f64() / 0.93;
    let near = at(edge as i64);
    assert_eq!(near.action, Action::Ask, "{}", near.reason);
    assert!(near.questions[0].worth > Money::ZERO);
    assert_eq!(near.question.as_ref(), Some(&near.questions[0].question));
    let worths: Vec<_> = near.questions.iter().map(|q| q.worth).collect();
    assert!(worths.is_sorted_by(|a, b| a >= b));
}
