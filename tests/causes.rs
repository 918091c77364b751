//! What symptoms come from: against a textbook, and against counting out all
//! ways.

mod common;

use common::{LEXICON, bill_for, reading};
use fixworth::costing::diagnosis::{diagnose, weigh};
use fixworth::costing::evidence::{Candidate, Cluster, Explainer, Symptom};
use fixworth::costing::mixture::Cost;
use fixworth::profile::Profile;
use fixworth::reading::{Gearbox, Says};
use proptest::prelude::*;

fn cost(mean: f64) -> Cost {
    Cost {
        mean,
        ..Cost::default()
    }
}

/// Two symptoms of one cause, each of which also comes from something else.
fn two_symptoms(odds: f64, shown: [f64; 2], other: [f64; 2]) -> Cluster {
    let part = LEXICON.parts.find("head_gasket").unwrap();
    let job = LEXICON.repairs.find("head_gasket").unwrap();
    let symptom = |code, i: usize| Symptom {
        code: LEXICON.parts.find(code).unwrap(),
        sure: 1.0,
        causes: vec![(0, shown[i])],
        other: other[i],
        other_cost: cost(60.0),
    };
    Cluster {
        symptoms: vec![symptom("overheats", 0), symptom("smoke_white", 1)],
        explainers: Vec::new(),
        candidates: vec![Candidate {
            job,
            part,
            rate: odds,
            cleared: false,
            cost: cost(400.0),
            cost_apart: cost(400.0),
        }],
        unshared: Vec::new(),
    }
}

#[test]
fn naive_bayes_as_in_the_textbook() {
    // Russell and Norvig, Artificial Intelligence: A Modern Approach, the
    // dentist's joint distribution (figure 13.3 of the third edition): a
    // cavity in 0.2; toothache in 0.6 of cavities and 0.1 of others, a probe
    // that catches in 0.9 and 0.2. P(cavity | toothache, catch) = 0.108 /
    // (0.108 + 0.016) = 0.871, P(cavity | toothache) = 0.12 / 0.2 = 0.6.
    //
    // There a symptom beside a cavity may come from the cavity or from
    // something else; here it is shown by the cause with w and by something
    // else with l, so that 1 - (1 - w)(1 - l) is the book's figure. The case
    // that both come from something else beside a cavity is the cavity's in
    // the book, and nobody's here: three in ten thousand.
    let odds = 0.2 / 0.8;
    let shown = [(0.6 - 0.1) / 0.9, (0.9 - 0.2) / 0.8];
    let cluster = two_symptoms(odds, shown, [0.1, 0.2]);
    let both = weigh(&cluster, 0b11).candidates[0];
    assert!((both - 0.108 / 0.124).abs() < 5e-4, "{both}");
    let one = weigh(&cluster, 0b01).candidates[0];
    // A cavity that does not show in the toothache is the book's too: 0.6 is
    // 0.12 of 0.2, of which 0.2 x 0.4444 x 0.1 come from something else.
    let book = (0.12 - 0.2 * (1.0 - shown[0]) * 0.1) / (0.2 - 0.2 * (1.0 - shown[0]) * 0.1);
    assert!((one - book).abs() < 1e-9, "{one} {book}");
}

