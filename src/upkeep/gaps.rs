//! Words near the places where faults are told that no table knows.
//!
//! A word is near where it stands within [`NEAR`] tokens of a fault or of a
//! cue that says `bad` or `suspect`, in the same sentence. What is asked is
//! whether a word stands near faults more often than other words do; the
//! measure is the log-likelihood ratio of the fourfold table (near or not,
//! this word or another), which holds for rare words too (Dunning 1993,
//! Computational Linguistics 19:61-74): G2 = 2 sum k ln(k / e), `k` being the
//! counts and `e` those expected if word and place had nothing to do with each
//! other. Words and pairs count at most once near and once elsewhere in an ad,
//! so that an ad that repeats itself does not count for many.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use rayon::prelude::*;

use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::lexicon::phrases::Act;
use crate::lexicon::words::WordId;
use crate::reading::Says;
use crate::reading::codes;
use crate::reading::forms;
use crate::reading::items::{self, Item, ItemKind};
use crate::reading::scan::{Hit, Phrase, ScanMemory, Scanner};
use crate::reading::short_words;
use crate::reading::spelling::{Memory, Speller};
use crate::reading::tokens::{TokenKind, Tokens};

/// So many tokens away is still near.
pub const NEAR: u32 = 5;

/// G2 that words without any bond to faults exceed once in a thousand (chi
/// squared with one degree of freedom, 0.999 quantile).
pub const SURE: f64 = 10.83;

/// One word, or two that stand side by side, that no table knows.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// The folded words.
    pub words: String,
    /// Ads in which it stands near a fault.
    pub near: u32,
    /// Ads in which it stands elsewhere.
    pub elsewhere: u32,
    /// Log-likelihood ratio; 0 where it is not more often near than others.
    pub g2: f64,
    /// Text round its first place near a fault; somebody else's words.
    pub example: String,
}

/// Words seen in one ad, and where.
#[derive(Debug, Default)]
struct Seen {
    near: BTreeMap<String, Range<usize>>,
    elsewhere: BTreeSet<String>,
}

/// The words and pairs that no table knows and that stand near faults in at
/// least `least` ads, the most bound to faults first.
pub fn gaps(listings: &[Listing], lexicon: &Lexicon, least: u32) -> Vec<Gap> {
    let scanner = Scanner::new(lexicon);
    let speller = Speller::new(lexicon);
    let seen: Vec<Seen> = listings
        .par_iter()
        .map_init(Work::default, |work, l| {
            work.seen(&l.text, &scanner, &speller, lexicon)
        })
        .collect();
    let mut counts: BTreeMap<&str, (u32, u32, Option<usize>)> = BTreeMap::new();
    let (mut near, mut elsewhere) = (0_u64, 0_u64);
    for (i, ad) in seen.iter().enumerate() {
        for words in ad.near.keys() {
            let entry = counts.entry(words).or_default();
            entry.0 += 1;
            entry.2.get_or_insert(i);
        }
        for words in &ad.elsewhere {
            counts.entry(words).or_default().1 += 1;
        }
        near += ad.near.len() as u64;
        elsewhere += ad.elsewhere.len() as u64;
    }
    let mut out: Vec<Gap> = counts
        .into_iter()
        .filter(|(_, (n, ..))| *n >= least.max(1))
        .filter_map(|(words, (n, e, first))| {
            let first = first?;
            let place = seen[first].near.get(words)?;
            Some(Gap {
                words: words.to_owned(),
                near: n,
                elsewhere: e,
                g2: bond([
                    f64::from(n),
                    (near - u64::from(n)) as f64,
                    f64::from(e),
                    (elsewhere - u64::from(e)) as f64,
                ]),
                example: round(&listings[first].text, place),
            })
        })
        .collect();
    out.sort_by(|a, b| b.g2.total_cmp(&a.g2).then_with(|| a.words.cmp(&b.words)));
    out
}

/// Dunning's G2 of a fourfold table `[word near, others near, word elsewhere,
/// others elsewhere]`; 0 where the word is not more often near than others.
pub fn bond(k: [f64; 4]) -> f64 {
    let [a, b, c, d] = k;
    let all = a + b + c + d;
    if all <= 0.0 || a * (c + d) <= c * (a + b) {
        return 0.0;
    }
    let term = |k: f64, row: f64, column: f64| {
        if k > 0.0 {
            k * (k * all / (row * column)).ln()
        } else {
            0.0
        }
    };
    2.0 * (term(a, a + b, a + c)
        + term(b, a + b, b + d)
        + term(c, c + d, a + c)
        + term(d, c + d, b + d))
}

/// Memory that is reused from ad to ad.
#[derive(Default)]
struct Work {
    tokens: Tokens,
    hits: Vec<Hit>,
    items: Vec<Item>,
    words: Vec<WordId>,
    spelled: Memory,
    scanning: ScanMemory,
}

