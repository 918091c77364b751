//! What the fields of a form mean with what was filled in.

use super::openings::Openings;
use super::phrasing;
use super::table::{LexiconError, Sheet};
use crate::reading::tokens::Tokens;

/// The question that stands for any name of a field.
const ANY: &str = "*";

/// A kind of answer, by its place in the list of kinds.
pub type Answer = u8;

/// A phrase that a text was found to hold, and how many tokens it takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Match<T> {
    /// What it stands for.
    pub of: T,
    /// Its tokens.
    pub width: usize,
}

/// A question of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Question(usize);

/// The rows of `forms.csv`.
#[derive(Debug, Default)]
pub struct Forms {
    questions: Openings<usize>,
    answers: Openings<Answer>,
    /// By question, what it means with each answer.
    means: Vec<Vec<(Answer, Box<str>)>>,
    /// What any other field means with an answer.
    any: Vec<(Answer, Box<str>)>,
}

impl Forms {
    /// Reads and checks `forms.csv`.
    ///
    /// # Errors
    /// A phrase or answer that is told twice, an answer that no row lists.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut forms = Forms::default();
        let mut names: Vec<String> = Vec::new();
        for row in sheet.rows() {
            let question = row.required("question")?;
            let answer = row.required("answer")?;
            let means = row.optional("means").unwrap_or_default();
            if question == "list" {
                let Ok(kind) = Answer::try_from(names.len()) else {
                    return Err(row.error("means", "there are too many lists of answers"));
                };
                if names.iter().any(|n| n == means) {
                    return Err(row.error("means", "this list stands twice; join them"));
                }
                names.push(means.to_owned());
                for phrase in phrasing::forms(&row, "answer", answer)? {
                    if !add(&mut forms.answers, &phrase, kind) {
                        let problem = format!("'{phrase}' is an answer twice; remove one");
                        return Err(row.error("answer", problem));
                    }
                }
                continue;
            }
            if !means.bytes().all(|b| b.is_ascii_lowercase() || b == b' ') {
                let problem = format!("'{means}' must be words in lower case, letters only");
                return Err(row.error("means", problem));
            }
            let Some(kind) = names.iter().position(|n| n == answer) else {
                let problem = format!("no row above lists the answers '{answer}'");
                return Err(row.error("answer", problem));
            };
            // No more kinds than an answer can count were let in above.
            let kind = kind as Answer;
            if question == ANY {
                forms.any.push((kind, means.into()));
                continue;
            }
            for phrase in phrasing::forms(&row, "question", question)? {
                let known = find(&forms.questions, &phrase);
                let id = known.unwrap_or(forms.means.len());
                if known.is_none() {
                    forms.means.push(Vec::new());
                    add(&mut forms.questions, &phrase, id);
                }
                if forms.means[id].iter().any(|(a, _)| *a == kind) {
                    let problem = format!("'{phrase}' stands twice with '{answer}'; remove one");
                    return Err(row.error("question", problem));
                }
                forms.means[id].push((kind, means.into()));
            }
        }
        Ok(forms)
    }

    /// The question that begins at a token.
    pub fn question(&self, tokens: &Tokens, at: usize) -> Option<Match<Question>> {
        let found = longest(&self.questions, tokens, at)?;
        Some(Match {
            of: Question(found.of),
            width: found.width,
        })
    }

    /// The answer that begins at a token.
    pub fn answer(&self, tokens: &Tokens, at: usize) -> Option<Match<Answer>> {
        longest(&self.answers, tokens, at)
    }

    /// What a question means with an answer.
    pub fn means(&self, question: Question, answer: Answer) -> Option<&str> {
        told(self.means.get(question.0)?, answer)
    }

    /// What any field with a sign behind its name means with an answer.
    pub fn any_means(&self, answer: Answer) -> Option<&str> {
        told(&self.any, answer)
    }
}

fn told(means: &[(Answer, Box<str>)], answer: Answer) -> Option<&str> {
    let of = means.iter().find(|(a, _)| *a == answer);
    of.map(|(_, words)| &**words)
}

/// Adds what a phrase stands for, unless it stands for something already.
fn add<T: Copy>(phrases: &mut Openings<T>, phrase: &str, of: T) -> bool {
    let new = find(phrases, phrase).is_none();
    if new {
        let (first, rest) = parted(phrase);
        phrases.add(first, rest.map(Box::from).collect(), of);
    }
    new
}

fn find<T: Copy>(phrases: &Openings<T>, phrase: &str) -> Option<T> {
    let (first, rest) = parted(phrase);
    let same = |words: &[Box<str>]| rest.clone().eq(words.iter().map(|w| &**w));
    let mut alike = phrases.beginning(first).iter();
    alike.find(|o| same(&o.rest)).map(|o| o.of)
}

/// The first word of a phrase, and those behind it.
fn parted(phrase: &str) -> (&str, std::str::SplitWhitespace<'_>) {
    let (first, rest) = phrase.split_once(' ').unwrap_or((phrase, ""));
    (first, rest.split_whitespace())
}

fn longest<T: Copy>(phrases: &Openings<T>, tokens: &Tokens, at: usize) -> Option<Match<T>> {
    let stands = |rest: &[Box<str>]| {
        let mut words = (at + 1..).zip(rest);
        words.all(|(i, word)| tokens.word(i) == &**word)
    };
    let mut alike = phrases.beginning(tokens.word(at)).iter();
    let found = alike.find(|o| stands(&o.rest))?;
    Some(Match {
        of: found.of,
        width: 1 + found.rest.len(),
    })
}
