//! Frames in a text: sayings put together from the phrases found in it.

use super::pairs::Pairs;
use super::scan::{Hit, Phrases, Scanner};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::frames::{GAP, ListId, Place};

/// Bits for what can begin at a token: kinds of tokens, and lists of phrases,
/// of which several share a bit. Most frames end at their second place, and a
/// bit that is missing tells it at once.
type Signs = u128;

/// Begins everywhere, even beyond the last token: what a frame goes on with
/// that may end.
const ANYTHING: Signs = 1;
const NUMBER: Signs = 1 << 1;
const WORD: Signs = 1 << 2;
const SIGN: Signs = 1 << 3;
/// No word: a sign, the end of a line or of the text.
const END: Signs = 1 << 4;
/// The first bit of those that are left for lists, and how many there are.
const LISTS: (usize, usize) = (5, 123);

/// The bits of lists: of those that frames go on with, by their numbers.
struct Bits(Vec<Signs>);

impl Bits {
    /// Lists share a bit that share their commonest phrase, or one about as
    /// common: what is in most lists stands in most texts, and begins them all
    /// at once or none.
    fn of(phrases: &Phrases) -> Self {
        // For each list the meaning in it that is in the most lists.
        let mut commonest: Vec<(usize, u32)> = Vec::new();
        for (number, meaning) in (0..).zip(phrases.meanings()) {
            for list in &meaning.lists {
                let list = usize::from(*list);
                if commonest.len() <= list {
                    commonest.resize(list + 1, (0, 0));
                }
                commonest[list] = commonest[list].max((meaning.lists.len(), number));
            }
        }
        let mut bits = vec![0; commonest.len()];
        let mut inner: Vec<ListId> = Vec::new();
        for frame in phrases.frames().0 {
            let places = frame.frame.places.iter().skip(1);
            inner.extend(places.filter_map(|place| place.list()));
        }
        inner.sort_unstable_by_key(|list| (commonest.get(usize::from(*list)), *list));
        inner.dedup();
        let (first, count) = LISTS;
        for (rank, list) in inner.iter().enumerate() {
            if let Some(bit) = bits.get_mut(usize::from(*list)) {
                *bit = 1 << (first + rank * count / inner.len());
            }
        }
        Bits(bits)
    }

    /// The bit of a list; none where no frame goes on with it.
    fn of_list(&self, list: ListId) -> Signs {
        self.0.get(usize::from(list)).copied().unwrap_or(0)
    }

    /// What these places can begin with; nothing where none of them need be
    /// filled.
    fn next(&self, places: &[Place]) -> Option<Signs> {
        let (place, rest) = places.split_first()?;
        match *place {
            Place::OneOf(list) => Some(self.of_list(list)),
            Place::Number => Some(NUMBER),
            Place::Word => Some(WORD),
            Place::End => Some(END),
            Place::Maybe(list) => self.next(rest).map(|signs| signs | self.of_list(list)),
            Place::Gap => self.next(rest).map(|signs| signs | WORD | NUMBER),
            Place::Signs => self.next(rest).map(|signs| signs | SIGN),
        }
    }

    /// What must begin within the gap that these places begin with.
    fn within(&self, places: &[Place]) -> Signs {
        match places.split_first() {
            Some((Place::Gap, rest)) => self.next(rest).unwrap_or(ANYTHING),
            _ => ANYTHING,
        }
    }

    /// The places of a frame as they are gone through.
    fn steps(&self, places: &[Place]) -> impl Iterator<Item = Step> {
        (0..places.len()).map(|at| Step {
            place: places[at],
            bit: places[at].list().map_or(0, |list| self.of_list(list)),
            next: self.next(&places[at..]).unwrap_or(ANYTHING),
        })
    }
}

/// A place of a frame, with what is asked of it in every text.
#[derive(Debug, Clone, Copy)]
struct Step {
    place: Place,
    /// The bit of its list.
    bit: Signs,
    /// What it and the places behind it can begin with; [`ANYTHING`] where none of
    /// them need be filled.
    next: Signs,
}

