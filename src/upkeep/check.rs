//! What in the tables can never act, or acts otherwise than it looks.
//!
//! A table that cannot be read at all is refused where it is read; here stand
//! the faults of tables that can be. An error is certain: the row, or the
//! code, does nothing. A note is for the eye: the row may be meant so.

mod heard;

use std::collections::{BTreeMap, HashMap, HashSet};

use super::probe::Probe;
use super::rows::{LikeARow, Table, Written, notes_like_rows, written};
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::phrases::{Act, Meaning, Side};
use crate::lexicon::phrasing::{joined, plural};
use crate::lexicon::{Lexicon, LexiconError, Source};
use crate::reading::Gearbox;
use crate::reading::tokens::Tokens;
use crate::units::Money;

/// How sure a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Something does nothing.
    Error,
    /// Something may be meant otherwise.
    Note,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// The table, with its folder where it came from one.
    pub file: String,
    /// The line, from 1; 0 where the table as a whole is meant.
    pub line: u64,
    /// How sure it is.
    pub level: Level,
    /// What is wrong and what to do.
    pub text: String,
}

impl std::fmt::Display for Finding {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let level = match self.level {
            Level::Error => "error",
            Level::Note => "note",
        };
        if self.line == 0 {
            write!(f, "{}: {level}: {}", self.file, self.text)
        } else {
            write!(
                f,
                "{}, line {}: {level}: {}",
                self.file, self.line, self.text
            )
        }
    }
}

/// Checks the tables of a source; findings by file and line.
///
/// # Errors
/// A table cannot be read: the first thing wrong in it.
pub fn check(source: &Source) -> Result<Vec<Finding>, LexiconError> {
    let lexicon = Lexicon::read(source)?;
    let rows = written(source)?;
    let spelled = lexicon.phrases.spelled();
    let meanings: HashMap<&str, &Meaning> = spelled
        .iter()
        .map(|(words, phrase)| (words.as_str(), phrase.meaning))
        .collect();
    let mut checker = Checker {
        lexicon: &lexicon,
        rows: &rows,
        meanings,
        probe: Probe::new(&lexicon),
        findings: Vec::new(),
    };
    checker.words();
    checker.repeated();
    checker.derived();
    checker.shadowed();
    checker.hidden_cues();
    checker.effects();
    checker.names();
    checker.signs();
    checker.codes(source)?;
    checker.notes(source)?;
    let mut findings = checker.findings;
    findings.sort();
    findings.dedup();
    Ok(findings)
}

/// The two words of a phrase as one; none where it has more or less.
fn of_two_words(form: &str) -> Option<String> {
    let (first, second) = form.split_once(' ')?;
    (!second.contains(' '))
        .then(|| joined(first, second))
        .flatten()
}

struct Checker<'a> {
    lexicon: &'a Lexicon,
    rows: &'a [Written],
    meanings: HashMap<&'a str, &'a Meaning>,
    probe: Probe<'a>,
    findings: Vec<Finding>,
}

impl<'a> Checker<'a> {
    fn find(&mut self, level: Level, row: &Written, text: String) {
        self.findings.push(Finding {
            file: row.file.clone(),
            line: row.line,
            level,
            text,
        });
    }

    fn of(&self, table: Table) -> impl Iterator<Item = &'a Written> + use<'a> {
        self.rows.iter().filter(move |r| r.table == table)
    }

    /// Words that no text is ever taken apart into.
    fn words(&mut self) {
        let mut tokens = Tokens::default();
        for row in self.rows {
            let never = row.forms.iter().find_map(|form| {
                tokens.fill(form);
                let made = tokens.folded.trim();
                (made != form).then(|| (form.clone(), made.to_owned()))
            });
            if let Some((form, made)) = never {
                let text = format!(
                    "'{form}' can never match: an ad's words come out as '{made}'; write that"
                );
                self.find(Level::Error, row, text);
            }
        }
    }

