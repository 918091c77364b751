//! The ledger summed up beside the estimates.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rust_decimal::Decimal;

use super::book::{Book, BookError, Entry, What};
use crate::day::Day;
use crate::lexicon::Lexicon;
use crate::margin::Appraisal;
use crate::near::hint;
use crate::profile::Profile;
use crate::reading::Gearbox;
use crate::safe_text::for_terminal;
use crate::units::{Hours, Money, ThreePoint};

/// What is known beforehand of a car in the ledger.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    /// The car's id: several ids of the ledger may be of one car.
    pub id: &'a str,
    /// Its estimate.
    pub appraisal: &'a Appraisal,
    /// Its class, where the model is known.
    pub class: Option<&'a str>,
}

/// What a job should take.
#[derive(Debug, Clone, PartialEq)]
pub struct JobEstimate {
    /// Parts and consumables.
    pub materials: ThreePoint<Money>,
    /// One's own hours.
    pub hours: ThreePoint<Hours>,
    /// Work that goes out.
    pub outwork: ThreePoint<Money>,
    /// Whether the estimate of the car had the job; else it is the table's.
    pub foreseen: bool,
}

/// One job on one car.
#[derive(Debug, Clone, PartialEq)]
pub struct JobAccount {
    /// Its code in `repairs.csv`.
    pub job: String,
    /// In words.
    pub name: String,
    /// What it should take.
    pub known: Option<JobEstimate>,
    /// Parts and consumables; none where no row tells.
    pub materials: Option<Money>,
    /// One's own hours.
    pub hours: Option<Hours>,
    /// Work that went out.
    pub outwork: Option<Money>,
}

/// One car.
#[derive(Debug, Clone, PartialEq)]
pub struct CarAccount {
    /// Its id.
    pub id: String,
    /// Year, make and model, where its ad is among the files.
    pub name: Option<String>,
    /// When and for how much it was bought.
    pub bought: Option<(Day, Money)>,
    /// When and for how much it was sold.
    pub sold: Option<(Day, Money)>,
    /// Parts and consumables.
    pub materials: Money,
    /// Work that went out.
    pub outwork: Money,
    /// Fees.
    pub fees: Money,
    /// Hours.
    pub hours: Hours,
    /// Its jobs, by code.
    pub jobs: Vec<JobAccount>,
    /// What is left once it is sold: the price less all of the above, hours at
    /// the profile's rate. Tools stay and are not taken off.
    pub margin: Option<Money>,
    /// The margin by hour of work; less than an hour counts as one.
    pub margin_per_hour: Option<Money>,
    /// The margin expected at the price that was paid.
    pub expected_margin: Option<Money>,
    /// Parts and consumables expected, chances weighed.
    pub expected_materials: Option<Money>,
    /// Hours expected for the repair, chances weighed, and for the sale.
    pub expected_hours: Option<Hours>,
}

/// One month.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MonthAccount {
    /// Paid for cars.
    pub cars: Money,
    /// Paid for parts, outwork and fees.
    pub work: Money,
    /// Paid for tools.
    pub tools: Money,
    /// Cars sold for.
    pub sold: Money,
    /// Hours worked.
    pub hours: Hours,
}

/// The ledger summed up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Accounts {
    /// By the day of buying, then by id.
    pub cars: Vec<CarAccount>,
    /// By year and month.
    pub months: BTreeMap<(i32, u32), MonthAccount>,
    /// Ids of the ledger of which no ad is among the files.
    pub unknown: BTreeSet<String>,
}

