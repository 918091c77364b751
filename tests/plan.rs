//! The plan: the best set of cars under limits, and what more would add.

use fixworth::plan::{Candidate, Chosen, Limits, best, more};
use fixworth::units::{Hours, Money};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn car(outlay: i64, hours: i64, margin: i64) -> Candidate {
    Candidate {
        outlay: Money::whole(outlay),
        hours: Hours::new(Decimal::from(hours)),
        margin: Money::whole(margin),
    }
}

fn limits(budget: Option<i64>, hours: Option<i64>, space: Option<usize>) -> Limits {
    Limits {
        budget: budget.map(Money::whole),
        hours: hours.map(|h| Hours::new(Decimal::from(h))),
        space,
    }
}

fn keeps(cars: &[Candidate], places: &[usize], limits: &Limits) -> bool {
    let picked = || places.iter().map(|p| cars[*p]);
    let outlay: Money = picked().map(|c| c.outlay).sum();
    let hours: Hours = picked().map(|c| c.hours).sum();
    limits.budget.is_none_or(|b| outlay <= b)
        && limits.hours.is_none_or(|h| hours.amount() <= h.amount())
        && limits.space.is_none_or(|s| places.len() <= s)
}

fn margin(cars: &[Candidate], places: &[usize]) -> Money {
    places.iter().map(|p| cars[*p].margin).sum()
}

/// The most that any set brings, by trying all of them.
fn by_enumeration(cars: &[Candidate], limits: &Limits) -> Money {
    (0u32..1 << cars.len())
        .map(|set| -> Vec<usize> { (0..cars.len()).filter(|i| set >> i & 1 == 1).collect() })
        .filter(|places| keeps(cars, places, limits))
        .map(|places| margin(cars, &places))
        .max()
        .unwrap()
}

#[test]
fn the_dearest_car_is_not_the_best_where_two_others_fit_in_its_place() {
    let cars = [car(2000, 40, 1500), car(1200, 20, 1000), car(1100, 25, 900)];
    let chosen = best(&cars, &limits(Some(2500), Some(80), None));
    assert_eq!(
        chosen,
        Chosen {
            places: vec![1, 2],
            proved: true
        }
    );
}

#[test]
fn each_limit_holds_by_itself() {
    let cars = [car(500, 50, 900), car(1500, 10, 800), car(400, 12, 300)];
    let places = |limits| best(&cars, &limits).places;
    assert_eq!(places(limits(Some(900), None, None)), [0, 2]);
    assert_eq!(places(limits(None, Some(25), None)), [1, 2]);
    assert_eq!(places(limits(None, None, Some(1))), [0]);
    assert!(places(limits(Some(399), None, None)).is_empty());
    assert_eq!(places(limits(None, None, Some(9))), [0, 1, 2]);
}

#[test]
fn cars_that_bring_nothing_are_left_even_where_there_is_room() {
    let cars = [car(100, 1, 0), car(100, 1, -50), car(100, 1, 10)];
    assert_eq!(best(&cars, &limits(Some(9000), None, None)).places, [2]);
}

#[test]
fn more_is_planned_anew_and_names_what_comes_and_goes() {
    let cars = [
        car(2000, 40, 1500),
        car(1200, 20, 1000),
        car(1600, 25, 1400),
    ];
    let now_limits = limits(Some(2500), Some(60), None);
    let now = best(&cars, &now_limits);
    assert_eq!(now.places, [0]);
    let more = more(&cars, &now_limits, &now);
    let words: Vec<_> = more.iter().map(|m| m.of.as_str()).collect();
    assert_eq!(words, ["500 more to lay out", "10 hours more", "both"]);
    // 3,000: cars 1 and 2 for 2,800 and 45 hours.
    assert_eq!(more[0].adds, Money::whole(900));
    assert_eq!(
        (&more[0].joins[..], &more[0].leaves[..]),
        (&[1, 2][..], &[0][..])
    );
    assert_eq!((more[1].adds, more[1].joins.len()), (Money::ZERO, 0));
    assert_eq!(more[2].adds, Money::whole(900));
}

/// Figures as dear and as many as a large batch of ads has: found and proved.
#[test]
fn hundreds_of_cars_are_planned_to_the_end() {
    // Weyl's sequence: spread evenly, the same for ever.
    let at = |i: usize, step: f64| (i as f64 * step).fract();
    let cars: Vec<Candidate> = (0..600)
        .map(|i| {
            let outlay = 300.0 + 4_000.0 * at(i, 0.618_033_988_7);
            let hours = 4.0 + 60.0 * at(i, 0.414_213_562_4).powi(2);
            let margin = 200.0 + 0.5 * outlay + 1_500.0 * at(i, 0.732_050_807_6) - 5.0 * hours;
            Candidate {
                outlay: Money::from_f64((outlay * 100.0).round() / 100.0).unwrap(),
                hours: Hours::new(Decimal::new((hours * 10.0).round() as i64, 1)),
                margin: Money::from_f64((margin * 100.0).round() / 100.0).unwrap(),
            }
        })
        .collect();
    for limits in [
        limits(Some(2500), Some(80), None),
        limits(Some(10_000), Some(200), Some(6)),
        limits(Some(20_000), Some(400), None),
        limits(None, Some(150), Some(10)),
    ] {
        let chosen = best(&cars, &limits);
        assert!(chosen.proved, "{limits:?}");
        assert!(keeps(&cars, &chosen.places, &limits));
        assert!(!chosen.places.is_empty());
        // No single exchange or addition makes it better.
        let now = margin(&cars, &chosen.places);
        for new in (0..cars.len()).filter(|p| !chosen.places.contains(p)) {
            for out in 0..=chosen.places.len() {
                let mut places = chosen.places.clone();
                if out < places.len() {
                    places.remove(out);
                }
                places.push(new);
                let better = margin(&cars, &places) > now && keeps(&cars, &places, &limits);
                assert!(!better, "{limits:?}: {new} for place {out}");
            }
        }
    }
}

