//! What must hold of every margin, whatever the car.

mod hand_made;

use fixworth::intake::ListingId;
use fixworth::lexicon::Lexicon;
use fixworth::margin::{Action, Appraisal, Appraiser, Sort};
use fixworth::profile::Profile;
use fixworth::reading::{AskBasis, Gearbox, Kind, MilesBasis, Moves, Reading, Title, Vague};
use fixworth::units::{Chance, Currency, Money, ThreePoint};
use fixworth::worth::Worth;
use proptest::prelude::*;

/// A case small enough to print: all that the margin depends on.
#[derive(Debug, Clone)]
struct Case {
    ask: Option<i64>,
    basis: AskBasis,
    moves: Moves,
    title: Title,
    gearbox: Gearbox,
    miles: bool,
    vague: Vec<Vague>,
    worth: (i64, i64, i64),
    floor: i64,
    bill: (i64, i64, i64),
    deviation: f64,
    loss_limit: f64,
}

fn cases() -> impl Strategy<Value = Case> {
    let facts = (
        prop::option::weighted(0.9, 0..6000i64),
        prop::sample::select(AskBasis::ALL),
        prop::sample::select(Moves::ALL),
        prop::sample::select(Title::ALL),
        prop::sample::select(Gearbox::ALL),
        any::<bool>(),
        prop::sample::subsequence(Vague::ALL, 0..5),
    );
    let figures = (
        (50..4000i64, 0..3000i64, 0..3000i64),
        0..600i64,
        (0..3000i64, 0..900i64, 0..3000i64),
        0.0..900.0f64,
        0.0..=1.0f64,
    );
    (facts, figures).prop_map(|(facts, figures)| {
        let (ask, basis, moves, title, gearbox, miles, vague) = facts;
        let (worth, floor, bill, deviation, loss_limit) = figures;
        Case {
            ask,
            basis,
            moves,
            title,
            gearbox,
            miles,
            vague,
            worth,
            floor,
            bill,
            deviation,
            loss_limit,
        }
    })
}

fn rising((a, b, c): (i64, i64, i64)) -> ThreePoint<Money> {
    hand_made::money(a, a + b, a + b + c)
}

fn appraise(lexicon: &Lexicon, case: &Case) -> Appraisal {
    let mut reading = hand_made::reading(lexicon, "7");
    reading.ask = case.ask.map(Money::whole);
    reading.ask_basis = case.basis;
    reading.moves = case.moves;
    reading.title = case.title;
    reading.gearbox = case.gearbox;
    if !case.miles {
        reading.miles = None;
        reading.miles_basis = MilesBasis::None;
    }
    for v in &case.vague {
        hand_made::vague(&mut reading, *v);
    }
    let mut bill = hand_made::bill(lexicon);
    bill.total = rising(case.bill);
    bill.deviation = case.deviation;
    bill.outcomes = hand_made::one_way(bill.total.likely.to_f64(), case.deviation);
    let worth = Worth {
        right: rising(case.worth),
        floor: Money::whole(case.floor),
        way_out: Money::whole(case.floor),
        ..hand_made::worth()
    };
    let profile = Profile {
        loss_limit: Chance::new(case.loss_limit).unwrap(),
        ..Profile::default()
    };
    Appraiser::new(&profile, lexicon).appraise(reading, Some(bill), Some(worth))
}

fn cent() -> Money {
    Money::from_f64(0.01).unwrap()
}

