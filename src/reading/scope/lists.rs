//! Lists of parts: which items belong to one, and what is said of all of them.

use super::*;
use crate::lexicon::phrases::SignField;

/// Items that a list may have between a part and what is said of it.
const FAR: usize = 24;

/// Parts that a list may have.
const LISTED: usize = 24;

impl Walk<'_> {
    /// `The muffler is bad, and the thermostat.`: a part at the end shares the saying
    /// before it.
    pub(super) fn and_the(&mut self, end: usize) {
        let n = self.mentions.len();
        let Some([before, last]) = self.mentions.get(n.saturating_sub(2)..) else {
            return;
        };
        let joint = self.before_modifiers(last.item);
        let and = joint > 0 && self.items.acts(joint - 1, Act::And);
        let told = before.cue.filter(|c| *c > before.item && *c < last.item);
        let alone = last.is_open()
            && !last.is_equipment()
            && !last.is_feature()
            && last.item + 1 == end
            && last.sentence == self.sentence
            && before.sentence == self.sentence;
        let says = before
            .says
            .filter(|s| matches!(s, Says::Bad | Says::Renewed));
        let close = told.is_some_and(|c| self.words_between(c, last.item) == 0);
        if let (true, true, Some(cue), Some(says)) = (alone && close, and, told, says) {
            let last = &mut self.mentions[n - 1];
            (last.says, last.cue, last.shared) = (Some(says), Some(cue), true);
        }
    }

    /// `brakes and tires at 60 %`: what a phrase says of the part that it begins
    /// with is said of the one before `and` too.
    pub(super) fn share_back(&mut self, m: &Mention) {
        let [
            Named {
                naming: Naming::States(says),
                ..
            },
        ] = m.named[..]
        else {
            return;
        };
        let and = self
            .items
            .acts(self.before_modifiers(m.item).wrapping_sub(1), Act::And);
        let free = self.gov.is_none() && self.neg.is_none();
        // What looks words up comes last.
        if !m.linked || !free || !and || !self.begins_with_part(m) {
            return;
        }
        let listed = |p: &Mention| {
            (p.item + 1..m.item).any(|j| matches!(self.items.list[j].kind, ItemKind::Sign(_)))
        };
        if self.mentions.last().is_none_or(listed) {
            return;
        }
        if let Some(p) = self.mentions.last_mut()
            && p.is_open()
            && !p.is_equipment()
        {
            p.says = Some(says);
            p.cue = Some(m.item);
        }
    }

    /// Whether a phrase begins with the name of the part that it speaks of.
    pub(super) fn begins_with_part(&self, m: &Mention) -> bool {
        let Item { first, last, .. } = self.items.list[m.item];
        let of_it = |n: &Named| m.named.iter().any(|own| own.part == n.part);
        let named = |t: u32| self.items.phrase_of(first, t).map(|p| &p.meaning.named);
        (first..last)
            .filter_map(named)
            .any(|named| named.iter().any(|n| n.naming.is_noun() && of_it(n)))
    }

    /// Whether the noun right before this one only tells which one is meant.
    /// Nouns in the plural, and three in a row, are a list without commas.
    pub(super) fn compound(&self, i: usize) -> bool {
        let Some(p) = self.mentions.last() else {
            return false;
        };
        // `good: motor trans heat`: a list, however it ends.
        let listed = self.mentions.len().checked_sub(2).is_some_and(|k| {
            let before = &self.mentions[k];
            before.item + 1 == p.item && before.is_noun() && !before.place
        });
        p.item + 1 == i
            && i > 0
            && !listed
            // `ac heat radio`: a name of two is no kind of the third.
            && p.named.len() == 1
            && p.is_noun()
            && !p.place
            && !p.consumed
            && !self.words(p.item).ends_with('s')
            // `timing belt water pump`: both are whole names.
            && !(self.words(p.item).contains(' ') && self.words(i).contains(' '))
            && !self.items.names_part(i + 1)
            && !self.begins_next(p, i)
            && !self.closed_list_without_commas(p, i)
    }

    /// `new starter throttle body and injectors`: behind two whole names `and` brings a
    /// third. What only tells where or of what a piece is, as in `tailgate window and
    /// mirror`, is no item.
    fn closed_list_without_commas(&self, p: &Mention, i: usize) -> bool {
        let joint = self.items.acts(i + 1, Act::And) || self.items.acts(i + 1, Act::Or);
        let third = self.after_modifiers(i + 2);
        if !joint || !self.items.names_part(third) {
            return false;
        }
        let Some(named) = self.items.phrase(i).map(|n| &n.meaning.named) else {
            return false;
        };
        let whole = |n: &Named| matches!(n.naming, Naming::Noun | Naming::Feature);
        let group = |n: &Named| self.parts.get(n.part).group.as_str();
        let kind = |n: &Named| matches!(self.parts.code(n.part), "engine" | "transmission");
        let place = |n: &Named| matches!(group(n), "body" | "interior") || kind(n);
        named.iter().all(whole) && p.named.iter().all(|n| whole(n) && !place(n))
    }

    /// `has a new battery shocks are wore out`, `new thermostat door lock broke`: what
    /// stands before rules the part before, and this one has a saying of its own.
    fn begins_next(&self, p: &Mention, i: usize) -> bool {
        let told = p.says.is_some() || p.hedged;
        let ruled = told && p.cue.is_some_and(|cue| cue < p.item);
        let before = self.before_modifiers(p.item).checked_sub(1);
        let close = p.cue == before || before.is_some_and(|j| self.items.acts(j, Act::And));
        let alone = close && p.says != Some(Says::Sound);
        if !ruled {
            return false;
        }
        let copula = self.items.acts(i + 1, Act::Copula) || self.items.acts(i + 1, Act::Was);
        let piece = |n: &Named| n.naming == Naming::Generic;
        let whole = self
            .items
            .phrase(i)
            .is_some_and(|n| !n.meaning.named.iter().any(piece));
        match self.predicate_ahead(i, true) {
            Some(_) if copula => true,
            // `needs tailgate window fixed`
            Some((says, _)) => {
                alone && whole && says != Some(Says::Renewed) && self.own_predicate_near(i)
            }
            None => false,
        }
    }

    /// Whether `and` or `or` stands before an item, small words and `new`
    /// between.
    pub(super) fn closes_a_list(&self, i: usize) -> bool {
        let mut first = i;
        while first > 0
            && (self.items.acts(first - 1, Act::Modifier)
                || matches!(
                    self.items.cue(first - 1),
                    Some(Cue {
                        act: Act::State(_),
                        side: Side::Either,
                        ..
                    })
                ))
        {
            first -= 1;
        }
        first > 0 && (self.items.acts(first - 1, Act::And) || self.items.acts(first - 1, Act::Or))
    }

    /// Whether `along with`, or a plain `and` after a repair, joins this item
    /// to the saying before it.
    pub(super) fn shared_with_last(&self, i: usize, says: Says) -> bool {
        let mut j = i;
        while j > 0
            && (self.items.acts(j - 1, Act::Modifier)
                || matches!(
                    self.items.cue(j - 1),
                    Some(Cue { act: Act::State(s), side: Side::Either, .. }) if s == says
                ))
        {
            j -= 1;
        }
        if j == 0 {
            return false;
        }
        if self.items.acts(j - 1, Act::With) {
            return true;
        }
        says == Says::Renewed
            && (self.items.acts(j - 1, Act::And)
                || matches!(self.items.list[j - 1].kind, ItemKind::Sign(b',' | b'/'))
                    && self.is_bare(i)
                    && self
                        .mentions
                        .last()
                        .is_some_and(|m| m.cue == self.gov.map(|g| g.item)))
    }

    /// Whether what governs a list is said of parts alone, so that a fault behind
    /// it is none of the list: `new tires`, `put in a new radiator`, but not
    /// `fixed the leak`.
    pub(super) fn renews_parts(&self, gov: Governor, i: usize) -> bool {
        let heads = self.section.is_some_and(|s| s.item == gov.item);
        let listed = self.mentions.last().filter(|p| self.parted(p.item, i));
        let part = listed.is_some_and(|p| p.is_noun() && p.cue == Some(gov.item));
        // `fixed the oil leak, heater doesn't blow`
        let the = (self.before_modifiers(i)..i).any(|j| self.items.is_a(j, WordClass::The));
        let apart =
            !heads && !the && listed.is_some() && (self.is_clause(i) || self.fault_of_part(i));
        !gov.trailing && (!gov.verb || self.brings_new(gov) || part && !heads || apart)
    }

    /// `has a sunroof and the clutch is going`: what a car is told to have is no
    /// item of the next saying.
    pub(super) fn has_it(&self, i: usize) -> bool {
        let at = self.before_modifiers(i);
        at > 0 && self.items.acts(at - 1, Act::Copula) && self.items.is_a(at - 1, WordClass::Has)
    }

    /// Doubts the parts of the list that was named last.
    pub(super) fn hedge_list(&mut self) {
        for m in self.mentions.iter_mut().rev().take(LISTED) {
            if m.says != Some(Says::Bad) || !m.is_noun() {
                break;
            }
            m.hedged = true;
            if !m.linked {
                break;
            }
        }
    }

    /// Whether only list signs and modifiers lie between two items.
    pub(super) fn only_list_between(&self, from: usize, to: usize) -> bool {
        let mut j = from + 1;
        while j < to {
            let listed = self.items.joins(j)
                || self.unknown_in_list(j)
                || self.items.acts(j, Act::With)
                || self.items.acts(j, Act::Modifier)
                || self.items.kind(j) == ItemKind::Number;
            j = match self.aside_ends(j).or_else(|| self.where_ends(j, to)) {
                Some(end) => end + 1,
                None if listed => j + 1,
                None => return false,
            };
        }
        true
    }

    /// Where words end that tell on which side a part of a list is:
    /// `the fender on that side and the headlight`.
    fn where_ends(&self, place: usize, to: usize) -> Option<usize> {
        let which =
            |j: &usize| self.items.acts(*j, Act::Modifier) || self.items.acts(*j, Act::Side);
        if !self.items.acts(place, Act::Place) {
            return None;
        }
        let end = (place + 1..to).find(|j| !which(j))?;
        (end > place + 1 && self.items.joins(end)).then_some(end - 1)
    }

    /// Where a bracket that opens here ends, if it names nothing and tells no state:
    /// `radiator ($50), pump (OEM) and belt`.
    fn aside_ends(&self, open: usize) -> Option<usize> {
        const LONGEST: usize = 6;
        // First, since every item of a list is asked.
        if self.items.kind(open) != ItemKind::Sign(b'(') {
            return None;
        }
        let close = |j: &usize| self.items.kind(*j) == ItemKind::Sign(b')');
        let end = (open + 1..open + LONGEST).find(close)?;
        let tells = |j: usize| {
            let cue = self.items.cue(j);
            cue.is_some_and(|c| matches!(c.act, Act::State(_)))
                || self.items.names(j)
                || matches!(self.items.kind(j), ItemKind::End(_) | ItemKind::Blank)
        };
        (!(open + 1..end).any(tells)).then_some(end)
    }

    /// Whether this only tells how the car is equipped, of which no part has a
    /// code: `cruise`.
    pub(super) fn equips(&self, j: usize) -> bool {
        self.items.phrase(j).is_some_and(|p| {
            let m = &p.meaning;
            let nothing = m.cue.is_none() && m.named.is_empty() && m.effects.is_empty();
            let feature = m.signs.iter().all(|s| s.field == SignField::Aside);
            nothing && !m.signs.is_empty() && feature && m.numbers.is_empty()
        })
    }

    /// `needs tires, some TLC and a clutch`: vague words within a list of what is
    /// needed.
    pub(super) fn needs_besides(&self, i: usize) -> bool {
        let needs = |g: Governor| g.verb && g.says == Says::Bad && g.count > 0;
        let before = self.before_modifiers(i).checked_sub(1);
        let vague = self.items.phrase(i).is_some_and(|p| {
            let signs = &p.meaning.signs;
            !signs.is_empty() && signs.iter().all(|s| s.field == SignField::Vague)
        });
        vague
            && self.gov.is_some_and(needs)
            && before.is_some_and(|j| self.items.joins(j))
            && self.items.joins(i + 1)
            && self.part_ahead(i + 1).is_some()
    }

    /// A word that no table knows as an item of a list: `wipers, horn, lights`.
    pub(super) fn unknown_in_list(&self, j: usize) -> bool {
        (self.items.is_word(j) || self.equips(j))
            && j > 0
            && self.items.joins(j - 1)
            && self.items.joins(j + 1)
    }

    /// Whether the list or the sentence goes on right after this item.
    pub(super) fn is_bare(&self, i: usize) -> bool {
        let after = i + 1;
        after >= self.items.list.len()
            || self.items.joins(after)
            || matches!(
                self.items.list[after].kind,
                ItemKind::End(_) | ItemKind::Blank | ItemKind::Sign(b')')
            )
    }

    /// The same, or a dash stands behind it.
    pub(super) fn closes(&self, i: usize) -> bool {
        let dash = self.items.list.get(i + 1).map(|n| n.kind) == Some(ItemKind::Sign(b'-'));
        dash || self.is_bare(i)
    }

    /// Whether a list item is at most a few words away from the list.
    pub(super) fn near_list(&self, i: usize) -> bool {
        self.mentions.last().is_some_and(|p| {
            p.sentence == self.sentence
                && self.words_between(p.item, i) <= 3
                && (p.item + 1..i).any(|j| self.items.joins(j))
        })
    }

    /// `heated seats, moonroof, 6 CD, all working`: said of the whole list.
    pub(super) fn sums_up(&self, i: usize) -> bool {
        // `windows, locks, mirrors, none of them work`
        let comma = |j: usize| self.items.list[j].kind == ItemKind::Sign(b',');
        let itself = i > 0 && comma(i - 1) && self.takes_all(i);
        let all = itself
            || i > 1
                && self.items.is_any(i - 1, &[WordClass::All, WordClass::Both])
                && comma(i - 2);
        let listed = |m: &Mention| {
            (m.item + 1..i - 1).all(|j| {
                self.items.joins(j)
                    || self.items.acts(j, Act::Modifier)
                    || self.items.is_word(j)
                    || self.items.list[j].kind == ItemKind::Number
            })
        };
        all && self.mentions.len() > self.clause
            && self.mentions.last().is_some_and(|m| {
                i - m.item <= FAR && m.sentence == self.sentence && m.is_open() && listed(m)
            })
    }

    /// `radio, A/C and heat all work`
    pub(super) fn takes_all(&self, i: usize) -> bool {
        let all = [
            WordClass::All,
            WordClass::Both,
            WordClass::NoneOf,
            WordClass::Neither,
        ];
        self.items.is_any(i, &all) || i > 0 && self.items.is_any(i - 1, &all)
    }

    /// `wiper blades and air filter are new`: what stands between is a list of
    /// things that only look like parts.
    pub(super) fn listed_with_others(&self, from: usize, to: usize) -> bool {
        to - from <= FAR
            && (from + 1..to).all(|j| {
                self.items.joins(j)
                    || self.items.acts(j, Act::Modifier)
                    || self.items.acts(j, Act::Copula)
                    || self.items.phrase(j).is_some_and(|p| p.meaning.decoy)
            })
    }

    /// Whether a name in the list before a saying tells which car it is:
    /// `5 speed and the clutch was replaced`, `automatic, A/C works`. Lists of
    /// three are lists: `windows, locks and seat all work`.
    pub(super) fn only_kind(&self, k: usize, several: usize, says: Says) -> bool {
        let m = &self.mentions[k];
        let apart = |next: &Mention| next.linked && self.signs_between(m.item, next.item);
        // `5spd, 1.6, 137k, heat and wipers work`
        let figures = self.mentions.get(k + 1).is_some_and(|next| {
            (m.item + 1..next.item).any(|j| self.items.list[j].kind == ItemKind::Number)
        });
        several > 1
            && m.is_equipment()
            && (says == Says::Renewed
                || figures
                || several == 2 && self.mentions.get(k + 1).is_some_and(apart))
    }
}

/// Whether nothing is said yet of what was named.
pub(super) fn unsaid(m: &Mention) -> bool {
    let fault = |n: &Named| n.naming.is_fault();
    m.is_open() || m.says.is_none() && !m.consumed && !m.denied && m.named.iter().all(fault)
}
