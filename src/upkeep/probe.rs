//! Small texts made of the tables' own phrases, to see whether a row does what
//! it says where nothing else stands in its way.

use crate::intake::{Listing, ListingId, Origin};
use crate::lexicon::Lexicon;
use crate::reading::items::{self, Items};
use crate::reading::reader::{Reader, Scratch};
use crate::reading::scan::Scanner;
use crate::reading::scope::{Saying, Walk};
use crate::reading::tokens::Tokens;
use crate::units::DistanceUnit;

/// Reads small texts by one set of tables.
pub(super) struct Probe<'l> {
    lexicon: &'l Lexicon,
    scanner: Scanner<'l>,
    reader: Reader<'l>,
    scratch: Scratch,
}

impl<'l> Probe<'l> {
    pub(super) fn new(lexicon: &'l Lexicon) -> Self {
        Probe {
            lexicon,
            scanner: Scanner::new(lexicon),
            reader: Reader::new(lexicon, DistanceUnit::Miles),
            scratch: Scratch::default(),
        }
    }

    /// What a text says of parts, before sayings are merged, each with the
    /// words of its cue.
    pub(super) fn sayings(&self, text: &str) -> Vec<(Saying, Option<String>)> {
        let (mut tokens, mut words) = (Tokens::default(), Vec::new());
        let (mut hits, mut list) = (Vec::new(), Vec::new());
        tokens.fill(text);
        self.scanner.scan(&mut tokens, &mut words, &mut hits);
        let ad = items::Ad {
            text,
            tokens: &tokens,
            words: &words,
        };
        items::build(ad, &hits, &self.scanner, &mut list);
        let items = Items {
            list: &list,
            scanner: &self.scanner,
            tokens: &tokens,
            words: &words,
        };
        let sayings = Walk::new(items, &self.lexicon.parts).run().sayings;
        let with_words = |s: Saying| {
            let cue = s.rule.cue.map(|cue| self.scanner.words(&tokens, cue));
            let words = cue.map(str::to_owned);
            (s, words)
        };
        sayings.into_iter().map(with_words).collect()
    }

    /// Whether a sign is read for its field where it stands in the headline
    /// or alone below it, beside a price where the field is about one.
    pub(super) fn sign_is_read(&mut self, field: &str, form: &str) -> bool {
        const CAR: &str = "2004 Saab 900";
        let priced = field == "ask_basis";
        let below = if priced {
            format!("$1500 {form}")
        } else {
            form.to_owned()
        };
        [(CAR, below.as_str()), (form, "")]
            .into_iter()
            .any(|(headline, body)| {
                let origin = Origin {
                    file: "probe".into(),
                    line: 1,
                };
                let mut listing =
                    Listing::new(ListingId("probe".to_owned()), origin, headline, body);
                listing.price = priced.then(|| "1500".to_owned());
                let reading = self.reader.read_with(&listing, &mut self.scratch);
                match field {
                    "vague" => !reading.vague.is_empty(),
                    _ => reading.fields.iter().any(|(key, _)| *key == field),
                }
            })
    }
}
