//! What to look at on a car before paying for it.

use rust_decimal::prelude::ToPrimitive;

use super::classes::Classes;
use super::facts::{Fact, facts};
use super::parts::{PartId, Parts};
use super::repairs::share;
use super::table::{LexiconError, Row, Sheet};
use super::unknowns::Open;
use crate::reading::{Gearbox, Moves};
use crate::units::{Chance, ModelYear};

/// When a check is done, in the order of doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Before leaving home: what to have along.
    Bring,
    /// Papers and numbers.
    Papers,
    /// Outside, and before the engine is started.
    Cold,
    /// Under the hood.
    Hood,
    /// Started, standing.
    Idle,
    /// Inside, before driving.
    Inside,
    /// On the road.
    Drive,
    /// Underneath.
    Under,
    /// After the drive.
    After,
}

impl Stage {
    /// All stages in order.
    pub const ALL: &'static [Stage] = &[
        Stage::Bring,
        Stage::Papers,
        Stage::Cold,
        Stage::Hood,
        Stage::Idle,
        Stage::Inside,
        Stage::Drive,
        Stage::Under,
        Stage::After,
    ];

    /// The word of the table.
    pub const fn word(self) -> &'static str {
        match self {
            Stage::Bring => "bring",
            Stage::Papers => "papers",
            Stage::Cold => "cold",
            Stage::Hood => "hood",
            Stage::Idle => "idle",
            Stage::Inside => "inside",
            Stage::Drive => "drive",
            Stage::Under => "under",
            Stage::After => "after",
        }
    }

    /// The heading on a sheet.
    pub const fn heading(self) -> &'static str {
        match self {
            Stage::Bring => "Bring",
            Stage::Papers => "Papers and numbers",
            Stage::Cold => "Cold, before it is started",
            Stage::Hood => "Under the hood",
            Stage::Idle => "Started, standing",
            Stage::Inside => "Inside",
            Stage::Drive => "Drive",
            Stage::Under => "Underneath",
            Stage::After => "After the drive",
        }
    }
}

/// A condition under which a check is on the sheet of a car.
#[derive(Debug, Clone, PartialEq)]
pub enum When {
    /// On every sheet.
    Always,
    /// The ad tells or fears a fault of this code.
    Fault(PartId),
    /// The ad leaves this open.
    Open(Open),
    /// The gearbox.
    Gearbox(Gearbox),
    /// Whether it moves.
    Moves(Moves),
    /// The class.
    Class(String),
    /// The make, by its usual name.
    Make(String),
    /// The model, by its usual name.
    Model(String),
    /// This model year or later, or the year not known.
    Since(ModelYear),
    /// Before this model year, or the year not known.
    Before(ModelYear),
    /// The engine has a timing belt, or may have one.
    Belt,
}

/// How far a check can be trusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// How often it shows a fault that is there.
    pub hit: Chance,
    /// How often it shows a fault that is not there.
    pub false_alarm: Chance,
    /// How often a cheap car has the fault when the ad says nothing of it.
    pub usual: Chance,
}

/// One row of `checks.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Its code.
    pub check: String,
    /// When it is done.
    pub stage: Stage,
    /// In few words.
    pub name: String,
    /// How it is done.
    pub how: String,
    /// What good looks like.
    pub good: String,
    /// What bad looks like.
    pub bad: String,
    /// The limit of a standard, which `source` names.
    pub limit: Option<String>,
    /// The caution.
    pub caution: Option<String>,
    /// Minutes that it takes.
    pub minutes: u32,
    /// What it speaks for, the likeliest first.
    pub codes: Vec<PartId>,
    /// How far it can be trusted; none where it finds out a plain fact.
    pub rates: Option<Rates>,
    /// When it is on the sheet: where one of these holds.
    pub when: Vec<When>,
    /// What is no longer left open once it was found good.
    pub settles: Vec<Open>,
    /// What is known once it was found good.
    pub if_good: Vec<Fact>,
    /// What is known once it was found bad.
    pub if_bad: Vec<Fact>,
    /// Where limit and rates are from.
    pub source: String,
}

/// All checks, in the order of doing.
#[derive(Debug)]
pub struct Checks {
    rows: Vec<Check>,
}

