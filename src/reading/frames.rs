//! Frames in a text: sayings put together from the phrases found in it.

use super::scan::{Hit, Phrase};
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::frames::{GAP, ListId, Place};
use crate::lexicon::phrases::{Meaning, Sign};
use crate::lexicon::signs::SignFrame;

/// All frames, by the lists that they can begin with.
pub(super) struct Frames {
    /// Index of the first frame's phrase.
    first: usize,
    places: Vec<Vec<Place>>,
    /// For each list the frames that can begin with it, and the place there.
    begins: Vec<Vec<(u32, u8)>>,
}

impl Frames {
    /// Makes each frame a phrase behind the plain ones; of two that reach
    /// equally far, the one that hides a sign comes first.
    pub(super) fn new(frames: &[SignFrame], phrases: &mut Vec<Phrase>) -> Self {
        let mut sorted: Vec<&SignFrame> = frames.iter().collect();
        sorted.sort_by_key(|f| (f.frame.is_open(), f.value.is_some()));
        let mut out = Frames {
            first: phrases.len(),
            places: Vec::with_capacity(frames.len()),
            begins: Vec::new(),
        };
        for (index, frame) in (0..).zip(sorted) {
            let mut meaning = Meaning {
                open: frame.frame.is_open(),
                ..Meaning::default()
            };
            match &frame.value {
                Some(value) => meaning.signs.push(Sign {
                    field: frame.field,
                    value: value.clone(),
                }),
                None => meaning.hides = Some(frame.field),
            }
            phrases.push(Phrase {
                words: frame.frame.written.clone(),
                meaning,
                vehicles: Vec::new(),
            });
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
            out.places.push(frame.frame.places.clone());
        }
        out
    }

    /// Index of the first frame among the phrases.
    pub(super) fn first(&self) -> usize {
        self.first
    }

    /// The frames in a text, each at its longest from each place.
    pub(super) fn find(&self, tokens: &Tokens, hits: &[Hit], phrases: &[Phrase]) -> Vec<Hit> {
        let text = Text {
            tokens,
            hits,
            phrases,
        };
        let mut found: Vec<Hit> = Vec::new();
        for hit in hits {
            for list in &text.phrases[hit.phrase as usize].meaning.lists {
                let begins = self.begins.get(usize::from(*list));
                for &(frame, place) in begins.into_iter().flatten() {
                    let rest = &self.places[frame as usize][usize::from(place) + 1..];
                    if let Some(end) = text.reach(rest, hit.last as usize + 1) {
                        found.push(Hit {
                            phrase: self.first as u32 + frame,
                            first: hit.first,
                            last: end as u32 - 1,
                        });
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
    phrases: &'a [Phrase],
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
                if self.tokens.kind(at) == TokenKind::Number {
                    self.reach(rest, at + 1)
                } else {
                    None
                }
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
        let from = self.hits.partition_point(|h| (h.first as usize) < at);
        self.hits[from..]
            .iter()
            .take_while(|h| h.first as usize == at)
            .filter(|h| {
                let lists = &self.phrases[h.phrase as usize].meaning.lists;
                lists.binary_search(&list).is_ok()
            })
            .filter_map(|h| self.reach(rest, h.last as usize + 1))
            .max()
    }
}
