//! The jobs: what puts a part right, with parts, hours and what goes out.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::classes::Classes;
use super::parts::{PartId, PartKind, Parts};
use super::skills::{SkillKind, Skills};
use super::table::{LexiconError, Row, Sheet};
use crate::near::hint;
use crate::reading::Gearbox;
use crate::units::{Hours, Money, ThreePoint};

/// One job of `repairs.csv`, as a small number into its [`Repairs`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JobId(u16);

impl JobId {
    /// Position in the table.
    pub fn index(self) -> usize {
        usize::from(self.0)
    }
}

/// What must hold for a job to be the one for its part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum When {
    /// Where no other row fits better.
    Default,
    /// Never for the part itself: only where `causes.csv` names the job.
    Variant,
    /// Where one of these fits; the one with more conditions wins.
    Any(Vec<Condition>),
}

/// Conditions that must hold together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Condition {
    gearbox: Option<Gearbox>,
    class: Option<String>,
}

impl Condition {
    fn strength(&self, gearbox: Gearbox, class: &str) -> Option<u8> {
        let fits = self.gearbox.is_none_or(|g| g == gearbox)
            && self.class.as_deref().is_none_or(|c| c == class);
        fits.then_some(u8::from(self.gearbox.is_some()) + u8::from(self.class.is_some()))
    }
}

/// One row of `repairs.csv`. Figures are for the midsize class.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// The job's code.
    pub job: String,
    /// The code it puts right.
    pub part: PartId,
    /// When it is the job for that code.
    pub when: When,
    /// In words.
    pub name: String,
    /// New parts (aftermarket).
    pub part_new: ThreePoint<Money>,
    /// The same from a salvage yard; none where they are not bought used.
    pub part_used: Option<ThreePoint<Money>>,
    /// A home mechanic's hours with hand tools.
    pub hours: ThreePoint<Hours>,
    /// Fluids, sealer, cleaner.
    pub consumables: Money,
    /// What goes out whoever does the job.
    pub outwork: ThreePoint<Money>,
    /// Why it does.
    pub outwork_why: Option<String>,
    /// The skill asked for.
    pub skill: String,
    /// The tools asked for.
    pub tools: Vec<String>,
    /// What the fault takes off the value where it may be left; none where it
    /// must be put right.
    pub value_effect: Option<ThreePoint<Money>>,
    /// The usual caution where the work can hurt someone.
    pub caution: Option<String>,
    /// Where the figures are from.
    pub source: String,
}

impl Repair {
    /// Whether it takes no more parts, hours and outwork than another.
    pub fn is_no_more_than(&self, other: &Repair) -> bool {
        self.part_new.likely <= other.part_new.likely
            && self.hours.likely <= other.hours.likely
            && self.outwork.likely <= other.outwork.likely
    }
}

/// A cell that names work: a part's job, whichever it is for the car, or one
/// job by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JobRef {
    /// The job for this part, chosen by gearbox and class.
    OfPart(PartId),
    /// This job.
    Job(JobId),
}

/// All jobs.
#[derive(Debug)]
pub struct Repairs {
    rows: Vec<Repair>,
    by_job: HashMap<String, JobId>,
    /// Jobs of each part that its `when` may choose, beside `parts.csv`.
    choices: Vec<Vec<JobId>>,
}

