//! What a symptom usually comes from.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::base_rates::BaseRates;
use super::gearboxes::Gearboxes;
use super::parts::{PartId, PartKind, Parts};
use super::repairs::{JobRef, Repairs, share};
use super::table::{LexiconError, Sheet};
use crate::reading::Gearbox;
use crate::units::{Money, ThreePoint};

/// One usual cause of a symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// The work that puts it right.
    pub work: JobRef,
    /// How often a car with this cause shows the symptom, 0 to 1.
    pub weight: Decimal,
    /// The cars that the row speaks of.
    pub on: Gearboxes,
    /// A word to the reader of the table.
    pub note: Option<String>,
}

impl Cause {
    /// How often a car with this cause shows the symptom, as a number.
    pub fn shown(&self) -> f64 {
        self.weight.to_f64().unwrap_or_default()
    }
}

impl Other {
    /// How often a typical cheap car shows it from something else, as a number.
    pub fn shown(&self) -> f64 {
        self.weight.to_f64().unwrap_or_default()
    }
}

/// What is left of a symptom when its usual causes are counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Other {
    /// How often a typical cheap car shows the symptom from something else,
    /// 0 to 1.
    pub weight: Decimal,
    /// What it then costs.
    pub cost: ThreePoint<Money>,
    /// Where the figures are from.
    pub source: String,
}

/// All rows of one symptom.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SymptomCauses {
    /// Usual causes in table order.
    pub causes: Vec<Cause>,
    /// The allowance for the rest.
    pub other: Option<Other>,
}

impl SymptomCauses {
    /// The usual causes on a car with this gearbox.
    pub fn on(&self, gearbox: Gearbox) -> impl Iterator<Item = &Cause> {
        self.causes.iter().filter(move |c| c.on.fit(gearbox))
    }
}

/// The causes of all symptoms.
#[derive(Debug)]
pub struct Causes {
    by_part: Vec<SymptomCauses>,
}

impl Causes {
    /// Reads and checks `causes.csv`.
    ///
    /// # Errors
    /// A code that is no symptom, an unknown job or gearbox, a cause twice for
    /// the same car or without a base rate, a weight over 1, a symptom without
    /// rows.
    pub fn read(
        sheet: &Sheet,
        parts: &Parts,
        repairs: &Repairs,
        rates: &BaseRates,
    ) -> Result<Self, LexiconError> {
        let mut by_part = vec![SymptomCauses::default(); parts.len()];
        for row in sheet.rows() {
            let code = row.required("symptom")?;
            let symptom = parts.of_cell(&row, "symptom", code)?;
            if parts.get(symptom).kind != PartKind::Symptom {
                let problem = format!("'{code}' is a part; only symptoms have causes");
                return Err(row.error("symptom", problem));
            }
            row.required("weight")?;
            let weight = share(&row, "weight")?;
            let entry = &mut by_part[symptom.index()];
            if row.required("cause")? == "other" {
                if entry.other.is_some() {
                    let problem = format!("'other' stands twice for '{code}'; remove one");
                    return Err(row.error("cause", problem));
                }
                if !row.text("gearbox")?.is_empty() {
                    let problem = "'other' stands for every car; leave it empty";
                    return Err(row.error("gearbox", problem));
                }
                entry.other = Some(Other {
                    weight,
                    cost: row.money_range("other")?,
                    source: row.required("source")?.to_owned(),
                });
            } else {
                let work = repairs.of_cell(&row, "cause", parts)?;
                let on = Gearboxes::of_cell(&row)?;
                let twice = |c: &Cause| c.work == work && c.on.meet(&on);
                if entry.causes.iter().any(twice) {
                    let problem = format!("stands twice for '{code}'; remove one");
                    return Err(row.error("cause", problem));
                }
                if !rates.knows(work) {
                    let problem = "has no row in base_rates.csv; add how often cars have it";
                    return Err(row.error("cause", problem));
                }
                row.required("source")?;
                let note = row.text("note")?;
                entry.causes.push(Cause {
                    work,
                    weight,
                    on,
                    note: (!note.is_empty()).then(|| note.to_owned()),
                });
            }
        }
        let lacking = parts.ids().find(|p| {
            parts.get(*p).kind == PartKind::Symptom && by_part[p.index()].causes.is_empty()
        });
        match lacking {
            Some(p) => Err(sheet.error(format!(
                "symptom '{}' has no causes; add a row for each usual one",
                parts.code(p)
            ))),
            None => Ok(Causes { by_part }),
        }
    }

    /// Whether a symptom may come from a part.
    pub fn may_come_from(&self, symptom: PartId, part: PartId) -> bool {
        let job = JobRef::OfPart(part);
        self.of(symptom).causes.iter().any(|c| c.work == job)
    }

    /// Whether a part's being broken hardly goes without this symptom, on some car at
    /// least: a clutch that is gone slips.
    pub fn shows(&self, symptom: PartId, part: PartId) -> bool {
        // Common practice, no source: four in five.
        const HARDLY_WITHOUT: f64 = 0.8;
        let job = JobRef::OfPart(part);
        let mut causes = self.of(symptom).causes.iter();
        causes.any(|c| c.work == job && c.shown() >= HARDLY_WITHOUT)
    }

    /// The causes of a symptom; empty for a part.
    pub fn of(&self, symptom: PartId) -> &SymptomCauses {
        &self.by_part[symptom.index()]
    }
}
