//! How a car may turn out, what to ask, what to look at, what to say.

use std::io;

use super::page::Page;
use super::text::{left, right, shown, width};
use crate::costing::{Choice, FixBill, Optional};
use crate::lexicon::Lexicon;
use crate::margin::{Appraisal, Question};
use crate::units::Money;

/// So many questions and checks are shown.
const SHOWN: usize = 3;

/// The ways it may turn out and the chance of a loss.
pub(super) fn write_outlook(page: &mut Page<'_>, appraisal: &Appraisal) -> io::Result<()> {
    let (Some(position), Some(spread)) = (&appraisal.position, appraisal.spread()) else {
        return Ok(());
    };
    page.head("How it may turn out")?;
    let gone = position.gone().value();
    let way_out = appraisal
        .worth
        .as_ref()
        .map(|w| w.way_out)
        .unwrap_or_default();
    if gone >= 0.005 {
        page.put(
            2,
            &format!(
                "In {:.0} of 100 ways it is repaired and sold; in {:.0} the bill that shows is \
                 not worth paying and it goes as it stands for {way_out}. To be free to do so is \
                 worth {} on average.",
                (1.0 - gone) * 100.0,
                gone * 100.0,
                Money::from_f64(position.way_out_adds()).unwrap_or_default(),
            ),
        )?;
    } else {
        page.put(2, "It is repaired and sold whichever bill shows.")?;
    }
    let Some(price) = appraisal.expected_price else {
        return Ok(());
    };
    let at = |p| Money::from_f64(spread.quantile(p)).unwrap_or_default() - price;
    page.put(
        2,
        &format!(
            "Paid {price}, one time in ten less than {} is left, half of the time more than {}, \
             one time in ten more than {}. Money is lost in {:.0} of 100.",
            spread.low() - price,
            at(0.5),
            spread.high() - price,
            spread.chance_below(price).value() * 100.0
        ),
    )
}

/// Faults that the car can be sold with, the best return on an hour first.
pub(super) fn write_optional(page: &mut Page<'_>, bill: &FixBill) -> io::Result<()> {
    if bill.optional.is_empty() {
        return Ok(());
    }
    page.head("Repair or leave")?;
    for optional in &bill.optional {
        page.put(2, &optional_words(optional))?;
    }
    Ok(())
}

fn optional_words(optional: &Optional) -> String {
    let Optional {
        name,
        effect,
        outlay,
        hours,
        ..
    } = optional;
    let does = match optional.choice {
        Choice::Repair => "repair",
        Choice::Leave => "leave",
    };
    let hour = optional.earns_per_hour().map_or_else(String::new, |earns| {
        format!(", {earns} for each of your hours")
    });
    format!(
        "{does}: {name}. Gains {effect} of value for {} and {hours} h{hour}; pays where all of it, \
         your hours counted, costs less than {effect} (here {})",
        outlay.rounded(),
        optional.cost.mean().rounded()
    )
}

/// The questions worth asking before driving out, and what to look at first.
pub(super) fn write_questions(page: &mut Page<'_>, appraisal: &Appraisal) -> io::Result<()> {
    let worth = |q: &&Question| q.worth > Money::ZERO;
    let asked: Vec<_> = appraisal.questions.iter().filter(worth).collect();
    if asked.is_empty() && appraisal.checks.is_empty() {
        return Ok(());
    }
    page.head("Worth knowing")?;
    for (what, all) in [
        ("ask first", asked),
        ("look first", appraisal.checks.iter().collect()),
    ] {
        for question in all.into_iter().take(SHOWN) {
            page.put(
                2,
                &format!(
                    "{what}, worth {}: {} ({}; bad answer {:.0} % likely)",
                    question.worth,
                    question.question,
                    question.about,
                    question.chance.value() * 100.0
                ),
            )?;
        }
    }
    page.put(
        2,
        "What an answer is worth: the expected gain from deciding after it instead of before, \
         less the time it takes.",
    )
}

/// What the seller has granted in the ad, with its cost.
pub(super) fn write_talking_points(
    page: &mut Page<'_>,
    appraisal: &Appraisal,
    lexicon: &Lexicon,
    text: &str,
) -> io::Result<()> {
    let points = appraisal.talking_points(lexicon, text);
    if points.is_empty() {
        return Ok(());
    }
    page.head("What the ad grants")?;
    let amounts: Vec<_> = points.iter().map(|p| p.cost.to_string()).collect();
    let wide = amounts.iter().map(|a| width(a)).max().unwrap_or(0);
    for (point, amount) in points.iter().zip(&amounts) {
        let prefix = format!("  {}  ", right(amount, wide));
        let text = format!("{}: {}", shown(&point.said), point.work);
        page.hang(&prefix, width(&left("", wide)) + 4, &text)?;
    }
    let sum: Money = points.iter().map(|p| p.cost).sum();
    page.put(2, &format!("{sum} in all, your hours at your rate"))
}