impl Work {
    fn seen(
        &mut self,
        text: &str,
        scanner: &Scanner,
        speller: &Speller,
        lexicon: &Lexicon,
    ) -> Seen {
        self.tokens.fill(text);
        short_words::apply(&lexicon.short_words, &mut self.tokens, text);
        forms::apply(&lexicon.forms, &mut self.tokens, text);
        scanner.look_up(&self.tokens, &mut self.words);
        speller.apply(&mut self.tokens, &mut self.words, &mut self.spelled);
        scanner.scan_words(
            &self.tokens,
            &self.words,
            &mut self.hits,
            &mut self.scanning,
        );
        let codes = codes::find(&self.tokens, &self.hits, scanner, lexicon);
        codes::mark(&codes, scanner, &mut self.hits);
        let ad = items::Ad {
            text,
            tokens: &self.tokens,
            words: &self.words,
        };
        items::build(ad, &self.hits, scanner, &mut self.items);
        // Names of cars and words beside numbers are known as well.
        let mut known = vec![false; self.tokens.list.len()];
        for hit in &self.hits {
            known[hit.first as usize..=hit.last as usize].fill(true);
        }
        let mut out = Seen::default();
        let ends = |i: &Item| matches!(i.kind, ItemKind::End(_) | ItemKind::Blank);
        for sentence in self.items.split(ends) {
            let faults: Vec<&Item> = sentence
                .iter()
                .filter(|i| match i.kind {
                    ItemKind::Phrase(p) => tells_fault(scanner.phrase(p)),
                    _ => false,
                })
                .collect();
            let near = |at: u32| {
                faults
                    .iter()
                    .any(|f| at + NEAR >= f.first && at <= f.last + NEAR)
            };
            let unknown = |i: &Item| {
                i.kind == ItemKind::Word
                    && !known[i.first as usize]
                    && self.tokens.kind(i.first as usize) == TokenKind::Word
            };
            for (at, item) in sentence.iter().enumerate() {
                if !unknown(item) {
                    continue;
                }
                let first = item.first as usize;
                let word = self.tokens.word(first);
                note(
                    &mut out,
                    word.to_owned(),
                    near(item.first),
                    self.tokens.source(first, first),
                );
                if let Some(next) = sentence.get(at + 1).filter(|n| unknown(n)) {
                    let second = next.first as usize;
                    let pair = format!("{word} {}", self.tokens.word(second));
                    let place = self.tokens.source(first, second);
                    note(&mut out, pair, near(item.first) || near(next.first), place);
                }
            }
        }
        out
    }
}

fn note(seen: &mut Seen, words: String, near: bool, place: Range<usize>) {
    if near {
        seen.near.entry(words).or_insert(place);
    } else {
        seen.elsewhere.insert(words);
    }
}

fn tells_fault(phrase: Phrase<'_>) -> bool {
    let m = phrase.meaning;
    let bad = |says: Says| says.is_fault();
    !m.decoy
        && (m.named.iter().any(|n| n.naming.is_fault())
            || m.cue
                .is_some_and(|c| matches!(c.act, Act::State(says) if bad(says)))
            || m.effects
                .iter()
                .any(|e| e.claims.iter().any(|(_, says)| bad(*says))))
}

/// The text some bytes to both sides of a place, cut at blanks.
fn round(text: &str, place: &Range<usize>) -> String {
    const SIDE: usize = 14;
    let mut start = place.start.saturating_sub(SIDE);
    let mut end = (place.end + SIDE).min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    while !text.is_char_boundary(end) {
        end += 1;
    }
    if start > 0 {
        start += text[start..place.start]
            .find(char::is_whitespace)
            .unwrap_or(0);
    }
    if end < text.len() {
        end = place.end
            + text[place.end..end]
                .rfind(char::is_whitespace)
                .unwrap_or(end - place.end);
    }
    text[start..end].trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::{ListingId, Origin};

    #[test]
    fn the_measure_is_that_of_the_fourfold_table() {
        // By hand: rows 40 and 60, columns 30 and 70, so expected 12, 28, 18,
        // 42: 2 (20 ln(20/12) + 20 ln(20/28) + 10 ln(10/18) + 50 ln(50/42)).
        let expected = 2.0
            * (20.0 * (20.0_f64 / 12.0).ln()
                + 20.0 * (20.0_f64 / 28.0).ln()
                + 10.0 * (10.0_f64 / 18.0).ln()
                + 50.0 * (50.0_f64 / 42.0).ln());
        assert!((bond([20.0, 20.0, 10.0, 50.0]) - expected).abs() < 1e-9);
        // As often near as elsewhere, or less often: no bond.
        assert_eq!(bond([10.0, 10.0, 30.0, 30.0]), 0.0);
        assert_eq!(bond([1.0, 20.0, 30.0, 30.0]), 0.0);
    }

    #[test]
    fn an_unknown_word_beside_faults_is_found_and_a_known_one_is_not() {
        let lexicon = Lexicon::built_in().unwrap();
        let ads: Vec<Listing> = (0..12)
            .map(|i| {
                let origin = Origin {
                    file: "ads.csv".into(),
                    line: i + 2,
                };
                let body = "The zorble is shot. Radiator leaks.\n\nKept in a quiet gloomery by \
                            the vimmel for a while, ask for wendic or brank.";
                Listing::new(ListingId(i.to_string()), origin, "Saab 900", body)
            })
            .collect();
        let found = gaps(&ads, &lexicon, 3);
        assert_eq!(found[0].words, "zorble");
        assert_eq!((found[0].near, found[0].elsewhere), (12, 0));
        assert!(
            found
                .iter()
                .all(|g| !g.words.contains("radiator") && g.words != "gloomery")
        );
        assert_eq!(gaps(&ads, &lexicon, 13), []);
    }
}