/// The sample ads planned by the program.
fn run(args: &[&str]) -> String {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_fixworth"))
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/samples"))
        .args([
            "plan",
            "harbour-board.csv",
            "valley-swap.csv",
            "depot-list.csv",
        ])
        .args([
            "--comparables",
            "comparables.csv",
            "--profile",
            "profile.toml",
        ])
        .args(args)
        .output()
        .unwrap();
    let err = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{err}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn all_formats_tell_one_plan_that_keeps_its_limits() {
    let limits = ["--budget", "2500", "--hours", "80", "--space", "4"];
    let with = |format: &str| run(&[&limits[..], &["--format", format]].concat());
    let json: serde_json::Value = serde_json::from_str(&with("json")).unwrap();
    let number = |value: &serde_json::Value| value.as_f64().unwrap();
    let cars = json["cars"].as_array().unwrap();
    let sum = |key: &str| cars.iter().map(|c| number(&c[key])).sum::<f64>();
    assert!(!cars.is_empty() && cars.len() <= 4);
    for (key, limit) in [("outlay", 2500.0), ("hours", 80.0)] {
        assert!(
            (sum(key) - number(&json["together"][key])).abs() < 0.05,
            "{key}"
        );
        assert!(sum(key) <= limit);
        assert!((number(&json["left"][key]) - (limit - sum(key))).abs() < 0.05);
    }
    assert!((sum("margin") - number(&json["together"]["margin"])).abs() < 0.05);
    assert_eq!(json["proved"], true);
    assert_eq!(json["more"].as_array().unwrap().len(), 4);

    let csv = with("csv");
    let rows: Vec<_> = csv::Reader::from_reader(csv.as_bytes())
        .into_records()
        .map(Result::unwrap)
        .collect();
    assert_eq!(rows.len(), cars.len());
    let (table, markdown) = (with("table"), with("markdown"));
    for (car, row) in cars.iter().zip(&rows) {
        let id = car["id"].as_str().unwrap();
        assert_eq!(&row[1], id);
        assert!(table.contains(id) && markdown.contains(id), "{id}");
    }
    assert!(
        table.lines().all(|line| line.chars().count() <= 80),
        "{table}"
    );
}

#[test]
fn a_larger_budget_brings_what_the_plan_said_it_would() {
    let plan = |budget: &str| -> serde_json::Value {
        serde_json::from_str(&run(&["--budget", budget, "--format", "json"])).unwrap()
    };
    let (now, then) = (plan("2000"), plan("2500"));
    let margin = |plan: &serde_json::Value| plan["together"]["margin"].as_f64().unwrap();
    let adds = now["more"][0]["adds"].as_f64().unwrap();
    assert!((margin(&then) - margin(&now) - adds).abs() < 0.05);
}

fn any_car() -> impl Strategy<Value = Candidate> {
    // Few different figures, so that ties and dominated cars are many.
    (0i64..12, 0i64..12, -2i64..12).prop_map(|(o, h, m)| Candidate {
        outlay: Money::new(Decimal::new(o * 12_345, 2)),
        hours: Hours::new(Decimal::new(h * 35, 1)),
        margin: Money::new(Decimal::new(m * 9_999, 2)),
    })
}

fn any_limits() -> impl Strategy<Value = Limits> {
    let budget = prop_oneof![1 => Just(None), 4 => (0i64..6000).prop_map(Some)];
    let hours = prop_oneof![1 => Just(None), 4 => (0i64..150).prop_map(Some)];
    let space = prop_oneof![2 => Just(None), 2 => (0usize..6).prop_map(Some)];
    (budget, hours, space).prop_map(|(b, h, s)| limits(b, h, s))
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_set_of_all_there_are_is_better(
        cars in prop::collection::vec(any_car(), 0..12),
        limits in any_limits(),
    ) {
        let chosen = best(&cars, &limits);
        prop_assert!(chosen.proved);
        prop_assert!(keeps(&cars, &chosen.places, &limits));
        prop_assert_eq!(margin(&cars, &chosen.places), by_enumeration(&cars, &limits));
    }

    #[test]
    fn more_of_a_limit_never_brings_less(
        cars in prop::collection::vec(any_car(), 0..12),
        limits in any_limits(),
    ) {
        let now = best(&cars, &limits);
        for more in more(&cars, &limits, &now) {
            prop_assert!(more.adds >= Money::ZERO);
            let joined: Money = more.joins.iter().map(|p| cars[*p].margin).sum();
            let left: Money = more.leaves.iter().map(|p| cars[*p].margin).sum();
            prop_assert_eq!(more.adds, joined - left);
        }
    }

    #[test]
    fn the_order_of_the_cars_changes_nothing_in_what_the_plan_brings(
        cars in prop::collection::vec(any_car(), 0..12),
        limits in any_limits(),
    ) {
        let turned: Vec<_> = cars.iter().rev().copied().collect();
        let brings = |cars: &[Candidate]| margin(cars, &best(cars, &limits).places);
        prop_assert_eq!(brings(&cars), brings(&turned));
    }
}
