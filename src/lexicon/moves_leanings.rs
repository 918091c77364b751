//! What the words of an ad make likely of whether the car moves, where nothing
//! in it says so.
//!
//! The same kind of model as for parts ([`super::leanings`]): each word, and each
//! two words side by side, add their weights once to each answer.

use hashbrown::{HashMap, HashSet};

use super::leanings::number;
use super::table::{LexiconError, Sheet};
use crate::reading::Moves;

/// What can be told, in the order of the table's columns.
pub const ANSWERS: [(&str, Moves); 4] = [
    ("drives", Moves::Drives),
    ("runs_only", Moves::RunsOnly),
    ("no_start", Moves::NoStart),
    ("unstated", Moves::Unstated),
];

/// The word that stands for any ad.
pub const ANY: &str = "*";

/// An answer is told where its chance is at least this. Tried from 0.65 to 0.85
/// on 745 labelled ads that were not learnt from: between them the sum of right
/// answers hardly changes, the kinds of ads that gain do.
pub const LEAST_CHANCE: f64 = 0.7;

/// One weight for each of [`ANSWERS`].
pub type Weights = [f64; ANSWERS.len()];

/// The rows of `moves_leanings.csv`.
#[derive(Debug, Default)]
pub struct MovesLeanings {
    rows: HashMap<Box<str>, (usize, Weights)>,
    /// Words that a pair begins with: most words of an ad begin none, and need not
    /// be asked for with the word behind.
    begin: HashSet<Box<str>>,
}

impl MovesLeanings {
    /// Reads and checks `moves_leanings.csv`.
    ///
    /// # Errors
    /// A weight that is no number, a word that stands twice.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut all = MovesLeanings::default();
        for row in sheet.rows() {
            let mut weights = Weights::default();
            for (weight, (column, _)) in weights.iter_mut().zip(ANSWERS) {
                *weight = number(&row, column)?;
            }
            let word = row.required("word")?;
            if let Some((first, _)) = word.split_once(' ') {
                all.begin.insert(first.into());
            }
            let number = all.rows.len();
            if all.rows.insert(word.into(), (number, weights)).is_some() {
                return Err(row.error("word", format!("'{word}' stands twice; remove one")));
            }
        }
        Ok(all)
    }

    /// The row of a word, or of two parted by a space, and its weights.
    pub fn row_of(&self, words: &str) -> Option<&(usize, Weights)> {
        self.rows.get(words)
    }

    /// Whether there may be a row of this word and another behind it.
    pub fn begins_pair(&self, word: &str) -> bool {
        self.begin.contains(word)
    }

    /// The weights of a word, or of two parted by a space.
    pub fn of(&self, words: &str) -> Option<&Weights> {
        self.row_of(words).map(|(_, weights)| weights)
    }

    /// Whether the table is empty, so that nothing is ever made likely.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wrong_row_is_named() {
        const HEAD: &str = "word,drives,runs_only,no_start,unstated\n";
        let read = |rows: &str| {
            MovesLeanings::read(&Sheet::parse(
                "moves_leanings.csv",
                &format!("{HEAD}{rows}\n"),
            )?)
        };
        for (rows, words) in [
            ("commute,much,0,0,0", "line 2, column 'drives'"),
            ("commute,1,0,0,0\ncommute,1,0,0,0", "line 3"),
        ] {
            let error = read(rows).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
        let good = read("to work,1.5,,-1,").unwrap();
        assert_eq!(good.of("to work"), Some(&[1.5, 0.0, -1.0, 0.0]));
        assert_eq!(good.of("work"), None);
    }
}