    /// Notes that look like rows: a `#` that begins a line makes it one.
    fn notes(&mut self, source: &Source) -> Result<(), LexiconError> {
        for note in notes_like_rows(source)? {
            let LikeARow { file, line, phrase } = note;
            self.findings.push(Finding {
                file,
                line,
                level: Level::Note,
                text: format!(
                    "'{phrase}' looks like a row but is a note, since the line begins with '#'; if \
                     it is meant as a row, write it without"
                ),
            });
        }
        Ok(())
    }

    /// Rows all of whose forms stand in rows above.
    fn repeated(&mut self) {
        let mut seen: HashMap<(Table, &str, &[String; 2]), u64> = HashMap::new();
        for row in self.rows {
            let mut above: Vec<u64> = Vec::new();
            for form in &row.forms {
                let key = (row.table, form.as_str(), &row.cells);
                match seen.get(&key) {
                    Some(line) => above.push(*line),
                    None => {
                        seen.insert(key, row.line);
                    }
                }
            }
            if !row.forms.is_empty() && above.len() == row.forms.len() {
                above.sort_unstable();
                above.dedup();
                let lines: Vec<_> = above.iter().take(3).map(u64::to_string).collect();
                let text = format!(
                    "'{}' adds nothing to line {}; remove it",
                    row.phrase,
                    lines.join(", ")
                );
                self.find(Level::Note, row, text);
            }
        }
    }

    /// Plurals and joined forms made by rule that another row has taken.
    fn derived(&mut self) {
        let mut by_form: HashMap<&str, &Written> = HashMap::new();
        for row in self.of(Table::Phrases) {
            for form in &row.forms {
                by_form.entry(form).or_insert(row);
            }
        }
        for row in self.of(Table::Phrases) {
            if !matches!(
                row.cells[1].as_str(),
                "noun" | "generic" | "feature" | "subject" | "fault"
            ) {
                continue;
            }
            let taken = row.forms.iter().find_map(|form| {
                let made = [plural(form), of_two_words(form)];
                made.into_iter().flatten().find_map(|made| {
                    let by = by_form.get(made.as_str())?;
                    (by.cells[0] != row.cells[0]).then_some((form, made, *by))
                })
            });
            if let Some((form, made, by)) = taken {
                let text = format!(
                    "'{made}', made of '{form}' by rule, is {} by line {}, not {}",
                    if by.cells[0].is_empty() {
                        "ignored"
                    } else {
                        &by.cells[0]
                    },
                    by.line,
                    row.cells[0]
                );
                self.find(Level::Note, row, text);
            }
        }
    }

    /// The same phrase in two tables, of which one goes first.
    fn shadowed(&mut self) {
        for row in self.rows {
            let first = match row.table {
                Table::Cues if row.cells[1] != "heading" => ["ignore", "name"],
                Table::Effects => ["ignore", ""],
                _ => continue,
            };
            let by = |form: &str| {
                let meaning = self.meanings.get(form)?;
                if meaning.decoy {
                    Some(first[0])
                } else if !meaning.named.is_empty() && !first[1].is_empty() {
                    Some(first[1])
                } else {
                    None
                }
            };
            let taken: Vec<(&String, &str)> = row
                .forms
                .iter()
                .filter_map(|form| Some((form, by(form)?)))
                .collect();
            let Some((form, by)) = taken.first() else {
                continue;
            };
            let what = match *by {
                "ignore" => "phrases.csv ignores the same phrase, which goes first",
                _ => "phrases.csv names a part by the same phrase, which goes first",
            };
            let all_ignored =
                taken.len() == row.forms.len() && taken.iter().all(|(_, by)| *by == "ignore");
            let (level, then) = if all_ignored {
                (Level::Error, "the row never acts; remove one")
            } else {
                (Level::Note, "it is hardly heard here")
            };
            let text = format!("'{form}': {what}; {then}");
            self.find(level, row, text);
        }
    }

