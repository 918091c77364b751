//! The shortlist for a terminal, readable at 80 columns without colour.
//!
//! A car takes two lines of figures, each range below its middle value, and
//! below them what to do, the faults, and what the ad leaves open.

use std::io::{self, Write};

use super::car::Car;
use super::shortlist::Shortlist;
use super::text::{cut, distance, left, right, span, span_signed, width, wrap};
use crate::reading::{Gearbox, Kind};
use crate::units::{DistanceUnit, Money};

/// The narrowest table that is still laid out; below it lines run over.
pub const NARROWEST: usize = 72;
/// What the name of a car gets at least.
const NAME_AT_LEAST: usize = 20;
/// Blanks between columns.
const GAP: usize = 2;
/// Where the words below the figures end on a wide terminal, for the eye.
const WORDS_AT_MOST: usize = 120;

const HEAD: [[&str; 2]; 4] = [
    ["asked", "pay to"],
    ["fix", "low-high"],
    ["worth", "low-high"],
    ["margin", "low to high"],
];

/// The two cells, one above the other, of one figure.
type Cell = [String; 2];

/// Writes the table at a width in columns.
///
/// # Errors
/// When writing fails.
pub fn write_table(list: &Shortlist, columns: usize, out: &mut dyn Write) -> io::Result<()> {
    let columns = columns.max(NARROWEST);
    writeln!(out, "{}", wrap(&title(list), columns).join("\n"))?;
    if list.cars.is_empty() {
        return Ok(());
    }
    let cells: Vec<[Cell; 4]> = list.cars.iter().map(figures).collect();
    let widths: [usize; 4] = std::array::from_fn(|i| {
        let cells = cells.iter().flat_map(|row| row[i].iter().map(|c| width(c)));
        cells.chain(HEAD[i].map(width)).max().unwrap_or(0)
    });
    let rank = list.cars.len().to_string().len();
    let taken = rank + 1 + widths.iter().map(|w| w + GAP).sum::<usize>();
    let name = columns.saturating_sub(taken).max(NAME_AT_LEAST);
    let line = |first: &str, car: &str, cells: [&str; 4]| {
        let mut line = format!("{} {}", right(first, rank), left(&cut(car, name), name));
        for (cell, width) in cells.iter().zip(widths) {
            line.push_str(&" ".repeat(GAP));
            line.push_str(&right(cell, width));
        }
        line.truncate(line.trim_end().len());
        line
    };
    writeln!(out)?;
    writeln!(out, "{}", line("", "car", HEAD.map(|h| h[0])))?;
    writeln!(out, "{}", line("", "distance, gearbox", HEAD.map(|h| h[1])))?;
    for (car, cells) in list.cars.iter().zip(&cells) {
        let cell = |i: usize| std::array::from_fn(|column: usize| cells[column][i].as_str());
        writeln!(out)?;
        writeln!(out, "{}", line(&car.rank.to_string(), &car.name(), cell(0)))?;
        let facts = facts(car, list.basis.distance_unit, name);
        let second = line("", &facts, cell(1));
        if !second.is_empty() {
            writeln!(out, "{second}")?;
        }
        let indent = " ".repeat(rank + 1);
        let room = columns.min(WORDS_AT_MOST) - rank - 1;
        for text in wrap(&words(car), room) {
            writeln!(out, "{indent}{text}")?;
        }
    }
    writeln!(out)?;
    let note = "Below each figure: where four of five end. 'fixworth explain ID FILE' shows how \
        the figures of one ad were made.";
    writeln!(out, "{}", wrap(note, columns).join("\n"))
}

fn title(list: &Shortlist) -> String {
    let basis = &list.basis;
    if list.ads == 0 {
        return "0 of 0 ads: there is nothing to rank".to_owned();
    }
    format!(
        "{}, ranked by {}; money in {}, ages as of {}",
        list.count_in_words(),
        basis.sort,
        basis.currency.sign(),
        basis.as_of
    )
}

fn figures(car: &Car) -> [Cell; 4] {
    let amount = |n: &Option<Money>| n.map_or_else(|| "?".to_owned(), |m| m.to_string());
    if car.kind != Kind::Car {
        return Default::default();
    }
    let range = |r: Option<&super::car::Range>, signed: bool| match r {
        None => ["?".to_owned(), String::new()],
        Some(r) => {
            let span = if signed { span_signed } else { span };
            [r.money.likely.to_string(), span(&r.money)]
        }
    };
    [
        [
            amount(&car.ask.map(Money::from)),
            amount(&car.ceiling.map(Money::from)),
        ],
        range(car.bill.as_ref().map(|b| &b.total), false),
        range(car.worth.as_ref().map(|w| &w.right), false),
        range(car.margin.as_ref(), true),
    ]
}

/// Distance, gearbox and place, as many as fit.
fn facts(car: &Car, unit: DistanceUnit, room: usize) -> String {
    let gearbox = match car.gearbox {
        Gearbox::Unstated => None,
        known => Some(known.to_string()),
    };
    let miles = car.miles.map(|m| distance(m, unit));
    let mut facts = String::new();
    for fact in [miles, gearbox, car.place.clone()].into_iter().flatten() {
        let comma = if facts.is_empty() { "" } else { ", " };
        if facts.is_empty() || width(&facts) + comma.len() + width(&fact) <= room {
            facts.push_str(comma);
            facts.push_str(&fact);
        }
    }
    facts
}

/// `VIEW: pays even at the low end. Bad: head gasket. Unsaid: papers. Id 7.`
fn words(car: &Car) -> String {
    let gone = car.history.as_ref().is_some_and(|h| h.gone);
    let mut out = match gone {
        true => format!("GONE; was {}: {}.", car.action, car.reason),
        false => format!("{}: {}.", car.action.to_uppercase(), car.reason),
    };
    let mut add = |label: &str, words: String| {
        if !words.is_empty() {
            out.push_str(&format!(" {label}: {words}."));
        }
    };
    // What is told no more has words of its own below.
    let beware = car.warnings.iter().filter(|w| w.code != "fault_left_out");
    let beware: Vec<_> = beware.map(|w| w.words.as_str()).collect();
    add("Beware", beware.join(", "));
    if car.kind == Kind::Car {
        add("Papers", stated(car.title.word(), &["clean", "unstated"]));
        add("Moves", stated(car.moves.word(), &["drives", "unstated"]));
        add("Faults", car.faults_in_words());
        add("Unsaid", car.open_in_words(false));
        add("Vague", car.open_in_words(true));
    }
    if let Some(history) = &car.history {
        add("Now", history.changes_in_words());
        add("No longer told", history.withdrawn_in_words());
        add("History", history.in_few_words());
    }
    add("Id", car.id.clone());
    out
}

/// A word of the reading for people; nothing where it is what one expects.
fn stated(word: &str, expected: &[&str]) -> String {
    if expected.contains(&word) {
        String::new()
    } else {
        word.replace('_', " ")
    }
}
