//! A warning light that is told of without its name.

use super::*;

/// Mentions looked back over.
const NEAREST: usize = 6;

impl Walk<'_> {
    /// `Replaced the EGR and MAF. Light is still on.`: of the engine behind its parts, of
    /// the brakes or airbags behind theirs; behind other things it is a lamp, and says
    /// nothing. Whether it says something.
    pub(super) fn light_of(&self, m: &mut Mention) -> bool {
        let Item { first, .. } = self.items.list[m.item];
        let article = self
            .items
            .token_is(first, &[WordClass::The, WordClass::That]);
        let at = first + u32::from(article);
        let told = [
            WordClass::Is,
            WordClass::Still,
            WordClass::Came,
            WordClass::Back,
            WordClass::Ability,
            WordClass::On,
        ];
        if !self.items.token_is(at, &[WordClass::Light]) || !self.items.token_is(at + 1, &told) {
            return true;
        }
        let [named] = &mut m.named[..] else {
            return true;
        };
        if self.parts.code(named.part) != "engine_light" {
            return true;
        }
        let near = |p: &&Mention| m.sentence - p.sentence <= 1;
        let before = self.mentions.iter().rev().take(NEAREST).take_while(near);
        let parts = before.filter(|p| !p.place);
        let part = parts.flat_map(|p| &p.named).map(|n| n.part).next();
        let Some(part) = part else { return false };
        // By itself the words tell nothing.
        named.naming = Naming::States(Says::Bad);
        match self.parts.code(part) {
            "abs" | "airbag" => {
                named.part = part;
                true
            }
            "engine_light" | "evap" | "catalytic_converter" | "o2_sensor" | "failed_emissions" => {
                true
            }
            _ => matches!(self.parts.get(part).group.as_str(), "engine" | "fuel"),
        }
    }
}
