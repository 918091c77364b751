//! Frames in a text: sayings put together from the phrases found in it.

use super::scan::{Hit, Phrases, Scanner};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::frames::{GAP, ListId, Place};

/// Bits for what can begin at a token: kinds of tokens, and lists of phrases
/// by their numbers, of which several may share a bit. Most frames end at
/// their second place, and a bit that is missing tells it at once.
type Signs = u128;

const NUMBER: Signs = 1;
const WORD: Signs = 1 << 1;
const SIGN: Signs = 1 << 2;
/// Bits that are left for lists.
const LISTS: ListId = 125;

fn bit(list: ListId) -> Signs {
    1 << (list % LISTS + 3)
}

/// All frames, by the lists that they can begin with.
pub(super) struct Frames {
    /// Index of the first frame's phrase.
    first: u32,
    places: Vec<Vec<Place>>,
    /// For each list the frames that can begin with it.
    begins: Vec<Begins>,
    /// For each meaning the lists that hold phrases of it.
    lists: Vec<Signs>,
}

/// The frames that can begin with a list.
#[derive(Debug, Clone, Default)]
struct Begins {
    /// What any of them can go on with; all bits where one may end here.
    any: Signs,
    all: Vec<Begin>,
}

#[derive(Debug, Clone, Copy)]
struct Begin {
    /// What it can go on with; all bits where it may end here.
    next: Signs,
    frame: u32,
    place: u8,
}

/// What these places can begin with; nothing where none of them need be
/// filled.
fn next(places: &[Place]) -> Option<Signs> {
    let (place, rest) = places.split_first()?;
    match *place {
        Place::OneOf(list) => Some(bit(list)),
        Place::Number => Some(NUMBER),
        Place::Word => Some(WORD),
        Place::Maybe(list) => next(rest).map(|signs| signs | bit(list)),
        Place::Gap => next(rest).map(|signs| signs | WORD | NUMBER),
        Place::Signs => next(rest).map(|signs| signs | SIGN),
    }
}

/// Memory that is reused from text to text.
#[derive(Default)]
pub struct FrameMemory {
    /// For each token, and beyond the last, its first hit.
    starts: Vec<u32>,
    /// For each token, and beyond the last, what can begin there.
    signs: Vec<Signs>,
}

impl FrameMemory {
    fn fill(&mut self, tokens: &Tokens, hits: &[Hit], frames: &Frames) {
        let count = tokens.list.len();
        self.signs.clear();
        self.signs.extend(tokens.list.iter().map(|t| match t.kind {
            TokenKind::Number => NUMBER,
            TokenKind::Word => WORD,
            TokenKind::Sign(_) => SIGN,
            TokenKind::Line | TokenKind::Blank => 0,
        }));
        self.signs.push(0);
        self.starts.clear();
        for (index, hit) in (0..).zip(hits) {
            let first = hit.first as usize;
            while self.starts.len() <= first {
                self.starts.push(index);
            }
            self.signs[first] |= frames.lists[hit.meaning as usize];
        }
        self.starts.resize(count + 1, hits.len() as u32);
    }
}

impl Frames {
    /// The frames among these phrases.
    pub(super) fn new(phrases: &Phrases) -> Self {
        let (frames, first) = phrases.frames();
        let mut out = Frames {
            first,
            places: Vec::with_capacity(frames.len()),
            begins: Vec::new(),
            lists: Vec::with_capacity(phrases.meanings().len()),
        };
        for (index, frame) in (0..).zip(frames) {
            for (at, place) in (0..).zip(&frame.frame.places) {
                let (Place::OneOf(list) | Place::Maybe(list)) = *place else {
                    break;
                };
                let rest = &frame.frame.places[usize::from(at) + 1..];
                out.begin(
                    list,
                    Begin {
                        next: next(rest).unwrap_or(Signs::MAX),
                        frame: index,
                        place: at,
                    },
                );
                if matches!(place, Place::OneOf(_)) {
                    break;
                }
            }
            out.places.push(frame.frame.places.clone());
        }
        for meaning in phrases.meanings() {
            let lists = meaning.lists.iter().map(|list| bit(*list));
            out.lists.push(lists.fold(0, |all, bit| all | bit));
        }
        out
    }

