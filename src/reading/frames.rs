//! Frames in a text: sayings put together from the phrases found in it.

use super::scan::{Hit, Phrases, Scanner};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::frames::{GAP, ListId, Place};

/// All frames, by the lists that they can begin with.
pub(super) struct Frames {
    /// Index of the first frame's phrase.
    first: u32,
    places: Vec<Vec<Place>>,
    /// For each list the frames that can begin with it, and the place there.
    begins: Vec<Vec<(u32, u8)>>,
    /// How many lists there are that a place can name.
    lists: usize,
}

impl Frames {
    /// The frames among these phrases.
    pub(super) fn new(phrases: &Phrases) -> Self {
        let (frames, first) = phrases.frames();
        let mut out = Frames {
            first,
            places: Vec::with_capacity(frames.len()),
            begins: Vec::new(),
            lists: 0,
        };
        for (index, frame) in (0..).zip(frames) {
            for (at, place) in (0..).zip(&frame.frame.places) {
                let (Place::OneOf(list) | Place::Maybe(list)) = *place else {
                    break;
                };
                let list = usize::from(list);
                if out.begins.len() <= list {
                    out.begins.resize(list + 1, Vec::new());
                }
                out.begins[list].push((index, at));
                if matches!(place, Place::OneOf(_)) {
                    break;
                }
            }
            for place in &frame.frame.places {
                if let Place::OneOf(list) | Place::Maybe(list) = place {
                    out.lists = out.lists.max(usize::from(*list) + 1);
                }
            }
            out.places.push(frame.frame.places.clone());
        }
        out
    }

    /// The frames in a text, each at its longest from each place.
    pub(super) fn find(&self, tokens: &Tokens, hits: &[Hit], scanner: &Scanner) -> Vec<Hit> {
        let text = Text::new(tokens, hits, scanner, self.lists);
        let mut found: Vec<Hit> = Vec::new();
        for hit in hits.iter().filter(|h| h.marks.in_frames()) {
            for list in &scanner.phrase(hit.phrase).meaning.lists {
                let begins = self.begins.get(usize::from(*list));
                for &(frame, place) in begins.into_iter().flatten() {
                    let rest = &self.places[frame as usize][usize::from(place) + 1..];
                    if let Some(end) = text.reach(rest, hit.last as usize + 1) {
                        found.push(scanner.hit(self.first + frame, hit.first, end as u32 - 1));
                    }
                }
            }
        }
        found
    }
}

/// A text with the phrases found in it.
struct Text<'a> {
    tokens: &'a Tokens,
    hits: &'a [Hit],
    scanner: &'a Scanner<'a>,
    /// For each token, and beyond the last, its first hit.
    starts: Vec<u32>,
    /// For each token a bit for every list of which a phrase begins there:
    /// most frames end at their second place, and this tells it at once.
    lists: Vec<u64>,
    /// How many numbers of `lists` a token has.
    width: usize,
}

impl<'a> Text<'a> {
    fn new(tokens: &'a Tokens, hits: &'a [Hit], scanner: &'a Scanner<'a>, lists: usize) -> Self {
        let count = tokens.list.len();
        let width = lists.div_ceil(64);
        let mut text = Text {
            tokens,
            hits,
            scanner,
            starts: Vec::with_capacity(count + 1),
            lists: vec![0; count * width],
            width,
        };
        for (index, hit) in (0..).zip(hits) {
            text.starts
                .resize(text.starts.len().max(hit.first as usize + 1), index);
            if hit.marks.in_frames() {
                let of_phrase = &scanner.phrase(hit.phrase).meaning.lists;
                for list in of_phrase.iter().filter(|l| usize::from(**l) < lists) {
                    let (word, bit) = text.bit(hit.first as usize, *list);
                    text.lists[word] |= bit;
                }
            }
        }
        text.starts.resize(count + 1, hits.len() as u32);
        text
    }

    /// Where the bit of a list stands for a token.
    fn bit(&self, token: usize, list: ListId) -> (usize, u64) {
        let list = usize::from(list);
        (token * self.width + list / 64, 1 << (list % 64))
    }

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
        let (word, bit) = self.bit(at, list);
        if self.lists.get(word).is_none_or(|word| word & bit == 0) {
            return None;
        }
        let hits = self.starts[at] as usize..self.starts[at + 1] as usize;
        self.hits[hits]
            .iter()
            .filter(|h| h.marks.in_frames())
            .filter(|h| {
                let lists = &self.scanner.phrase(h.phrase).meaning.lists;
                lists.binary_search(&list).is_ok()
            })
            .filter_map(|h| self.reach(rest, h.last as usize + 1))
            .max()
    }
}