proptest! {
    #[test]
    fn the_steps_sum_exactly_to_the_margin(case in cases()) {
        let a = appraise(hand_made::lexicon(), &case);
        if let Some(margin) = a.margin {
            prop_assert_eq!(a.steps.iter().map(|s| s.amount).sum::<Money>(), margin.likely);
        } else {
            prop_assert!(case.ask.is_none());
        }
    }

    #[test]
    fn a_cheaper_ask_never_lowers_the_margin(case in cases(), off in 1..500i64) {
        let lexicon = hand_made::lexicon();
        let dear = appraise(lexicon, &case);
        let cheap = appraise(lexicon, &Case { ask: case.ask.map(|a| (a - off).max(0)), ..case });
        if let (Some(dear), Some(cheap)) = (dear.margin, cheap.margin) {
            prop_assert!(cheap.low >= dear.low);
            prop_assert!(cheap.likely >= dear.likely);
            prop_assert!(cheap.high >= dear.high);
        }
        prop_assert_eq!(dear.ceiling, cheap.ceiling);
    }

    #[test]
    fn one_more_vague_word_never_raises_the_margin(
        case in cases(),
        word in prop::sample::select(Vague::ALL),
    ) {
        let lexicon = hand_made::lexicon();
        let mut vaguer = case.clone();
        if !vaguer.vague.contains(&word) {
            vaguer.vague.push(word);
        }
        let (plain, vague) = (appraise(lexicon, &case), appraise(lexicon, &vaguer));
        if let (Some(plain), Some(vague)) = (plain.margin, vague.margin) {
            // Each mean is rounded to a cent for itself.
            prop_assert!(vague.likely <= plain.likely + cent());
        }
        // The ceiling may rise: a car that is then rather broken or scrapped
        // than repaired earns less, but what it earns is certain.
        let most = |a: &Appraisal| a.spread().unwrap().mean() - Profile::default().wanted_margin;
        prop_assert!(most(&vague) <= most(&plain) + cent());
    }

    #[test]
    fn the_range_is_in_order_and_the_mean_never_below_selling_for_scrap(case in cases()) {
        let a = appraise(hand_made::lexicon(), &case);
        if let (Some(m), Some(price), Some(worth)) = (a.margin, a.expected_price, &a.worth) {
            prop_assert!(m.low <= m.likely && m.likely <= m.high);
            let fetching: Money = a.steps.iter()
                .filter(|s| s.label.starts_with("fetching"))
                .map(|s| s.amount)
                .sum();
            prop_assert!(m.likely >= worth.floor + fetching - price - cent());
        }
    }

    #[test]
    fn at_the_ceiling_the_wanted_margin_is_still_expected(case in cases()) {
        let lexicon = hand_made::lexicon();
        let ceiling = appraise(lexicon, &case).ceiling.unwrap();
        prop_assert!(ceiling >= Money::ZERO);
        if ceiling > Money::ZERO {
            let at = Case {
                ask: Some(i64::try_from(ceiling.amount()).unwrap()),
                basis: AskBasis::Firm,
                ..case
            };
            let a = appraise(lexicon, &at);
            prop_assert_eq!(a.expected_price, Some(ceiling));
            prop_assert!(a.margin.unwrap().likely >= Profile::default().wanted_margin);
            prop_assert!(a.action != Action::Skip);
        }
    }

    #[test]
    fn a_first_offer_lies_below_the_ceiling(case in cases()) {
        let a = appraise(hand_made::lexicon(), &case);
        if let (Some(offer), Some(ceiling)) = (a.first_offer, a.ceiling) {
            prop_assert!(offer > Money::ZERO && offer < ceiling);
            prop_assert!(a.expected_price.is_none_or(|p| offer <= p));
        }
    }
}

fn appraise_reading(change: impl FnOnce(&mut Reading)) -> Appraisal {
    let lexicon = hand_made::lexicon();
    let mut reading = hand_made::reading(lexicon, "7");
    change(&mut reading);
    let (bill, worth) = (hand_made::bill(lexicon), hand_made::worth());
    Appraiser::new(&Profile::default(), lexicon).appraise(reading, Some(bill), Some(worth))
}

#[test]
fn a_car_that_does_not_drive_is_fetched_on_a_trailer() {
    let step = |moves| {
        let a = appraise_reading(|r| r.moves = moves);
        let step = a
            .steps
            .into_iter()
            .find(|s| s.label.starts_with("fetching"));
        step.unwrap().amount
    };
    // Default profile: 2 x 30 miles at 0.50; trailer 60 + 30 x 2.
    assert_eq!(step(Moves::Drives), Money::whole(-30));
    assert_eq!(step(Moves::NoStart), Money::whole(-150));
}

