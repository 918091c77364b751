//! Tasks with their chances to the lines and the sum of a bill.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

use super::bill::{Chance, FixBill, JobLine, LeftAlone};
use super::doubt::{Case, MILLION, Outcome, Shared, Task, Work, units};
use super::faults::Belief;
use crate::lexicon::parts::PartId;
use crate::units::{Hours, Money, ThreePoint};

/// Chances below this are no line: they come from rounding.
const LEAST_CHANCE: f64 = 1e-6;

/// 90 % point of the standard normal distribution.
const NORMAL_P90: f64 = 1.281_551_565_544_6;

/// Builds the bill from weighed tasks.
pub fn bill(
    case: &Case<'_>,
    outcome: &Outcome<'_>,
    left: Vec<LeftAlone>,
    notes: Vec<String>,
) -> FixBill {
    let mut jobs: Vec<JobLine> = (0..outcome.works.len())
        .filter_map(|i| line(case, outcome, i))
        .collect();
    let weight = |l: &JobLine| l.cost.likely.to_f64() * l.chance.value();
    jobs.sort_by(|a, b| {
        weight(b)
            .total_cmp(&weight(a))
            .then_with(|| a.job.cmp(&b.job))
    });

    let mean: Money = jobs
        .iter()
        .map(|l| l.cost.mean().times(exact(l.chance)))
        .sum();
    let deviation = deviation(&jobs, case.profile.job_correlation.value());
    let (low, high) = tenths(mean.to_f64(), deviation);
    let likely = Money::new(mean.amount().round_dp(2));
    let total = ThreePoint {
        low: Money::from_f64(low).map_or(likely, |m| m.min(likely)),
        likely,
        high: Money::from_f64(high).map_or(likely, |m| m.max(likely)),
    };
    let hours = jobs
        .iter()
        .map(|l| l.own_hours.map(|h| h.times(exact(l.chance))))
        .fold(ThreePoint::exactly(Hours::ZERO), |sum, h| sum + h)
        .map(|h| Hours::new(h.amount().round_dp(2)));
    FixBill {
        worst: jobs.iter().map(|l| l.cost.high).sum(),
        jobs,
        left,
        total,
        deviation,
        hours,
        notes,
    }
}

/// A chance as an exact factor, to millionths.
fn exact(chance: Chance) -> Decimal {
    Decimal::from_f64(chance.value())
        .unwrap_or_default()
        .round_dp(6)
}

fn share(part: f64, whole: f64) -> Decimal {
    if whole <= 0.0 {
        return Decimal::ZERO;
    }
    Decimal::from_f64((part / whole).clamp(0.0, 1.0))
        .unwrap_or_default()
        .round_dp(6)
}

fn line(case: &Case<'_>, outcome: &Outcome<'_>, index: usize) -> Option<JobLine> {
    let work = &outcome.works[index];
    let chance = outcome.chance[index] / MILLION as f64;
    if chance < LEAST_CHANCE {
        return None;
    }
    let chance = Chance::new(chance.min(1.0)).map(|c| exact(c).to_f64())?;
    let shared: Vec<_> = outcome.shared.iter().filter(|s| s.work == index).collect();
    let [hours, parts, outwork] = shares_saved(outcome, work, outcome.chance[index], &shared);
    let price = work.price.clone().less(hours, parts, outwork);
    let (job, name, caution, source) = match work.task {
        Task::Job(id) => {
            let repair = case.lexicon.repairs.get(id);
            (
                repair.job.clone(),
                repair.name.clone(),
                repair.caution.clone(),
                repair.source.clone(),
            )
        }
        Task::Allowance(symptom) => {
            let code = case.lexicon.parts.code(symptom);
            (
                format!("other:{code}"),
                format!("allowance: '{code}' from no usual cause"),
                None,
                case.lexicon
                    .causes
                    .of(symptom)
                    .other
                    .as_ref()
                    .map(|o| o.source.clone())
                    .unwrap_or_default(),
            )
        }
    };
    let cost = price.cost();
    Some(JobLine {
        job,
        name,
        because: because(work),
        why: why(case, work, outcome.explained[index]),
        chance: Chance::new(chance?)?,
        parts: price.parts,
        parts_used: price.parts_used,
        consumables: price.consumables,
        own_hours: price.own_hours,
        outwork: price.shop_labor + price.outwork,
        outwork_why: price.outwork_why,
        shared_with: shared_with(case, outcome, &shared),
        cost,
        caution,
        source,
    })
}

