//! The text of an ad with what was read in it marked by kind. A mark has a
//! line of its own form under the words, and the kind as a word behind them.

use std::ops::Range;

use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::reading::{Reading, Says};
use crate::report::entries::{Told, entries};
use crate::report::marked::{Contacts, Piece, pieces};
use crate::report::text::cut;

/// Bytes of a text that are shown. Longer ones are no ads but a flood; all of
/// them is what `explain` is for.
const MOST: usize = 8_000;

/// What an ad says.
#[derive(Debug)]
pub(super) struct SaidView {
    /// The text in pieces.
    pub pieces: Vec<PieceView>,
    /// How many bytes more there are.
    pub more: usize,
    /// What was read beside plain fields.
    pub told: Vec<ToldView>,
}

/// A stretch of the text.
#[derive(Debug)]
pub(super) struct PieceView {
    /// The words.
    pub text: String,
    /// Class of the mark; empty where there is none.
    pub class: &'static str,
    /// The kind as a word, with the numbers of the list below.
    pub tag: String,
}

/// One thing that was read.
#[derive(Debug)]
pub(super) struct ToldView {
    /// Its number.
    pub number: usize,
    /// The kind as a word.
    pub word: &'static str,
    /// What was read.
    pub what: String,
    /// What a trouble code means; when work was done.
    pub more: String,
}

impl SaidView {
    /// The view of an ad.
    pub fn new(listing: &Listing, reading: &Reading, lexicon: &Lexicon, shown: Contacts) -> Self {
        let entries = entries(reading, lexicon);
        let end = floor(&listing.text, MOST);
        let places: Vec<(usize, Range<usize>)> = entries
            .iter()
            .zip(1..)
            .flat_map(|(entry, n)| entry.evidence.iter().map(move |e| (n, e.range.clone())))
            .filter(|(n, range)| range.end <= end && !is_name(entries[n - 1].kind))
            .collect();
        let kinds: Vec<_> = entries.iter().map(|e| kind(e.kind)).collect();
        let text = listing.text.get(..end).unwrap_or_default();
        let pieces = pieces(text, &places, shown);
        SaidView {
            pieces: pieces
                .iter()
                .enumerate()
                .map(|(i, piece)| view(piece, pieces.get(i + 1), &kinds))
                .collect(),
            more: listing.text.len() - end,
            told: entries
                .iter()
                .zip(&kinds)
                .zip(1..)
                // A plain field stands among the facts.
                .filter(|((entry, _), _)| !matches!(entry.kind, Told::Field(_)))
                .map(|((entry, (_, word)), number)| ToldView {
                    number,
                    word,
                    what: cut(&crate::report::shown(&entry.what), 120),
                    more: match (&entry.kind, &entry.meaning) {
                        (Told::Code, Some(meaning)) => format!(": {meaning}"),
                        _ => entry.more.clone(),
                    },
                })
                .collect(),
        }
    }
}

/// What the heading says already is not marked once more.
fn is_name(told: Told) -> bool {
    matches!(told, Told::Field("year" | "make" | "model"))
}

/// Class and word of a kind.
fn kind(told: Told) -> (&'static str, &'static str) {
    match told {
        Told::Claim(Says::Bad) => ("bad", "bad"),
        Told::Claim(Says::Suspect) => ("maybe", "maybe bad"),
        Told::Claim(Says::Renewed) => ("renewed", "renewed"),
        Told::Claim(Says::Sound) => ("good", "good"),
        Told::Claim(Says::Spare) => ("spare", "comes along"),
        Told::InPassing => ("maybe", "in passing"),
        Told::Code => ("code", "code"),
        Told::Vague => ("vague", "vague"),
        Told::Field(key) => ("fact", key_word(key)),
    }
}

/// A key of the contract as people say it.
fn key_word(key: &'static str) -> &'static str {
    match key {
        "ask" => "price",
        "ask_basis" => "how meant",
        "miles" => "distance",
        "miles_basis" => "how sure",
        "title" => "papers",
        "vin" => "VIN",
        other => other,
    }
}

/// A piece with its mark. What is said of it stands behind the last of the
/// pieces that a place is cut into.
fn view(piece: &Piece, next: Option<&Piece>, kinds: &[(&'static str, &'static str)]) -> PieceView {
    // The worst of what stands at one place gives the line under it.
    const WORST: [&str; 8] = [
        "bad", "maybe", "code", "vague", "renewed", "spare", "good", "fact",
    ];
    let all: Vec<_> = piece
        .numbers
        .iter()
        .filter_map(|n| Some((*n, *kinds.get(n - 1)?)))
        .collect();
    let class = WORST
        .into_iter()
        .find(|c| all.iter().any(|(_, (class, _))| class == c));
    let mut tag: Vec<String> = Vec::new();
    let mut last = "";
    let goes_on = |n: &usize| next.is_some_and(|next| next.numbers.contains(n));
    for (n, (class, word)) in all.into_iter().filter(|(n, _)| !goes_on(n)) {
        tag.push(match class {
            "fact" => word.to_owned(),
            _ if word == last => n.to_string(),
            _ => format!("{word} {n}"),
        });
        last = word;
    }
    PieceView {
        text: piece.text.clone(),
        class: class.unwrap_or_default(),
        tag: tag.join(", "),
    }
}

/// The last border of characters that is not beyond.
fn floor(text: &str, most: usize) -> usize {
    if text.len() <= most {
        return text.len();
    }
    (0..=most)
        .rev()
        .find(|i| text.is_char_boundary(*i))
        .unwrap_or_default()
}
