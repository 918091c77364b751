//! Tokens and phrases to the items of a sentence: what the reach of a cue is
//! worked out over.

mod build;

use super::capitals::{Capitals, NAME_BEFORE_DASH};
use super::model::Says;
use super::scan::{Brief, Hit, Phrase, Scanner, Wording, leftmost_longest};
use super::separators::separators;
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::{Act, Cue, Meaning, Naming, Side, SignField};
use crate::lexicon::word_classes::WordClass;
use crate::lexicon::words::WordId;

pub use build::build;
pub(super) use build::{has_scope, only_heads};

/// What an item is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ItemKind {
    /// A phrase of the tables, by its index.
    Phrase(u32),
    /// A word no table knows.
    Word,
    /// A number.
    Number,
    /// A sign inside a sentence.
    Sign(u8),
    /// The end of a sentence, by this sign (`\n` for a line).
    End(u8),
    /// An empty line: also ends what a heading governs.
    Blank,
}

/// One item and the tokens it covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// What it is.
    pub kind: ItemKind,
    /// First token.
    pub first: u32,
    /// Last token.
    pub last: u32,
    /// Index of the phrase's meaning.
    meaning: u32,
}

/// Looks items up in the phrases.
#[derive(Clone, Copy)]
pub struct Items<'a> {
    /// All items of the text.
    pub list: &'a [Item],
    /// The phrases.
    pub scanner: &'a Scanner<'a>,
    /// The tokens under the items.
    pub tokens: &'a Tokens,
    /// The words of the tokens.
    pub words: &'a [WordId],
}

/// A text taken apart.
#[derive(Clone, Copy)]
pub struct Ad<'a> {
    /// As it was written.
    pub text: &'a str,
    /// Its tokens.
    pub tokens: &'a Tokens,
    /// The words of the tokens.
    pub words: &'a [WordId],
}

