//! The ledger beside the estimates, for people and programs.
//!
//! As JSON one object: `cars` (list of `{id, name, bought, sold, bought_for,
//! sold_for, materials, outwork, fees, hours, margin, margin_per_hour,
//! expected_margin, expected_materials, expected_hours, jobs}`), each of `jobs`
//! `{job, name, foreseen, materials, expected_materials, hours, expected_hours,
//! outwork, expected_outwork}`; `months` (list of `{month, cars, work, tools,
//! sold, hours}`); `unknown` (ids without an ad).

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::json::{Number, write_pretty};
use super::page::Page;
use super::screen::Screen;
use super::text::{left, plain, right};
use crate::day::Day;
use crate::ledger::{Accounts, CarAccount, JobAccount};
use crate::units::{Hours, Money};

/// The accounts as data. The module tells the keys.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See the module.
pub struct All {
    pub cars: Vec<CarPart>,
    pub months: Vec<MonthPart>,
    pub unknown: Vec<String>,
}

/// One car.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See the module.
pub struct CarPart {
    pub id: String,
    pub name: Option<String>,
    pub bought: Option<Day>,
    pub sold: Option<Day>,
    pub bought_for: Option<Number>,
    pub sold_for: Option<Number>,
    pub materials: Number,
    pub outwork: Number,
    pub fees: Number,
    pub hours: Number,
    pub margin: Option<Number>,
    pub margin_per_hour: Option<Number>,
    pub expected_margin: Option<Number>,
    pub expected_materials: Option<Number>,
    pub expected_hours: Option<Number>,
    pub jobs: Vec<JobPart>,
}

/// One job of a car.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See the module.
pub struct JobPart {
    pub job: String,
    pub name: String,
    pub foreseen: bool,
    pub materials: Option<Number>,
    pub expected_materials: Option<Number>,
    pub hours: Option<Number>,
    pub expected_hours: Option<Number>,
    pub outwork: Option<Number>,
    pub expected_outwork: Option<Number>,
}

/// One month.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(missing_docs)] // See the module.
pub struct MonthPart {
    pub month: String,
    pub cars: Number,
    pub work: Number,
    pub tools: Number,
    pub sold: Number,
    pub hours: Number,
}

/// Writes the accounts as one JSON object.
///
/// # Errors
/// When writing fails.
pub fn write_json(accounts: &Accounts, out: &mut dyn Write) -> io::Result<()> {
    let months = accounts.months.iter().map(|((year, month), m)| MonthPart {
        month: format!("{year}-{month:02}"),
        cars: m.cars.into(),
        work: m.work.into(),
        tools: m.tools.into(),
        sold: m.sold.into(),
        hours: m.hours.into(),
    });
    let all = All {
        cars: accounts.cars.iter().map(CarPart::new).collect(),
        months: months.collect(),
        unknown: accounts.unknown.iter().map(|id| plain(id)).collect(),
    };
    write_pretty(out, &all)?;
    out.write_all(b"\n")
}

impl CarPart {
    fn new(car: &CarAccount) -> Self {
        CarPart {
            id: plain(&car.id),
            name: car.name.as_deref().map(plain),
            bought: car.bought.map(|(day, _)| day),
            sold: car.sold.map(|(day, _)| day),
            bought_for: car.bought.map(|(_, money)| money.into()),
            sold_for: car.sold.map(|(_, money)| money.into()),
            materials: car.materials.into(),
            outwork: car.outwork.into(),
            fees: car.fees.into(),
            hours: car.hours.into(),
            margin: car.margin.map(Number::from),
            margin_per_hour: car.margin_per_hour.map(Number::from),
            expected_margin: car.expected_margin.map(Number::from),
            expected_materials: car.expected_materials.map(Number::from),
            expected_hours: car.expected_hours.map(Number::from),
            jobs: car.jobs.iter().map(JobPart::new).collect(),
        }
    }
}

impl JobPart {
    fn new(job: &JobAccount) -> Self {
        let known = job.known.as_ref();
        JobPart {
            job: job.job.clone(),
            name: job.name.clone(),
            foreseen: known.is_some_and(|k| k.foreseen),
            materials: job.materials.map(Number::from),
            expected_materials: known.map(|k| k.materials.mean().into()),
            hours: job.hours.map(Number::from),
            expected_hours: known.map(|k| k.hours.likely.into()),
            outwork: job.outwork.map(Number::from),
            expected_outwork: known.map(|k| k.outwork.mean().into()),
        }
    }
}

/// Columns for the words of a line.
const WORDS: usize = 34;

/// Columns of a line of the months.
const MONTH_LINE: usize = 65;

