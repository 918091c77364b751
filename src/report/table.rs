//! The shortlist for a terminal, readable at any width and without colour.
//!
//! A car takes two lines of figures, each range below its middle value, and
//! below them what to do, the faults, and what the ad leaves open. Where names
//! would have too little room beside the figures, these stand below the name.

use std::io::{self, Write};

use super::car::Car;
use super::screen::{Ink, Screen};
use super::shortlist::Shortlist;
use super::text::{cut, distance, left, right, span, span_signed, width, wrap};
use crate::margin::Action;
use crate::reading::{Gearbox, Kind};
use crate::units::{Currency, DistanceUnit, Money};

/// What the name of a car gets at least.
const NAME_AT_LEAST: usize = 20;
/// Blanks between columns.
const GAP: usize = 2;
/// Where table and words end on a wide terminal, for the eye.
const WORDS_AT_MOST: usize = 120;

const HEAD: [[&str; 2]; 4] = [
    ["asked", "pay to"],
    ["fix", "low-high"],
    ["worth", "low-high"],
    ["margin", "low to high"],
];

/// The two cells, one above the other, of one figure.
type Cell = [String; 2];

/// Writes the table for a screen.
///
/// # Errors
/// When writing fails.
pub fn write_table(
    list: &Shortlist,
    screen: impl Into<Screen>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let screen = screen.into().within(usize::MAX);
    writeln!(out, "{}", wrap(&title(list), screen.columns).join("\n"))?;
    if list.cars.is_empty() {
        return Ok(());
    }
    let layout = Layout::new(list, screen);
    if let Layout::Wide(table) = &layout {
        writeln!(out)?;
        for (first, at) in [("car", 0), ("distance, gearbox", 1)] {
            let line = table.line("", first, HEAD.map(|h| h[at]));
            writeln!(out, "{}", screen.paint(Ink::Faint, &line))?;
        }
    }
    let rank = list.cars.len().to_string().len();
    let indent = " ".repeat(rank + 1);
    let room = screen.columns.min(WORDS_AT_MOST) - rank - 1;
    for car in &list.cars {
        writeln!(out)?;
        match &layout {
            Layout::Wide(table) => table.write(car, list, screen, out)?,
            Layout::Narrow(figure) => write_narrow(car, list, screen, *figure, rank, out)?,
        }
        let (ink, first) = first_word(car);
        for (n, text) in wrap(&words(car, list.basis.currency), room)
            .into_iter()
            .enumerate()
        {
            let text = match n {
                0 => screen.paint_start(ink, &first, &text),
                _ => text,
            };
            writeln!(out, "{indent}{text}")?;
        }
    }
    writeln!(out)?;
    let note = "Below each figure: where four of five end. 'fixworth explain ID FILE' shows how \
        the figures of one ad were made.";
    let note = match layout {
        Layout::Wide(_) => note.to_owned(),
        Layout::Narrow(_) => note.replace("Below each figure", "In brackets"),
    };
    writeln!(out, "{}", wrap(&note, screen.columns).join("\n"))
}

/// How a car is laid out.
enum Layout {
    /// Figures beside the name.
    Wide(Table),
    /// Figures below the name, for a screen that has no room beside it; the
    /// width of the widest.
    Narrow(usize),
}

impl Layout {
    fn new(list: &Shortlist, screen: Screen) -> Self {
        let cells: Vec<[Cell; 4]> = list.cars.iter().map(figures).collect();
        let widths: [usize; 4] = std::array::from_fn(|i| {
            let cells = cells.iter().flat_map(|row| row[i].iter().map(|c| width(c)));
            cells.chain(HEAD[i].map(width)).max().unwrap_or(0)
        });
        let rank = list.cars.len().to_string().len();
        let taken = rank + 1 + widths.iter().map(|w| w + GAP).sum::<usize>();
        if taken + NAME_AT_LEAST > screen.columns {
            let prices = cells.iter().map(|row| width(&row[0][1]));
            let values = cells.iter().flatten().map(|cell| width(&cell[0]));
            return Layout::Narrow(values.chain(prices).max().unwrap_or(0));
        }
        Layout::Wide(Table {
            rank,
            name: screen.columns.min(WORDS_AT_MOST.max(taken + NAME_AT_LEAST)) - taken,
            widths,
        })
    }
}

/// The columns of a table: of the rank, of the name, of each figure.
struct Table {
    rank: usize,
    name: usize,
    widths: [usize; 4],
}

impl Table {
    fn line(&self, first: &str, car: &str, cells: [&str; 4]) -> String {
        let name = self.name;
        let mut line = format!(
            "{} {}",
            right(first, self.rank),
            left(&cut(car, name), name)
        );
        for (cell, width) in cells.iter().zip(self.widths) {
            line.push_str(&" ".repeat(GAP));
            line.push_str(&right(cell, width));
        }
        line.truncate(line.trim_end().len());
        line
    }

    fn write(
        &self,
        car: &Car,
        list: &Shortlist,
        screen: Screen,
        out: &mut dyn Write,
    ) -> io::Result<()> {
        let cells = figures(car);
        let cell = |i: usize| std::array::from_fn(|column: usize| cells[column][i].as_str());
        let start = format!("{} {}", car.rank, cut(&car.name(), self.name));
        let line = self.line(&car.rank.to_string(), &car.name(), cell(0));
        writeln!(out, "{}", screen.paint_start(Ink::Strong, &start, &line))?;
        let facts = facts(car, list.basis.distance_unit, self.name);
        let second = self.line("", &facts, cell(1));
        if second.is_empty() {
            return Ok(());
        }
        writeln!(out, "{second}")
    }
}

/// The name, the facts, and each figure on a line with its range.
fn write_narrow(
    car: &Car,
    list: &Shortlist,
    screen: Screen,
    figure: usize,
    rank: usize,
    out: &mut dyn Write,
) -> io::Result<()> {
    let room = screen.columns - rank - 1;
    let indent = " ".repeat(rank + 1);
    let name = screen.paint(Ink::Strong, &cut(&car.name(), room));
    writeln!(out, "{} {name}", right(&car.rank.to_string(), rank))?;
    let facts = facts(car, list.basis.distance_unit, room);
    if !facts.is_empty() {
        writeln!(out, "{indent}{}", cut(&facts, room))?;
    }
    if car.kind != Kind::Car {
        return Ok(());
    }
    let label = HEAD.iter().map(|h| width(h[0])).max().unwrap_or(0);
    let mut put = |name: &str, value: &str, range: &str| {
        let range = match range {
            "" => String::new(),
            range => format!(" ({range})"),
        };
        let line = format!("{} {}{range}", left(name, label), right(value, figure));
        writeln!(out, "{indent}{}", cut(&line, room))
    };
    let cells = figures(car);
    for (at, [value, below]) in cells.iter().enumerate() {
        let [name, second] = HEAD[at];
        if at == 0 {
            put(name, value, "")?;
            put(second, below, "")?;
        } else {
            put(name, value, below)?;
        }
    }
    Ok(())
}

/// The word of `words` that says what to do, and its colour.
fn first_word(car: &Car) -> (Ink, String) {
    if car.history.as_ref().is_some_and(|h| h.gone) {
        return (Ink::Faint, "GONE".to_owned());
    }
    let all = Action::ALL.iter().find(|a| a.word() == car.action);
    let ink = all.map_or(Ink::Faint, |action| Ink::from(*action));
    (ink, car.action.to_uppercase())
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
fn words(car: &Car, currency: Currency) -> String {
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
        add("Worth asking", car.questions_in_words(currency));
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