/// The chance of each candidate and the mean cost, counted out: each symptom
/// goes to one of its causes or to something else.
fn counted_out(cluster: &Cluster, parts: &[usize]) -> (Vec<f64>, f64) {
    let choices: Vec<usize> = cluster
        .symptoms
        .iter()
        .map(|s| s.causes.len() + 1)
        .collect();
    let total: usize = choices.iter().product();
    let stated: f64 = parts.iter().map(|i| cluster.explainers[*i].cost.mean).sum();
    let at_fault = |c: usize| {
        let part = cluster.candidates[c].part;
        parts.iter().any(|i| cluster.explainers[*i].part == part)
    };
    let (mut sum, mut mean) = (0.0, 0.0);
    let mut chances = vec![0.0; cluster.candidates.len()];
    for mut way in 0..total {
        let mut to: Vec<Option<usize>> = Vec::new();
        for (symptom, n) in cluster.symptoms.iter().zip(&choices) {
            to.push(symptom.causes.get(way % n).map(|(place, _)| *place));
            way /= n;
        }
        let (mut weight, mut cost) = (1.0, stated);
        for (symptom, cause) in cluster.symptoms.iter().zip(&to) {
            match cause {
                Some(c) => weight *= symptom.shown_by(*c),
                None => {
                    weight *= symptom.other;
                    cost += symptom.other_cost.mean;
                }
            }
        }
        let used: Vec<usize> = (0..cluster.candidates.len())
            .filter(|c| to.contains(&Some(*c)) && !at_fault(*c))
            .collect();
        for c in &used {
            weight *= cluster.candidates[*c].rate;
            cost += cluster.candidates[*c].cost.mean;
            for (symptom, cause) in cluster.symptoms.iter().zip(&to) {
                if *cause != Some(*c) {
                    weight *= 1.0 - symptom.shown_by(*c);
                }
            }
        }
        sum += weight;
        mean += weight * cost;
        for c in used {
            chances[c] += weight;
        }
    }
    for chance in &mut chances {
        *chance /= sum;
    }
    (chances, mean / sum)
}

fn clusters() -> impl Strategy<Value = (Cluster, bool)> {
    let shown = prop::collection::vec(prop::collection::vec(0.01..0.95_f64, 5), 3);
    let rates = prop::collection::vec((0.005..0.3_f64, 10.0..2000.0_f64), 5);
    let others = prop::collection::vec(0.001..0.1_f64, 3);
    (shown, rates, others, 1..4_usize, any::<bool>()).prop_map(
        |(shown, rates, others, symptoms, stated)| {
            let codes = ["overheats", "coolant_leak", "smoke_white"];
            let jobs = [
                "head_gasket",
                "radiator",
                "water_pump",
                "thermostat",
                "coolant_hose",
            ];
            let candidates: Vec<Candidate> = jobs
                .iter()
                .zip(&rates)
                .map(|(code, (rate, mean))| Candidate {
                    job: LEXICON.repairs.find(code).unwrap(),
                    part: LEXICON.parts.find(code).unwrap(),
                    rate: *rate,
                    cleared: false,
                    cost: cost(*mean),
                    cost_apart: cost(*mean),
                })
                .collect();
            let symptoms = (0..symptoms).map(|s| Symptom {
                code: LEXICON.parts.find(codes[s]).unwrap(),
                sure: 1.0,
                // Not every symptom has every cause.
                causes: (0..5)
                    .filter(|c| (c + s) % 4 != 3)
                    .map(|c| (c, shown[s][c]))
                    .collect(),
                other: others[s],
                other_cost: cost(50.0),
            });
            let cluster = Cluster {
                symptoms: symptoms.collect(),
                explainers: vec![Explainer {
                    part: candidates[1].part,
                    job: candidates[1].job,
                    sure: 1.0,
                    looked_at: false,
                    cost: candidates[1].cost,
                }],
                candidates,
                unshared: Vec::new(),
            };
            (cluster, stated)
        },
    )
}