#[test]
fn a_price_in_other_money_is_not_taken_for_one() {
    let a = appraise_reading(|r| r.currency = Some(Currency::Gbp));
    assert_eq!((a.expected_price, a.margin), (None, None));
    assert_eq!(a.action, Action::Ask);
    assert_eq!(
        a.question.as_deref(),
        Some("What is the price in my currency?")
    );
    assert!(a.ceiling > Some(Money::ZERO));
}

#[test]
fn an_ad_for_parts_is_skipped_with_its_reason() {
    let a = appraise_reading(|r| r.kind = Kind::Parts);
    assert_eq!(
        (a.action, a.reason.as_str()),
        (Action::Skip, "parts, not a car")
    );
    assert!(a.margin.is_none() && a.ceiling.is_none() && a.unknowns.is_empty());
}

#[test]
fn a_price_just_above_the_ceiling_asks_for_the_suspected_part() {
    let plain = appraise_reading(|r| r.ask_basis = AskBasis::Firm);
    let ceiling = plain.ceiling.unwrap();
    let a = appraise_reading(|r| {
        r.ask_basis = AskBasis::Firm;
        r.ask = Some(ceiling + Money::whole(10));
    });
    assert_eq!(a.action, Action::Ask);
    assert_eq!(
        a.question.as_deref(),
        Some("Who thinks that it is the water pump, and was it tested?")
    );
    let dear = appraise_reading(|r| r.ask = Some(ceiling + Money::whole(2000)));
    assert_eq!(dear.action, Action::Skip);
    assert!(
        dear.reason.ends_with("too dear even after the usual give"),
        "{}",
        dear.reason
    );
}

#[test]
fn a_price_too_good_for_what_is_told_is_asked_about() {
    let a = appraise_reading(|r| r.ask = Some(Money::whole(300)));
    assert_eq!(a.action, Action::Ask);
    assert_eq!(
        a.reason,
        "too good for what is told; hangs on: why it is so cheap"
    );
    // Nothing is set aside for it, so that a cheaper ask stays the better one.
    assert!(a.unknowns.iter().all(|u| u.allowance == Money::ZERO));
}

#[test]
fn a_loss_too_likely_is_named_where_the_mean_alone_would_pay() {
    let lexicon = hand_made::lexicon();
    let profile = Profile {
        loss_limit: Chance::new(0.01).unwrap(),
        wanted_margin: Money::ZERO,
        ..Profile::default()
    };
    let mut reading = hand_made::reading(lexicon, "7");
    reading.ask = Some(Money::whole(1800));
    let (bill, worth) = (hand_made::bill(lexicon), hand_made::worth());
    let a = Appraiser::new(&profile, lexicon).appraise(reading, Some(bill), Some(worth));
    assert!(a.margin.unwrap().likely > Money::ZERO);
    assert_eq!(a.action, Action::Skip);
    let ceiling = a.ceiling.unwrap();
    assert_eq!(a.reason, format!("a loss is too likely above ${ceiling}"));
}

#[test]
fn vague_ads_rank_below_the_same_ad_in_plain_words() {
    let plain = appraise_reading(|_| ());
    let vague = appraise_reading(|r| {
        r.id = ListingId("1".to_owned());
        hand_made::vague(r, Vague::AsIs);
    });
    for sort in Sort::ALL {
        assert!(sort.compare(&plain, &vague).is_lt(), "{}", sort.word());
    }
}

#[test]
fn unknown_ranks_last_and_the_id_breaks_ties() {
    let with = |id: &str, ask| {
        appraise_reading(|r| {
            r.id = ListingId(id.to_owned());
            r.ask = ask;
        })
    };
    let ask = Some(Money::whole(900));
    let mut list = [with("a", None), with("c", ask), with("b", ask)];
    list.sort_by(|a, b| Sort::Margin.compare(a, b));
    let ids: Vec<_> = list.iter().map(|a| a.reading.id.0.as_str()).collect();
    assert_eq!(ids, ["b", "c", "a"]);
}