/// All frames, by the meanings of the phrases that they can begin with.
pub(super) struct Frames {
    /// Index of the first frame's phrase.
    first: u32,
    /// The places of all frames, end to end.
    steps: Vec<Step>,
    /// For each meaning the lists that hold phrases of it.
    in_lists: Vec<Signs>,
    /// For each meaning the frames that can begin with it.
    of: Vec<OfMeaning>,
    /// For each meaning in turn, its frames by what they can go on with.
    groups: Vec<Group>,
    /// For each group what its frames can go on with; [`ANYTHING`] where they
    /// may end. Looked through far more often than what else groups hold.
    nexts: Vec<Signs>,
    /// The lists of each meaning, nearly: most are not looked for in vain.
    lists: Pairs,
    /// For each group in turn, its frames and how they go on.
    begins: Vec<GoesOn>,
}

/// A frame, and those of its places that stand behind the list it began with.
#[derive(Debug, Clone, Copy)]
struct GoesOn {
    frame: u32,
    steps: (u32, u32),
    /// The list that it goes on with, where the next place must be one of it.
    list: Option<ListId>,
}

/// What frames know of a meaning.
#[derive(Debug, Clone, Copy, Default)]
struct OfMeaning {
    /// What any of its frames can go on with.
    any: Signs,
    /// Its groups.
    groups: (u32, u32),
}

