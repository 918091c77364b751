//! Whose leak a denial without a subject is of: `roof glass fine, no leaks`.

use super::effects::choose;
use super::*;

/// Parts that may be named before it in the sentence.
const PARTS: usize = 2;
/// Unknown words between the last of them and the denial.
const NEAR: usize = 3;

/// Mentions of a sentence whose leak may be told.
const MENTIONS: usize = 12;

impl Walk<'_> {
    /// `Roof glass fine, no leaks`, `new hoses, no leak since`: behind parts whose leak
    /// has a name of its own, and nothing else told in the sentence, that leak is
    /// denied. Of what rain gets in by this is so in any words; for the leaks of a car
    /// `no leaks` stands too often, so that elsewhere the one leak must be meant.
    pub(super) fn leak_of_the_part(&self, m: &mut Mention) {
        let [named] = &mut m.named[..] else { return };
        let denied = m.denied || named.naming == Naming::States(Says::Sound);
        if !denied || self.parts.code(named.part) != "leak" || self.part_ahead(m.item).is_some() {
            return;
        }
        let before = &self.mentions[self.sentence_mentions..];
        // Of a long sentence nobody knows what leaks.
        if before.len() > MENTIONS {
            return;
        }
        let count = before.iter().filter(|p| !p.place).count();
        if !(1..=PARTS).contains(&count) {
            return;
        }
        let mut leak = None;
        for p in before.iter().filter(|p| !p.place) {
            let of_it = self
                .leak_named_for(m.item, p)
                .filter(|_| self.told_of_it(p));
            if of_it.is_none() || leak.is_some() && leak != of_it {
                return;
            }
            leak = of_it;
        }
        let last = before.iter().rfind(|p| !p.place).map_or(m.item, |p| p.item);
        // `crack in the windshield / no leaks`: apart.
        let others = (last + 1..m.item).any(|j| {
            let signs = |p: Phrase| !p.meaning.signs.is_empty();
            let apart = matches!(self.items.kind(j), ItemKind::Sign(s) if s != b',');
            apart || self.items.acts(j, Act::And) || self.items.phrase(j).is_some_and(signs)
        });
        if others || self.words_between(last, m.item) > NEAR {
            return;
        }
        let Some(leak) = leak else { return };
        // `seeps oil at the cover, not enough to drip`
        let here = |s: &Saying| s.sentence == self.sentence && s.part == leak;
        if self.extra.iter().rev().take(PARTS).any(here) {
            return;
        }
        if self.parts.code(leak) == "water_leak" || self.of_one_leak(last, m.item) {
            named.part = leak;
        }
    }

    /// The leak that rows know of a part.
    fn leak_named_for(&self, leak: usize, part: &Mention) -> Option<PartId> {
        let [named] = part.named[..] else { return None };
        let rust = self.parts.code(named.part).starts_with("rust_");
        if self.is_symptom(named.part) || rust {
            return None;
        }
        let item = self.items.list[leak];
        let words = self
            .items
            .phrase(leak)
            .into_iter()
            .chain(self.items.within(item));
        let mut rows = words.map(|p| &p.meaning.effects);
        let row = choose(rows.find(|e| !e.is_empty())?, Some(named.part))?;
        let symptom = |(code, _): &(Option<PartId>, Says)| code.filter(|c| self.is_symptom(*c));
        let named = row.of == EffectOf::Named;
        row.claims.iter().find_map(symptom).filter(|_| named)
    }

    /// Whether something is told of a part, by a word or by a saying of its own.
    fn told_of_it(&self, m: &Mention) -> bool {
        m.says.is_some() || m.consumed || !m.is_noun()
    }

    /// `no leak`, `no leaks since`, `but no drips`: told of the one thing before it.
    fn of_one_leak(&self, part: usize, leak: usize) -> bool {
        let Item { last, .. } = self.items.list[leak];
        let one = !self.items.tokens.word(last as usize).ends_with('s');
        let since = self.items.token_is(last + 1, &[WordClass::Since]);
        let but = (part + 1..leak).any(|j| self.items.acts(j, Act::But));
        let fault = |m: &Mention| m.says == Some(Says::Bad) || !m.is_noun();
        one || since || but && self.mentions.last().is_some_and(fault)
    }
}