    /// Names that swallow a cue: `bad gas tank` as a noun is never bad.
    fn hidden_cues(&mut self) {
        for row in self.of(Table::Phrases) {
            if !matches!(
                row.cells[1].as_str(),
                "noun" | "generic" | "feature" | "subject"
            ) {
                continue;
            }
            let swallowed = row.forms.iter().find_map(|form| {
                let mut ends = form.match_indices(' ').map(|(i, _)| i).collect::<Vec<_>>();
                ends.push(form.len());
                let heads = ends.iter().map(|end| (&form[..*end], Side::Before));
                let tails = ends.iter().filter_map(|end| form.get(end + 1..));
                let tails = tails.map(|tail| (tail, Side::After));
                heads
                    .chain(tails)
                    .filter(|(part, _)| *part != form)
                    .find_map(|(part, deaf)| {
                        let meaning = self.meanings.get(part)?;
                        // A cue that bears on the other side is no loss.
                        let cue = meaning.cue.filter(|c| c.side != deaf)?;
                        let tells = matches!(
                            cue.act,
                            Act::State(_) | Act::Lacks | Act::Negates | Act::NegatesAll
                        );
                        (tells && meaning.named.is_empty()).then_some((form, part))
                    })
            });
            if let Some((form, part)) = swallowed {
                let text = format!(
                    "the noun '{form}' hides its own word '{part}', a cue: no state comes of it; \
                     give the row a state, or shorten it"
                );
                self.find(Level::Note, row, text);
            }
        }
    }

    /// Codes that nothing says, that cost nothing, that hide each other.
    fn codes(&mut self, source: &Source) -> Result<(), LexiconError> {
        let parts = &self.lexicon.parts;
        let mut said: HashSet<PartId> = HashSet::new();
        for meaning in self.meanings.values() {
            said.extend(meaning.named.iter().map(|n| n.part));
            for effect in &meaning.effects {
                said.extend(effect.claims.iter().filter_map(|(part, _)| *part));
            }
        }
        let sheet = source.sheet("parts.csv")?;
        let mut lines: BTreeMap<String, u64> = BTreeMap::new();
        for row in sheet.rows() {
            lines.insert(row.required("code")?.to_owned(), row.line());
        }
        let mut findings = Vec::new();
        for part in parts.ids() {
            let code = parts.code(part);
            let mut find = |level, text| {
                findings.push(Finding {
                    file: sheet.file().to_owned(),
                    line: lines.get(code).copied().unwrap_or_default(),
                    level,
                    text,
                });
            };
            if !said.contains(&part) {
                find(
                    Level::Error,
                    format!(
                        "no phrase names '{code}': no ad can speak of it; add one to phrases.csv"
                    ),
                );
            }
            if parts.get(part).kind == PartKind::Part && self.is_free(part) {
                find(
                    Level::Note,
                    format!("the job for '{code}' costs neither money nor hours"),
                );
            }
            let covering: Vec<PartId> = self.lexicon.covers.of(part).collect();
            let each_other = covering
                .iter()
                .find(|more| self.lexicon.covers.of(**more).any(|p| p == part));
            if let Some(more) = each_other {
                find(
                    Level::Error,
                    format!(
                        "'{code}' and '{}' cover each other in covers.csv: told together, both \
                         are lost",
                        parts.code(*more)
                    ),
                );
            }
        }
        self.findings.extend(findings);
        Ok(())
    }

    fn is_free(&self, part: PartId) -> bool {
        let repairs = &self.lexicon.repairs;
        let class = &self.lexicon.classes.reference().name;
        let Some(job) = repairs.for_part(part, Gearbox::Unstated, class) else {
            return true;
        };
        let job = repairs.get(job);
        job.part_new.likely == Money::ZERO
            && job.consumables == Money::ZERO
            && job.outwork.likely == Money::ZERO
            && job.hours.likely.to_f64() == 0.0
    }
}
