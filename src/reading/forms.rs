//! Fields of a form, `Starts: no`, `Keys - 1`, `Does it drive? Yes`, put out as
//! the sentences that say so, before phrases are looked up. Otherwise the name
//! of a field would say what its answer denies, or leaves open.

use super::tokens::{Rewrite, TokenKind, Tokens};
use crate::lexicon::forms::{Answer, Forms, Match, Question};

/// The name of a field has so many words at most.
const NAME: usize = 4;

/// Puts the sentences in the place of fields with their answers; `text` is what
/// the tokens were taken from.
pub fn apply(forms: &Forms, tokens: &mut Tokens, text: &str) {
    let form = Form {
        forms,
        tokens,
        text,
    };
    let mut changes = Vec::new();
    let mut at = 0;
    let mut begins = true;
    while at < form.tokens.list.len() {
        if let Some(field) = begins.then(|| form.field(at)).flatten() {
            changes.push(Rewrite {
                first: field.first,
                width: field.end - field.first,
                words: field.means,
                kind: TokenKind::Word,
            });
            at = field.end;
            continue;
        }
        begins = form.parts(at) || form.tabbed(at + 1);
        at += 1;
    }
    if !changes.is_empty() {
        tokens.rewrite(&changes);
    }
}

struct Form<'f, 't> {
    forms: &'f Forms,
    tokens: &'t Tokens,
    text: &'t str,
}

/// A field that was filled in.
struct Field<'f> {
    /// The first token that changes.
    first: usize,
    /// The token behind its answer.
    end: usize,
    /// The words that say it; none: nothing is said.
    means: &'f str,
}

impl<'f> Form<'f, '_> {
    /// The field that begins at a token, with its answer.
    fn field(&self, at: usize) -> Option<Field<'f>> {
        if !self.names(at) {
            return None;
        }
        let asked = self.forms.question(self.tokens, at);
        asked
            .and_then(|question| self.answered(at, question))
            .or_else(|| self.any(at))
    }

    /// A question of the table with an answer that it has a sentence for.
    fn answered(&self, at: usize, question: Match<Question>) -> Option<Field<'f>> {
        let (answer, found) = self.answer(at + question.width)?;
        Some(Field {
            first: at,
            end: answer + found.width,
            means: self.forms.means(question.of, found.of)?,
        })
    }

    /// Any name, a sign and an answer. A name that nothing is told of goes;
    /// otherwise only the answer changes.
    fn any(&self, at: usize) -> Option<Field<'f>> {
        let ends = |i: &usize| !self.names(*i) || *i > at && self.tabbed(*i);
        let end = (at..).take(NAME + 1).find(ends)?;
        let (answer, found) = self.answer(end)?;
        if answer == end && !self.tabbed(end) {
            return None;
        }
        let means = self.forms.any_means(found.of)?;
        Some(Field {
            first: if means.is_empty() { at } else { answer },
            end: answer + found.width,
            means,
        })
    }

    /// The answer that begins at a token or behind the sign there, and ends
    /// where a field does.
    fn answer(&self, at: usize) -> Option<(usize, Match<Answer>)> {
        let mut first = at;
        while first < at + 3
            && matches!(
                self.tokens.kind(first),
                TokenKind::Sign(b':' | b'-' | b'?' | b'^')
            )
        {
            first += 1;
        }
        let found = self.forms.answer(self.tokens, first)?;
        self.ends(first + found.width).then_some((first, found))
    }

    /// Whether a token can be of the name of a field.
    fn names(&self, at: usize) -> bool {
        self.tokens.kind(at) == TokenKind::Word
    }

    /// Whether a field can begin behind this token.
    fn parts(&self, at: usize) -> bool {
        match self.tokens.kind(at) {
            TokenKind::Line | TokenKind::Blank => true,
            TokenKind::Sign(sign) => !matches!(sign, b'$' | b'%' | b'#' | b'"'),
            TokenKind::Word | TokenKind::Number => false,
        }
    }

    /// Whether a tab parts a token from the one before it.
    fn tabbed(&self, at: usize) -> bool {
        let sources = at.checked_sub(1).and_then(|before| {
            let [before, this] = [before, at].map(|i| self.tokens.list.get(i));
            Some((before?.source.1 as usize, this?.source.0 as usize))
        });
        let gap = sources.and_then(|(from, to)| self.text.get(from..to));
        gap.is_some_and(|gap| gap.contains('\t'))
    }

    /// Whether the answer has ended before this token: with a sign, a line, or
    /// the name of the next field.
    fn ends(&self, at: usize) -> bool {
        if at >= self.tokens.list.len() || self.parts(at) || self.tabbed(at) {
            return !matches!(self.tokens.kind(at), TokenKind::Sign(b':' | b'?'));
        }
        let next = (at..).take(NAME + 1).find(|i| !self.names(*i));
        next.is_some_and(|i| i > at && self.tokens.kind(i) == TokenKind::Sign(b':'))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    fn filled(text: &str) -> String {
        let lexicon = Lexicon::built_in().unwrap();
        let mut tokens = Tokens::default();
        tokens.fill(text);
        apply(&lexicon.forms, &mut tokens, text);
        tokens
            .folded
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[test]
    fn a_field_becomes_the_sentence_that_says_it() {
        for (text, words) in [
            ("Starts: yes; Drives: no", "it starts ; does not drive"),
            ("Does it drive? Yes", "drives"),
            ("Keys - 1. Radio = N", "only one key . radio : no"),
            ("Wheels\tgood\tTrans\tunknown", "wheels good"),
            ("Catalytic converter: n/a, Heat: PASS", ", heat : ok"),
            (
                "Runs: No Drives: No Doors: 4",
                "does not run does not drive",
            ),
        ] {
            assert_eq!(filled(text), words, "{text}");
        }
    }

    #[test]
    fn plain_sentences_stay_as_they_are() {
        for text in [
            "runs and drives, no problem",
            "starts no problem every time",
            "the title is clean , keys in the drawer",
            "drives good - no rust underneath",
            "runs good",
            "not sure what the trans needs",
        ] {
            assert_eq!(
                filled(text),
                text.to_lowercase().replace(',', " ,").replace("  ", " ")
            );
        }
    }
}
