//! The sum from worth down to what is left, line by line.

use rust_decimal::Decimal;

use super::appraisal::{Step, Unknown};
use crate::costing::FixBill;
use crate::profile::Profile;
use crate::reading::Moves;
use crate::units::{Miles, Money};
use crate::worth::{Worth, WorthBasis};

/// The steps before the price.
pub fn steps(
    worth: &Worth,
    bill: &FixBill,
    unknowns: &[Unknown],
    moves: Moves,
    profile: &Profile,
) -> Vec<Step> {
    let mut steps = vec![worth_step(worth), bill_step(bill)];
    steps.extend(bill.left.iter().map(|left| Step {
        label: format!("left as it is: {}", left.name),
        amount: -cents(left.effect),
        why: format!(
            "taken off the value on average; doing it would cost {}",
            left.instead_of
        ),
    }));
    steps.extend(
        unknowns
            .iter()
            .filter(|u| u.allowance != Money::ZERO)
            .map(|u| Step {
                label: format!("set aside: {}", u.words),
                amount: -cents(u.allowance),
                why: format!("row '{}' of unknowns.csv", u.open),
            }),
    );
    steps.push(fetching(moves, profile));
    steps.push(Step {
        label: "fees".to_owned(),
        amount: -cents(profile.registration_fee + profile.inspection_fee),
        why: format!(
            "registration {}, inspection {}",
            profile.registration_fee, profile.inspection_fee
        ),
    });
    steps.push(selling(profile));
    steps
}

/// What fetching the car takes: the trip there and back, and a trailer where
/// it does not drive.
pub fn fetching(moves: Moves, profile: &Profile) -> Step {
    let Miles(miles) = profile.distance_to_seller;
    let one_way = Decimal::from(miles);
    let travel = cents(profile.travel_per_mile.times(one_way * Decimal::TWO));
    let trip = format!(
        "there and back over {miles} miles at {:.2}",
        profile.travel_per_mile.amount()
    );
    match moves {
        Moves::Drives | Moves::Unstated => Step {
            label: "fetching".to_owned(),
            amount: -travel,
            why: trip,
        },
        Moves::RunsOnly | Moves::NoStart => {
            let trailer = cents(profile.trailer_base + profile.trailer_per_mile.times(one_way));
            Step {
                label: "fetching on a trailer".to_owned(),
                amount: -(travel + trailer),
                why: format!("{trip}, trailer {trailer}"),
            }
        }
    }
}

fn worth_step(worth: &Worth) -> Step {
    let basis = match &worth.basis {
        WorthBasis::Comparables { all, make, model } => {
            format!("from {all} cars of the comparables, {make} of the make, {model} of the model")
        }
        WorthBasis::Batch { all, make, model } => format!(
            "from {all} sound cars among these ads, {make} of the make, {model} of the model"
        ),
        WorthBasis::Curve => "from the general curve of worth.csv".to_owned(),
    };
    let papers = if worth.title_factor == 1.0 {
        String::new()
    } else {
        format!(", papers taken as x {:.2}", worth.title_factor)
    };
    Step {
        label: "worth once right".to_owned(),
        amount: cents(worth.right.likely),
        why: format!(
            "half fetch more; {} to {} in four of five; {basis}{papers}",
            worth.right.low, worth.right.high
        ),
    }
}

fn bill_step(bill: &FixBill) -> Step {
    let why = match bill.jobs.len() {
        0 => "no job".to_owned(),
        n => format!(
            "{n} {}, {} h of one's own; {} to {} in four of five; {} if all goes wrong",
            if n == 1 { "job" } else { "jobs" },
            bill.hours.likely,
            bill.total.low,
            bill.total.high,
            bill.worst
        ),
    };
    Step {
        label: "fix bill".to_owned(),
        amount: -cents(bill.total.likely),
        why,
    }
}

fn selling(profile: &Profile) -> Step {
    let own = cents(profile.prepare_hours * profile.hour_value);
    Step {
        label: "selling".to_owned(),
        amount: -cents(profile.selling_cost + profile.prepare_cost + own),
        why: format!(
            "ads {}, materials {}, {} h of one's own {}",
            profile.selling_cost, profile.prepare_cost, profile.prepare_hours, own
        ),
    }
}

/// Money to the cent, halves to even.
pub fn cents(amount: Money) -> Money {
    Money::new(amount.amount().round_dp(2))
}
