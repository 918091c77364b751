//! What the network of `context.csv` makes of the parts that an ad names.

use super::*;
use crate::lexicon::context::network::Asked;
use crate::lexicon::context::{CONTEXT_COUNTS, Of, SURE};
use crate::lexicon::leanings::chances;

/// A part that the network is asked about.
#[derive(Debug, Clone, Copy)]
pub(super) struct About {
    pub(super) part: PartId,
    pub(super) thing: usize,
    pub(super) cue: Option<usize>,
}

/// Parts asked about in one ad. Real ones leave some ten open; the bound is for texts
/// that mean harm.
const MOST: usize = 200;

/// Whether one answer is so likely that the network would hardly change it.
fn is_sure<const N: usize>(sums: [f64; N]) -> bool {
    chances(sums).into_iter().any(|chance| chance > SURE)
}

impl<'a> Walk<'a> {
    /// Lets the network see what stands where, besides the tables of weights.
    pub fn listening(mut self, listener: Listener<'a>) -> Self {
        self.listener = Some(listener).filter(|l| !l.context.is_empty());
        self
    }

    /// Adds what the network makes likely of parts, where what is known of them by
    /// traits alone leaves it open. Of the answers the last is that nothing is said.
    pub(super) fn in_context<'s, const N: usize>(
        &self,
        parts: impl IntoIterator<Item = (About, &'s mut [f64; N])>,
    ) {
        let Some(listener) = self.listener else {
            return;
        };
        let asked = |a: About| Asked {
            thing: a.thing,
            cue: a.cue,
            part: listener.context.row_of(Of::Part, self.parts.code(a.part)),
        };
        let open = parts.into_iter().filter(|(_, sums)| !is_sure(**sums));
        let open = open.take(MOST);
        let (asked, sums): (Vec<Asked>, Vec<_>) = open.map(|(a, s)| (asked(a), s)).unzip();
        if asked.is_empty() {
            return;
        }
        for (sums, others) in sums.into_iter().zip(listener.ask(self.items, &asked)) {
            let others = others.map(f64::from);
            let nothing = N - 1;
            for (sum, other) in sums.iter_mut().take(nothing).zip(others) {
                *sum += CONTEXT_COUNTS * other;
            }
            sums[nothing] += CONTEXT_COUNTS * others[others.len() - 1];
        }
    }
}
