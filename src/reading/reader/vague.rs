//! Vague wording: what the signs say, as far as it is meant so.

use super::{Reader, Scratch};
use crate::lexicon::context::network::Asked;
use crate::lexicon::context::{Context, LEAST_MEANT, Of};
use crate::lexicon::leanings::chances;
use crate::lexicon::passing::ANSWERS;
use crate::reading::model::{Reading, Vague};
use crate::reading::page::Page;
use crate::reading::signs::{self, Found};

/// Words that the signs take for vague, by the things of the ad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VagueWords {
    /// What they say.
    pub says: Vague,
    /// Their first thing.
    pub thing: usize,
    /// Their last.
    pub last: usize,
}

impl Reader<'_> {
    /// All that the signs of a text take for vague, to learn from.
    pub fn vague_words(&self, text: &str, scratch: &mut Scratch) -> Vec<VagueWords> {
        self.scan_alone(text, scratch);
        let signs = signs::gather(&scratch.hits, &scratch.tokens, &self.scanner);
        let found = signs.vague.iter();
        found.map(|f| self.vague_at(f, scratch)).collect()
    }

    fn vague_at(&self, found: &Found<Vague>, scratch: &Scratch) -> VagueWords {
        let items = self.items(scratch);
        let holding = |token| items.holding(token).unwrap_or_default();
        VagueWords {
            says: found.value,
            thing: holding(found.tokens.0),
            last: holding(found.tokens.1),
        }
    }

    /// How likely words are meant as they look, by all that stands around them. Who
    /// writes little means them.
    pub(super) fn meant(&self, found: &[Found<Vague>], scratch: &Scratch) -> Vec<f64> {
        let (listener, items) = (self.listener(scratch), self.items(scratch));
        if found.is_empty() || listener.context.is_empty() || items.are_few() {
            return vec![1.0; found.len()];
        }
        let asked = |f| asked(listener.context, self.vague_at(f, scratch));
        let asked: Vec<Asked> = found.iter().map(asked).collect();
        let sums = listener.ask(items, &asked).into_iter();
        sums.map(|s| 1.0 - chances(s.map(f64::from))[ANSWERS.len() - 1])
            .collect()
    }

    /// Takes over what is likely meant as it looks.
    pub(in crate::reading) fn vague(
        &self,
        reading: &mut Reading,
        page: &Page<'_>,
        scratch: &Scratch,
    ) {
        let found = &page.signs.vague;
        let meant = self.meant(found, scratch);
        for (f, _) in found.iter().zip(meant).filter(|(_, m)| *m >= LEAST_MEANT) {
            if !reading.vague.iter().any(|(v, _)| *v == f.value) {
                let evidence = page.evidence(f.tokens, page.words(f.tokens));
                reading.vague.push((f.value, evidence));
            }
        }
    }
}

fn asked(context: &Context, words: VagueWords) -> Asked {
    Asked {
        thing: words.thing,
        cue: Some(words.last),
        part: context.row_of(Of::Vague, words.says.word()),
    }
}
