//! Verbs by which faults are told, and their past: what `clunks over bumps` names,
//! `clunked over bumps` names too.

use std::collections::HashMap;

use super::table::{LexiconError, Row, Sheet};

/// The rows of `verbs.csv`: the past of each verb, by its third person.
#[derive(Debug, Default)]
pub struct Verbs {
    pasts: HashMap<Box<str>, Vec<Box<str>>>,
}

fn word<'r>(row: &Row<'_>, column: &str, word: &'r str) -> Result<&'r str, LexiconError> {
    if word.bytes().all(|b| b.is_ascii_lowercase()) {
        Ok(word)
    } else {
        let wrong = format!("'{word}' must be one word in lower case, letters only");
        Err(row.error(column, wrong))
    }
}

impl Verbs {
    /// Reads and checks `verbs.csv`.
    ///
    /// # Errors
    /// More than one word, letters that never stand in the folded text, a verb that
    /// stands twice.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut pasts = HashMap::new();
        for row in sheet.rows() {
            let verb = word(&row, "verb", row.required("verb")?)?;
            row.required("past")?;
            let mut of = Vec::new();
            for past in row.list("past")? {
                of.push(word(&row, "past", past)?.into());
            }
            if pasts.insert(verb.into(), of).is_some() {
                return Err(row.error("verb", format!("'{verb}' stands twice; remove one")));
            }
        }
        Ok(Verbs { pasts })
    }

    /// The past of a verb in the third person, in each way that it has: none for
    /// another word.
    pub fn pasts_of(&self, verb: &str) -> &[Box<str>] {
        self.pasts.get(verb).map_or(&[], Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wrong_row_is_named() {
        let read =
            |rows: &str| Verbs::read(&Sheet::parse("verbs.csv", &format!("verb,past\n{rows}\n"))?);
        for (rows, words) in [
            ("clunks,went clunk", "line 2, column 'past'"),
            ("clunks,", "line 2, column 'past'"),
            ("clunks,clunked\nclunks,clunked", "line 3, column 'verb'"),
        ] {
            let error = read(rows).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
        let good = read("burns,burned;burnt").unwrap();
        let pasts: Vec<&str> = good.pasts_of("burns").iter().map(|p| &**p).collect();
        assert_eq!(pasts, ["burned", "burnt"]);
        assert!(good.pasts_of("burn").is_empty());
    }
}
