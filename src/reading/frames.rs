//! Frames in a text: sayings put together from the phrases found in it.

use super::pairs::Pairs;
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

/// All frames, by the meanings of the phrases that they can begin with.
pub(super) struct Frames {
    /// Index of the first frame's phrase.
    first: u32,
    places: Vec<Vec<Place>>,
    /// For each meaning its lists and the frames that can begin with it.
    of: Vec<OfMeaning>,
    /// For each meaning in turn, its frames by what they can go on with.
    groups: Vec<Group>,
    /// The lists of each meaning, nearly: most are not looked for in vain.
    lists: Pairs,
    /// For each group in turn, its frames and the place that they begin at.
    begins: Vec<(u32, u8)>,
}

/// What frames know of a meaning.
#[derive(Debug, Clone, Copy, Default)]
struct OfMeaning {
    /// The lists that hold phrases of it.
    lists: Signs,
    /// What any of its frames can go on with.
    any: Signs,
    /// Its groups.
    groups: (u32, u32),
}

/// Frames that go on alike.
#[derive(Debug, Clone, Copy)]
struct Group {
    /// What they can go on with; all bits where they may end.
    next: Signs,
    /// What must begin within the gap that they go on with; all bits where
    /// there is none, or nothing must.
    within: Signs,
    /// Where they stand among all.
    begins: (u32, u32),
}

/// A frame that can begin with a list, in the order in which they are grouped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Begin {
    next: Signs,
    within: Signs,
    frame: u32,
    /// The place of the list in it.
    at: u8,
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

/// What must begin within the gap that these places begin with.
fn within(places: &[Place]) -> Signs {
    match places.split_first() {
        Some((Place::Gap, rest)) => next(rest).unwrap_or(Signs::MAX),
        _ => Signs::MAX,
    }
}

/// Memory that is reused from text to text.
#[derive(Default)]
pub struct FrameMemory {
    /// For each token, and beyond the last, its first hit.
    starts: Vec<u32>,
    /// For each token, and beyond the last, what can begin there.
    signs: Vec<Signs>,
    /// The same of it and of what a gap from there leads to.
    within: Vec<Signs>,
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
            self.signs[first] |= frames.of[hit.meaning as usize].lists;
        }
        self.starts.resize(count + 1, hits.len() as u32);
        self.within.clear();
        self.within.extend((0..=count).map(|at| {
            let words = (at..at + GAP).take_while(|at| is_word(tokens.kind(*at)));
            let ends = words.map(|at| at + 1);
            let signs = ends.filter_map(|end| self.signs.get(end));
            signs.fold(self.signs[at], |all, signs| all | signs)
        }));
    }
}

impl Frames {
    /// The frames among these phrases.
    pub(super) fn new(phrases: &Phrases) -> Self {
        let (frames, first) = phrases.frames();
        let mut out = Frames {
            first,
            places: frames.iter().map(|f| f.frame.places.clone()).collect(),
            of: Vec::with_capacity(phrases.meanings().len()),
            groups: Vec::new(),
            lists: Pairs::room_for(phrases.meanings().iter().map(|m| m.lists.len()).sum()),
            begins: Vec::new(),
        };
        for (meaning, lists) in (0..).zip(phrases.meanings().iter().map(|m| &m.lists)) {
            for list in lists {
                out.lists.set(meaning, u32::from(*list));
            }
        }
        // For each list what frames can go on with, which, and from where.
        let mut by_list: Vec<Vec<Begin>> = Vec::new();
        for (index, places) in (0..).zip(&out.places) {
            for (at, place) in (0..).zip(places) {
                let (Place::OneOf(list) | Place::Maybe(list)) = *place else {
                    break;
                };
                let list = usize::from(list);
                if by_list.len() <= list {
                    by_list.resize(list + 1, Vec::new());
                }
                let rest = &places[usize::from(at) + 1..];
                by_list[list].push(Begin {
                    next: next(rest).unwrap_or(Signs::MAX),
                    within: within(rest),
                    frame: index,
                    at,
                });
                if matches!(place, Place::OneOf(_)) {
                    break;
                }
            }
        }
        for meaning in phrases.meanings() {
            let of = meaning.lists.iter();
            let of = of.filter_map(|list| by_list.get(usize::from(*list)));
            let mut begins: Vec<_> = of.flatten().copied().collect();
            begins.sort_unstable();
            begins.dedup();
            let lists = meaning.lists.iter().map(|list| bit(*list));
            let from = out.groups.len() as u32;
            for alike in begins.chunk_by(|a, b| (a.next, a.within) == (b.next, b.within)) {
                let from = out.begins.len() as u32;
                out.begins.extend(alike.iter().map(|b| (b.frame, b.at)));
                out.groups.push(Group {
                    next: alike[0].next,
                    within: alike[0].within,
                    begins: (from, out.begins.len() as u32),
                });
            }
            out.of.push(OfMeaning {
                lists: lists.fold(0, |all, bit| all | bit),
                any: begins.iter().fold(0, |all, begin| all | begin.next),
                groups: (from, out.groups.len() as u32),
            });
        }
        out
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
            let of = &self.of[hit.meaning as usize];
            let behind = hit.last as usize + 1;
            let ahead = memory.signs[behind];
            if !goes_on(of.any, ahead) {
                continue;
            }
            for group in &self.groups[of.groups.0 as usize..of.groups.1 as usize] {
                if !goes_on(group.next, ahead) || !goes_on(group.within, memory.within[behind]) {
                    continue;
                }
                for &(frame, place) in
                    &self.begins[group.begins.0 as usize..group.begins.1 as usize]
                {
                    let text = Text {
                        lists: &self.lists,
                        tokens,
                        hits: &hits[..plain],
                        scanner,
                        memory,
                    };
                    let rest = &self.places[frame as usize][usize::from(place) + 1..];
                    if let Some(end) = text.reach(rest, behind) {
                        hits.push(scanner.hit(self.first + frame, hit.first, end as u32 - 1));
                    }
                }
            }
        }
        hits.len() > plain
    }
}

/// Whether what is wanted next can begin with what is there; beyond the last
/// token nothing begins, but a frame may have ended.
fn goes_on(next: Signs, ahead: Signs) -> bool {
    next & ahead != 0 || next == Signs::MAX
}

/// What a gap leads over.
fn is_word(kind: TokenKind) -> bool {
    matches!(kind, TokenKind::Word | TokenKind::Number)
}

/// A text with the phrases found in it.
struct Text<'a> {
    lists: &'a Pairs,
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
                let there = self.memory.within.get(at)?;
                if !goes_on(next(rest).unwrap_or(Signs::MAX), *there) {
                    return None;
                }
                let mut from = at;
                loop {
                    if let Some(end) = self.reach(rest, from) {
                        return Some(end);
                    }
                    if !is_word(self.tokens.kind(from)) || from == at + GAP {
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
            // Bits first: meanings are many and far from each other.
            .filter(|h| self.lists.may(h.meaning, u32::from(list)))
            .filter(|h| {
                let lists = &self.scanner.meaning(h).lists;
                lists.binary_search(&list).is_ok()
            })
            .filter_map(|h| self.reach(rest, h.last as usize + 1))
            .max()
    }
}