impl Repairs {
    /// Reads and checks `repairs.csv`.
    ///
    /// # Errors
    /// A job twice, a code, skill, tool or class unknown, amounts out of order,
    /// two rows for the same case, a part without a default job.
    pub fn read(
        sheet: &Sheet,
        parts: &Parts,
        skills: &Skills,
        classes: &Classes,
    ) -> Result<Self, LexiconError> {
        let mut table = Repairs {
            rows: Vec::new(),
            by_job: HashMap::new(),
            choices: vec![Vec::new(); parts.len()],
        };
        for row in sheet.rows() {
            let repair = read_row(&row, parts, skills, classes)?;
            let id = u16::try_from(table.rows.len())
                .map(JobId)
                .map_err(|_| row.error("job", "more than 65,535 jobs"))?;
            if table.by_job.insert(repair.job.clone(), id).is_some() {
                let problem = format!("'{}' stands twice; remove one", repair.job);
                return Err(row.error("job", problem));
            }
            if let Some(named) = parts.find(&repair.job)
                && named != repair.part
            {
                let problem = format!(
                    "'{}' is the code of another part; name the job otherwise",
                    repair.job
                );
                return Err(row.error("job", problem));
            }
            if repair.when != When::Variant {
                let choices = &mut table.choices[repair.part.index()];
                if let Some(rival) = choices
                    .iter()
                    .find(|j| same_case(&table.rows[j.index()].when, &repair.when))
                {
                    let rival = &table.rows[rival.index()].job;
                    let problem = format!("'{rival}' holds in the same case; change one of them");
                    return Err(row.error("when", problem));
                }
                choices.push(id);
            }
            table.rows.push(repair);
        }
        let lacking = parts.ids().find(|p| {
            parts.get(*p).kind == PartKind::Part
                && !table.choices[p.index()]
                    .iter()
                    .any(|j| table.rows[j.index()].when == When::Default)
        });
        if let Some(part) = lacking {
            return Err(sheet.error(format!(
                "part '{}' has no job; add a row with it in 'part' and 'default' in 'when'",
                parts.code(part)
            )));
        }
        Ok(table)
    }

    /// The row of an id.
    pub fn get(&self, id: JobId) -> &Repair {
        &self.rows[id.index()]
    }

    /// Changes the figures of every job, in table order.
    pub fn change(&mut self, change: impl FnMut(&mut Repair)) {
        self.rows.iter_mut().for_each(change);
    }

    /// The id of a job's code.
    pub fn find(&self, job: &str) -> Option<JobId> {
        self.by_job.get(job).copied()
    }

    /// How many jobs there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is no job at all.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// All ids in table order.
    pub fn ids(&self) -> impl Iterator<Item = JobId> + use<> {
        (0..self.rows.len()).map(|i| JobId(i as u16))
    }

    /// The job that puts a part right on a car of this gearbox and class;
    /// none for a symptom, whose jobs stand in `causes.csv`.
    pub fn for_part(&self, part: PartId, gearbox: Gearbox, class: &str) -> Option<JobId> {
        let strength = |id: &JobId| match &self.get(*id).when {
            When::Default => Some(0),
            When::Variant => None,
            When::Any(list) => list.iter().filter_map(|c| c.strength(gearbox, class)).max(),
        };
        self.choices
            .get(part.index())?
            .iter()
            .filter_map(|id| Some((strength(id)?, std::cmp::Reverse(*id))))
            .max()
            .map(|(_, id)| id.0)
    }

    /// The job of a reference on a car of this gearbox and class.
    pub fn resolve(&self, what: JobRef, gearbox: Gearbox, class: &str) -> Option<JobId> {
        match what {
            JobRef::OfPart(part) => self.for_part(part, gearbox, class),
            JobRef::Job(job) => Some(job),
        }
    }

    /// Whether a reference means this job on some car.
    pub fn means(&self, what: JobRef, job: JobId) -> bool {
        match what {
            JobRef::OfPart(part) => self.choices[part.index()].contains(&job),
            JobRef::Job(id) => id == job,
        }
    }

    /// The work named in a cell of another table: a code of `parts.csv` that
    /// has jobs, or a job.
    ///
    /// # Errors
    /// When it is neither: names the nearest job.
    pub fn of_cell(
        &self,
        row: &Row<'_>,
        column: &str,
        parts: &Parts,
    ) -> Result<JobRef, LexiconError> {
        let text = row.required(column)?;
        if let Some(part) = parts
            .find(text)
            .filter(|p| !self.choices[p.index()].is_empty())
        {
            return Ok(JobRef::OfPart(part));
        }
        self.find(text).map(JobRef::Job).ok_or_else(|| {
            let near = hint(
                text,
                self.rows.iter().map(|r| r.job.as_str()),
                "that table lists them",
            );
            row.error(column, format!("'{text}' is no job of repairs.csv{near}"))
        })
    }
}

