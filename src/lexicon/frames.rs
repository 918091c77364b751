//! Frames: sayings put together from lists of words, so that a table holds
//! each verb and each place once and not every pair of them.
//!
//! A frame is a row of `signs.csv` with two brackets or more, a list's name, a
//! number or a gap: `(took|drove) (it|her) to [place]`. A bracket stands for
//! one of its phrases, or for nothing where one of them is empty; `[place]`
//! for a phrase of the list of that name (`[place?]`: or for nothing), `#` for
//! a number, `_` for one word, `..` for at most [`GAP`] words of any kind, `~`
//! for a dash, a colon and the like, or for nothing, `|` for the end of a
//! clause: a sign, a line or the text ends there, and is no part of the saying.

use hashbrown::HashMap;
use serde::{Deserialize, Serialize};

use super::phrasing::{self, Pattern};
use super::table::{LexiconError, Row};

/// At most this many words stand in a gap.
pub const GAP: usize = 3;

/// A list of phrases by its number.
pub type ListId = u16;

/// One place of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Place {
    /// A phrase of this list.
    OneOf(ListId),
    /// A phrase of this list, or nothing.
    Maybe(ListId),
    /// A number.
    Number,
    /// Any one word.
    Word,
    /// Up to [`GAP`] words.
    Gap,
    /// Signs that part a name from what is said of it, or none.
    Signs,
    /// A sign follows, or nothing.
    End,
}

impl Place {
    /// The list that fills it.
    pub fn list(self) -> Option<ListId> {
        match self {
            Place::OneOf(list) | Place::Maybe(list) => Some(list),
            _ => None,
        }
    }
}

/// One frame.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Frame {
    /// As it is written.
    pub written: String,
    /// Its places in order; the first that must be filled is a list's.
    pub places: Vec<Place>,
}

impl Frame {
    /// Whether it says nothing of some of the words that it spans.
    pub fn is_open(&self) -> bool {
        self.places
            .iter()
            .any(|p| matches!(p, Place::Gap | Place::Word))
    }
}

/// The lists of the frames read so far.
#[derive(Debug, Default)]
pub struct Lists {
    /// Each list's phrases, sorted.
    phrases: Vec<Vec<String>>,
    named: HashMap<String, ListId>,
    same: HashMap<Vec<String>, ListId>,
    /// Brackets met before: most are written the same way again.
    brackets: HashMap<String, Place>,
}

/// Whether a phrase is written as a frame.
pub fn is_frame(written: &str) -> bool {
    written.matches('(').count() > 1 || written.contains('[') || written.split(' ').any(is_place)
}

/// Whether a word of a frame stands for something else.
fn is_place(word: &str) -> bool {
    matches!(word, "#" | "_" | ".." | "~" | "|")
}

impl Lists {
    /// Every list with its phrases, by rising number.
    pub fn all(&self) -> impl Iterator<Item = (ListId, &[String])> {
        (0..).zip(self.phrases.iter().map(Vec::as_slice))
    }

    /// Adds phrases to the list of this name.
    ///
    /// # Errors
    /// Too many lists, or phrases that can never match.
    pub fn name(&mut self, row: &Row<'_>, name: &str, written: &str) -> Result<(), LexiconError> {
        let more = phrasing::forms(row, "phrase", written)?;
        let id = match self.named.get(name) {
            Some(id) => *id,
            None => {
                let id = self.open(row)?;
                self.named.insert(name.to_owned(), id);
                id
            }
        };
        let all = &mut self.phrases[usize::from(id)];
        all.extend(more);
        all.sort_unstable();
        all.dedup();
        Ok(())
    }

    fn open(&mut self, row: &Row<'_>) -> Result<ListId, LexiconError> {
        let id = ListId::try_from(self.phrases.len())
            .map_err(|_| row.error("phrase", "is one list of words too many"))?;
        self.phrases.push(Vec::new());
        Ok(id)
    }

    /// The list of a bracket or of plain words; equal ones share one.
    fn of(&mut self, row: &Row<'_>, mut phrases: Vec<String>) -> Result<ListId, LexiconError> {
        phrases.sort_unstable();
        phrases.dedup();
        if let Some(id) = self.same.get(&phrases) {
            return Ok(*id);
        }
        let id = self.open(row)?;
        self.phrases[usize::from(id)].clone_from(&phrases);
        self.same.insert(phrases, id);
        Ok(id)
    }

