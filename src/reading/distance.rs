//! Which of the distances in an ad is the car's.

use super::model::MilesBasis;
use super::numbers::{Form, Number};
use super::roles::{Job, Roles};
use super::tokens::Tokens;
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::word_classes::WordClasses;
use crate::units::{DistanceUnit, KM_PER_MILE, Miles};

/// What was read of the distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    /// In miles.
    pub miles: Option<Miles>,
    /// How it is known.
    pub basis: MilesBasis,
    /// Tokens it was read from; none where it is the distance cell's.
    pub tokens: Option<(usize, usize)>,
    /// What the odometer shows, where it is not the car's first and the whole
    /// was made up.
    pub shown: Option<Miles>,
}

/// What stands in the export's distance column.
#[derive(Debug, Clone, Copy)]
pub struct Cell<'a> {
    /// Its text.
    pub text: Option<&'a str>,
    /// The unit that its header says.
    pub unit: Option<DistanceUnit>,
    /// What words do in it.
    pub classes: &'a WordClasses,
}

/// Plausible distances on a car.
const RANGE: std::ops::RangeInclusive<f64> = 500.0..=999_999.0;

pub(super) fn to_miles(value: f64, unit: DistanceUnit) -> Option<Miles> {
    if !(0.0..=4_000_000.0).contains(&value) {
        return None;
    }
    let whole = value.round() as u32;
    Some(match unit {
        DistanceUnit::Miles => Miles(whole),
        DistanceUnit::Km => Miles::from_km(whole),
    })
}

fn basis(form: Form, approximate: bool) -> MilesBasis {
    match form {
        Form::Masked => MilesBasis::Masked,
        Form::Thousands | Form::Words | Form::Fraction => MilesBasis::Rounded,
        _ if approximate => MilesBasis::Rounded,
        _ => MilesBasis::Stated,
    }
}

/// Reads the distance. `unit` is the unit where none is said; `doubted` says
/// that the ad doubts its own odometer; `dated` are numbers that tell when a
/// part was renewed.
pub fn read(
    cell: Cell<'_>,
    numbers: &[(Number, Roles)],
    unit: DistanceUnit,
    doubted: bool,
    dated: impl Fn(&Number) -> bool,
) -> Distance {
    let unit = unit_of(numbers).unwrap_or(unit);
    let from_cell = of_cell(cell, unit, numbers);
    let mut best: Option<(u8, &Number, &Roles)> = None;
    for (n, roles) in numbers {
        let Some(strength) = strength(n, roles) else {
            continue;
        };
        if best.is_none_or(|(s, b, _)| strength > s || strength == s && better(n, b)) {
            best = Some((strength, n, roles));
        }
    }
    // Jobs were done in the past: a larger figure outdoes a weakly told one.
    if let Some((strength, n, _)) = best
        && strength < 5
    {
        // `78,000 miles, warranty to 100,000`
        let other =
            |r: &Roles| n.form == Form::Grouped && r.before == Some(NumberRole::OtherDistance);
        let larger = numbers
            .iter()
            .filter(|(m, r)| strength_of_exact(m, r) && better(m, n) && m.value < n.value * 2.5)
            .filter(|(_, r)| !other(r))
            .max_by(|a, b| a.0.value.total_cmp(&b.0.value));
        if let Some((m, r)) = larger {
            best = Some((strength, m, r));
        }
    }
    // `61k` in the headline and `61,288` in the text: the exact one.
    if let Some((strength, n, _)) = best
        && n.form == Form::Thousands
        && let Some((m, r)) = numbers.iter().find(|(m, r)| {
            m.form == Form::Grouped
                && !m.money
                && (m.value - n.value).abs() < 1000.0
                && r.after != Some(NumberRole::OtherDistance)
        })
    {
        best = Some((strength, m, r));
    }
    if best.is_none_or(|(_, _, r)| r.past) {
        best = numbers
            .iter()
            .find(|(n, r)| in_thousands(n, r))
            .map(|(n, r)| (1, n, r))
            .or(best);
    }
    if best.is_none() {
        best = last_told(numbers, dated);
    }
    let mut out = match (from_cell, best) {
        (Some((miles, basis)), _) => Distance {
            miles: Some(miles),
            basis,
            tokens: None,
            shown: None,
        },
        (None, Some((_, n, roles))) => {
            let unit = match roles.after {
                Some(NumberRole::UnitKm) => DistanceUnit::Km,
                Some(NumberRole::UnitMiles) => DistanceUnit::Miles,
                _ => unit,
            };
            let short = in_thousands(n, roles);
            let value = if short { n.value * 1000.0 } else { n.value };
            Distance {
                miles: to_miles(value, unit),
                // `just turned over 150,012`
                basis: basis(n.form, roles.approximate && n.value % 10.0 == 0.0 || short),
                tokens: Some(n.tokens),
                shown: None,
            }
        }
        (None, None) => Distance {
            miles: None,
            basis: MilesBasis::None,
            tokens: None,
            shown: None,
        },
    };
    if doubted {
        out.basis = MilesBasis::Doubted;
    }
    if let Some(total) = out.miles.and_then(|shown| since_swap(shown, numbers, unit)) {
        out.shown = out.miles;
        out.miles = Some(total);
        out.basis = MilesBasis::Doubted;
    }
    out
}

