//! What the network of `context.csv` is told of an ad.

use std::cell::RefCell;

use super::items::{ItemKind, Items};
use crate::lexicon::context::network::{Asked, Pass, Sums, Thing};
use crate::lexicon::context::{Context, DOES_NOTHING, Of, UNKNOWN};

/// A thing of an ad, by the names of the table's rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Described<'a> {
    /// Whether it is a phrase or something else, and what it does.
    pub kind: (Of, &'a str),
    /// Its words.
    pub word: Option<&'a str>,
}

/// The signs that the table knows.
const SIGNS: &str = ",;:.!?()/$%#\"-*^";

fn sign_word(sign: u8) -> &'static str {
    match SIGNS.find(char::from(sign)) {
        Some(at) => &SIGNS[at..=at],
        None => "(line)",
    }
}

impl<'a> Items<'a> {
    /// The things of the ad, one an item.
    pub fn things(self) -> impl Iterator<Item = Described<'a>> {
        let of_kind = |kind, word| Described {
            kind: (Of::Kind, kind),
            word,
        };
        (0..self.list.len()).map(move |j| match self.list[j].kind {
            ItemKind::Word => of_kind("word", Some(self.word(j))),
            ItemKind::Number => of_kind("number", None),
            ItemKind::Sign(sign) => of_kind("sign", Some(sign_word(sign))),
            ItemKind::End(sign) => of_kind("end", Some(sign_word(sign))),
            ItemKind::Blank => of_kind("blank", None),
            ItemKind::Phrase(_) => {
                let does = self.cue(j).map_or(DOES_NOTHING, |c| c.act.word());
                let of = match self.names(j) {
                    true => Of::Name,
                    false => Of::Cue,
                };
                Described {
                    kind: (of, does),
                    word: Some(self.words_of(j)),
                }
            }
        })
    }

    /// The item that holds a token.
    pub fn holding(self, token: usize) -> Option<usize> {
        let behind = self.list.partition_point(|i| i.first as usize <= token);
        behind.checked_sub(1)
    }
}

/// The network with its memory for one ad after the other.
#[derive(Clone, Copy)]
pub struct Listener<'a> {
    /// The table.
    pub context: &'a Context,
    /// Kept from ad to ad.
    pub pass: &'a RefCell<Pass>,
}

impl Listener<'_> {
    /// The sums of the answers for each thing asked about.
    pub fn ask(self, items: Items<'_>, asked: &[Asked]) -> Vec<Sums> {
        let unknown = self.context.row_of(Of::Word, UNKNOWN);
        let word = |word: &str| self.context.row_of(Of::Word, word).or(unknown);
        let thing = |described: Described<'_>| Thing {
            kind: self.context.row_of(described.kind.0, described.kind.1),
            word: described.word.and_then(word),
        };
        // Nobody else works on the ad meanwhile.
        let mut pass = self.pass.borrow_mut();
        self.context.begin(items.things().map(thing), &mut pass);
        self.context.sums(asked, &mut pass)
    }
}
