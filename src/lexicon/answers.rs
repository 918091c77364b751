//! What a seller may answer, and what is then known.

use super::facts::{Fact, facts};
use super::parts::Parts;
use super::table::{LexiconError, Sheet};
use super::unknowns::Open;

/// One row of `answers.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AnswerRow {
    /// What was asked about.
    pub open: Open,
    /// A good answer in words; may hold `{part}`.
    pub good: String,
    /// A bad one.
    pub bad: String,
    /// What follows from the good one.
    pub if_good: Vec<Fact>,
    /// What follows from the bad one.
    pub if_bad: Vec<Fact>,
    /// Where it is from.
    pub source: String,
}

/// The rows, one for each thing that can be left open.
#[derive(Debug)]
pub struct Answers {
    rows: Vec<AnswerRow>,
}

impl Answers {
    /// Reads and checks `answers.csv`.
    ///
    /// # Errors
    /// A code that is unknown, stands twice or is missing, a fact that is
    /// none, an empty answer.
    pub fn read(sheet: &Sheet, parts: &Parts) -> Result<Self, LexiconError> {
        let mut rows: Vec<AnswerRow> = Vec::new();
        for row in sheet.rows() {
            let code = row.required("code")?;
            let open = Open::all()
                .find(|o| o.code() == code)
                .ok_or_else(|| row.error("code", format!("'{code}' is no code of unknowns.csv")))?;
            if rows.iter().any(|r| r.open == open) {
                return Err(row.error("code", format!("'{code}' stands twice; remove one")));
            }
            rows.push(AnswerRow {
                open,
                good: row.required("good")?.to_owned(),
                bad: row.required("bad")?.to_owned(),
                if_good: facts(&row, "if_good", parts)?,
                if_bad: facts(&row, "if_bad", parts)?,
                source: row.required("source")?.to_owned(),
            });
        }
        match Open::all().find(|o| !rows.iter().any(|r| r.open == *o)) {
            Some(open) => Err(sheet.error(format!("no row for '{open}'; add it"))),
            None => Ok(Answers { rows }),
        }
    }

    /// The row of one thing left open.
    pub fn get(&self, open: Open) -> Option<&AnswerRow> {
        self.rows.iter().find(|r| r.open == open)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wrong(rows: &str) -> String {
        let lexicon = crate::lexicon::Lexicon::built_in().unwrap();
        let text = format!("code,good,bad,if_good,if_bad,source\n{rows}");
        let sheet = Sheet::parse("answers.csv", &text).unwrap();
        Answers::read(&sheet, &lexicon.parts)
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn a_question_without_its_answers_is_named() {
        assert_eq!(
            wrong("stale,g,b,,,s\n"),
            "answers.csv: no row for 'needs_work'; add it"
        );
    }

    #[test]
    fn an_answer_that_is_no_fact_is_named_with_its_place() {
        assert_eq!(
            wrong("stale,g,b,moves=flies,,s\n"),
            "answers.csv, line 2, column 'if_good': 'moves=flies' is no fact such as \
             title=clean, moves=drives, gearbox=manual, miles=doubted, and no code of parts.csv"
        );
    }
}