impl Accounts {
    /// Sums up a ledger. `known` finds a car by any id of its ads.
    ///
    /// # Errors
    /// A code that is neither job nor part, with its line; `path` is the
    /// ledger's, for the message.
    pub fn new<'a>(
        path: &Path,
        book: &Book,
        known: impl Fn(&str) -> Option<Known<'a>>,
        lexicon: &Lexicon,
        profile: &Profile,
    ) -> Result<Self, BookError> {
        let mut out = Accounts::default();
        let mut rows: BTreeMap<String, Vec<&Entry>> = BTreeMap::new();
        for entry in &book.entries {
            out.month(entry);
            if let Some(id) = &entry.id {
                let known = known(id);
                if known.is_none() {
                    out.unknown.insert(id.clone());
                }
                let id = known.map_or(id.as_str(), |k| k.id);
                rows.entry(id.to_owned()).or_default().push(entry);
            }
        }
        for (id, rows) in rows {
            let car = Car {
                path,
                lexicon,
                profile,
                known: known(&id),
            };
            out.cars.push(car.account(id, &rows)?);
        }
        let bought = |car: &CarAccount| car.bought.map(|(day, _)| day);
        out.cars
            .sort_by(|a, b| bought(a).cmp(&bought(b)).then_with(|| a.id.cmp(&b.id)));
        Ok(out)
    }

    fn month(&mut self, entry: &Entry) {
        let (year, month, _) = entry.date.parts();
        let held = self.months.entry((year, month)).or_default();
        let money = Money::new(entry.amount);
        match entry.what {
            What::Bought => held.cars += money,
            What::Part | What::Outwork | What::Fee => held.work += money,
            What::Tool => held.tools += money,
            What::Sold => held.sold += money,
            What::Hours => held.hours = held.hours + Hours::new(entry.amount),
        }
    }
}

struct Car<'a, 'k> {
    path: &'a Path,
    lexicon: &'a Lexicon,
    profile: &'a Profile,
    known: Option<Known<'k>>,
}

impl Car<'_, '_> {
    fn account(&self, id: String, rows: &[&Entry]) -> Result<CarAccount, BookError> {
        let sum = |what: What| -> Option<Decimal> {
            let mut rows = rows.iter().filter(|e| e.what == what).peekable();
            rows.peek()?;
            Some(rows.map(|e| e.amount).sum())
        };
        let day = |what: What| rows.iter().filter(|e| e.what == what).map(|e| e.date).min();
        let money = |what| Money::new(sum(what).unwrap_or_default());
        let dated = |what| day(what).map(|day| (day, money(what)));
        let hours = Hours::new(sum(What::Hours).unwrap_or_default());
        let (bought, sold) = (dated(What::Bought), dated(What::Sold));
        let (materials, outwork, fees) =
            (money(What::Part), money(What::Outwork), money(What::Fee));
        let margin = bought.zip(sold).map(|((_, bought), (_, sold))| {
            sold - bought - materials - outwork - fees - hours * self.profile.hour_value
        });
        let appraisal = self.known.map(|k| k.appraisal);
        let expected_margin = appraisal.and_then(|a| {
            let (_, bought) = bought?;
            Some(a.margin?.likely + a.expected_price? - bought)
        });
        let bill = appraisal.and_then(|a| a.bill.as_ref());
        let expected_materials = bill.map(|bill| {
            let lines = bill.jobs.iter().map(|j| {
                let chance = Decimal::try_from(j.chance.value()).unwrap_or_default();
                (j.parts.mean() + j.consumables).times(chance)
            });
            lines.sum()
        });
        let name = appraisal.map(|a| {
            let year = a.reading.year.map(|y| y.to_string());
            let parts = [
                year.as_ref(),
                a.reading.make.as_ref(),
                a.reading.model.as_ref(),
            ];
            let parts: Vec<_> = parts.into_iter().flatten().cloned().collect();
            parts.join(" ")
        });
        Ok(CarAccount {
            jobs: self.jobs(rows)?,
            margin_per_hour: margin
                .and_then(|m| Money::from_f64(m.to_f64() / hours.to_f64().max(1.0))),
            expected_hours: bill.map(|bill| bill.hours.likely + self.profile.prepare_hours),
            name: name.filter(|n| !n.is_empty()),
            id,
            bought,
            sold,
            materials,
            outwork,
            fees,
            hours,
            margin,
            expected_margin,
            expected_materials,
        })
    }

