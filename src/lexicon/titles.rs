//! What the papers do to the price.

use super::table::{LexiconError, Sheet};
use crate::reading::Title;

/// The factors of `titles.csv`, one for each kind of papers.
#[derive(Debug, Clone)]
pub struct Titles {
    factors: Vec<(Title, f64, String)>,
}

impl Titles {
    /// Reads and checks `titles.csv`.
    ///
    /// # Errors
    /// An unknown word, a word that stands twice or not at all, a factor
    /// outside 0 to 1.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut factors: Vec<(Title, f64, String)> = Vec::new();
        for row in sheet.rows() {
            let word = row.required("title")?;
            let title = Title::of_word(word).ok_or_else(|| {
                let known: Vec<_> = Title::ALL.iter().map(|t| t.word()).collect();
                row.error(
                    "title",
                    format!("'{word}' is not one of: {}", known.join(", ")),
                )
            })?;
            row.required("source")?;
            let factor: f64 = row
                .parsed("factor", "a number such as 0.7")?
                .filter(|f| (0.0..=1.0).contains(f))
                .ok_or_else(|| row.error("factor", "give a number from 0 to 1"))?;
            if factors.iter().any(|(t, ..)| *t == title) {
                return Err(row.error("title", format!("'{word}' stands twice; remove one")));
            }
            factors.push((title, factor, row.text("note")?.to_owned()));
        }
        match Title::ALL
            .iter()
            .find(|t| !factors.iter().any(|(f, ..)| f == *t))
        {
            Some(missing) => Err(sheet.error(format!("no row for the title '{missing}'; add it"))),
            None => Ok(Titles { factors }),
        }
    }

    /// Share of the price with clean papers, 0 to 1; 0 means scrap value only.
    pub fn factor(&self, title: Title) -> f64 {
        self.row(title).map_or(1.0, |(_, factor, _)| *factor)
    }

    /// Why, in words for people; may be empty.
    pub fn note(&self, title: Title) -> &str {
        self.row(title).map_or("", |(.., note)| note)
    }

    fn row(&self, title: Title) -> Option<&(Title, f64, String)> {
        self.factors.iter().find(|(t, ..)| *t == title)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_papers_needs_a_row() {
        let sheet = Sheet::parse("titles.csv", "title,factor,note,source\nclean,1,,x\n").unwrap();
        assert_eq!(
            Titles::read(&sheet).unwrap_err().to_string(),
            "titles.csv: no row for the title 'salvage'; add it"
        );
    }

    #[test]
    fn a_factor_above_one_is_named_with_its_place() {
        let text = "title,factor,note,source\nclean,1.5,,x\n";
        let sheet = Sheet::parse("titles.csv", text).unwrap();
        assert_eq!(
            Titles::read(&sheet).unwrap_err().to_string(),
            "titles.csv, line 2, column 'factor': give a number from 0 to 1"
        );
    }
}
