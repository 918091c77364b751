//! The sum as a fall of bars: from worth once right down to what is left.

use std::collections::BTreeMap;

use super::scale::Scale;
use super::spread::WIDTH;
use super::svg::{Anchor, Svg, block, short};
use crate::margin::Appraisal;
use crate::report::text::cut;
use crate::units::Money;

/// Height of one step: a line of words and a bar under it.
const STEP: f64 = 30.0;

/// The sum of a car.
#[derive(Debug)]
pub(super) struct FallView {
    /// The bars.
    pub svg: String,
    /// Label, amount, how it was made.
    pub steps: Vec<(String, Money, String)>,
    /// What the sum is of.
    pub total_is: &'static str,
    /// Its amount.
    pub total: Money,
}

/// How figures were made that are made alike for all cars: said once for the
/// page.
#[derive(Debug, Default)]
pub(super) struct Common(pub Vec<(String, String)>);

impl Common {
    /// Labels that many cars have with one and the same reason.
    pub fn of<'a>(cars: impl Iterator<Item = &'a Appraisal>) -> Self {
        let mut reasons: BTreeMap<&str, Option<&str>> = BTreeMap::new();
        let mut count: BTreeMap<&str, usize> = BTreeMap::new();
        for step in cars.flat_map(|a| &a.steps) {
            let reason = reasons.entry(&step.label).or_insert(Some(&step.why));
            if *reason != Some(&step.why) {
                *reason = None;
            }
            *count.entry(&step.label).or_default() += 1;
        }
        let shared = reasons.into_iter().filter(|(label, _)| count[label] > 1);
        let shared = shared.filter_map(|(label, why)| Some((label.to_owned(), why?.to_owned())));
        Common(shared.collect())
    }

    fn has(&self, label: &str) -> bool {
        self.0.iter().any(|(l, _)| l == label)
    }
}

impl FallView {
    /// The view; none where there is no sum.
    pub fn new(appraisal: &Appraisal, common: &Common) -> Option<Self> {
        if appraisal.steps.is_empty() {
            return None;
        }
        let total_is = match appraisal.margin {
            Some(_) => "expected margin",
            None => "left before the price",
        };
        let total: Money = appraisal.steps.iter().map(|s| s.amount).sum();
        let steps = appraisal.steps.iter();
        Some(FallView {
            svg: draw(appraisal, total_is, total),
            steps: steps
                .map(|s| {
                    let own = if common.has(&s.label) { "" } else { &s.why };
                    (s.label.clone(), s.amount, own.to_owned())
                })
                .collect(),
            total_is,
            total,
        })
    }
}

fn draw(appraisal: &Appraisal, total_is: &str, total: Money) -> String {
    // A step that rounds to nothing has no bar.
    let steps: Vec<_> = appraisal
        .steps
        .iter()
        .filter(|s| s.amount.rounded() != Money::ZERO)
        .map(|s| (s.label.as_str(), s.amount.to_f64()))
        .collect();
    let levels = steps.iter().scan(0.0, |sum, (_, amount)| {
        *sum += amount;
        Some(*sum)
    });
    let levels: Vec<f64> = levels.collect();
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    for level in &levels {
        low = low.min(*level);
        high = high.max(*level);
    }
    // The amounts have a column of their own at the right.
    let scale = Scale::new((low, high), (1.0, WIDTH - 56.0));
    let height = (steps.len() + 1) as f64 * STEP + 2.0;
    let first = steps.first().map_or(0.0, |(_, amount)| *amount);
    let label = format!(
        "Bars from {} down to {total}; a list follows",
        super::spread::amount(first)
    );
    let mut svg = Svg::new("fall", WIDTH, height, Some(&label));
    let zero = scale.at(0.0);
    svg.line("zero", (zero, 0.0), (zero, height));
    let (mut gives, mut takes, mut joints) = (String::new(), String::new(), String::new());
    let mut from = zero;
    for (i, (level, (_, amount))) in levels.iter().zip(&steps).enumerate() {
        let (y, to) = (i as f64 * STEP, scale.at(*level));
        let side = if *amount < 0.0 {
            &mut takes
        } else {
            &mut gives
        };
        side.push_str(&bar(y, from, to));
        if i + 1 < steps.len() {
            joints.push_str(&format!("M{} {}v19", short(to.round()), short(y + 27.0)));
        }
        from = to;
    }
    svg.path("joint", &joints);
    svg.path("gives", &gives);
    svg.path("takes", &takes);
    let y = steps.len() as f64 * STEP;
    let class = if total < Money::ZERO {
        "total loss"
    } else {
        "total"
    };
    svg.path(class, &bar(y, zero, scale.at(total.to_f64())));
    let last = [(total_is, total.to_f64())];
    for (i, (label, amount)) in steps.iter().chain(&last).enumerate() {
        let y = i as f64 * STEP + 12.0;
        let class = if i == steps.len() { "b" } else { "" };
        svg.text(class, (0.0, y), Anchor::Start, &cut(label, 44));
        svg.text(
            class,
            (WIDTH, y + 14.0),
            Anchor::End,
            &super::spread::amount(*amount),
        );
    }
    svg.finish()
}

/// A bar of the row at a height.
fn bar(y: f64, from: f64, to: f64) -> String {
    let (left, right) = (from.min(to).round(), from.max(to).round());
    block((left, y + 16.0), ((right - left).max(1.0), 11.0))
}
