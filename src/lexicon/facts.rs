//! Plain facts as cells of tables name them: `title=clean`, `moves=no_start`.

use std::str::FromStr;

use super::parts::{PartId, Parts};
use super::table::{LexiconError, Row};
use crate::reading::{Gearbox, MilesBasis, Moves, Title};

/// A plain fact that a check or an answer makes known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fact {
    /// The papers.
    Title(Title),
    /// Whether it moves.
    Moves(Moves),
    /// The gearbox.
    Gearbox(Gearbox),
    /// How the distance is known.
    Miles(MilesBasis),
    /// This part is bad, or this symptom there.
    Fault(PartId),
}

/// The facts of a cell, separated by `;`: `moves=no_start;no_start`.
pub(super) fn facts(row: &Row<'_>, column: &str, parts: &Parts) -> Result<Vec<Fact>, LexiconError> {
    row.list(column)?
        .map(|text| {
            let fault = || parts.find(text).map(Fact::Fault);
            text.parse().ok().or_else(fault).ok_or_else(|| {
                row.error(
                    column,
                    format!(
                        "'{text}' is no fact such as title=clean, moves=drives, gearbox=manual, \
                         miles=doubted, and no code of parts.csv"
                    ),
                )
            })
        })
        .collect()
}

impl FromStr for Fact {
    type Err = ();

    /// `title=clean`, `moves=drives`, `gearbox=manual`, `miles=doubted`.
    fn from_str(text: &str) -> Result<Self, ()> {
        let (key, value) = text.split_once('=').ok_or(())?;
        let value = value.trim();
        match key.trim() {
            "title" => Title::of_word(value).map(Fact::Title),
            "moves" => Moves::of_word(value).map(Fact::Moves),
            "gearbox" => Gearbox::of_word(value).map(Fact::Gearbox),
            "miles" => MilesBasis::of_word(value).map(Fact::Miles),
            _ => None,
        }
        .ok_or(())
    }
}
