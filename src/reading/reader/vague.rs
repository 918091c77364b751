//! Vague wording: what the signs say, weighed with what is heard of the whole ad.

use super::{Reader, Scratch};
use crate::lexicon::context::{VAGUE_ALONE, VAGUE_RULES};
use crate::reading::context::BY_ALL_WORDS;
use crate::reading::model::{Reading, Vague};
use crate::reading::page::Page;

impl Reader<'_> {
    /// Takes over what is likely said.
    pub(in crate::reading) fn vague(
        &self,
        reading: &mut Reading,
        page: &Page<'_>,
        scratch: &Scratch,
    ) {
        for f in &page.signs.vague {
            let meant = self.vague_odds(f.value, scratch);
            let meant = meant.is_none_or(|odds| odds + VAGUE_RULES > 0.0);
            if meant && !reading.vague.iter().any(|(v, _)| *v == f.value) {
                let evidence = page.evidence(f.tokens, page.words(f.tokens));
                reading.vague.push((f.value, evidence));
            }
        }
        for (vague, likely) in self.ear.vague(&scratch.hearing) {
            let signed = page.signs.vague.iter().any(|f| f.value == vague);
            if !signed && likely.odds + VAGUE_ALONE > 0.0 {
                let items = self.items(scratch);
                let tokens = items.tokens_at(items.telling(likely.thing));
                let rule = format!("{}, {BY_ALL_WORDS}", page.words(tokens));
                reading.vague.push((vague, page.evidence(tokens, &rule)));
            }
        }
    }

    /// The logarithm of the odds that something vague is said; none where the ad was not
    /// heard.
    pub(super) fn vague_odds(&self, vague: Vague, scratch: &Scratch) -> Option<f64> {
        let mut heard = self.ear.vague(&scratch.hearing);
        heard.find_map(|(v, likely)| (v == vague).then_some(likely.odds))
    }
}
