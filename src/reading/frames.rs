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
    /// For each meaning in turn how its frames go on, and what with;
    /// [`ANYTHING`] where they may end. Looked through far more often than what
    /// stands beside it.
    nexts: Vec<Signs>,
    goes_on: Vec<GoesOn>,
    /// The lists of each meaning, nearly: most are not looked for in vain.
    lists: Pairs,
}

/// What frames know of a meaning.
#[derive(Debug, Clone, Copy, Default)]
struct OfMeaning {
    /// What any of its frames can go on with.
    any: Signs,
    /// How they do, among all.
    ways: (u32, u32),
}

/// How a frame goes on behind the list that it began with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct GoesOn {
    /// What must begin within the gap that it goes on with; [`ANYTHING`] where
    /// there is none, or nothing must.
    within: Signs,
    /// The list that it goes on with, where it must be one, and what must begin
    /// behind that.
    list: Option<(ListId, Signs)>,
    frame: u32,
    /// The places behind, among all.
    steps: (u32, u32),
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
            nexts: Vec::new(),
            goes_on: Vec::new(),
            lists: Pairs::room_for(phrases.meanings().iter().map(|m| m.lists.len()).sum()),
        };
        for (meaning, lists) in (0..).zip(phrases.meanings().iter().map(|m| &m.lists)) {
            for list in lists {
                out.lists.set(meaning, u32::from(*list));
            }
        }
        // For each list what frames can go on with, and how.
        let mut by_list: Vec<Vec<(Signs, GoesOn)>> = Vec::new();
        for (index, frame) in (0..).zip(frames) {
            let places = &frame.frame.places;
            let start = out.steps.len();
            out.steps.extend(bits.steps(places));
            for (at, place) in places.iter().enumerate() {
                let (Place::OneOf(list) | Place::Maybe(list)) = *place else {
                    break;
                };
                let list = usize::from(list);
                if by_list.len() <= list {
                    by_list.resize(list + 1, Vec::new());
                }
                let rest = &out.steps[start + at + 1..];
                by_list[list].extend(ways_on(rest, start + at + 1, index));
                if matches!(place, Place::OneOf(_)) {
                    break;
                }
            }
        }
        for meaning in phrases.meanings() {
            let of = meaning.lists.iter();
            let of = of.filter_map(|list| by_list.get(usize::from(*list)));
            let mut ways: Vec<_> = of.flatten().copied().collect();
            ways.sort_unstable();
            ways.dedup();
            let lists = meaning.lists.iter().map(|list| bits.of_list(*list));
            out.in_lists.push(lists.fold(0, |all, bit| all | bit));
            let from = out.goes_on.len() as u32;
            out.of.push(OfMeaning {
                any: ways.iter().fold(0, |all, (next, _)| all | next),
                ways: (from, from + ways.len() as u32),
            });
            out.nexts.extend(ways.iter().map(|(next, _)| *next));
            out.goes_on.extend(ways.iter().map(|(_, way)| *way));
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
            let ways = of.ways.0 as usize..of.ways.1 as usize;
            let ways = self.nexts[ways.clone()].iter().zip(&self.goes_on[ways]);
            let from = memory.found.len();
            for (_, way) in ways.filter(|(next, _)| goes_on(**next, ahead)) {
                if !text.goes_on_within(way.within, behind) {
                    continue;
                }
                let steps = &self.steps[way.steps.0 as usize..way.steps.1 as usize];
                let end = match way.list {
                    Some((list, then)) => text.reach_list(list, then, steps, behind),
                    None => text.reach(steps, behind),
                };
                if let Some(end) = end {
                    let hit = scanner.hit(self.first + way.frame, hit.first, end as u32 - 1);
                    longest(&mut memory.found, from, hit);
                }
            }
        }
        hits.append(&mut memory.found);
        hits.len() > plain
    }
}

/// How a frame goes on by these of its places, the first of which stands at
/// `at` among all: with which list, as many ways as its first ones can be left
/// out, or else as told by the places.
fn ways_on(mut rest: &[Step], mut at: usize, frame: u32) -> Vec<(Signs, GoesOn)> {
    let mut ways = Vec::new();
    let way = |list: Option<(ListId, Signs)>, rest: &[Step], at: usize| GoesOn {
        within: match rest.split_first() {
            Some((step, rest)) if step.place == Place::Gap && list.is_none() => next(rest),
            _ => ANYTHING,
        },
        list,
        frame,
        steps: (at as u32, (at + rest.len()) as u32),
    };
    while let Some((step, behind)) = rest.split_first() {
        let (Place::OneOf(list) | Place::Maybe(list)) = step.place else {
            break;
        };
        at += 1;
        ways.push((step.bit, way(Some((list, next(behind))), behind, at)));
        if matches!(step.place, Place::OneOf(_)) {
            return ways;
        }
        rest = behind;
    }
    ways.push((next(rest), way(None, rest, at)));
    ways
}

/// Adds a hit to those behind `from`, where the same frame stands once, at its
/// longest.
fn longest(found: &mut Vec<Hit>, from: usize, hit: Hit) {
    match found[from..].iter_mut().find(|h| h.phrase == hit.phrase) {
        Some(known) => known.last = known.last.max(hit.last),
        None => found.push(hit),
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

/// Signs that may stand between two words of a frame, as a ruled line does. A text of
/// nothing but signs would else be gone through again from each of them.
const MOST_SIGNS: usize = 40;

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
            Place::OneOf(list) => self.reach_list(list, next(rest), rest, at),
            Place::Maybe(list) => {
                let filled = match self.signs[at] & step.bit {
                    0 => None,
                    _ => self.reach_list(list, next(rest), rest, at),
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
                while end < at + MOST_SIGNS
                    && matches!(
                        self.tokens.kind(end),
                        TokenKind::Sign(b':' | b'-' | b'^' | b'*' | b',' | b'(' | b'"' | b'$')
                    )
                {
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

    /// The same with a phrase of this list at the token, and `then` behind that.
    fn reach_list(&self, list: ListId, then: Signs, rest: &[Step], at: usize) -> Option<usize> {
        self.beginning(at)
            .iter()
            .filter(|h| h.marks.in_frames())
            .filter(|h| goes_on(then, self.signs[h.last as usize + 1]))
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
