//! The plan for a terminal: figures beside the names, or below them where there
//! is no room.

use std::io::{self, Write};

use super::{PlanList, Planned, one_digit, price};
use crate::margin::Action;
use crate::report::screen::{Ink, Screen};
use crate::report::text::{cut, left, right, width, wrap};
use crate::units::Money;

/// What the name of a car gets at least and at most beside the figures.
const NAME_AT_LEAST: usize = 20;
/// See above.
const NAME_AT_MOST: usize = 60;
/// Where lines end on a wide terminal, for the eye.
const WIDEST: usize = 120;

impl PlanList {
    /// A table for a screen.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_table(&self, screen: impl Into<Screen>, out: &mut dyn Write) -> io::Result<()> {
        let screen = screen.into().within(WIDEST);
        writeln!(out, "{}", wrap(&self.title(), screen.columns).join("\n"))?;
        if !self.cars.is_empty() {
            self.rows(screen, out)?;
        }
        writeln!(out)?;
        for line in self.notes() {
            writeln!(out, "{}", wrap(&line, screen.columns).join("\n"))?;
        }
        Ok(())
    }

    fn rows(&self, screen: Screen, out: &mut dyn Write) -> io::Result<()> {
        let mut rows = vec![["price", "laid out", "hours", "margin"].map(str::to_owned)];
        rows.extend(self.cars.iter().map(|car| {
            [
                price(car),
                Money::from(car.outlay).to_string(),
                one_digit(car.hours),
                Money::from(car.margin).to_string(),
            ]
        }));
        rows.push([
            String::new(),
            Money::from(self.together.outlay).to_string(),
            one_digit(self.together.hours),
            Money::from(self.together.margin).to_string(),
        ]);
        let widths: [usize; 4] =
            std::array::from_fn(|i| rows.iter().map(|r| width(&r[i])).max().unwrap_or(0));
        let rank = self.cars.len().to_string().len();
        let taken = rank + 1 + widths.iter().map(|w| w + 2).sum::<usize>();
        let name = screen.columns.saturating_sub(taken).min(NAME_AT_MOST);
        if name < NAME_AT_LEAST {
            return self.narrow_rows(&rows, screen, out);
        }
        let names = std::iter::once("car")
            .chain(self.cars.iter().map(|c| c.name.as_str()))
            .chain(["together"]);
        writeln!(out)?;
        for (at, (row, car)) in rows.iter().zip(names).enumerate() {
            let number = match self.cars.get(at.wrapping_sub(1)) {
                Some(car) if at > 0 => car.rank.to_string(),
                _ => String::new(),
            };
            let mut line = format!("{} {}", right(&number, rank), left(&cut(car, name), name));
            for (cell, width) in row.iter().zip(widths) {
                line.push_str(&format!("  {}", right(cell, width)));
            }
            let line = line.trim_end();
            let Some(planned) = self.cars.get(at.wrapping_sub(1)).filter(|_| at > 0) else {
                let ink = if at == 0 { Ink::Faint } else { Ink::Strong };
                writeln!(out, "{}", screen.paint(ink, line))?;
                continue;
            };
            let start = format!("{} {}", right(&number, rank), cut(car, name));
            writeln!(
                out,
                "{}",
                screen.paint_start(Ink::Strong, start.trim_start(), line)
            )?;
            write_words(planned, rank + 1, screen, out)?;
        }
        Ok(())
    }

    /// The same where there is no room for figures beside a name.
    fn narrow_rows(
        &self,
        rows: &[[String; 4]],
        screen: Screen,
        out: &mut dyn Write,
    ) -> io::Result<()> {
        let Some((heads, rows)) = rows.split_first() else {
            return Ok(());
        };
        let names = self.cars.iter().map(|c| c.name.as_str());
        for (row, (name, at)) in rows.iter().zip(names.chain(["together"]).zip(0..)) {
            let car = self.cars.get(at);
            let number = car.map_or_else(String::new, |c| format!("{} ", c.rank));
            let name = cut(&format!("{number}{name}"), screen.columns);
            writeln!(out, "\n{}", screen.paint(Ink::Strong, &name))?;
            let told = heads.iter().zip(row).filter(|(_, cell)| !cell.is_empty());
            let told: Vec<_> = told.map(|(head, cell)| format!("{head} {cell}")).collect();
            for line in wrap(&told.join(", "), screen.columns - 2) {
                writeln!(out, "  {line}")?;
            }
            if let Some(car) = car {
                write_words(car, 2, screen, out)?;
            }
        }
        Ok(())
    }
}

fn write_words(
    car: &Planned,
    indent: usize,
    screen: Screen,
    out: &mut dyn Write,
) -> io::Result<()> {
    let action = Action::ALL.iter().find(|a| a.word() == car.action);
    let ink = action.map_or(Ink::Faint, |a| Ink::from(*a));
    let blank = " ".repeat(indent);
    for text in wrap(&words(car), screen.columns.saturating_sub(indent)) {
        let text = screen.paint_start(ink, &car.action.to_uppercase(), &text);
        writeln!(out, "{blank}{text}")?;
    }
    Ok(())
}

fn words(car: &Planned) -> String {
    let place = car
        .place
        .as_ref()
        .map_or_else(String::new, |place| format!(" {place}."));
    format!(
        "{}: {}.{place} Id: {}.",
        car.action.to_uppercase(),
        car.reason,
        car.id
    )
}