/// Where an ad tells of no distance but that at which something happened,
/// `the belt broke at 109k`, the car has run no further than the last; it has
/// run on with a new one.
fn last_told(
    numbers: &[(Number, Roles)],
    dated: impl Fn(&Number) -> bool,
) -> Option<(u8, &Number, &Roles)> {
    numbers
        .iter()
        .filter(|(n, r)| {
            !n.money
                && matches!(n.form, Form::Thousands | Form::Grouped)
                && (40_000.0..500_000.0).contains(&n.value)
                && (r.job == Some(Job::At) || r.approximate)
                && r.before != Some(NumberRole::DonorDistance)
                && !dated(n)
                && matches!(
                    r.after,
                    None | Some(NumberRole::UnitMiles | NumberRole::UnitKm | NumberRole::Ask)
                )
        })
        .max_by(|a, b| a.0.value.total_cmp(&b.0.value))
        .map(|(n, r)| (1, n, r))
}

/// The car's distance where its odometer was exchanged: that of the first, and
/// what the second shows, less what that had run in another car. `swapped at
/// 131,000 for one from a car with 22,000; it shows 54,012`.
fn since_swap(shown: Miles, numbers: &[(Number, Roles)], unit: DistanceUnit) -> Option<Miles> {
    let in_miles = |n: &Number, roles: &Roles| {
        let unit = match roles.after {
            Some(NumberRole::UnitKm) => DistanceUnit::Km,
            Some(NumberRole::UnitMiles) => DistanceUnit::Miles,
            _ => unit,
        };
        let short = n.form == Form::Plain && n.value < 500.0;
        to_miles(if short { n.value * 1000.0 } else { n.value }, unit)
    };
    let (at, first) = numbers
        .iter()
        .enumerate()
        .find(|(_, (n, r))| r.swapped && !n.money)
        .and_then(|(i, (n, r))| Some((i, in_miles(n, r)?)))?;
    let donor = numbers[at + 1..]
        .iter()
        .filter(|(n, r)| {
            let had = r.own || r.after == Some(NumberRole::Distance);
            let other = matches!(
                r.before,
                Some(NumberRole::OtherDistance | NumberRole::DonorDistance)
            );
            let told = other || r.before.is_none() && had;
            !n.money && told && r.job.is_none()
        })
        .filter_map(|(n, r)| in_miles(n, r))
        .find(|m| m.0 >= 1000 && *m < shown)
        .unwrap_or(Miles(0));
    // A figure above that of the exchange is the whole already.
    (shown < first).then(|| Miles(first.0 + shown.0 - donor.0))
}

