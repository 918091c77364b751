//! What was found at the car: a table of the user's, or the sheet filled in.

use std::path::{Path, PathBuf};
use std::str::FromStr;

use crate::lexicon::Lexicon;
use crate::lexicon::checks::{Check, FACT_WORDS};
use crate::lexicon::facts::Fact;
use crate::lexicon::parts::PartId;
use crate::lexicon::table::{LexiconError, Row, Sheet};
use crate::near::hint;
use crate::units::{Miles, Money};

/// What a finding speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// A check, by its place in `checks.csv`; with the code where one is named.
    Check(usize, Option<PartId>),
    /// A part or symptom that was seen itself.
    Code(PartId),
    /// A plain fact.
    Fact,
}

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// As it should be.
    Good,
    /// Not as it should be.
    Bad,
    /// Nothing said of that: the row holds only what lies in the boot.
    Open,
    /// What the seller asks now.
    Ask(Money),
    /// What the odometer shows.
    Miles(Miles),
    /// A plain fact.
    Fact(Fact),
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The id of the ad, as the file has it.
    pub id: String,
    /// What it speaks of.
    pub about: About,
    /// What was found.
    pub outcome: Outcome,
    /// In the finder's words.
    pub note: Option<String>,
    /// What putting it right costs in all, by the finder's own figure.
    pub cost: Option<Money>,
    /// Whether the part lies with the car.
    pub spare: bool,
    /// Line in the file, from 1.
    pub line: u64,
}

/// All rows of a file that say something.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Findings {
    /// The rows in order.
    pub rows: Vec<Finding>,
}

/// A findings file that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum FindingsError {
    /// The file cannot be read.
    #[error("{}: cannot be read: {problem}", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// The system's words.
        problem: std::io::Error,
    },
    /// Something in it is wrong; the message has the place.
    #[error("{0}")]
    Table(#[from] LexiconError),
}

impl Findings {
    /// Reads a findings file.
    ///
    /// # Errors
    /// As [`Findings::parse`], and when the file cannot be read.
    pub fn read(path: &Path, lexicon: &Lexicon) -> Result<Self, FindingsError> {
        let bytes = std::fs::read(path).map_err(|problem| FindingsError::Io {
            path: path.to_owned(),
            problem,
        })?;
        // Only notes can hold other letters than ASCII: a lost accent there is
        // better than no answer at the kerb.
        let text = String::from_utf8_lossy(&bytes);
        Self::parse(&path.display().to_string(), &text, lexicon)
    }

    /// Reads the rows of a text: columns `id`, `outcome`, and `check` or
    /// `code`; `note`, `cost` and `spare` may be missing, others are left
    /// alone. A row without an outcome, cost or spare says nothing.
    ///
    /// # Errors
    /// A check, code or outcome that is unknown, an amount that is none, with
    /// line and column.
    pub fn parse(file: &str, text: &str, lexicon: &Lexicon) -> Result<Self, FindingsError> {
        let text = text.trim_start_matches('\u{feff}');
        let header = text.lines().find(|l| !l.starts_with('#')).unwrap_or("");
        let count = |c: char| header.matches(c).count();
        let delimiter = [',', ';', '\t']
            .into_iter()
            .max_by_key(|c| (count(*c), *c == ','))
            .unwrap_or(',');
        let sheet = Sheet::parse_delimited(file, text, delimiter)?;
        let rows = sheet.rows().map(|row| finding(&row, lexicon));
        let rows: Result<Vec<_>, _> = rows.filter_map(Result::transpose).collect();
        Ok(Findings { rows: rows? })
    }

    /// Ids that no ad has, each once, with the line of the first row.
    pub fn of_none(&self, is_any_id: impl Fn(&str) -> bool) -> Vec<(&str, u64)> {
        let mut ids: Vec<(&str, u64)> = Vec::new();
        for row in &self.rows {
            if !ids.iter().any(|(id, _)| *id == row.id) && !is_any_id(&row.id) {
                ids.push((&row.id, row.line));
            }
        }
        ids
    }

    /// The rows of one ad; of rows about the same thing the last counts.
    pub fn of(&self, is_its_id: impl Fn(&str) -> bool) -> Vec<&Finding> {
        let mut own: Vec<&Finding> = Vec::new();
        for row in self.rows.iter().filter(|r| is_its_id(&r.id)) {
            own.retain(|other| !same_subject(other, row));
            own.push(row);
        }
        own
    }
}

fn same_subject(a: &Finding, b: &Finding) -> bool {
    match (a.about, b.about) {
        (About::Fact, About::Fact) => {
            use std::mem::discriminant;
            match (a.outcome, b.outcome) {
                (Outcome::Fact(a), Outcome::Fact(b)) => discriminant(&a) == discriminant(&b),
                (a, b) => discriminant(&a) == discriminant(&b),
            }
        }
        (a, b) => a == b,
    }
}

