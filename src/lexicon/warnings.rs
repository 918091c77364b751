//! What a careful buyer distrusts, and the words that show it.

use std::collections::HashMap;
use std::fmt;

use super::phrasing::forms;
use super::table::{LexiconError, Row, Sheet};
use crate::near::hint;

/// A reason for distrust.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Distrust {
    /// Payment by wire, gift card or coin.
    UntraceablePay,
    /// An agent ships the car or holds the money.
    AgentShips,
    /// The seller cannot be met.
    SellerAway,
    /// The car cannot be seen before paying.
    SightUnseen,
    /// Far too cheap for what is told.
    TooCheap,
    /// The price is a first payment.
    Deposit,
    /// No title in the seller's hand.
    NoPapers,
    /// The identification number fails its check digit.
    VinCheck,
    /// The identification number tells another year.
    VinYear,
    /// The identification number tells another maker.
    VinMake,
    /// An earlier ad told more distance.
    DistanceDown,
    /// A fault is told no more.
    FaultLeftOut,
}

impl Distrust {
    /// All reasons with their codes in `warnings.csv`, the gravest first.
    pub const ALL: &'static [(Distrust, &'static str)] = &[
        (Distrust::UntraceablePay, "untraceable_pay"),
        (Distrust::AgentShips, "agent_ships"),
        (Distrust::SellerAway, "seller_away"),
        (Distrust::SightUnseen, "sight_unseen"),
        (Distrust::TooCheap, "too_cheap"),
        (Distrust::Deposit, "deposit"),
        (Distrust::NoPapers, "no_papers"),
        (Distrust::VinCheck, "vin_check"),
        (Distrust::VinYear, "vin_year"),
        (Distrust::VinMake, "vin_make"),
        (Distrust::DistanceDown, "distance_down"),
        (Distrust::FaultLeftOut, "fault_left_out"),
    ];

    /// The code in the tables.
    pub fn code(self) -> &'static str {
        let found = Distrust::ALL.iter().find(|(d, _)| *d == self);
        found.map_or("", |(_, code)| code)
    }

    /// The reason of a code.
    pub fn of_code(code: &str) -> Option<Self> {
        let found = Distrust::ALL.iter().find(|(_, c)| *c == code);
        found.map(|(d, _)| *d)
    }
}

impl fmt::Display for Distrust {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.code())
    }
}

/// One row of `warnings.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WarningRow {
    /// What it is about.
    pub distrust: Distrust,
    /// How the list names it.
    pub words: String,
    /// Whether the car has to be asked about before it is viewed.
    pub grave: bool,
    /// Why a careful buyer distrusts it.
    pub why: String,
    /// What to do.
    pub advice: String,
    /// What to ask the seller.
    pub question: String,
    /// What the advice rests on.
    pub source: String,
}

/// What a phrase of `warning_phrases.csv` does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WarningPhrase {
    /// It shows a reason for distrust.
    Shows(Distrust),
    /// It takes back what follows it.
    Denies,
}

/// Both tables.
#[derive(Debug)]
pub struct Warnings {
    rows: Vec<WarningRow>,
    phrases: Vec<(String, WarningPhrase)>,
}

/// The code of a word that takes back.
const DENIAL: &str = "denial";

impl Warnings {
    /// Reads and checks `warnings.csv` and `warning_phrases.csv`.
    ///
    /// # Errors
    /// An unknown code, one that stands twice or is missing, an empty cell, a
    /// phrase that can never match or stands for two codes.
    pub fn read(warnings: &Sheet, phrases: &Sheet) -> Result<Self, LexiconError> {
        Ok(Warnings {
            rows: rows(warnings)?,
            phrases: phrase_rows(phrases)?,
        })
    }

    /// The rows in order of the table.
    pub fn rows(&self) -> &[WarningRow] {
        &self.rows
    }

    /// The row of a reason; every reason has one.
    pub fn get(&self, distrust: Distrust) -> Option<&WarningRow> {
        self.rows.iter().find(|r| r.distrust == distrust)
    }

    /// All plain phrases with what they do.
    pub fn phrases(&self) -> &[(String, WarningPhrase)] {
        &self.phrases
    }
}

