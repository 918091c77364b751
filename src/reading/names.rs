//! Makes and models named in a text.

use super::scan::{Hit, Scanner};
use crate::lexicon::vehicles::VehicleName;

/// A make or model named, by its tokens.
pub(super) struct Name<'s> {
    pub(super) first: usize,
    pub(super) last: usize,
    pub(super) of: &'s [VehicleName],
}

/// Vehicle names, leftmost-longest; not those inside a phrase that only looks
/// like one: `golf clubs`.
pub(super) fn names<'s>(hits: &[Hit], scanner: &Scanner<'s>) -> Vec<Name<'s>> {
    let name = |h: &Hit| Name {
        first: h.first as usize,
        last: h.last as usize,
        of: scanner.phrase(h.phrase).vehicles(),
    };
    let mut out = Vec::new();
    for h in super::scan::leftmost_longest(hits, |h| h.marks.vehicles() || h.marks.decoy())
        .filter(|h| h.marks.vehicles())
    {
        match parted(&h, hits, scanner) {
            Some((make, model)) => out.extend([name(&make), name(&model)]),
            None => out.push(name(&h)),
        }
    }
    out
}

/// Make and model in whose words a name ends too early: `lexus rx` before the
/// `rx 350`, `mercedes benz` before the `benz 190`.
fn parted(whole: &Hit, hits: &[Hit], scanner: &Scanner) -> Option<(Hit, Hit)> {
    let of = |h: &Hit| scanner.phrase(h.phrase).vehicles();
    let from = hits.partition_point(|h| h.first < whole.first);
    let near = || hits[from..].iter().take_while(|h| h.first <= whole.last);
    let beyond = |h: &&Hit| h.marks.vehicles() && h.first > whole.first && h.last > whole.last;
    near().filter(beyond).find_map(|model| {
        let make = near()
            .find(|h| h.marks.vehicles() && h.first == whole.first && h.last + 1 == model.first)?;
        let is_make = matches!(of(make), [VehicleName::Make(_), ..]);
        let is_model = matches!(of(model), [VehicleName::Model { .. }, ..]);
        (is_make && is_model).then_some((*make, *model))
    })
}