fn finding(row: &Row<'_>, lexicon: &Lexicon) -> Result<Option<Finding>, LexiconError> {
    let text = |column| row.optional(column).map(as_meant).unwrap_or_default();
    let outcome = row.text("outcome")?;
    let spare = yes_no(row)?;
    let cost = amount(row, "cost")?;
    if outcome.is_empty() && cost.is_none() && !spare {
        return Ok(None);
    }
    let (check, code) = (text("check"), text("code"));
    let id = as_meant(row.required("id")?).to_owned();
    let (about, outcome) = match (check, code) {
        ("", "") => {
            let problem = "is empty, and so is 'code'; name a check or a code of parts.csv";
            return Err(row.error("check", problem));
        }
        (word, "") | ("", word) if FACT_WORDS.contains(&word) => {
            (About::Fact, fact(row, word, outcome)?)
        }
        (word, "") | ("", word) => {
            let about = match (check_place(lexicon, word), lexicon.parts.find(word)) {
                (Some(place), _) => About::Check(place, None),
                (None, Some(part)) => About::Code(part),
                (None, None) => return Err(unknown(row, word, lexicon)),
            };
            (about, judged(row, outcome)?)
        }
        (check, code) => {
            let place = check_place(lexicon, check).ok_or_else(|| unknown(row, check, lexicon))?;
            // The sheet lists all codes of a check; one is left where the
            // finder knows which.
            let codes: Vec<_> = code.split(';').map(str::trim).collect();
            let part = match codes.as_slice() {
                [one] => Some(lexicon.parts.of_cell(row, "code", one)?),
                _ => None,
            };
            (About::Check(place, part), judged(row, outcome)?)
        }
    };
    if cost.is_some() && about == About::Fact {
        return Err(row.error("cost", "stands with a fact; give it with a check or a code"));
    }
    let note = text("note");
    Ok(Some(Finding {
        id,
        about,
        outcome,
        note: (!note.is_empty()).then(|| note.to_owned()),
        cost,
        spare,
        line: row.line(),
    }))
}

/// A cell without the apostrophe that keeps a spreadsheet from taking it for a
/// formula.
fn as_meant(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@']) => rest,
        _ => cell,
    }
}

fn check_place(lexicon: &Lexicon, word: &str) -> Option<usize> {
    let rows = lexicon.checks.rows();
    rows.iter().position(|c: &Check| c.check == word)
}

fn judged(row: &Row<'_>, outcome: &str) -> Result<Outcome, LexiconError> {
    match outcome.to_lowercase().as_str() {
        "good" | "ok" => Ok(Outcome::Good),
        "bad" => Ok(Outcome::Bad),
        "" | "open" => Ok(Outcome::Open),
        _ => Err(row.error(
            "outcome",
            format!("'{outcome}' is none of good, bad, open; say more in 'note'"),
        )),
    }
}

fn fact(row: &Row<'_>, word: &str, outcome: &str) -> Result<Outcome, LexiconError> {
    match word {
        "ask" => amount(row, "outcome")?
            .map(Outcome::Ask)
            .ok_or_else(|| row.error("outcome", "is empty; give what is asked now")),
        "miles" => {
            let digits = outcome.replace([',', ' '], "");
            let miles = digits.parse().map(|m| Outcome::Miles(Miles(m)));
            miles.or_else(|_| {
                Fact::from_str(&format!("miles={outcome}"))
                    .map(Outcome::Fact)
                    .map_err(|()| {
                        let problem = format!("'{outcome}' is no distance in miles such as 131400");
                        row.error("outcome", problem)
                    })
            })
        }
        key => Fact::from_str(&format!("{key}={outcome}"))
            .map(Outcome::Fact)
            .map_err(|()| {
                let known: Vec<&str> = match key {
                    "title" => crate::reading::Title::ALL
                        .iter()
                        .map(|t| t.word())
                        .collect(),
                    "moves" => crate::reading::Moves::ALL
                        .iter()
                        .map(|t| t.word())
                        .collect(),
                    _ => crate::reading::Gearbox::ALL
                        .iter()
                        .map(|t| t.word())
                        .collect(),
                };
                let problem = format!("'{outcome}' is none of: {}", known.join(", "));
                row.error("outcome", problem)
            }),
    }
}

fn amount(row: &Row<'_>, column: &str) -> Result<Option<Money>, LexiconError> {
    let Some(cell) = row.optional(column).filter(|c| !c.is_empty()) else {
        return Ok(None);
    };
    let digits: String = cell
        .trim_start_matches(['$', '£', '€'])
        .chars()
        .filter(|c| *c != ',' && *c != ' ')
        .collect();
    let value = digits.parse().ok().filter(|d: &rust_decimal::Decimal| {
        !d.is_sign_negative() && *d <= rust_decimal::Decimal::from(10_000_000)
    });
    value.map(|v| Some(Money::new(v))).ok_or_else(|| {
        row.error(
            column,
            format!("'{cell}' is no amount from 0 to 10,000,000 such as 180"),
        )
    })
}

