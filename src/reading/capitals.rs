//! What capitals tell where signs are missing, as they are where an export has
//! lost the ends of lines: `runs great Needs brakes New tires`.

use super::tokens::{TokenKind, Tokens, is_capitalized};

/// The capitals of a text.
pub(super) struct Capitals<'t> {
    tokens: &'t Tokens,
    text: &'t str,
    /// The first token behind the headline; beyond the text where capitals tell
    /// nothing, since too many words have one.
    from: usize,
}

impl<'t> Capitals<'t> {
    pub(super) fn of(tokens: &'t Tokens, text: &'t str) -> Self {
        let line = tokens.list.iter().position(|t| t.kind == TokenKind::Line);
        let mut capitals = Capitals {
            tokens,
            text,
            from: line.unwrap_or(0) + 1,
        };
        let words = (capitals.from..tokens.list.len())
            .filter(|at| tokens.kind(*at) == TokenKind::Word && tokens.word(*at).len() > 1);
        let (mut all, mut with) = (0, 0);
        for at in words {
            all += 1;
            with += usize::from(!capitals.is_small(at));
        }
        if with * MOST_CAPITALS.1 > all * MOST_CAPITALS.0 {
            capitals.from = usize::MAX;
        }
        capitals
    }

    fn source(&self, at: usize) -> &'t [u8] {
        let bytes = self.text.as_bytes();
        let token = self.tokens.list.get(at);
        token.map_or(&[], |t| bytes.get(t.source_range()).unwrap_or_default())
    }

    fn is_small(&self, at: usize) -> bool {
        self.source(at).iter().all(|b| !b.is_ascii_uppercase())
    }

    /// Whether a sentence begins at this token by its capital alone, right
    /// behind a word in small letters or a number.
    pub(super) fn begin_sentence(&self, at: usize) -> bool {
        at > self.from && is_capitalized(self.source(at)) && self.ends_small(at - 1)
    }

    fn ends_small(&self, at: usize) -> bool {
        matches!(self.tokens.kind(at), TokenKind::Word | TokenKind::Number) && self.is_small(at)
    }

    /// Whether a sign that stands alone parts two sentences: `runs great | Needs
    /// brakes`. A dash behind few items follows a name: `AC - Works`.
    pub(super) fn parts_sentences(&self, at: usize, items: impl Fn() -> usize) -> bool {
        let sign = match self.tokens.kind(at) {
            TokenKind::Sign(b'*' | b';' | b'/') => true,
            TokenKind::Sign(b'-') => items() >= NAME_BEFORE_DASH,
            _ => false,
        };
        if !sign || at <= self.from || !is_capitalized(self.source(at + 1)) {
            return false;
        }
        let mut before = at - 1;
        while before > self.from && self.tokens.kind(before) == self.tokens.kind(at) {
            before -= 1;
        }
        self.ends_small(before)
    }
}

/// A dash behind at least so many items does not follow a name.
pub(super) const NAME_BEFORE_DASH: usize = 4;

/// In texts with a larger share of capitals they tell nothing.
const MOST_CAPITALS: (usize, usize) = (1, 3);

#[cfg(test)]
mod tests {
    use super::*;

    fn begin(text: &str) -> Vec<String> {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        let capitals = Capitals::of(&tokens, text);
        let all = 0..tokens.list.len();
        all.filter(|at| capitals.begin_sentence(*at))
            .map(|at| tokens.word(at).to_owned())
            .collect()
    }

    #[test]
    fn capitals_begin_sentences_where_few_words_have_one() {
        let text = "2003 Kia Rio\nit runs great Needs brakes all around and a tune up New tires";
        assert_eq!(begin(text), ["needs", "new"]);
        assert!(begin("2003 Kia Rio\nRuns Great Needs Brakes New Tires").is_empty());
        assert!(begin("2003 Kia Rio\nit runs great. Needs brakes, NEW tires").is_empty());
    }
}