/// Frames that go on alike.
#[derive(Debug, Clone, Copy)]
struct Group {
    /// What must begin within the gap that they go on with; [`ANYTHING`] where
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

/// Memory that is reused from text to text.
#[derive(Default)]
pub struct FrameMemory {
    /// For each token, and beyond the last, its first hit.
    starts: Vec<u32>,
    /// For each token, and beyond the last, what can begin there.
    signs: Vec<Signs>,
    /// The same of the token and those that a gap from there leads to.
    within: Vec<Signs>,
    /// The frames found.
    found: Vec<Hit>,
}

impl FrameMemory {
    fn fill(&mut self, tokens: &Tokens, hits: &[Hit], frames: &Frames) {
        let count = tokens.list.len();
        self.signs.clear();
        self.signs.extend(tokens.list.iter().map(|t| match t.kind {
            TokenKind::Number => ANYTHING | NUMBER,
            TokenKind::Word => ANYTHING | WORD,
            TokenKind::Sign(_) => ANYTHING | SIGN | END,
            TokenKind::Line | TokenKind::Blank => ANYTHING | END,
        }));
        self.signs.push(ANYTHING | END);
        self.starts.clear();
        for (index, hit) in (0..).zip(hits) {
            let first = hit.first as usize;
            while self.starts.len() <= first {
                self.starts.push(index);
            }
            self.signs[first] |= frames.in_lists[hit.meaning as usize];
        }
        self.starts.resize(count + 1, hits.len() as u32);
        self.within.clear();
        self.within.extend((0..=count).map(|at| {
            let gap = (at..at + GAP).take_while(|at| is_word(tokens.kind(*at)));
            gap.fold(self.signs[at], |all, at| all | self.signs[at + 1])
        }));
    }
}

impl Frames {
    /// The frames among these phrases.
    pub(super) fn new(phrases: &Phrases) -> Self {
        let (frames, first) = phrases.frames();
        let bits = Bits::of(phrases);
        let mut out = Frames {
            first,
            steps: Vec::new(),
            in_lists: Vec::with_capacity(phrases.meanings().len()),
            of: Vec::with_capacity(phrases.meanings().len()),
            groups: Vec::new(),
            nexts: Vec::new(),
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
        // For each frame where its places begin.
        let mut starts = Vec::with_capacity(frames.len() + 1);
        for (index, frame) in (0..).zip(frames) {
            let places = &frame.frame.places;
            starts.push(out.steps.len() as u32);
            out.steps.extend(bits.steps(places));
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
                    next: bits.next(rest).unwrap_or(ANYTHING),
                    within: bits.within(rest),
                    frame: index,
                    at,
                });
                if matches!(place, Place::OneOf(_)) {
                    break;
                }
            }
        }
        starts.push(out.steps.len() as u32);
        for meaning in phrases.meanings() {
            let of = meaning.lists.iter();
            let of = of.filter_map(|list| by_list.get(usize::from(*list)));
            let mut begins: Vec<_> = of.flatten().copied().collect();
            begins.sort_unstable();
            begins.dedup();
            let lists = meaning.lists.iter().map(|list| bits.of_list(*list));
            let from = out.groups.len() as u32;
            for alike in begins.chunk_by(|a, b| (a.next, a.within) == (b.next, b.within)) {
                let from = out.begins.len() as u32;
                let goes_on = alike.iter().map(|b| {
                    let steps = (
                        starts[b.frame as usize] + u32::from(b.at) + 1,
                        starts[b.frame as usize + 1],
                    );
                    let next = out.steps[steps.0 as usize..steps.1 as usize].first();
                    GoesOn {
                        frame: b.frame,
                        steps,
                        list: next.and_then(|step| match step.place {
                            Place::OneOf(list) => Some(list),
                            _ => None,
                        }),
                    }
                });
                out.begins.extend(goes_on);
                out.nexts.push(alike[0].next);
                out.groups.push(Group {
                    within: alike[0].within,
                    begins: (from, out.begins.len() as u32),
                });
            }
            out.in_lists.push(lists.fold(0, |all, bit| all | bit));
            out.of.push(OfMeaning {
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
        memory.found.clear();
        let text = Text {
            lists: &self.lists,
            tokens,
            hits: &hits[..],
            scanner,
            starts: &memory.starts,
            signs: &memory.signs,
            within: &memory.within,
        };
        for hit in hits.iter().filter(|h| h.marks.in_frames()) {
            let of = &self.of[hit.meaning as usize];
            let behind = hit.last as usize + 1;
            let ahead = text.signs[behind];
            if !goes_on(of.any, ahead) {
                continue;
            }
            let groups = of.groups.0 as usize..of.groups.1 as usize;
            let nexts = self.nexts[groups.clone()].iter().zip(&self.groups[groups]);
            for (_, group) in nexts.filter(|(next, _)| goes_on(**next, ahead)) {
                if !text.goes_on_within(group.within, behind) {
                    continue;
                }
                let begins = group.begins.0 as usize..group.begins.1 as usize;
                for GoesOn { frame, steps, list } in &self.begins[begins] {
                    if list.is_some_and(|list| !text.may_begin(list, behind)) {
                        continue;
                    }
                    let rest = &self.steps[steps.0 as usize..steps.1 as usize];
                    if let Some(end) = text.reach(rest, behind) {
                        let frame = self.first + frame;
                        memory
                            .found
                            .push(scanner.hit(frame, hit.first, end as u32 - 1));
                    }
                }
            }
        }
        hits.append(&mut memory.found);
        hits.len() > plain
    }
}

/// What these steps can begin with.
fn next(steps: &[Step]) -> Signs {
    steps.first().map_or(ANYTHING, |step| step.next)
}

/// Whether what is wanted next can begin with what is there.
fn goes_on(next: Signs, ahead: Signs) -> bool {
    next & ahead != 0
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
    starts: &'a [u32],
    signs: &'a [Signs],
    within: &'a [Signs],
}

impl Text<'_> {
    /// Where these places end at the latest if the first begins at this token.
    fn reach(&self, steps: &[Step], at: usize) -> Option<usize> {
        let Some((step, rest)) = steps.split_first() else {
            return Some(at);
        };
        if !goes_on(step.next, *self.signs.get(at)?) {
            return None;
        }
        match step.place {
            Place::OneOf(list) => self.reach_list(list, rest, at),
            Place::Maybe(list) => {
                let filled = match self.signs[at] & step.bit {
                    0 => None,
                    _ => self.reach_list(list, rest, at),
                };
                filled.max(self.reach(rest, at))
            }
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
            // What it can begin with was asked for above.
            Place::End => self.reach(rest, at),
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
                if !self.goes_on_within(next(rest), at) {
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

    /// Whether what is wanted can begin at a token, or behind a gap from there.
    fn goes_on_within(&self, wanted: Signs, at: usize) -> bool {
        let there = self.within.get(at);
        there.is_some_and(|there| goes_on(wanted, *there))
    }

    /// The phrases that begin at a token.
    fn beginning(&self, at: usize) -> &[Hit] {
        &self.hits[self.starts[at] as usize..self.starts[at + 1] as usize]
    }

    /// Whether a phrase of this list may begin at a token, nearly.
    fn may_begin(&self, list: ListId, at: usize) -> bool {
        let mut hits = self.beginning(at).iter();
        hits.any(|h| self.lists.may(h.meaning, u32::from(list)))
    }

    /// The same with a phrase of this list at the token.
    fn reach_list(&self, list: ListId, rest: &[Step], at: usize) -> Option<usize> {
        let wanted = next(rest);
        self.beginning(at)
            .iter()
            .filter(|h| h.marks.in_frames())
            .filter(|h| goes_on(wanted, self.signs[h.last as usize + 1]))
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