    /// Reads a frame. Lists must have been named before.
    ///
    /// # Errors
    /// A bracket that is not closed, a list that is not there, a frame that
    /// could stand for anything.
    pub fn frame(&mut self, row: &Row<'_>, written: &str) -> Result<Frame, LexiconError> {
        let mut places = Vec::new();
        let mut rest = written.trim();
        while !rest.is_empty() {
            let (piece, closing) = match rest.as_bytes()[0] {
                b'(' => (&rest[1..], ')'),
                b'[' => (&rest[1..], ']'),
                _ => {
                    let end = rest.find(['(', '[']).unwrap_or(rest.len());
                    self.plain(row, &rest[..end], &mut places)?;
                    rest = &rest[end..];
                    continue;
                }
            };
            let end = piece
                .find(closing)
                .ok_or_else(|| row.error("phrase", format!("'{written}' lacks a '{closing}'")))?;
            let inner = &piece[..end];
            places.push(if closing == ']' {
                self.named(row, inner)?
            } else {
                self.bracket(row, inner)?
            });
            rest = piece[end + 1..].trim_start();
        }
        let first = places.iter().find(|p| !matches!(p, Place::Maybe(_)));
        if !matches!(first, Some(Place::OneOf(_)))
            || matches!(places.last(), Some(Place::Gap | Place::Signs))
        {
            return Err(row.error(
                "phrase",
                format!("'{written}' must begin with words and not end in a gap"),
            ));
        }
        Ok(Frame {
            written: written.to_owned(),
            places,
        })
    }

    fn named(&self, row: &Row<'_>, inner: &str) -> Result<Place, LexiconError> {
        let name = inner.trim_end_matches('?');
        let id = *self.named.get(name).ok_or_else(|| {
            row.error(
                "phrase",
                format!("no list is called '{name}'; name it in a row with the field 'list'"),
            )
        })?;
        Ok(if name.len() < inner.len() {
            Place::Maybe(id)
        } else {
            Place::OneOf(id)
        })
    }

    fn bracket(&mut self, row: &Row<'_>, inner: &str) -> Result<Place, LexiconError> {
        if let Some(place) = self.brackets.get(inner) {
            return Ok(*place);
        }
        let written = ["(", inner, ")"].concat();
        let mut phrases = Pattern::parse(row, "phrase", &written)?.forms();
        let maybe = phrases[0].is_empty();
        if maybe {
            phrases.remove(0);
        }
        let id = self.of(row, phrases)?;
        let place = if maybe {
            Place::Maybe(id)
        } else {
            Place::OneOf(id)
        };
        self.brackets.insert(inner.to_owned(), place);
        Ok(place)
    }

    /// Words outside of brackets, numbers and gaps.
    fn plain(
        &mut self,
        row: &Row<'_>,
        words: &str,
        places: &mut Vec<Place>,
    ) -> Result<(), LexiconError> {
        let mut run: Vec<&str> = Vec::new();
        for word in words.split_whitespace().chain([".."]) {
            if !is_place(word) {
                run.push(word);
                continue;
            }
            if !run.is_empty() {
                let phrases = phrasing::forms(row, "phrase", &run.join(" "))?;
                places.push(Place::OneOf(self.of(row, phrases)?));
                run.clear();
            }
            places.push(match word {
                "#" => Place::Number,
                "_" => Place::Word,
                "~" => Place::Signs,
                "|" => Place::End,
                _ => Place::Gap,
            });
        }
        // The gap that closed the last run.
        places.pop();
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::table::Sheet;

    fn frame_of(written: &str) -> Result<Frame, LexiconError> {
        let sheet = Sheet::parse("t.csv", &format!("phrase\n{written}\n")).unwrap();
        let row = sheet.rows().next().unwrap();
        let mut lists = Lists::default();
        lists.name(&row, "place", "(town|work)")?;
        lists.frame(&row, written)
    }

    #[test]
    fn places_are_read_in_order() {
        let frame = frame_of("(took|drove) (it|her|) # miles .. to _ ~ [place?] |").unwrap();
        let kinds: String = frame
            .places
            .iter()
            .map(|p| match p {
                Place::OneOf(_) => 'o',
                Place::Maybe(_) => 'm',
                Place::Number => '#',
                Place::Word => '_',
                Place::Gap => '.',
                Place::Signs => '~',
                Place::End => '|',
            })
            .collect();
        assert_eq!(kinds, "om#o.o_~m|");
        assert!(frame.is_open());
    }

    #[test]
    fn frames_that_cannot_be_are_refused() {
        for bad in [
            "(a|b) (c",
            "drove [nowhere]",
            "(a|) (b|)",
            ".. (a|b) (c|d)",
            "(a|b) ..",
        ] {
            let message = frame_of(bad).unwrap_err().to_string();
            assert!(
                message.starts_with("t.csv, line 2, column 'phrase'"),
                "{message}"
            );
        }
    }
}