fn rows(sheet: &Sheet) -> Result<Vec<WarningRow>, LexiconError> {
    let mut rows: Vec<WarningRow> = Vec::new();
    for row in sheet.rows() {
        let distrust = distrust(&row, row.required("code")?)?;
        if rows.iter().any(|r| r.distrust == distrust) {
            return Err(row.error("code", format!("'{distrust}' stands twice; remove one")));
        }
        let text = |column| row.required(column).map(str::to_owned);
        rows.push(WarningRow {
            distrust,
            words: text("words")?,
            grave: match row.required("grave")? {
                "yes" => true,
                "no" => false,
                other => {
                    return Err(row.error("grave", format!("'{other}' is neither yes nor no")));
                }
            },
            why: text("why")?,
            advice: text("advice")?,
            question: text("question")?,
            source: text("source")?,
        });
    }
    let missing = Distrust::ALL
        .iter()
        .find(|(d, _)| !rows.iter().any(|r| r.distrust == *d));
    match missing {
        Some((_, code)) => Err(sheet.error(format!("no row for '{code}'; add one"))),
        None => Ok(rows),
    }
}

fn distrust(row: &Row<'_>, code: &str) -> Result<Distrust, LexiconError> {
    Distrust::of_code(code).ok_or_else(|| {
        let near = hint(
            code,
            Distrust::ALL.iter().map(|(_, c)| *c),
            "the built-in table lists them",
        );
        row.error("code", format!("'{code}' is unknown{near}"))
    })
}

fn phrase_rows(sheet: &Sheet) -> Result<Vec<(String, WarningPhrase)>, LexiconError> {
    let mut out = Vec::new();
    let mut held: HashMap<String, WarningPhrase> = HashMap::new();
    for row in sheet.rows() {
        let does = match row.required("code")? {
            DENIAL => WarningPhrase::Denies,
            code => WarningPhrase::Shows(distrust(&row, code)?),
        };
        for form in forms(&row, "phrase", row.required("phrase")?)? {
            match held.get(&form) {
                Some(before) if *before == does => {}
                Some(_) => {
                    let problem = format!("'{form}' stands under another code too; remove one");
                    return Err(row.error("phrase", problem));
                }
                None => {
                    held.insert(form.clone(), does);
                    out.push((form, does));
                }
            }
        }
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(warnings: &str, phrases: &str) -> Result<Warnings, LexiconError> {
        let head = "code,words,grave,why,advice,question,source\n";
        Warnings::read(
            &Sheet::parse("warnings.csv", &format!("{head}{warnings}"))?,
            &Sheet::parse("warning_phrases.csv", &format!("phrase,code\n{phrases}"))?,
        )
    }

    fn all() -> String {
        let row = |(_, code): &(Distrust, &str)| format!("{code},w,no,y,a,q,s\n");
        Distrust::ALL.iter().map(row).collect()
    }

    #[test]
    fn mistakes_are_told_with_their_place() {
        let said = |w: &str, p: &str| read(w, p).unwrap_err().to_string();
        assert_eq!(
            said("too_cheep,w,no,y,a,q,s\n", ""),
            "warnings.csv, line 2, column 'code': 'too_cheep' is unknown; did you mean 'too_cheap'?"
        );
        assert_eq!(
            said("too_cheap,w,maybe,y,a,q,s\n", ""),
            "warnings.csv, line 2, column 'grave': 'maybe' is neither yes nor no"
        );
        assert!(said("too_cheap,w,no,y,a,q,s\n", "").contains("no row for 'untraceable_pay'"));
        assert!(said(&all(), "x,too_cheap\nx,deposit\n").contains("under another code too"));
        assert!(said(&all(), "Wire,too_cheap\n").contains("can never match"));
    }

    #[test]
    fn sound_tables_are_read() {
        let read = read(&all(), "(gift|prepaid) card,untraceable_pay\nno,denial\n").unwrap();
        assert_eq!(read.rows().len(), Distrust::ALL.len());
        assert_eq!(read.phrases().len(), 3);
    }
}