fn yes_no(row: &Row<'_>) -> Result<bool, LexiconError> {
    match row.optional("spare").unwrap_or("").to_lowercase().as_str() {
        "" | "no" => Ok(false),
        "yes" => Ok(true),
        other => Err(row.error("spare", format!("'{other}' is neither yes nor no"))),
    }
}

fn unknown(row: &Row<'_>, word: &str, lexicon: &Lexicon) -> LexiconError {
    let checks = lexicon.checks.rows().iter().map(|c| c.check.as_str());
    let codes = lexicon.parts.ids().map(|id| lexicon.parts.code(id));
    let names = checks.chain(codes).chain(FACT_WORDS);
    let near = hint(word, names, "the sheet and those tables list them");
    let column = if row.optional("check").is_some_and(|c| !c.is_empty()) {
        "check"
    } else {
        "code"
    };
    row.error(
        column,
        format!(
            "'{}' is no check of checks.csv and no code of parts.csv{near}",
            word.escape_debug()
        ),
    )
}

#[cfg(test)]
mod tests {
    use std::sync::LazyLock;

    use super::*;

    static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

    fn read(text: &str) -> Result<Vec<Finding>, String> {
        Findings::parse("f.csv", text, &LEXICON)
            .map(|f| f.rows)
            .map_err(|e| e.to_string())
    }

    #[test]
    fn checks_codes_and_facts_are_told_apart() {
        let text = "id,check,outcome,cost,spare\n\
            7,tread,bad,\"$1,180\",\n7,water_pump,bad,,yes\n7,ask,1500,,\n7,title,salvage,,\n\
            7,miles,\"131,400\",,\n7,belts,,,\n";
        let rows = read(text).unwrap();
        let place = check_place(&LEXICON, "tread").unwrap();
        assert_eq!(rows[0].about, About::Check(place, None));
        assert_eq!(rows[0].cost, Some(Money::whole(1180)));
        assert_eq!(
            rows[1].about,
            About::Code(LEXICON.parts.find("water_pump").unwrap())
        );
        assert!(rows[1].spare);
        assert_eq!(rows[2].outcome, Outcome::Ask(Money::whole(1500)));
        assert_eq!(
            rows[3].outcome,
            Outcome::Fact(Fact::Title(crate::reading::Title::Salvage))
        );
        assert_eq!(rows[4].outcome, Outcome::Miles(Miles(131_400)));
        // A check that was not looked at says nothing.
        assert_eq!(rows.len(), 5);
    }

    #[test]
    fn a_file_from_a_spreadsheet_elsewhere_is_read() {
        let text = "\u{feff}id;check;outcome;note\r\n'-9;tread;Bad;\"Löcher; überall\"\r\n";
        let rows = read(text).unwrap();
        assert_eq!((rows[0].id.as_str(), rows[0].line), ("-9", 2));
        assert_eq!(rows[0].note.as_deref(), Some("Löcher; überall"));
    }

    #[test]
    fn of_two_rows_about_one_thing_the_last_counts() {
        let text =
            "id,check,outcome\n7,tread,bad\n8,tread,bad\n7,tread,good\n7,ask,900\n7,ask,800\n";
        let all = Findings::parse("f.csv", text, &LEXICON).unwrap();
        let lines: Vec<_> = all.of(|id| id == "7").iter().map(|f| f.line).collect();
        assert_eq!(lines, [4, 6]);
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place() {
        for (text, message) in [
            (
                "id,check,outcome\n7,tred,bad\n",
                "line 2, column 'check': 'tred' is no check of checks.csv and no code of \
                 parts.csv; did you mean 'tread'?",
            ),
            (
                "id,check,outcome\n7,tread,poor\n",
                "line 2, column 'outcome': 'poor' is none of good, bad, open; say more in 'note'",
            ),
            (
                "id,check,outcome,cost\n7,tread,bad,cheap\n",
                "line 2, column 'cost': 'cheap' is no amount from 0 to 10,000,000 such as 180",
            ),
            (
                "id,check,outcome\n7,title,nice\n",
                "line 2, column 'outcome': 'nice' is none of: clean, salvage, rebuilt, lien, \
                 missing, bill_of_sale, junk, unstated",
            ),
            (
                "id,check,code,outcome\n7,,,bad\n",
                "line 2, column 'check': is empty, and so is 'code'; name a check or a code of \
                 parts.csv",
            ),
            (
                "id,check,outcome\n,tread,bad\n",
                "line 2, column 'id': is empty; give a value",
            ),
        ] {
            assert_eq!(read(text).unwrap_err(), format!("f.csv, {message}"));
        }
        assert_eq!(
            read("id,check\n7,tread\n").unwrap_err(),
            "f.csv: no column 'outcome'; its columns are: id, check"
        );
    }
}