/// The shares of hours, parts and outwork that other jobs save. What a kind
/// cannot take, because two jobs save the same hours, goes to the next.
fn shares_saved(
    outcome: &Outcome<'_>,
    work: &Work,
    chance: f64,
    shared: &[&Shared<'_>],
) -> [Decimal; 3] {
    let alone = work.price.shares();
    let have = [alone.hours, alone.parts, alone.outwork].map(|m| units(m) as f64 * chance);
    let mut saved = [0.0; 3];
    for s in shared {
        let same = outcome.works[s.with].price.hands == work.price.hands;
        let rates = [
            if same {
                s.row.hours_share
            } else {
                Decimal::ZERO
            },
            s.row.parts_share,
            s.row.outwork_share,
        ];
        let kinds: [f64; 3] =
            std::array::from_fn(|k| have[k] * rates[k].to_f64().unwrap_or_default());
        let sum: f64 = kinds.iter().sum();
        for k in 0..3 {
            if sum > 0.0 {
                saved[k] += s.amount * kinds[k] / sum;
            }
        }
    }
    let mut spill = 0.0;
    for _ in 0..2 {
        for k in 0..3 {
            let wanted = saved[k] + spill;
            saved[k] = wanted.min(have[k]);
            spill = wanted - saved[k];
        }
    }
    std::array::from_fn(|k| share(saved[k], have[k]))
}

fn because(work: &Work) -> Vec<PartId> {
    work.claim
        .iter()
        .map(|(part, _)| *part)
        .chain(work.demands.iter().map(|d| d.symptom))
        .collect()
}

fn why(case: &Case<'_>, work: &Work, explained: bool) -> String {
    let code = |p| case.lexicon.parts.code(p);
    let mut reasons = Vec::new();
    match work.claim {
        Some((_, Belief::Stated)) => reasons.push("stated".to_owned()),
        Some(_) => reasons.push("suspected".to_owned()),
        None => {}
    }
    if !matches!(work.claim, Some((_, Belief::Stated))) {
        for d in &work.demands {
            let (what, weight) = (code(d.symptom), d.weight.normalize());
            reasons.push(match work.task {
                Task::Job(_) => format!("likely cause of '{what}' (weight {weight})"),
                Task::Allowance(_) => format!("'{what}' from another cause (weight {weight})"),
            });
        }
    }
    let mut text = reasons.join("; ");
    if explained {
        text.push_str("; less likely because another fault explains it");
    }
    text
}

fn shared_with(case: &Case<'_>, outcome: &Outcome<'_>, shared: &[&Shared<'_>]) -> Option<String> {
    let mut texts: Vec<String> = Vec::new();
    for s in shared {
        if let Task::Job(id) = outcome.works[s.with].task {
            let text = format!("{}: {}", case.lexicon.repairs.get(id).name, s.row.why);
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
    }
    (!texts.is_empty()).then(|| texts.join("; "))
}

/// Standard deviation of the sum, from the moments of its lines. A job of
/// chance p, mean m and deviation s has the variance p s^2 + p (1 - p) m^2;
/// the costs of two jobs on one car have the correlation given, whether they
/// are needed is taken as independent. Causes of one symptom exclude each
/// other in truth, which this leaves out: the range is rather too wide.
fn deviation(jobs: &[JobLine], correlation: f64) -> f64 {
    let mut variance = 0.0;
    let (mut sum, mut squares) = (0.0, 0.0);
    for l in jobs {
        let p = l.chance.value();
        let (m, s) = (l.cost.mean().to_f64(), l.cost.deviation().to_f64());
        variance += p * s * s + p * (1.0 - p) * m * m;
        sum += p * s;
        squares += (p * s).powi(2);
    }
    // The sum over all ordered pairs is (sum)^2 less the squares.
    (variance + correlation * (sum * sum - squares)).sqrt()
}

/// The 10 % and 90 % points of the log-normal distribution with this mean and
/// deviation: repair bills cannot be negative and run long upwards.
fn tenths(mean: f64, deviation: f64) -> (f64, f64) {
    if mean <= 0.0 || deviation <= 0.0 {
        return (mean, mean);
    }
    let s2 = (1.0 + (deviation / mean).powi(2)).ln();
    let (middle, spread) = (mean.ln() - s2 / 2.0, s2.sqrt() * NORMAL_P90);
    ((middle - spread).exp(), (middle + spread).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tenths_of_a_narrow_sum_are_those_of_the_normal_distribution() {
        // For a small coefficient of variation the log-normal is nearly
        // normal: mean -+ 1.2816 s.
        let (low, high) = tenths(1000.0, 10.0);
        assert!((low - 987.18).abs() < 0.2, "{low}");
        assert!((high - 1012.82).abs() < 0.2, "{high}");
        assert_eq!(tenths(0.0, 0.0), (0.0, 0.0));
    }
}
