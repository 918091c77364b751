//! The colour of smoke, where it is told apart from the smoke.

use super::turns::STORY;
use super::*;

/// Items behind the saying of smoke among which its colour begins.
const NEAR: usize = 9;
/// Colours that one saying may list, words between counted.
const LIST: usize = 8;

/// Mentions looked back over.
const LOOKED_AT: usize = 12;

impl Walk<'_> {
    /// `smokes on start (blue)`, `blew smoke, white, first thing`: smoke has the colour
    /// that stands apart behind it; and `no more smoke` is the smoke told of before.
    pub(super) fn colour_smoke(&mut self) {
        let Some(smoke) = self.parts.find("smoke") else {
            return;
        };
        let of_smoke = |m: &Mention| m.named.iter().any(|n| n.part == smoke);
        for k in 0..self.mentions.len() {
            if !of_smoke(&self.mentions[k]) {
                continue;
            }
            let mut colours = self.colours_behind(self.mentions[k].item);
            if colours.is_empty() {
                colours.extend(self.smoke_of_before(k));
            }
            if colours.is_empty() {
                continue;
            }
            let named = &mut self.mentions[k].named;
            let Some(at) = named.iter().position(|n| n.part == smoke) else {
                continue;
            };
            let naming = named.remove(at).naming;
            named.extend(colours.into_iter().map(|part| Named { part, naming }));
        }
    }

    /// The code of smoke in a colour: `white`, `bluish`.
    fn smoke_in(&self, j: usize) -> Option<PartId> {
        let item = self.items.list.get(j)?;
        if item.first != item.last {
            return None;
        }
        let word = self.items.tokens.word(item.first as usize);
        let coded = |colour: &str| self.parts.find(&format!("smoke_{colour}"));
        let stem = word.strip_suffix("ish");
        let stem = stem.and_then(|s| coded(s).or_else(|| coded(&format!("{s}e"))));
        coded(word).or(stem)
    }

    /// The colours that stand behind a sign or in a bracket, with nothing that makes
    /// them the car's.
    fn colours_behind(&self, smoke: usize) -> Vec<PartId> {
        let sign = |j: usize| {
            matches!(
                self.items.kind(j),
                ItemKind::Sign(b',' | b'(' | b'-' | b':')
            )
        };
        let over = |j: usize| {
            let end = matches!(self.items.kind(j), ItemKind::End(_) | ItemKind::Blank);
            end || self.items.names(j) && self.smoke_in(j).is_none()
        };
        let Some(at) = (smoke + 1..smoke + NEAR)
            .take_while(|j| !over(*j))
            .find(|j| sign(*j))
        else {
            return Vec::new();
        };
        let mut first = at + 1;
        while self.items.acts(first, Act::Pronoun)
            || self.items.acts(first, Act::Copula)
            || self.items.acts(first, Act::Modifier)
        {
            first += 1;
        }
        let mut colours = Vec::new();
        let mut j = first;
        while j < first + LIST {
            match self.smoke_in(j) {
                Some(colour) => colours.push(colour),
                None if self.items.joins(j) && !colours.is_empty() => {}
                None => break,
            }
            j += 1;
        }
        match self.goes_on_of_smoke(j, j > first && self.items.joins(j - 1)) {
            true => colours,
            false => Vec::new(),
        }
    }

    /// Whether what stands behind a colour leaves it the smoke's: not `white, 5 speed`,
    /// nor `black leather`.
    fn goes_on_of_smoke(&self, j: usize, joined: bool) -> bool {
        let small = |c: Cue| !matches!(c.act, Act::State(_) | Act::Copula | Act::Negates);
        match self.items.kind(j) {
            ItemKind::Number => false,
            ItemKind::Word => joined,
            ItemKind::Phrase(_) => !self.items.names(j) && self.items.cue(j).is_some_and(small),
            _ => true,
        }
    }

    /// `Blew smoke, blue. Did the seals, no more smoke`: the colour of smoke told of a
    /// few sentences before, where this is gone.
    fn smoke_of_before(&self, k: usize) -> Option<PartId> {
        let m = &self.mentions[k];
        let Item { first, last, .. } = self.items.list[m.item];
        let words = first.saturating_sub(2)..=last + 2;
        let gone = |t: u32| {
            let gone = [
                WordClass::More,
                WordClass::Since,
                WordClass::Gone,
                WordClass::Over,
            ];
            self.items.token_is(t, &gone)
        };
        let over = m
            .named
            .iter()
            .all(|n| self.final_state(m, *n) == Some(Says::Sound));
        if !over || !words.into_iter().any(gone) {
            return None;
        }
        let before = self.mentions[..k].iter().rev().take(LOOKED_AT);
        let mut before = before.take_while(|p| m.sentence - p.sentence <= STORY);
        before.find_map(|p| {
            let coloured = |n: &&Named| self.parts.code(n.part).starts_with("smoke_");
            p.named.iter().find(coloured).map(|n| n.part)
        })
    }
}