/// The unit of the ad, where a distance in it has one and none has the other.
pub(super) fn unit_of(numbers: &[(Number, Roles)]) -> Option<DistanceUnit> {
    let has = |role| {
        let far = |n: &Number| n.value >= 1000.0;
        numbers.iter().any(|(n, r)| far(n) && r.after == Some(role))
    };
    match (has(NumberRole::UnitKm), has(NumberRole::UnitMiles)) {
        (true, false) => Some(DistanceUnit::Km),
        (false, true) => Some(DistanceUnit::Miles),
        _ => None,
    }
}

/// Whether a number is short for thousands: `has 151 now`.
fn in_thousands(n: &Number, roles: &Roles) -> bool {
    let told = roles.has(NumberRole::Distance)
        || n.form == Form::Plain && roles.before == Some(NumberRole::Ask) && roles.after.is_none();
    !n.money
        && matches!(n.form, Form::Plain | Form::Words | Form::Fraction)
        && (30.0..400.0).contains(&n.value)
        && told
        && !matches!(
            roles.after,
            Some(
                NumberRole::Neither
                    | NumberRole::OtherDistance
                    | NumberRole::Ask
                    | NumberRole::OtherMoney
                    | NumberRole::Deposit
                    | NumberRole::Bid
                    | NumberRole::UnitKm
                    | NumberRole::UnitMiles
            )
        )
}

/// A figure written out in full, of a size that only a distance has.
fn strength_of_exact(n: &Number, roles: &Roles) -> bool {
    !n.money
        && n.form == Form::Grouped
        && (40_000.0..600_000.0).contains(&n.value)
        && roles.before != Some(NumberRole::DonorDistance)
        && !matches!(
            roles.after,
            Some(NumberRole::OtherDistance | NumberRole::Neither | NumberRole::OtherMoney)
        )
}

/// Of two equally strong figures the larger is the car's: the other is that of
/// a part or a job.
fn better(new: &Number, old: &Number) -> bool {
    new.value > old.value * 1.02
}

/// Whether the text tells, in the other unit, the distance that a bare figure
/// of the column is: `133,100` beside `214 thousand km` are miles.
fn told_in(unit: DistanceUnit, value: f64, numbers: &[(Number, Roles)]) -> bool {
    let (role, factor) = match unit {
        DistanceUnit::Km => (NumberRole::UnitKm, KM_PER_MILE),
        DistanceUnit::Miles => (NumberRole::UnitMiles, 1.0 / KM_PER_MILE),
    };
    let near = |a: f64, b: f64| (a - b).abs() <= 0.01 * b;
    numbers
        .iter()
        .filter(|(_, r)| r.after == Some(role))
        .any(|(n, _)| near(value * factor, n.value))
}

fn of_cell(
    cell: Cell<'_>,
    unit: DistanceUnit,
    numbers: &[(Number, Roles)],
) -> Option<(Miles, MilesBasis)> {
    let text = cell.text?;
    if let Some((low, high)) = text.split_once('-')
        && let (Some(low), Some(high)) = (super::price::of_cell(low), super::price::of_cell(high))
        && low >= 1000.0
        && high >= low
    {
        let unit = cell.unit.unwrap_or(unit);
        return Some((
            to_miles(f64::midpoint(low, high), unit)?,
            MilesBasis::Rounded,
        ));
    }
    let mut tokens = Tokens::default();
    tokens.fill(text);
    tokens.classify_by(cell.classes);
    let mut in_cell = Vec::new();
    super::numbers::find(&tokens, &mut in_cell);
    let number = in_cell.first()?;
    let lower = text.to_ascii_lowercase();
    // Letters of a unit, wherever they stand: `184000km`.
    let unit = if lower.contains("km") {
        DistanceUnit::Km
    } else if lower.contains("mi") {
        DistanceUnit::Miles
    } else {
        cell.unit.unwrap_or(match unit {
            DistanceUnit::Km if told_in(DistanceUnit::Km, number.value, numbers) => {
                DistanceUnit::Miles
            }
            DistanceUnit::Miles if told_in(DistanceUnit::Miles, number.value, numbers) => {
                DistanceUnit::Km
            }
            told => told,
        })
    };
    let mut value = number.value;
    // 999999 and 1 are typed only to fill the form.
    if super::price::is_placeholder(value) && value != 1111.0 {
        return None;
    }
    let mut basis = basis(number.form, false);
    // A distance column that says `155` means thousands.
    if value < 500.0 {
        value *= 1000.0;
        basis = MilesBasis::Rounded;
    }
    // The form wants all digits; the seller's own words say how sure they are.
    let rounded_in_text =
        |n: &Number| matches!(n.form, Form::Thousands | Form::Words) && n.value == value;
    if value % 1000.0 == 0.0 && numbers.iter().any(|(n, _)| rounded_in_text(n)) {
        basis = MilesBasis::Rounded;
    }
    Some((to_miles(value, unit)?, basis))
}

