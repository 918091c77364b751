//! Ordinary words that look like a misspelt part and are none.

use super::table::{LexiconError, Sheet};
use super::words::Words;

/// The rows of `ordinary_words.csv`.
#[derive(Debug, Default)]
pub struct OrdinaryWords {
    words: Words,
}

impl OrdinaryWords {
    /// Reads and checks `ordinary_words.csv`.
    ///
    /// # Errors
    /// A word that could never stand in the folded text.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut words = Words::default();
        for row in sheet.rows() {
            let word = row.required("word")?;
            if !word.bytes().all(|b| b.is_ascii_lowercase()) {
                return Err(row.error(
                    "word",
                    format!("'{word}' must be one word in lower case, letters only"),
                ));
            }
            words.intern(word);
        }
        Ok(OrdinaryWords { words })
    }

    /// Whether this is an ordinary word.
    pub fn contains(&self, word: &str) -> bool {
        self.words.find(word).is_known()
    }
}
