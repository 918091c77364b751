//! Plainer words for faults that are gone.

use super::parts::{PartId, Parts};
use super::table::{LexiconError, Sheet};

/// Faults of one kind.
#[derive(Debug)]
pub struct FaultKind {
    words: Vec<String>,
    symptoms: Vec<PartId>,
    alike: bool,
}

impl FaultKind {
    /// Whether it may be this symptom that is meant.
    pub fn takes(&self, symptom: PartId) -> bool {
        self.symptoms.contains(&symptom)
    }
}

/// The rows of `plainer.csv`.
#[derive(Debug)]
pub struct Plainer {
    kinds: Vec<FaultKind>,
}

impl Plainer {
    /// Reads and checks `plainer.csv`.
    ///
    /// # Errors
    /// A code that is not in `parts.csv`, a word of two kinds, something else
    /// than `yes` or nothing under `alike`.
    pub fn read(sheet: &Sheet, parts: &Parts) -> Result<Self, LexiconError> {
        let mut kinds: Vec<FaultKind> = Vec::new();
        for row in sheet.rows() {
            row.required("words")?;
            row.required("symptoms")?;
            let words: Vec<String> = row.list("words")?.map(str::to_owned).collect();
            let known = |w: &&String| kinds.iter().any(|kind| kind.words.contains(w));
            if let Some(word) = words.iter().find(known) {
                let problem = format!("'{word}' stands in two kinds; leave it in one");
                return Err(row.error("words", problem));
            }
            let symptoms = row.list("symptoms")?;
            let symptoms = symptoms.map(|code| parts.of_cell(&row, "symptoms", code));
            let alike = row.marked("alike")?;
            kinds.push(FaultKind {
                symptoms: symptoms.collect::<Result<_, _>>()?,
                words,
                alike,
            });
        }
        Ok(Plainer { kinds })
    }

    /// The first kind that any of these words tells.
    pub fn kind_of<'t>(&self, words: impl Iterator<Item = &'t str> + Clone) -> Option<&FaultKind> {
        let told = |kind: &&FaultKind| words.clone().any(|w| kind.words.iter().any(|k| k == w));
        self.kinds.iter().find(told)
    }

    /// Whether sellers call these two symptoms by each other's names.
    pub fn are_alike(&self, one: PartId, other: PartId) -> bool {
        let mut kinds = self.kinds.iter().filter(|kind| kind.alike);
        one != other && kinds.any(|kind| kind.takes(one) && kind.takes(other))
    }
}
