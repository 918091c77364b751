//! What the fields of a form mean with what was filled in.

use hashbrown::HashMap;

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

/// Phrases by their first word, those of more words first.
type Phrases<T> = HashMap<Box<str>, Vec<(Vec<Box<str>>, T)>>;

/// The rows of `forms.csv`.
#[derive(Debug, Default)]
pub struct Forms {
    questions: Phrases<usize>,
    answers: Phrases<Answer>,
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

fn add<T: Copy>(phrases: &mut Phrases<T>, phrase: &str, of: T) -> bool {
    let mut words = phrase.split(' ').map(Box::from);
    let Some(first) = words.next() else {
        return false;
    };
    let rest: Vec<Box<str>> = words.collect();
    let alike = phrases.entry(first).or_default();
    if alike.iter().any(|(r, _)| *r == rest) {
        return false;
    }
    alike.push((rest, of));
    alike.sort_by_key(|(rest, _)| std::cmp::Reverse(rest.len()));
    true
}

fn find<T: Copy>(phrases: &Phrases<T>, phrase: &str) -> Option<T> {
    let (first, rest) = phrase.split_once(' ').unwrap_or((phrase, ""));
    let alike = phrases.get(first)?;
    let same = |words: &[Box<str>]| rest.split_whitespace().eq(words.iter().map(|w| &**w));
    alike.iter().find(|(r, _)| same(r)).map(|(_, of)| *of)
}

fn longest<T: Copy>(phrases: &Phrases<T>, tokens: &Tokens, at: usize) -> Option<Match<T>> {
    let alike = phrases.get(tokens.word(at))?;
    let stands = |rest: &[Box<str>]| {
        let mut words = (at + 1..).zip(rest);
        words.all(|(i, word)| tokens.word(i) == &**word)
    };
    let (rest, of) = alike.iter().find(|(rest, _)| stands(rest))?;
    Some(Match {
        of: *of,
        width: 1 + rest.len(),
    })
}
