//! Ads with the reading that a careful person gave them, one JSON object a
//! line, and their way through the whole of intake and reading.

use std::path::{Path, PathBuf};

use serde::Deserialize;

use crate::intake::{self, Intake, IntakeError, Listing, ListingId, Origin};
use crate::lexicon::Lexicon;
use crate::reading::reader::{Reader, Scratch};
use crate::reading::{AskBasis, Gearbox, Kind, MilesBasis, Moves, Reading, Says, Title, Vague};
use crate::units::DistanceUnit;

/// Why labelled ads could not be used. Each names the place and what to do.
#[derive(Debug, thiserror::Error)]
pub enum LabelledError {
    /// The file cannot be read.
    #[error("{}: cannot be read: {problem}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// The system's words.
        problem: std::io::Error,
    },
    /// A line is no labelled ad.
    #[error("{}, line {line}: no labelled ad: {problem}", path.display())]
    Line {
        /// The file.
        path: PathBuf,
        /// From 1.
        line: usize,
        /// What is wrong.
        problem: serde_json::Error,
    },
    /// An id stands twice, so that readings cannot be told apart.
    #[error("{}, line {line}: the id '{id}' stands twice; give each ad its own", path.display())]
    Twice {
        /// The file.
        path: PathBuf,
        /// From 1.
        line: usize,
        /// The id.
        id: String,
    },
    /// There is nothing to grade by.
    #[error("no labelled ads to grade by; each line of a file is one JSON object")]
    Empty,
    /// The ads could not be brought through the intake.
    #[error("{0}")]
    Intake(#[from] IntakeError),
}

/// One labelled ad.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Labelled {
    /// Its id, of its own among all files.
    pub id: String,
    /// The headline.
    pub title_text: String,
    /// The text.
    pub body: String,
    /// The export's price cell.
    #[serde(default)]
    pub price_field: String,
    /// The export's distance cell.
    #[serde(default)]
    pub odometer_field: String,
    /// The export's model-year cell.
    #[serde(default)]
    pub year_field: String,
    /// What a careful person read.
    pub gold: Gold,
}

/// The labelled ads of cars, each with its place among all.
pub fn cars(rows: &[Labelled]) -> impl Iterator<Item = (usize, &Labelled)> {
    let all = rows.iter().enumerate();
    all.filter(|(_, row)| row.gold.kind == Kind::Car)
}

impl Labelled {
    /// Its headline and text, without the export's cells.
    pub fn text_alone(&self) -> Listing {
        let origin = Origin {
            file: "labelled".into(),
            line: 1,
        };
        let id = ListingId(self.id.clone());
        Listing::new(id, origin, &self.title_text, &self.body)
    }

    /// The figures of its id, by which ads are held back; none where it has
    /// none.
    pub fn number(&self) -> Option<u64> {
        let figures: String = self.id.chars().filter(char::is_ascii_digit).collect();
        figures.parse().ok()
    }
}

/// What a careful person read; keys and values of the reading contract.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Gold {
    /// What is offered.
    pub kind: Kind,
    /// Model year.
    pub year: Option<u16>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// What is asked.
    pub ask: Option<f64>,
    /// How the price is meant.
    pub ask_basis: AskBasis,
    /// Distance in miles.
    pub miles: Option<f64>,
    /// How the distance is known.
    pub miles_basis: MilesBasis,
    /// The papers.
    pub title: Title,
    /// Whether it moves.
    pub moves: Moves,
    /// The gearbox.
    pub gearbox: Gearbox,
    /// Vehicle identification number.
    pub vin: Option<String>,
    /// What is said of parts and symptoms.
    pub claims: Vec<GoldClaim>,
    /// Vague wording.
    pub vague: Vec<Vague>,
}

/// One claim of a label.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct GoldClaim {
    /// Code of the part or symptom.
    pub part: String,
    /// What is said of it.
    pub says: Says,
}

/// Reads labelled ads from files of JSON lines; empty lines are skipped.
///
/// # Errors
/// A file that cannot be read, a line that is no labelled ad, an id that
/// stands twice, no ads at all.
pub fn read_files(paths: &[PathBuf]) -> Result<Vec<Labelled>, LabelledError> {
    let mut rows = Vec::new();
    let mut seen = std::collections::HashSet::new();
    for path in paths {
        let text = std::fs::read_to_string(path).map_err(|problem| LabelledError::Read {
            path: path.clone(),
            problem,
        })?;
        for (row, line) in parse(path, &text)? {
            if !seen.insert(row.id.clone()) {
                return Err(LabelledError::Twice {
                    path: path.clone(),
                    line,
                    id: row.id,
                });
            }
            rows.push(row);
        }
    }
    if rows.is_empty() {
        return Err(LabelledError::Empty);
    }
    Ok(rows)
}

fn parse(path: &Path, text: &str) -> Result<Vec<(Labelled, usize)>, LabelledError> {
    let lines = text.trim_start_matches('\u{feff}').lines().enumerate();
    lines
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(i, line)| {
            let row = serde_json::from_str(line).map_err(|problem| LabelledError::Line {
                path: path.to_owned(),
                line: i + 1,
                problem,
            })?;
            Ok((row, i + 1))
        })
        .collect()
}

/// A labelled ad as the program met it.
#[derive(Debug, Clone, PartialEq)]
pub struct Met {
    /// The ad behind the intake; none where the intake refused the row.
    pub listing: Option<Listing>,
    /// What was read.
    pub reading: Option<Reading>,
}

/// Brings labelled ads through intake and reading as an export of them would
/// go, so that a grade judges what a user gets. In the order of `rows`.
///
/// # Errors
/// Rows that make no export.
pub fn meet(rows: &[Labelled], lexicon: &Lexicon) -> Result<Vec<Met>, LabelledError> {
    let intake = take_in(rows, lexicon)?;
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let mut by_id: std::collections::HashMap<String, Listing> = intake
        .listings
        .into_iter()
        .map(|l| (l.id.0.clone(), l))
        .collect();
    Ok(rows
        .iter()
        .map(|row| {
            let listing = by_id.remove(row.id.trim());
            let reading = listing.as_ref().map(|l| reader.read_with(l, &mut scratch));
            Met { listing, reading }
        })
        .collect())
}

fn take_in(rows: &[Labelled], lexicon: &Lexicon) -> Result<Intake, IntakeError> {
    let mut csv = csv::Writer::from_writer(Vec::new());
    let header = ["id", "title", "description", "price", "odometer", "year"];
    let mut whole = csv.write_record(header);
    for r in rows {
        let cells = [
            &r.id,
            &r.title_text,
            &r.body,
            &r.price_field,
            &r.odometer_field,
            &r.year_field,
        ];
        whole = whole.and_then(|()| csv.write_record(cells));
    }
    // Memory takes whatever is written; if it ever did not, the rows that are
    // missing count as not answered.
    let bytes = match whole {
        Ok(()) => csv.into_inner().unwrap_or_default(),
        Err(_) => Vec::new(),
    };
    let options = intake::Options::default();
    let stream = std::io::Cursor::new(bytes);
    intake::Reader::of_stream("labelled ads", stream, &options, lexicon).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wrong_line_is_named() {
        let path = Path::new("a.jsonl");
        let error = parse(path, "\n{\"id\": 3}\n").unwrap_err().to_string();
        assert!(
            error.starts_with("a.jsonl, line 2: no labelled ad: "),
            "{error}"
        );
    }
}