/// Writes the accounts as text at a width in columns.
///
/// # Errors
/// When writing fails.
pub fn write_text(
    accounts: &Accounts,
    screen: impl Into<Screen>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let mut page = Page::new(out, screen, 100);
    let (sold, open): (Vec<_>, Vec<_>) = accounts.cars.iter().partition(|c| c.sold.is_some());
    page.put(0, "Actual, and in brackets what was expected")?;
    page.head(&format!("Sold: {}", sold.len()))?;
    for car in &sold {
        write_car(&mut page, car)?;
    }
    if sold.len() > 1 {
        let margin: Money = sold.iter().filter_map(|c| c.margin).sum();
        let expected: Money = sold.iter().filter_map(|c| c.expected_margin).sum();
        let hours: Hours = sold.iter().map(|c| c.hours).sum();
        let text = format!("all: margin {margin} ({expected}), {hours} h");
        page.put(2, &text)?;
    }
    page.head(&format!("Still open: {}", open.len()))?;
    for car in &open {
        write_car(&mut page, car)?;
    }
    page.head("By month")?;
    let heads = ["", "cars", "parts etc.", "tools", "sold", "hours"];
    let narrow = page.columns() < MONTH_LINE;
    let line = |cells: [&str; 6]| {
        let mut text = left(cells[0], 8);
        for cell in &cells[1..] {
            text.push_str(&right(cell, 11));
        }
        text
    };
    if !narrow {
        writeln!(page.out, "  {}", line(heads))?;
    }
    for ((year, month), m) in &accounts.months {
        let month = format!("{year}-{month:02}");
        let [cars, work, tools, sold] = [m.cars, m.work, m.tools, m.sold].map(|v| v.to_string());
        let hours = m.hours.to_string();
        if narrow {
            let cells = heads
                .iter()
                .skip(1)
                .zip([&cars, &work, &tools, &sold, &hours]);
            let cells: Vec<_> = cells.map(|(head, cell)| format!("{head} {cell}")).collect();
            page.put(2, &format!("{month}: {}", cells.join(", ")))?;
            continue;
        }
        writeln!(
            page.out,
            "  {}",
            line([&month, &cars, &work, &tools, &sold, &hours])
        )?;
    }
    for id in &accounts.unknown {
        let text = format!(
            "No ad with the id '{}' is among the files: nothing to compare",
            plain(id)
        );
        page.put(0, &text)?;
    }
    Ok(())
}

fn write_car(page: &mut Page<'_>, car: &CarAccount) -> io::Result<()> {
    let name = car.name.as_deref().map_or("car", |n| n);
    let dated = |word: &str, of: Option<(Day, Money)>| {
        of.map_or_else(String::new, |(day, money)| {
            format!(", {word} {day} for {money}")
        })
    };
    page.put(
        2,
        &format!(
            "{} ({}){}{}",
            plain(name),
            plain(&car.id),
            dated("bought", car.bought),
            dated("sold", car.sold)
        ),
    )?;
    let was = |known: Option<String>| known.map_or_else(String::new, |k| format!(" ({k})"));
    page.put(
        4,
        &format!(
            "materials {}{}, outwork {}, fees {}, hours {}{}",
            car.materials,
            was(car.expected_materials.map(|m| m.to_string())),
            car.outwork,
            car.fees,
            car.hours,
            was(car.expected_hours.map(|h| h.to_string())),
        ),
    )?;
    if let Some(margin) = car.margin {
        let hour = car
            .margin_per_hour
            .map_or_else(String::new, |m| format!(", {m} an hour"));
        let expected = was(car.expected_margin.map(|m| m.to_string()));
        page.put(4, &format!("margin {margin}{expected}{hour}"))?;
    }
    for job in &car.jobs {
        write_job(page, job)?;
    }
    Ok(())
}

fn write_job(page: &mut Page<'_>, job: &JobAccount) -> io::Result<()> {
    let known = job.known.as_ref();
    let mut out = Vec::new();
    let mut add = |what: &str, actual: Option<String>, expected: Option<String>| {
        if let Some(actual) = actual {
            let expected = expected.map_or_else(String::new, |e| format!(" ({e})"));
            out.push(format!("{what} {actual}{expected}"));
        }
    };
    add(
        "materials",
        job.materials.map(|m| m.to_string()),
        known.map(|k| k.materials.mean().to_string()),
    );
    add(
        "hours",
        job.hours.map(|h| h.to_string()),
        known.map(|k| k.hours.likely.to_string()),
    );
    add(
        "outwork",
        job.outwork.map(|m| m.to_string()),
        known.map(|k| k.outwork.mean().to_string()),
    );
    if known.is_some_and(|k| !k.foreseen) {
        out.push("not foreseen".to_owned());
    }
    let prefix = format!("    {} ", left(&job.name, WORDS));
    page.hang(&prefix, 6, &out.join(", "))
}