/// Words of a findings file that name a plain fact and no check.
pub const FACT_WORDS: [&str; 5] = ["ask", "miles", "title", "moves", "gearbox"];

impl Checks {
    /// Reads and checks `checks.csv`.
    ///
    /// # Errors
    /// A check twice or out of the order of stages, a code, condition, fact or
    /// class unknown, a rate outside 0 to 1 or missing where there are codes,
    /// a check that is no better than guessing.
    pub fn read(sheet: &Sheet, parts: &Parts, classes: &Classes) -> Result<Self, LexiconError> {
        let mut rows: Vec<Check> = Vec::new();
        for row in sheet.rows() {
            let check = check_row(&row, parts, classes)?;
            if FACT_WORDS.contains(&check.check.as_str()) {
                let problem = format!(
                    "'{}' names a fact in findings; name it otherwise",
                    check.check
                );
                return Err(row.error("check", problem));
            }
            if parts.find(&check.check).is_some() {
                let problem = format!(
                    "'{}' is a code of parts.csv; name it otherwise",
                    check.check
                );
                return Err(row.error("check", problem));
            }
            if rows.iter().any(|r| r.check == check.check) {
                let problem = format!("'{}' stands twice; remove one", check.check);
                return Err(row.error("check", problem));
            }
            if rows.last().is_some_and(|last| last.stage > check.stage) {
                let problem = format!("'{}' comes too late; rows go by stage", check.stage.word());
                return Err(row.error("stage", problem));
            }
            rows.push(check);
        }
        Ok(Checks { rows })
    }

    /// The checks in order.
    pub fn rows(&self) -> &[Check] {
        &self.rows
    }

    /// The check of this code.
    pub fn find(&self, check: &str) -> Option<&Check> {
        self.rows.iter().find(|c| c.check == check)
    }
}

fn check_row(row: &Row<'_>, parts: &Parts, classes: &Classes) -> Result<Check, LexiconError> {
    let text = |column| {
        Ok(Some(row.text(column)?)
            .filter(|t| !t.is_empty())
            .map(str::to_owned))
    };
    let word = row.required("stage")?;
    let stage = Stage::ALL.iter().find(|s| s.word() == word);
    let stage = *stage.ok_or_else(|| {
        let words: Vec<_> = Stage::ALL.iter().map(|s| s.word()).collect();
        row.error(
            "stage",
            format!("'{word}' is none of: {}", words.join(", ")),
        )
    })?;
    if stage != Stage::Bring {
        row.required("good")?;
        row.required("bad")?;
    }
    let codes: Vec<PartId> = row
        .list("codes")?
        .map(|code| parts.of_cell(row, "codes", code))
        .collect::<Result<_, _>>()?;
    let rates = rates(row)?;
    if rates.is_none() && !codes.is_empty() {
        return Err(row.error(
            "hit",
            "is empty though the check speaks for codes; give a chance",
        ));
    }
    Ok(Check {
        check: row.required("check")?.to_owned(),
        stage,
        name: row.required("name")?.to_owned(),
        how: row.required("how")?.to_owned(),
        good: row.text("good")?.to_owned(),
        bad: row.text("bad")?.to_owned(),
        limit: text("limit")?,
        caution: text("caution")?,
        minutes: row.parsed("minutes", "whole minutes")?.unwrap_or_default(),
        codes,
        rates,
        when: conditions(row, parts, classes)?,
        settles: row
            .list("settles")?
            .map(|code| open(row, "settles", code))
            .collect::<Result<_, _>>()?,
        if_good: facts(row, "if_good", parts)?,
        if_bad: facts(row, "if_bad", parts)?,
        source: row.required("source")?.to_owned(),
    })
}

fn rates(row: &Row<'_>) -> Result<Option<Rates>, LexiconError> {
    if row.text("hit")?.is_empty() {
        return Ok(None);
    }
    let chance = |column| {
        row.required(column)?;
        let value = share(row, column)?.to_f64().and_then(Chance::new);
        value.ok_or_else(|| row.error(column, "give a chance from 0 to 1"))
    };
    let rates = Rates {
        hit: chance("hit")?,
        false_alarm: chance("false_alarm")?,
        usual: chance("usual")?,
    };
    if rates.hit <= rates.false_alarm {
        let problem = "is no more than false_alarm, so that the check tells nothing";
        return Err(row.error("hit", problem));
    }
    Ok(Some(rates))
}

