//! An engine that turns over and does not start, where that is told in two places.

use super::*;

impl Walk<'_> {
    /// `now it wont start. turns over strong`: more is known than that it does not
    /// start.
    pub(super) fn it_cranks(&self, sayings: &mut [Saying]) {
        let find = |code| self.parts.find(code);
        let (Some(no_start), Some(cranks)) = (find("no_start"), find("cranks_no_start")) else {
            return;
        };
        let told = |s: &Saying| s.part == no_start && s.says.is_fault();
        if sayings.iter().any(told) && self.mentions.iter().any(|m| self.turns(m, cranks)) {
            let starts = sayings.iter_mut().filter(|s| told(s));
            starts.for_each(|s| s.part = cranks);
        }
    }

    /// Whether a mention tells that the engine turns over.
    fn turns(&self, m: &Mention, cranks: PartId) -> bool {
        let named = |n: &Named| n.part == cranks && n.naming == Naming::Subject;
        let before = m.item.checked_sub(1);
        let not_now = |j: usize| {
            self.items.acts(j, Act::Negates)
                || self
                    .items
                    .is_any(j, &[WordClass::Not, WordClass::No, WordClass::Was])
        };
        m.named.iter().any(named)
            && !(m.denied || m.past || m.unreal || m.question || m.lacks)
            && !before.is_some_and(not_now)
    }
}