impl<'a> Items<'a> {
    /// The phrase of an item.
    pub fn phrase(&self, index: usize) -> Option<Phrase<'a>> {
        let item = self.list.get(index)?;
        match item.kind {
            ItemKind::Phrase(p) => Some(self.scanner.phrase_of(p, item.meaning)),
            _ => None,
        }
    }

    fn brief(&self, index: usize) -> Option<Brief> {
        let item = self.list.get(index)?;
        match item.kind {
            ItemKind::Phrase(_) => Some(self.scanner.brief(item.meaning)),
            _ => None,
        }
    }

    /// How many words, numbers and phrases there are.
    pub fn worded(&self) -> usize {
        let worded = |i: &&Item| {
            matches!(
                i.kind,
                ItemKind::Word | ItemKind::Number | ItemKind::Phrase(_)
            )
        };
        self.list.iter().filter(worded).count()
    }

    /// Whether the text is so short that its words are meant as they stand: nobody can
    /// say how much of it tells of parts.
    pub fn are_few(&self) -> bool {
        const FEW: usize = 30;
        self.worded() < FEW
    }

    /// The phrase of an item, and where it stands.
    pub fn wording(&self, index: usize) -> Option<Wording> {
        let item = self.list.get(index)?;
        match item.kind {
            ItemKind::Phrase(phrase) => Some(Wording {
                phrase,
                first: item.first,
                last: item.last,
            }),
            _ => None,
        }
    }

    /// The words of a phrase as its table has them; none where no phrase stands.
    pub fn words_of(&self, index: usize) -> &'a str {
        let wording = self.wording(index);
        wording.map_or("", |wording| self.scanner.words(self.tokens, wording))
    }

    /// The item that tells what is heard at this one: itself, or the one close by in its
    /// sentence where it is a sign, a number or a word that says nothing alone.
    pub fn telling(&self, index: usize) -> usize {
        const CLOSE: usize = 2;
        let goes_on = |at: &usize| {
            let kind = self.list[*at].kind;
            *at == index || !matches!(kind, ItemKind::End(_) | ItemKind::Blank)
        };
        let behind = (index..self.list.len()).take(CLOSE + 1);
        let before = (0..index).rev().take(CLOSE);
        behind
            .take_while(goes_on)
            .chain(before.take_while(goes_on))
            .find(|at| self.tells(*at))
            .unwrap_or(index)
    }

    fn tells(&self, index: usize) -> bool {
        match self.list[index].kind {
            ItemKind::Word => true,
            ItemKind::Phrase(_) if self.names(index) => true,
            ItemKind::Phrase(_) => {
                let cue = self.cue(index);
                cue.is_none_or(|cue| !cue.act.modifies() && !cue.act.is_copula())
            }
            _ => false,
        }
    }

    /// The first and the last token of an item.
    pub fn tokens_at(&self, index: usize) -> (usize, usize) {
        let item = self.list[index];
        (item.first as usize, item.last as usize)
    }

    /// The folded words of an item; of a number none, since it may be one to call.
    pub fn said_at(&self, index: usize) -> &'a str {
        if self.list[index].kind == ItemKind::Number {
            return "";
        }
        let (first, last) = self.tokens_at(index);
        self.tokens.run(first, last)
    }

    /// The folded text of an item's first token.
    pub fn word(&self, index: usize) -> &'a str {
        self.list
            .get(index)
            .map_or("", |i| self.tokens.word(i.first as usize))
    }

    /// Whether the first word of an item is of this class.
    pub fn is_a(&self, index: usize, class: WordClass) -> bool {
        self.is_any(index, &[class])
    }

    /// Whether the first word of an item is of one of these classes.
    pub fn is_any(&self, index: usize, classes: &[WordClass]) -> bool {
        let item = self.list.get(index);
        item.is_some_and(|i| self.token_is(i.first, classes))
    }

    /// Whether a phrase is a word of this class and no more.
    pub fn is_alone(&self, index: usize, class: WordClass) -> bool {
        let item = self.phrase_item(index).filter(|i| i.first == i.last);
        item.is_some_and(|i| self.token_is(i.first, &[class]))
    }

    /// Whether a phrase has a word of one of these classes.
    pub fn has_any(&self, index: usize, classes: &[WordClass]) -> bool {
        let item = self.phrase_item(index);
        item.is_some_and(|i| (i.first..=i.last).any(|t| self.token_is(t, classes)))
    }

    /// Whether the last word of a phrase is of one of these classes.
    pub fn ends_with(&self, index: usize, classes: &[WordClass]) -> bool {
        let item = self.phrase_item(index);
        item.is_some_and(|i| self.token_is(i.last, classes))
    }

    /// Whether a token is a word of one of these classes.
    pub fn token_is(&self, token: u32, classes: &[WordClass]) -> bool {
        self.tokens.is_any(token as usize, classes)
    }

    fn phrase_item(&self, index: usize) -> Option<&'a Item> {
        let item = self.list.get(index)?;
        matches!(item.kind, ItemKind::Phrase(_)).then_some(item)
    }

    /// The cue of an item.
    pub fn cue(&self, index: usize) -> Option<Cue> {
        self.brief(index).and_then(|b| b.cue)
    }

    /// Whether an item is this cue.
    pub fn is_cue(&self, index: usize, act: Act, side: Side) -> bool {
        self.cue(index)
            .is_some_and(|c| c.act == act && c.side == side)
    }

    /// Whether an item's cue does this.
    pub fn acts(&self, index: usize, act: Act) -> bool {
        self.cue(index).is_some_and(|c| match act {
            Act::Copula => c.act.is_copula(),
            Act::Modifier => c.act.modifies(),
            Act::Border => matches!(c.act, Act::Border | Act::But),
            _ => c.act == act,
        })
    }

    /// Whether the cue of an item has one of these acts.
    pub fn acts_any(&self, index: usize, acts: &[Act]) -> bool {
        acts.iter().any(|act| self.acts(index, *act))
    }

    /// Whether an item names a part or a symptom.
    pub fn names(&self, index: usize) -> bool {
        self.brief(index).is_some_and(|b| b.names)
    }

    /// The codes that an item names.
    pub fn codes(self, index: usize) -> impl Iterator<Item = &'a str> {
        let phrase = self.phrase_item(index);
        let codes = phrase.map(|item| self.scanner.codes_of(item.meaning));
        codes.into_iter().flatten()
    }

    /// Whether an item names a part and tells nothing of it.
    pub fn names_part(&self, index: usize) -> bool {
        self.brief(index).is_some_and(|b| b.names_part)
    }

    /// What an item is; a phrase that says nothing but beside certain parts
    /// counts as a word of no table. Behind the last item the text is blank.
    pub fn kind(&self, index: usize) -> ItemKind {
        match self.list.get(index).map(|i| i.kind) {
            Some(ItemKind::Phrase(p)) if only_senses(self.scanner.phrase(p).meaning) => {
                ItemKind::Word
            }
            Some(kind) => kind,
            None => ItemKind::Blank,
        }
    }

    /// Whether an item names a part beside certain others.
    pub fn has_senses(&self, index: usize) -> bool {
        self.phrase(index)
            .is_some_and(|p| !p.meaning.senses.is_empty())
    }

    /// Whether an item is a word of no table, or as good as one.
    pub fn is_word(&self, index: usize) -> bool {
        index < self.list.len() && self.kind(index) == ItemKind::Word
    }

    /// The shorter phrases within an item, the longest first.
    pub fn within(&self, item: Item) -> impl Iterator<Item = Phrase<'a>> + use<'a> {
        let Item { first, last, .. } = item;
        let items = *self;
        (0..last - first)
            .rev()
            .flat_map(move |more| (first..=last - more).map(move |from| (from, from + more)))
            .filter_map(move |(from, to)| items.phrase_of(from, to))
    }

    /// The phrase that these tokens are by themselves, whatever item they stand
    /// in.
    pub fn phrase_of(&self, first: u32, last: u32) -> Option<Phrase<'a>> {
        let words = self.words.get(first as usize..=last as usize)?;
        self.scanner.phrase_at(words)
    }

    /// The cue that these tokens are by themselves.
    pub fn cue_of(&self, first: u32, last: u32) -> Option<Cue> {
        self.phrase_of(first, last)?.meaning.cue
    }

    /// Whether an item joins a list.
    pub fn joins(&self, index: usize) -> bool {
        match self.list.get(index).map(|i| i.kind) {
            Some(ItemKind::Sign(s)) => matches!(s, b',' | b'/' | b';' | b'*' | b'^'),
            Some(ItemKind::Phrase(_)) => self.acts(index, Act::And) || self.acts(index, Act::Or),
            _ => false,
        }
    }
}

/// Whether a phrase says nothing but beside certain parts.
fn only_senses(m: &Meaning) -> bool {
    !m.senses.is_empty()
        && m.named.is_empty()
        && m.cue.is_none()
        && m.effects.is_empty()
        && m.signs.is_empty()
        && m.heading.is_none()
        && !m.decoy
}
