//! One listing while it is read: its text taken apart, and the notes of where
//! a field was found.

use super::model::{Evidence, Reading};
use super::names::Name;
use super::news::News;
use super::signs::Signs;
use super::tokens::Tokens;
use crate::intake::Listing;
use crate::units::Currency;

/// One listing under the reader's eyes.
pub(super) struct Page<'a> {
    pub(super) listing: &'a Listing,
    pub(super) tokens: &'a Tokens,
    pub(super) signs: &'a Signs,
    /// Makes and models named.
    pub(super) names: &'a [Name<'a>],
    /// What was added to the ad later.
    pub(super) news: &'a News,
    pub(super) headline: usize,
}

impl Page<'_> {
    /// The currency, where the export or a sign of money tells.
    pub(super) fn currency(&self) -> Option<Currency> {
        self.listing.currency.or_else(|| {
            let cell = self.listing.price.as_deref().unwrap_or_default();
            if self.listing.text.is_ascii() && cell.is_ascii() {
                return None;
            }
            let has = |sign| self.listing.text.contains(sign) || cell.contains(sign);
            if has('£') {
                Some(Currency::Gbp)
            } else if has('€') {
                Some(Currency::Eur)
            } else {
                None
            }
        })
    }

    pub(super) fn evidence(&self, tokens: (usize, usize), rule: &str) -> Evidence {
        Evidence {
            range: self.tokens.source(tokens.0, tokens.1),
            rule: rule.to_owned(),
        }
    }

    pub(super) fn note(
        &self,
        reading: &mut Reading,
        key: &'static str,
        at: Option<(usize, usize)>,
        rule: &str,
    ) {
        if let Some(at) = at {
            reading.fields.push((key, self.evidence(at, rule)));
        }
    }

    /// The words of these tokens.
    pub(super) fn words(&self, at: (usize, usize)) -> &str {
        let (Some(first), Some(last)) = (self.tokens.list.get(at.0), self.tokens.list.get(at.1))
        else {
            return "";
        };
        &self.tokens.folded[first.folded.0 as usize..last.folded.1 as usize]
    }
}