/// How surely a number is the car's distance; `None`: it is not.
fn strength(n: &Number, roles: &Roles) -> Option<u8> {
    use NumberRole::{Distance, OtherDistance, UnitKm, UnitMiles};
    if n.money || !RANGE.contains(&n.value) || roles.before == Some(NumberRole::DonorDistance) {
        return None;
    }
    let unit = matches!(roles.after, Some(UnitKm | UnitMiles));
    // `3k idle hours`
    let little = roles.after == Some(NumberRole::Neither) && n.value < 20_000.0;
    if roles.after == Some(OtherDistance) || little && !roles.own {
        return None;
    }
    if roles.past {
        // `bought a 2010 Corolla` tells no distance.
        let far = unit || n.value >= 10_000.0 || n.form == Form::Thousands;
        return far.then_some(1);
    }
    if roles.before == Some(OtherDistance) {
        // `engine has 40k on it`: the car's only where no other is told, and not
        // where so little was run that only a part can have.
        let own = roles.after == Some(Distance) || roles.own;
        return (own && n.value >= 30_000.0).then_some(1);
    }
    let told = roles.before == Some(Distance) || roles.after == Some(Distance) || roles.own;
    let spoken = n.form == Form::Words && n.value >= 30_000.0;
    let figure = matches!(n.form, Form::Thousands | Form::Masked) && n.value >= 5000.0 || spoken;
    // `139k new tires`: no cheap car costs so much.
    let far = figure && n.value >= 30_000.0 && roles.before.is_none();
    if matches!(
        roles.after,
        Some(
            NumberRole::Neither
                | NumberRole::Ask
                | NumberRole::Deposit
                | NumberRole::Bid
                | NumberRole::OtherMoney
        )
    ) && !(told || far && matches!(roles.after, Some(NumberRole::Ask | NumberRole::OtherMoney)))
    {
        return None;
    }
    if matches!(
        roles.before,
        Some(NumberRole::OtherMoney | NumberRole::Ask | NumberRole::Was)
    ) && !unit
        && !told
        && n.form != Form::Masked
        && !(matches!(n.form, Form::Thousands | Form::Grouped | Form::Words)
            && n.value >= 40_000.0
            && roles.after.is_none())
    {
        return None;
    }
    match (told, unit, figure) {
        (true, true, _) if n.value >= 5000.0 => Some(5),
        (true, false, true) => Some(5),
        (true, false, false) if n.form == Form::Grouped && n.value >= 20_000.0 => Some(5),
        (false, true, _) if n.value >= 5000.0 => Some(4),
        (false, false, true) if n.value >= 10_000.0 => Some(3),
        (true, false, false) if n.value >= 10_000.0 => Some(3),
        (false, true, _) => Some(2),
        // A bare large number with a comma: `143,200.`
        (false, false, false) if n.form == Form::Grouped && n.value >= 20_000.0 => Some(1),
        // Six digits are no price of a cheap car, and no postal code.
        (false, false, false) if n.form == Form::Plain && (1e5..6e5).contains(&n.value) => Some(1),
        _ => None,
    }
}
