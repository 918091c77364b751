//! The shortlist as one Markdown table.

use std::io::{self, Write};

use super::car::{Car, Range};
use super::shortlist::Shortlist;
use super::text::{distance, span, span_signed};
use crate::safe_text::for_markdown;
use crate::units::{DistanceUnit, Money};

const HEAD: &[&str] = &[
    "#",
    "car",
    "distance",
    "asked",
    "pay to",
    "fix",
    "worth",
    "margin",
    "faults",
    "left open",
    "history",
    "do",
    "id",
];

/// Writes the table with a line of title above.
///
/// # Errors
/// When writing fails.
pub fn write_markdown(list: &Shortlist, out: &mut dyn Write) -> io::Result<()> {
    let basis = &list.basis;
    if list.ads == 0 {
        return writeln!(out, "0 of 0 ads: there is nothing to rank.");
    }
    writeln!(
        out,
        "{}, ranked by {}; money in {}, ages as of {}.\n",
        list.count_in_words(),
        basis.sort,
        basis.currency.sign(),
        basis.as_of
    )?;
    writeln!(out, "| {} |", HEAD.join(" | "))?;
    writeln!(out, "|{}", " --- |".repeat(HEAD.len()))?;
    for car in &list.cars {
        let cells = cells(car, basis.distance_unit).map(|c| for_markdown(&c).into_owned());
        writeln!(out, "| {} |", cells.join(" | "))?;
    }
    Ok(())
}

fn cells(car: &Car, unit: DistanceUnit) -> [String; 13] {
    let amount = |n: Option<super::json::Number>| {
        n.map_or_else(|| "?".to_owned(), |n| Money::from(n).to_string())
    };
    let range = |r: Option<&Range>, span: fn(&_) -> String| {
        r.map_or_else(
            || "?".to_owned(),
            |r| format!("{} ({})", r.money.likely, span(&r.money)),
        )
    };
    let open: Vec<_> = [car.open_in_words(false), car.open_in_words(true)]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect();
    [
        car.rank.to_string(),
        car.name(),
        car.miles
            .map_or_else(|| "?".to_owned(), |m| distance(m, unit)),
        amount(car.ask),
        amount(car.ceiling),
        range(car.bill.as_ref().map(|b| &b.total), span),
        range(car.worth.as_ref().map(|w| &w.right), span),
        range(car.margin.as_ref(), span_signed),
        car.faults_in_words(),
        open.join(", "),
        car.history
            .as_ref()
            .map_or_else(String::new, |h| h.in_few_words()),
        match car.warnings_in_words() {
            words if words.is_empty() => format!("{}: {}", car.action, car.reason),
            words => format!("{}: {}; beware: {words}", car.action, car.reason),
        },
        car.id.clone(),
    ]
}
