//! Words that sellers cut short, and the whole words meant by them.

use hashbrown::HashMap;

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
    /// The tokens behind its first, as in `w/screen`.
    rest: Vec<Box<str>>,
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
}

impl ShortWord {
    /// How many tokens it takes.
    pub fn width(&self) -> usize {
        1 + self.rest.len()
    }

    /// Whether it only tells that a full stop behind it ends nothing.
    pub fn is_whole(&self, tokens: &Tokens, at: usize) -> bool {
        self.rest.is_empty() && tokens.word(at) == &*self.whole
    }

    /// Whether these words stand here, and nothing behind them that makes them
    /// another word.
    fn stands(&self, tokens: &Tokens, at: usize) -> bool {
        if self.rest.is_empty() && tokens.has_more_signs(at) != self.stroke {
            return false;
        }
        let rest = (at + 1..).zip(&self.rest);
        let mut rest = rest.map(|(i, word)| tokens.word(i) == &**word);
        if !rest.all(|same| same) {
            return false;
        }
        let mut next = at + self.width();
        if tokens.kind(next) == TokenKind::Sign(b'.') {
            next += 1;
        }
        !self.not_before.iter().any(|w| tokens.word(next) == &**w)
    }
}

/// The rows of `short_words.csv`.
#[derive(Debug, Default)]
pub struct ShortWords {
    /// By their first token, those of more tokens first.
    rows: HashMap<Box<str>, Vec<ShortWord>>,
}

impl ShortWords {
    /// Reads and checks `short_words.csv`.
    ///
    /// # Errors
    /// A word that is told twice, an unknown way to count or to join.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows: HashMap<Box<str>, Vec<ShortWord>> = HashMap::new();
        for row in sheet.rows() {
            let (first, short) = short_word(&row)?;
            let alike = rows.entry(first).or_default();
            if alike
                .iter()
                .any(|s| s.rest == short.rest && s.stroke == short.stroke)
            {
                return Err(row.error("word", "this stands twice; remove one"));
            }
            alike.push(short);
            alike.sort_by_key(|s| std::cmp::Reverse(s.width()));
        }
        Ok(ShortWords { rows })
    }

    /// The short word that begins at a token.
    pub fn at(&self, tokens: &Tokens, at: usize) -> Option<&ShortWord> {
        let alike = self.rows.get(tokens.word(at))?;
        alike.iter().find(|short| short.stands(tokens, at))
    }
}

fn short_word(row: &Row<'_>) -> Result<(Box<str>, ShortWord), LexiconError> {
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
        Some(other) => {
            let problem = format!("'{other}' is neither empty nor 'terse'");
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
    let not_before = row.optional("not_before").unwrap_or_default();
    let stroke = word.contains('/') && tokens.list.len() == 1;
    let short = ShortWord {
        rest,
        stroke,
        whole: whole.into(),
        when,
        joins,
        not_before: not_before.split_whitespace().map(Box::from).collect(),
    };
    Ok((first, short))
}
