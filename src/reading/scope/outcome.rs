//! What a mention comes to once the walk is over.

use super::*;

impl Walk<'_> {
    pub(super) fn saying(&self, m: &Mention, part: PartId, says: Says) -> Saying {
        let item = self.items.list[m.item];
        let (mut first, mut last) = (item.first, item.last);
        if let Some(cue) = m.cue.map(|c| self.items.list[c]) {
            first = first.min(cue.first);
            last = last.max(cue.last);
        }
        Saying {
            part,
            says,
            tokens: (first, last),
            item: m.item,
            cue: m.cue,
            sentence: m.sentence,
            past: m.past,
            latest: m.latest,
            implied: self.implies(m, part),
            denied: m.denied,
            qualifiers: self.told_where(m),
            done: None,
            rule: Rule {
                name: self.wording(m.item),
                cue: m.cue.and_then(|c| self.wording(c)),
                denied: m.denied,
                hedged: m.hedged,
                leans: false,
                heard: false,
            },
        }
    }

    pub(super) fn is_symptom(&self, part: PartId) -> bool {
        self.parts.get(part).kind == PartKind::Symptom
    }

    /// What a mention comes to for one of its codes.
    pub(super) fn final_state(&self, m: &Mention, named: Named) -> Option<Says> {
        let symptom = self.is_symptom(named.part);
        let own = match named.naming {
            Naming::Subject => return None,
            Naming::Noun | Naming::Generic | Naming::Equipment | Naming::Feature => None,
            Naming::Fault => Some(Says::Bad),
            Naming::States(s) => Some(s),
        };
        let mut says = match (m.says, own) {
            (Some(s), None) => Some(s),
            // A fault under `new` or `fixed` is mended; under `good` or `bad`
            // it is the fault all the same.
            (Some(Says::Renewed), Some(o)) if o.is_fault() => Some(Says::Renewed),
            (Some(Says::Spare), Some(o)) => Some(o),
            (Some(Says::Suspect), Some(o)) if o.is_fault() => Some(Says::Suspect),
            (Some(Says::Sound), Some(o)) if o.is_fault() && m.denied => Some(Says::Sound),
            // `wants the drains cleaned`: work that is still to be done.
            (Some(Says::Bad), Some(Says::Renewed)) => Some(Says::Bad),
            (_, Some(o)) => Some(o),
            (None, None) => None,
        };
        if m.denied && own.is_some() {
            says = match own {
                Some(Says::Bad | Says::Suspect) => Some(Says::Sound),
                Some(Says::Sound) => Some(Says::Bad),
                _ => None,
            };
        }
        if m.formerly {
            says = match says {
                Some(Says::Bad | Says::Suspect) => Some(Says::Sound),
                Some(Says::Sound) => Some(Says::Bad),
                other => other,
            };
        }
        if m.hedged && says == Some(Says::Bad) {
            says = Some(Says::Suspect);
        }
        if m.hedged && says.is_none() && m.is_noun() && !m.denied && !m.is_equipment() {
            says = Some(Says::Suspect);
        }
        if symptom && says == Some(Says::Renewed) {
            says = Some(Says::Sound);
        }
        if symptom && says == Some(Says::Spare) {
            says = None;
        }
        says
    }
}
