//! What claims tell of whether a car moves.

use super::parts::{PartId, Parts};
use super::table::{LexiconError, Sheet};
use crate::reading::Says;

/// What a claim tells of moving.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bearing {
    /// The engine does not start or run.
    NoStart,
    /// It starts after all: a fault that was put right.
    Starts,
    /// An engine that gave out was renewed.
    Mended,
    /// A car with it is better not driven.
    Stays,
    /// It has not passed the inspection that it needs.
    NoPass,
    /// It leaves an engine running and a car standing.
    NoDrive,
    /// It shows only while the engine runs.
    Runs,
}

impl Bearing {
    const WORDS: [(&str, Bearing); 7] = [
        ("no_start", Bearing::NoStart),
        ("starts", Bearing::Starts),
        ("mended", Bearing::Mended),
        ("stays", Bearing::Stays),
        ("no_pass", Bearing::NoPass),
        ("no_drive", Bearing::NoDrive),
        ("runs", Bearing::Runs),
    ];

    fn of_word(word: &str) -> Option<Self> {
        let mut all = Self::WORDS.into_iter();
        all.find_map(|(known, bearing)| (known == word).then_some(bearing))
    }
}

/// The rows of `moving.csv`.
#[derive(Debug)]
pub struct Moving {
    rows: Vec<((PartId, Says), Vec<Bearing>)>,
}

impl Moving {
    /// Reads and checks `moving.csv`.
    ///
    /// # Errors
    /// A code that is not in `parts.csv`, an unknown word, a claim that stands
    /// twice.
    pub fn read(sheet: &Sheet, parts: &Parts) -> Result<Self, LexiconError> {
        let mut rows: Vec<((PartId, Says), Vec<Bearing>)> = Vec::new();
        for row in sheet.rows() {
            let part = parts.of_cell(&row, "code", row.required("code")?)?;
            let says = row.required("says")?;
            let says = Says::of_word(says).ok_or_else(|| {
                let known: Vec<_> = Says::ALL.iter().map(|s| s.word()).collect();
                row.error("says", not_one_of(says, &known))
            })?;
            row.required("tells")?;
            let tells = row.list("tells")?.map(|word| {
                let known = Bearing::WORDS.map(|(known, _)| known);
                Bearing::of_word(word).ok_or_else(|| row.error("tells", not_one_of(word, &known)))
            });
            let tells = tells.collect::<Result<_, _>>()?;
            if rows.iter().any(|(claim, _)| *claim == (part, says)) {
                return Err(row.error("code", "this claim stands twice; put both in one row"));
            }
            rows.push(((part, says), tells));
        }
        Ok(Moving { rows })
    }

    /// What a claim tells.
    pub fn of(&self, part: PartId, says: Says) -> &[Bearing] {
        let row = self.rows.iter().find(|(claim, _)| *claim == (part, says));
        row.map_or(&[], |(_, tells)| tells)
    }
}

fn not_one_of(word: &str, known: &[&str]) -> String {
    format!("'{word}' is not one of: {}", known.join(", "))
}
