//! Other words in the place of tokens: what is misspelt, cut short, or a field
//! of a form. Where they stand in the listing's text stays as it was.

use super::{TokenKind, Tokens};

/// Words for some tokens.
#[derive(Debug, Clone, Copy)]
pub struct Rewrite<'w> {
    /// The first of the tokens.
    pub first: usize,
    /// How many they are.
    pub width: usize,
    /// What stands in their place.
    pub words: &'w str,
    /// Of which kind each of it is.
    pub kind: TokenKind,
}

impl Tokens {
    /// Puts other words in the place of some tokens' words; `changes` by
    /// rising token. Where they stand in the listing's text does not change.
    pub fn replace(&mut self, changes: &[(usize, &str)]) {
        self.classes.clear();
        let old = std::mem::take(&mut self.folded);
        let mut changes = changes.iter().peekable();
        self.folded.reserve(old.len() + 16);
        self.folded.push(' ');
        for (i, token) in self.list.iter_mut().enumerate() {
            let word = match changes.next_if(|(at, _)| *at == i) {
                Some((_, word)) => word,
                None => &old[token.folded.0 as usize..token.folded.1 as usize],
            };
            let start = self.folded.len() as u32;
            self.folded.push_str(word);
            token.folded = (start, self.folded.len() as u32);
            self.folded.push(' ');
        }
    }

    /// Puts the words of `changes` in the place of the tokens each of them
    /// takes, all with the bytes of these; `changes` by rising token, apart.
    /// No words leave nothing.
    pub fn rewrite(&mut self, changes: &[Rewrite<'_>]) {
        self.classes.clear();
        let old = std::mem::take(&mut self.folded);
        let tokens = std::mem::take(&mut self.list);
        let mut changes = changes.iter().peekable();
        self.folded.reserve(old.len() + 16);
        self.folded.push(' ');
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let Some(change) = changes.next_if(|c| c.first == at) else {
                let word = &old[token.folded.0 as usize..token.folded.1 as usize];
                self.push(token.kind, word, token.source_range());
                at += 1;
                continue;
            };
            at += change.width.max(1);
            let last = tokens.get(at - 1).unwrap_or(token);
            for word in change.words.split_whitespace() {
                let source = token.source.0 as usize..last.source.1 as usize;
                self.push(change.kind, word, source);
            }
        }
    }
}
