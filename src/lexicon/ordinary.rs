//! Ordinary words that look like a misspelt part and are none.

use std::collections::HashSet;

use super::table::{LexiconError, Sheet};

/// The rows of `ordinary_words.csv`.
#[derive(Debug, Default)]
pub struct OrdinaryWords {
    words: HashSet<String>,
}

impl OrdinaryWords {
    /// Reads and checks `ordinary_words.csv`.
    ///
    /// # Errors
    /// A word that could never stand in the folded text.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut words = HashSet::new();
        for row in sheet.rows() {
            let word = row.required("word")?;
            if !word.bytes().all(|b| b.is_ascii_lowercase()) {
                return Err(row.error(
                    "word",
                    format!("'{word}' must be one word in lower case, letters only"),
                ));
            }
            words.insert(word.to_owned());
        }
        Ok(OrdinaryWords { words })
    }

    /// Whether this is an ordinary word.
    pub fn contains(&self, word: &str) -> bool {
        self.words.contains(word)
    }
}