    fn no_job(&self, code: &str) -> String {
        let repairs = &self.lexicon.repairs;
        let jobs = repairs.ids().map(|job| repairs.get(job).job.as_str());
        let parts = self.lexicon.parts.ids();
        let parts = parts.map(|part| self.lexicon.parts.code(part));
        let names: Vec<&str> = jobs
            .chain(parts)
            .filter(|c| self.job(c).is_some())
            .collect();
        format!(
            "'{}' is no job of repairs.csv and no part of parts.csv that has one{}",
            for_terminal(code),
            hint(code, names, "those tables list them")
        )
    }

    fn jobs(&self, rows: &[&Entry]) -> Result<Vec<JobAccount>, BookError> {
        let mut jobs: BTreeMap<String, JobAccount> = BTreeMap::new();
        for entry in rows {
            let of_job = matches!(entry.what, What::Part | What::Outwork | What::Hours);
            let Some(code) = entry.code.as_deref().filter(|_| of_job) else {
                continue;
            };
            let job = self.job(code).ok_or_else(|| BookError::Cell {
                path: self.path.to_owned(),
                line: entry.line,
                column: "code",
                problem: self.no_job(code),
            })?;
            let account = jobs.entry(job.clone()).or_insert_with(|| self.empty(job));
            match entry.what {
                What::Part => {
                    let sum = account.materials.unwrap_or_default() + Money::new(entry.amount);
                    account.materials = Some(sum);
                }
                What::Outwork => {
                    let sum = account.outwork.unwrap_or_default() + Money::new(entry.amount);
                    account.outwork = Some(sum);
                }
                _ => {
                    let sum = account.hours.unwrap_or_default() + Hours::new(entry.amount);
                    account.hours = Some(sum);
                }
            }
        }
        Ok(jobs.into_values().collect())
    }

    /// The job of a code: its own, or that of a part.
    fn job(&self, code: &str) -> Option<String> {
        let repairs = &self.lexicon.repairs;
        if repairs.find(code).is_some() {
            return Some(code.to_owned());
        }
        let part = self.lexicon.parts.find(code)?;
        let bill = self.known.and_then(|k| k.appraisal.bill.as_ref());
        let in_bill = bill.and_then(|bill| {
            let of_part = |job: &str| {
                repairs
                    .find(job)
                    .is_some_and(|id| repairs.get(id).part == part)
            };
            bill.jobs.iter().find(|line| of_part(&line.job))
        });
        if let Some(line) = in_bill {
            return Some(line.job.clone());
        }
        let gearbox = self
            .known
            .map_or(Gearbox::Unstated, |k| k.appraisal.reading.gearbox);
        let id = repairs.for_part(part, gearbox, &self.class().name)?;
        Some(repairs.get(id).job.clone())
    }

    fn class(&self) -> &crate::lexicon::classes::Class {
        let classes = &self.lexicon.classes;
        let class = self.known.and_then(|k| classes.find(k.class?));
        class.unwrap_or_else(|| classes.reference())
    }

    fn empty(&self, job: String) -> JobAccount {
        let repairs = &self.lexicon.repairs;
        let repair = repairs.find(&job).map(|id| repairs.get(id));
        let bill = self.known.and_then(|k| k.appraisal.bill.as_ref());
        let line = bill.and_then(|bill| bill.jobs.iter().find(|line| line.job == job));
        let known = line
            .map(|line| JobEstimate {
                materials: line.parts + ThreePoint::exactly(line.consumables),
                hours: line.own_hours,
                outwork: line.outwork,
                foreseen: true,
            })
            .or_else(|| {
                // Nobody foresaw it: what the table says, done alone.
                let (repair, class) = (repair?, self.class());
                let factor = class.parts_factor * self.profile.parts_factor;
                let used = repair.part_used.filter(|_| self.profile.buys_used_parts);
                let parts = used.unwrap_or(repair.part_new);
                let materials = parts + ThreePoint::exactly(repair.consumables);
                Some(JobEstimate {
                    materials: materials.map(|m| m.times(factor)),
                    hours: repair.hours.map(|h| h.times(class.hours_factor)),
                    outwork: repair.outwork,
                    foreseen: false,
                })
            });
        JobAccount {
            name: repair.map_or_else(|| job.clone(), |r| r.name.clone()),
            job,
            known,
            materials: None,
            hours: None,
            outwork: None,
        }
    }
}