fn open(row: &Row<'_>, column: &str, code: &str) -> Result<Open, LexiconError> {
    Open::all()
        .find(|o| o.code() == code)
        .ok_or_else(|| row.error(column, format!("'{code}' is no code of unknowns.csv")))
}

fn conditions(row: &Row<'_>, parts: &Parts, classes: &Classes) -> Result<Vec<When>, LexiconError> {
    row.required("when")?;
    let wrong = |text: &str| {
        row.error(
            "when",
            format!(
                "'{text}' is none of: always, belt, a code of parts.csv or unknowns.csv, \
                 gearbox=manual, moves=no_start, class=van, make=Subaru, model=Baja, \
                 since=1996, before=1996"
            ),
        )
    };
    let one = |text: &str| {
        let Some((key, value)) = text.split_once('=') else {
            let opens = || Open::all().find(|o| o.code() == text).map(When::Open);
            return match text {
                "always" => Some(When::Always),
                "belt" => Some(When::Belt),
                code => parts.find(code).map(When::Fault).or_else(opens),
            };
        };
        let year = || value.parse().ok().map(ModelYear);
        match key {
            "gearbox" => Gearbox::of_word(value).map(When::Gearbox),
            "moves" => Moves::of_word(value).map(When::Moves),
            "class" => classes.find(value).map(|c| When::Class(c.name.clone())),
            "make" => Some(When::Make(value.to_owned())),
            "model" => Some(When::Model(value.to_owned())),
            "since" => year().map(When::Since),
            "before" => year().map(When::Before),
            _ => None,
        }
    };
    row.list("when")?
        .map(|text| one(text).ok_or_else(|| wrong(text)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    const HEAD: &str = "check,stage,name,how,good,bad,limit,caution,minutes,codes,hit,\
                        false_alarm,usual,when,settles,if_good,if_bad,source\n";

    fn wrong(rows: &str) -> String {
        let lexicon = Lexicon::built_in().unwrap();
        let sheet = Sheet::parse("checks.csv", &format!("{HEAD}{rows}")).unwrap();
        Checks::read(&sheet, &lexicon.parts, &lexicon.classes)
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place() {
        for (rows, message) in [
            (
                "a,later,n,h,g,b,,,1,,,,,always,,,,s\n",
                "line 2, column 'stage': 'later' is none of: bring, papers, cold, hood, idle, \
                 inside, drive, under, after",
            ),
            (
                "a,hood,n,h,g,b,,,1,,,,,always,,,,s\nb,cold,n,h,g,b,,,1,,,,,always,,,,s\n",
                "line 3, column 'stage': 'cold' comes too late; rows go by stage",
            ),
            (
                "a,hood,n,h,g,b,,,1,clutch,0.2,0.3,0.1,always,,,,s\n",
                "line 2, column 'hit': is no more than false_alarm, so that the check tells \
                 nothing",
            ),
            (
                "a,hood,n,h,g,b,,,1,clutch,,,,always,,,,s\n",
                "line 2, column 'hit': is empty though the check speaks for codes; give a chance",
            ),
            (
                "a,hood,n,h,g,b,,,1,,,,,always,,title=nice,,s\n",
                "line 2, column 'if_good': 'title=nice' is no fact such as title=clean, \
                 moves=drives, gearbox=manual, miles=doubted, and no code of parts.csv",
            ),
            (
                "ask,hood,n,h,g,b,,,1,,,,,always,,,,s\n",
                "line 2, column 'check': 'ask' names a fact in findings; name it otherwise",
            ),
        ] {
            assert_eq!(wrong(rows), format!("checks.csv, {message}"));
        }
    }

    #[test]
    fn every_check_that_can_be_dangerous_carries_its_caution() {
        let lexicon = Lexicon::built_in().unwrap();
        for check in lexicon.checks.rows() {
            let caution = check.caution.as_deref().unwrap_or_default();
            let must = match check.stage {
                Stage::Under => "never under a car held by a jack alone",
                Stage::Drive => "legal and insured",
                _ => "",
            };
            assert!(caution.contains(must), "{}: {caution}", check.check);
        }
    }
}
