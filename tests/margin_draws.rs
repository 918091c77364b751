//! The distribution of the margin beside a plain simulation of a million draws
//! (`tests/oracles/margin_draws.py`, whose figures are kept beside it).

use fixworth::costing::mixture::{Atom, Cost, Mixture};
use fixworth::margin::Position;
use fixworth::margin::position::Leaves;
use fixworth::normal::Part;
use fixworth::units::{Money, ThreePoint};
use serde::Deserialize;

/// What the script printed last.
const DRAWN: &str = include_str!("oracles/margin_draws.txt");
const CASES: &str = include_str!("data/margin_cases.json");

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    right: f64,
    doubt: f64,
    off: f64,
    unknown: f64,
    way_out: f64,
    correlation: f64,
    price: f64,
    certain: Vec<[f64; 3]>,
    perhaps: Vec<[f64; 4]>,
    causes: Vec<[f64; 4]>,
}

impl Case {
    fn cost(&self, [low, likely, high]: [f64; 3]) -> Cost {
        let money = |amount| Money::from_f64(amount).unwrap();
        let job = ThreePoint {
            low: money(low),
            likely: money(likely),
            high: money(high),
        };
        Cost::pert(job, self.correlation)
    }

    fn bill(&self) -> Vec<Part> {
        let certain = self.certain.iter().map(|job| self.cost(*job));
        let mut bill = Mixture::certain(certain.fold(Cost::default(), |sum, c| sum + c));
        for [chance, low, likely, high] in &self.perhaps {
            bill = bill.plus(&Mixture::perhaps(
                *chance,
                self.cost([*low, *likely, *high]),
            ));
        }
        if !self.causes.is_empty() {
            let atom = |[chance, low, likely, high]: &[f64; 4]| Atom {
                chance: *chance,
                cost: self.cost([*low, *likely, *high]),
            };
            bill = bill.plus(&Mixture::of(self.causes.iter().map(atom)));
        }
        let part = |a: &Atom| Part {
            chance: a.chance,
            mean: a.cost.mean,
            deviation: a.cost.total_variance().sqrt(),
        };
        bill.atoms().iter().map(part).collect()
    }
}

/// The figures of a car as the script printed them.
fn drawn(name: &str) -> Vec<f64> {
    let line = DRAWN
        .lines()
        .find_map(|l| l.strip_prefix(name)?.strip_prefix(':'));
    let figures = line.unwrap_or_else(|| panic!("'{name}' was not drawn; run the script"));
    figures
        .split_whitespace()
        .map(|f| f.parse().unwrap())
        .collect()
}

#[test]
fn mean_points_and_chance_of_loss_agree_with_a_million_draws() {
    let cases: Vec<Case> = serde_json::from_str(CASES).unwrap();
    assert!(cases.len() >= 5);
    for case in cases {
        let leaves = Leaves {
            right: case.right,
            doubt: case.doubt,
            off: case.off,
            unknown: case.unknown,
            way_out: case.way_out,
        };
        let position = Position::new(&leaves, &case.bill());
        let spread = position.spread();
        let ours = [
            position.mean(),
            spread.low().to_f64(),
            spread.quantile(0.5),
            spread.high().to_f64(),
        ];
        let drawn = drawn(&case.name);
        for (what, (ours, drawn)) in ["mean", "10 %", "50 %", "90 %"]
            .iter()
            .zip(ours.iter().zip(&drawn))
        {
            let off = (ours - drawn).abs() / case.right;
            assert!(off < 0.01, "{}: {what} {ours:.1}, drawn {drawn}", case.name);
        }
        let price = Money::from_f64(case.price).unwrap();
        let loss = spread.chance_below(price).value() * 100.0;
        assert!(
            (loss - drawn[4]).abs() < 1.0,
            "{}: loss {loss:.1} %, drawn {} %",
            case.name,
            drawn[4]
        );
    }
}
