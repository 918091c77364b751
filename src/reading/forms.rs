//! Fields of a form, `Starts: no`, `Keys - 1`, `Does it drive? Yes`, put out as
//! the sentences that say so, before phrases are looked up. Otherwise the name
//! of a field would say what its answer denies, or leaves open.

use super::tokens::{Rewrite, TokenKind, Tokens};
use crate::lexicon::forms::{Answer, Forms, Match, Question};

/// The name of a field has so many words at most.
const NAME: usize = 4;

/// Puts the sentences in the place of fields with their answers.
pub fn apply(forms: &Forms, tokens: &mut Tokens) {
    let form = Form { forms, tokens };
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
        begins = form.parts(at);
        at += 1;
    }
    if !changes.is_empty() {
        tokens.rewrite(&changes);
    }
}

struct Form<'f, 't> {
    forms: &'f Forms,
    tokens: &'t Tokens,
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
        let end = (at..).take(NAME + 1).find(|i| !self.names(*i))?;
        let (answer, found) = self.answer(end).filter(|(answer, _)| *answer > end)?;
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

    /// Whether the answer has ended before this token: with a sign, a line, or
    /// the name of the next field.
    fn ends(&self, at: usize) -> bool {
        if at >= self.tokens.list.len() || self.parts(at) {
            return !matches!(self.tokens.kind(at), TokenKind::Sign(b':' | b'?'));
        }
        let next = (at..).take(NAME + 1).find(|i| !self.names(*i));
        next.is_some_and(|i| i > at && self.tokens.kind(i) == TokenKind::Sign(b':'))
    }
}