proptest! {
    #[test]
    fn all_ways_counted_out_come_to_the_same((cluster, stated) in clusters()) {
        let symptoms = (1 << cluster.symptoms.len()) - 1;
        let told = symptoms | if stated { 1 << cluster.symptoms.len() } else { 0 };
        let (chances, mean) = counted_out(&cluster, if stated { &[0] } else { &[] });
        let ours = weigh(&cluster, told);
        for (a, b) in ours.candidates.iter().zip(&chances) {
            prop_assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
        prop_assert!((ours.cost.mean() - mean).abs() < 1e-6 * mean);
    }

    #[test]
    fn no_part_of_what_is_told_costs_more_than_all_of_it((cluster, _) in clusters()) {
        let all = diagnose(&cluster).cost;
        for told in 0..1 << (cluster.symptoms.len() + 1) {
            let part = weigh(&cluster, told).cost.mean();
            prop_assert!(part <= all.mean() + 1e-6 * part, "{part} {}", all.mean());
        }
    }
}

fn chance(claims: &[(&str, Says)], job: &str) -> f64 {
    let bill = bill_for(&reading(claims), Some("midsize"), &Profile::default());
    let line = bill.jobs.iter().find(|l| l.job == job);
    line.map_or(0.0, |l| l.chance.value())
}

#[test]
fn signs_that_point_to_one_cause_make_it_likelier_together() {
    let overheats = ("overheats", Says::Bad);
    let smoke = ("smoke_white", Says::Bad);
    let oil = ("coolant_in_oil", Says::Bad);
    let one = chance(&[overheats], "head_gasket");
    let two = chance(&[overheats, oil], "head_gasket");
    let three = chance(&[overheats, oil, smoke], "head_gasket");
    assert!(
        one < 0.3 && two > 0.8 && three > 0.95,
        "{one} {two} {three}"
    );
}

#[test]
fn a_cause_that_is_stated_explains_the_symptom_away() {
    let overheats = ("overheats", Says::Bad);
    let alone = chance(&[overheats], "head_gasket");
    let explained = chance(&[overheats, ("radiator", Says::Bad)], "head_gasket");
    let hedged = chance(&[overheats, ("radiator", Says::Suspect)], "head_gasket");
    assert!(explained < alone / 3.0, "{explained} {alone}");
    assert!(explained < hedged && hedged < alone, "{hedged}");
}

#[test]
fn age_and_distance_shift_the_causes() {
    let gasket = |miles| {
        let mut r = reading(&[("overheats", Says::Bad)]);
        r.miles = Some(fixworth::units::Miles(miles));
        let bill = bill_for(&r, Some("midsize"), &Profile::default());
        let line = bill.jobs.iter().find(|l| l.job == "head_gasket").unwrap();
        line.chance.value()
    };
    assert!(gasket(60_000) < gasket(130_000) && gasket(130_000) < gasket(240_000));
}

#[test]
fn a_gearbox_that_the_car_lacks_is_no_cause() {
    let symptoms = LEXICON
        .parts
        .ids()
        .map(|p| LEXICON.parts.code(p))
        .filter(|code| ["slips", "hard_shift", "gear_lost", "grinds_gear"].contains(code));
    let mut seen = 0;
    for code in symptoms {
        let jobs = |gearbox| {
            let mut r = reading(&[(code, Says::Bad)]);
            r.gearbox = gearbox;
            let bill = bill_for(&r, Some("midsize"), &Profile::default());
            let of_it = bill.jobs.into_iter().filter(|l| l.chance.value() > 0.0);
            of_it.map(|l| l.job).collect::<Vec<_>>()
        };
        let has = |jobs: &[String], one: &str| jobs.iter().any(|j| j == one);
        let (manual, automatic) = (jobs(Gearbox::Manual), jobs(Gearbox::Automatic));
        for only in ["torque_converter", "shift_solenoid"] {
            assert!(!has(&manual, only), "{code}: {manual:?}");
        }
        for only in ["clutch", "clutch_hydraulics"] {
            assert!(!has(&automatic, only), "{code}: {automatic:?}");
        }
        seen += 1;
    }
    assert_eq!(seen, 4);
}

#[test]
fn what_slips_in_a_manual_car_is_its_clutch() {
    // Common practice, no source.
    let clutch = |gearbox| {
        let mut r = reading(&[("slips", Says::Bad)]);
        r.gearbox = gearbox;
        let bill = bill_for(&r, Some("midsize"), &Profile::default());
        let line = bill.jobs.iter().find(|l| l.job == "clutch");
        line.map_or(0.0, |l| l.chance.value())
    };
    let (manual, untold) = (clutch(Gearbox::Manual), clutch(Gearbox::Unstated));
    assert!(manual > 0.85 && untold < manual, "{manual} {untold}");
}