    fn begin(&mut self, list: ListId, begin: Begin) {
        let list = usize::from(list);
        if self.begins.len() <= list {
            self.begins.resize(list + 1, Begins::default());
        }
        self.begins[list].any |= begin.next;
        self.begins[list].all.push(begin);
    }

    /// Adds the frames in a text to its hits, each at its longest from each
    /// place; gives back whether there are any.
    pub(super) fn find(
        &self,
        tokens: &Tokens,
        hits: &mut Vec<Hit>,
        scanner: &Scanner,
        memory: &mut FrameMemory,
    ) -> bool {
        memory.fill(tokens, hits, self);
        let plain = hits.len();
        for at in 0..plain {
            let hit = hits[at];
            if !hit.marks.in_frames() {
                continue;
            }
            let behind = hit.last as usize + 1;
            // Beyond the last token nothing begins, but a frame may have ended.
            let ahead = memory.signs[behind];
            for list in &scanner.meaning(&hit).lists {
                let Some(begins) = self.begins.get(usize::from(*list)) else {
                    continue;
                };
                if begins.any & ahead == 0 && begins.any != Signs::MAX {
                    continue;
                }
                for begin in &begins.all {
                    if begin.next & ahead == 0 && begin.next != Signs::MAX {
                        continue;
                    }
                    let text = Text {
                        tokens,
                        hits: &hits[..plain],
                        scanner,
                        memory,
                    };
                    let rest = &self.places[begin.frame as usize][usize::from(begin.place) + 1..];
                    if let Some(end) = text.reach(rest, behind) {
                        hits.push(scanner.hit(self.first + begin.frame, hit.first, end as u32 - 1));
                    }
                }
            }
        }
        hits.len() > plain
    }
}

/// A text with the phrases found in it.
struct Text<'a> {
    tokens: &'a Tokens,
    hits: &'a [Hit],
    scanner: &'a Scanner<'a>,
    memory: &'a FrameMemory,
}

impl Text<'_> {
    /// Where these places end at the latest if the first begins at this token.
    fn reach(&self, places: &[Place], at: usize) -> Option<usize> {
        let Some((place, rest)) = places.split_first() else {
            return Some(at);
        };
        match *place {
            Place::OneOf(list) => self.reach_list(list, rest, at),
            Place::Maybe(list) => self.reach_list(list, rest, at).max(self.reach(rest, at)),
            Place::Number => {
                if self.tokens.kind(at) != TokenKind::Number {
                    return None;
                }
                // `100%` is one figure.
                let share = self.tokens.kind(at + 1) == TokenKind::Sign(b'%');
                self.reach(rest, at + 1 + usize::from(share))
            }
            Place::Word => match self.tokens.kind(at) {
                TokenKind::Word => self.reach(rest, at + 1),
                _ => None,
            },
            Place::Signs => {
                let mut end = at;
                while matches!(
                    self.tokens.kind(end),
                    TokenKind::Sign(b':' | b'-' | b'^' | b'*' | b',' | b'(' | b'"' | b'$')
                ) {
                    end += 1;
                }
                self.reach(rest, end)
            }
            Place::Gap => {
                let mut from = at;
                loop {
                    if let Some(end) = self.reach(rest, from) {
                        return Some(end);
                    }
                    let word =
                        matches!(self.tokens.kind(from), TokenKind::Word | TokenKind::Number);
                    if !word || from == at + GAP {
                        return None;
                    }
                    from += 1;
                }
            }
        }
    }

    fn reach_list(&self, list: ListId, rest: &[Place], at: usize) -> Option<usize> {
        if self.memory.signs.get(at)? & bit(list) == 0 {
            return None;
        }
        let starts = &self.memory.starts;
        let hits = starts[at] as usize..starts[at + 1] as usize;
        self.hits[hits]
            .iter()
            .filter(|h| h.marks.in_frames())
            .filter(|h| {
                let lists = &self.scanner.meaning(h).lists;
                lists.binary_search(&list).is_ok()
            })
            .filter_map(|h| self.reach(rest, h.last as usize + 1))
            .max()
    }
}
