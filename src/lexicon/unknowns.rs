//! What an ad can leave open, what is set aside for it, and what to ask.

use std::fmt;

use rust_decimal::Decimal;

use super::give::share;
use super::table::{LexiconError, Sheet};
use crate::near::hint;
use crate::reading::Vague;
use crate::units::Money;

/// A fact that a buyer needs and an ad may not give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Gap {
    /// No distance at all.
    NoDistance,
    /// A distance that may be wrong.
    DoubtedDistance,
    /// Nothing said of the papers.
    NoPapers,
    /// A lender still has a claim.
    Lien,
    /// The papers are lost or were never handed over.
    PapersMissing,
    /// Not said whether it drives.
    NoMoves,
    /// Not said which gearbox.
    NoGearbox,
    /// Make or model not read.
    NoMake,
    /// Model year not read.
    NoYear,
    /// No price.
    NoPrice,
    /// A price in another currency than the run's.
    OtherCurrency,
    /// Nothing said of any part.
    NothingTold,
    /// A price too good for what is told.
    TooCheap,
    /// A part that is only suspected.
    Suspect,
    /// A fault that is told in passing, likely not of this car.
    InPassing,
}

impl Gap {
    /// All gaps with their codes in `unknowns.csv`.
    pub const ALL: &'static [(Gap, &'static str)] = &[
        (Gap::NoDistance, "no_distance"),
        (Gap::DoubtedDistance, "doubted_distance"),
        (Gap::NoPapers, "no_papers"),
        (Gap::Lien, "lien"),
        (Gap::PapersMissing, "papers_missing"),
        (Gap::NoMoves, "no_moves"),
        (Gap::NoGearbox, "no_gearbox"),
        (Gap::NoMake, "no_make"),
        (Gap::NoYear, "no_year"),
        (Gap::NoPrice, "no_price"),
        (Gap::OtherCurrency, "other_currency"),
        (Gap::NothingTold, "nothing_told"),
        (Gap::TooCheap, "too_cheap"),
        (Gap::Suspect, "suspect"),
        (Gap::InPassing, "in_passing"),
    ];
}

/// What is left open: vague wording, or a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Open {
    /// The seller's wording is vague.
    Vague(Vague),
    /// A fact is missing or in doubt.
    Gap(Gap),
}

impl Open {
    /// Every value, vague wording first.
    pub fn all() -> impl Iterator<Item = Open> {
        let vague = Vague::ALL.iter().map(|v| Open::Vague(*v));
        vague.chain(Gap::ALL.iter().map(|(g, _)| Open::Gap(*g)))
    }

    /// The code in `unknowns.csv`.
    pub fn code(self) -> &'static str {
        match self {
            Open::Vague(vague) => vague.word(),
            Open::Gap(gap) => Gap::ALL
                .iter()
                .find(|(g, _)| *g == gap)
                .map_or("", |(_, code)| code),
        }
    }
}

impl fmt::Display for Open {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.code())
    }
}

/// One row of `unknowns.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownRow {
    /// What it is about.
    pub open: Open,
    /// Set aside: share of the worth once right, 0 to 1.
    pub share: Decimal,
    /// Set aside: money.
    pub fixed: Money,
    /// How the shortlist names it; may hold `{part}`.
    pub words: String,
    /// What to ask the seller; may hold `{part}`.
    pub question: String,
    /// Where the figures are from.
    pub source: String,
}

/// The table, in its own order.
#[derive(Debug)]
pub struct Unknowns {
    rows: Vec<UnknownRow>,
}

impl Unknowns {
    /// Reads and checks `unknowns.csv`.
    ///
    /// # Errors
    /// An unknown code, one that stands twice or is missing, a share that is
    /// not 0 to 1, an empty cell.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows: Vec<UnknownRow> = Vec::new();
        let mut last = None;
        for row in sheet.rows() {
            let code = row.required("code")?;
            let open = Open::all().find(|o| o.code() == code).ok_or_else(|| {
                let near = hint(
                    code,
                    Open::all().map(Open::code),
                    "the built-in table lists them",
                );
                row.error("code", format!("'{code}' is unknown{near}"))
            })?;
            if rows.iter().any(|r| r.open == open) {
                return Err(row.error("code", format!("'{code}' stands twice; remove one")));
            }
            rows.push(UnknownRow {
                open,
                share: share(&row, "share")?,
                fixed: Money::new(row.amount("fixed")?),
                words: row.required("words")?.to_owned(),
                question: row.required("question")?.to_owned(),
                source: row.required("source")?.to_owned(),
            });
            last = Some(row);
        }
        let missing = Open::all().find(|o| !rows.iter().any(|r| r.open == *o));
        match (missing, last) {
            (Some(open), Some(row)) => {
                Err(row.error("code", format!("no row for '{open}'; add one")))
            }
            _ => Ok(Unknowns { rows }),
        }
    }

    /// The rows in order.
    pub fn rows(&self) -> &[UnknownRow] {
        &self.rows
    }

    /// The row of one unknown.
    pub fn get(&self, open: Open) -> Option<&UnknownRow> {
        self.rows.iter().find(|r| r.open == open)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(rows: &str) -> String {
        let text = format!("code,share,fixed,words,question,source\n{rows}");
        Unknowns::read(&Sheet::parse("unknowns.csv", &text).unwrap())
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn an_unknown_code_is_named_with_the_nearest_one() {
        assert_eq!(
            read("need_work,0,0,w,q,s\n"),
            "unknowns.csv, line 2, column 'code': 'need_work' is unknown; did you mean 'needs_work'?"
        );
    }

    #[test]
    fn a_code_without_a_row_is_named() {
        assert_eq!(
            read("needs_work,0,0,w,q,s\n"),
            "unknowns.csv, line 2, column 'code': no row for 'unnamed_fault'; add one"
        );
    }
}
