//! Words that sellers cut short, hear as another word or say their own way, and
//! the words meant by them.

use super::openings::{Opening, Openings};
use super::table::{LexiconError, Row, Sheet};
use crate::reading::tokens::{TokenKind, Tokens};

/// Where a short word counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Wherever it stands.
    Always,
    /// With a full stop right behind it, or in an ad full of short words: by
    /// itself it may be another word.
    Terse,
    /// Wherever it stands: a whole word as it is heard or said, which tells
    /// nothing of how the ad is written.
    Said,
}

/// What a full stop behind a short word may stand between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joins {
    /// It goes on to what it belongs to: `frt. struts`.
    Ahead,
    /// It may tell of what stands before it: `eng. exc.`
    Back,
    /// Neither more than any other word.
    Neither,
}

/// A short word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortWord {
    /// The whole words.
    pub whole: Box<str>,
    /// Where it counts.
    pub when: When,
    /// What a full stop behind it joins.
    pub joins: Joins,
    /// Whether it is written with a stroke that its token lacks: `n/w`.
    stroke: bool,
    /// Before these words it is another word.
    not_before: Vec<Box<str>>,
    /// Behind these words it is another word.
    not_after: Vec<Box<str>>,
    /// It counts before these words alone, where any are named.
    before: Vec<Box<str>>,
    /// It counts behind these words alone, where any are named.
    after: Vec<Box<str>>,
}

impl ShortWord {
    /// Whether the text at a token has it in full.
    pub fn is_whole(&self, tokens: &Tokens, at: usize) -> bool {
        tokens.word(at) == &*self.whole
    }

    /// How many tokens it takes, if its words stand here, full stops between
    /// them or not, and nothing behind them that makes them another word.
    fn stands(&self, rest: &[Box<str>], tokens: &Tokens, at: usize) -> Option<usize> {
        if rest.is_empty() && tokens.has_more_signs(at) != self.stroke {
            return None;
        }
        let dot = |i: usize| tokens.kind(i) == TokenKind::Sign(b'.');
        let mut next = at + 1;
        for word in rest {
            next += usize::from(dot(next));
            if tokens.word(next) != &**word {
                return None;
            }
            next += 1;
        }
        let behind = tokens.word(next + usize::from(dot(next)));
        let ahead = at.checked_sub(1).map_or("", |i| tokens.word(i));
        let has = |words: &[Box<str>], word: &str| words.iter().any(|w| &**w == word);
        let meant = !has(&self.not_before, behind)
            && !has(&self.not_after, ahead)
            && (self.before.is_empty() || has(&self.before, behind))
            && (self.after.is_empty() || has(&self.after, ahead));
        meant.then_some(next - at)
    }
}

/// The rows of `short_words.csv`, by the tokens they are written with:
/// `w/screen` has two.
#[derive(Debug, Default)]
pub struct ShortWords(Openings<ShortWord>);

impl ShortWords {
    /// Reads and checks `short_words.csv`.
    ///
    /// # Errors
    /// A word that is told twice, an unknown way to count or to join.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows = Openings::default();
        for row in sheet.rows() {
            let (first, Opening { rest, of: short }) = short_word(&row)?;
            let alike = |o: &Opening<ShortWord>| {
                o.rest == rest
                    && o.of.stroke == short.stroke
                    && o.of.before == short.before
                    && o.of.after == short.after
            };
            if rows.beginning(&first).iter().any(alike) {
                return Err(row.error("word", "this stands twice; remove one"));
            }
            rows.add(&first, rest, short);
        }
        Ok(ShortWords(rows))
    }

    /// The short word that begins at a token, and how many tokens it takes.
    pub fn at(&self, tokens: &Tokens, at: usize) -> Option<(&ShortWord, usize)> {
        let mut alike = self.0.beginning(tokens.word(at)).iter();
        alike.find_map(|o| Some((&o.of, o.of.stands(&o.rest, tokens, at)?)))
    }
}

fn short_word(row: &Row<'_>) -> Result<(Box<str>, Opening<ShortWord>), LexiconError> {
    let word = row.required("word")?;
    let mut tokens = Tokens::default();
    tokens.fill(word);
    let mut all = (0..tokens.list.len()).map(|i| Box::from(tokens.word(i)));
    let Some(first) = all.next() else {
        return Err(row.error("word", format!("'{word}' holds no word")));
    };
    let rest = all.collect();
    let whole = row.required("whole")?;
    if !whole.bytes().all(|b| b.is_ascii_lowercase() || b == b' ') {
        let problem = format!("'{whole}' must be words in lower case, letters only");
        return Err(row.error("whole", problem));
    }
    let when = match row.optional("when") {
        None | Some("") => When::Always,
        Some("terse") => When::Terse,
        Some("said") => When::Said,
        Some(other) => {
            let problem = format!("'{other}' is neither empty nor 'terse' nor 'said'");
            return Err(row.error("when", problem));
        }
    };
    let joins = match row.optional("joins") {
        None | Some("") => Joins::Neither,
        Some("ahead") => Joins::Ahead,
        Some("back") => Joins::Back,
        Some(other) => {
            let problem = format!("'{other}' is neither empty nor 'ahead' nor 'back'");
            return Err(row.error("joins", problem));
        }
    };
    let words = |column| {
        let words = row.optional(column).unwrap_or_default();
        words.split_whitespace().map(Box::from).collect()
    };
    let stroke = word.contains('/') && tokens.list.len() == 1;
    let of = ShortWord {
        stroke,
        whole: whole.into(),
        when,
        joins,
        not_before: words("not_before"),
        not_after: words("not_after"),
        before: words("before"),
        after: words("after"),
    };
    Ok((first, Opening { rest, of }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrong_rows_are_named() {
        let head = "word,whole,when,joins,not_before\n";
        for (row, problem) in [
            ("nds,,,,", "whole"),
            ("nds,Needs,,,", "must be words in lower case"),
            ("nds,needs,often,,", "'often' is neither empty nor 'terse'"),
            ("nds,needs,,left,", "'left' is neither empty"),
            ("nds,needs,,,\nnds,need,,,", "stands twice"),
        ] {
            let sheet = Sheet::parse("short_words.csv", &format!("{head}{row}\n")).unwrap();
            let error = ShortWords::read(&sheet).unwrap_err().to_string();
            assert!(error.contains(problem), "{error}");
        }
    }
}