fn same_case(a: &When, b: &When) -> bool {
    match (a, b) {
        (When::Any(a), When::Any(b)) => a.iter().any(|c| b.contains(c)),
        _ => a == b,
    }
}

fn read_row(
    row: &Row<'_>,
    parts: &Parts,
    skills: &Skills,
    classes: &Classes,
) -> Result<Repair, LexiconError> {
    let text = |column| {
        Ok(Some(row.text(column)?)
            .filter(|t| !t.is_empty())
            .map(str::to_owned))
    };
    let outwork = row.money_range("outwork")?;
    let outwork_why: Option<String> = text("outwork_why")?;
    if outwork.high > Money::ZERO && outwork_why.is_none() {
        return Err(row.error("outwork_why", "is empty though work goes out; say why"));
    }
    let value_effect = match row.required("resale")? {
        "yes" => None,
        "optional" => Some(row.money_range("value_effect")?),
        other => {
            let problem = format!("'{other}' is neither yes nor optional");
            return Err(row.error("resale", problem));
        }
    };
    for column in ["part_new_likely", "hours_likely"] {
        row.required(column)?;
    }
    let used = !row.text("part_used_likely")?.is_empty();
    Ok(Repair {
        job: row.required("job")?.to_owned(),
        part: parts.of_cell(row, "part", row.required("part")?)?,
        when: read_when(row, classes)?,
        name: row.required("name")?.to_owned(),
        part_new: row.money_range("part_new")?,
        part_used: used.then(|| row.money_range("part_used")).transpose()?,
        hours: row.hours_range("hours")?,
        consumables: Money::new(row.amount("consumables")?),
        outwork,
        outwork_why,
        skill: skills.of_cell(row, "skill", SkillKind::Skill, row.required("skill")?)?,
        tools: row
            .list("tools")?
            .map(|t| skills.of_cell(row, "tools", SkillKind::Tool, t))
            .collect::<Result<_, _>>()?,
        value_effect,
        caution: text("caution")?,
        source: row.required("source")?.to_owned(),
    })
}

fn read_when(row: &Row<'_>, classes: &Classes) -> Result<When, LexiconError> {
    match row.required("when")? {
        "default" => return Ok(When::Default),
        "variant" => return Ok(When::Variant),
        _ => {}
    }
    let wrong = |text: &str| {
        row.error(
            "when",
            format!(
                "'{text}' is none of: default, variant, gearbox=manual, class=pickup \
                 (conditions that hold together separated by a space, cases by ';')"
            ),
        )
    };
    let mut cases = Vec::new();
    for case in row.list("when")? {
        let mut condition = Condition::default();
        for word in case.split_whitespace() {
            match word.split_once('=') {
                Some(("gearbox", g)) => {
                    condition.gearbox = Some(Gearbox::of_word(g).ok_or_else(|| wrong(word))?);
                }
                Some(("class", c)) if classes.find(c).is_some() => {
                    condition.class = Some(c.to_owned());
                }
                Some(("class", c)) => {
                    let problem = format!("'{c}' is no class of classes.csv");
                    return Err(row.error("when", problem));
                }
                _ => return Err(wrong(word)),
            }
        }
        cases.push(condition);
    }
    Ok(When::Any(cases))
}

/// A share of something, 0 to 1, from a cell; empty counts as 0.
pub(super) fn share(row: &Row<'_>, column: &str) -> Result<Decimal, LexiconError> {
    let value = row.amount(column)?;
    if value > Decimal::ONE {
        return Err(row.error(
            column,
            format!("{value} is more than 1; give a share of 0 to 1"),
        ));
    }
    Ok(value)
}
