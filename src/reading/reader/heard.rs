//! What the rules say of each code, and of how the car moves, weighed with what is heard
//! of the whole ad.

use super::{Reader, Scratch};
use crate::lexicon::context::{ALONE, BESIDE, MOVES_RULES, RUINOUS, RULES};
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::passing::LEAST_TO_ASK;
use crate::reading::context::{BY_ALL_WORDS, Likely, chance};
use crate::reading::model::{Kind, Moves, Reading, Says};
use crate::reading::page::Page;
use crate::reading::scope::{LeftOut, Rule, Saying, Step};
use crate::units::Chance;

/// What the rules say and what is heard, brought together.
#[derive(Debug, Default)]
pub(super) struct Weighed {
    /// What is told.
    pub(super) sayings: Vec<Saying>,
    /// Faults that are not.
    pub(super) left_out: Vec<LeftOut>,
    /// What was changed, in words.
    pub(super) steps: Vec<Step>,
}

/// Two different things at most are said of one code.
const MOST_OF_A_CODE: usize = 2;

/// What the rules say of a code.
#[derive(Debug, Clone, Copy)]
struct Told {
    part: PartId,
    says: Says,
    denied: bool,
}

impl Reader<'_> {
    /// Weighs what the rules say of each code with what is heard. What they say counts
    /// as odds; what they do not say must be heard all the clearer.
    pub(super) fn weigh(&self, sayings: Vec<Saying>, s: &Scratch) -> Weighed {
        let told = |s: &Saying| Told {
            part: s.part,
            says: s.says,
            denied: s.denied || s.rule.denied,
        };
        let told: Vec<Told> = sayings.iter().map(told).collect();
        let mut out = Weighed::default();
        for saying in sayings {
            self.doubt(saying, s, &mut out);
        }
        for part in self.lexicon.parts.ids() {
            self.add(part, &told, s, &mut out);
        }
        out
    }

    /// Keeps what the rules say, unless the whole ad speaks against it.
    fn doubt(&self, saying: Saying, s: &Scratch, out: &mut Weighed) {
        let heard = self.ear.states(saying.part, &s.hearing);
        let heard = heard.map(|states| states[saying.says as usize]);
        let ruinous = saying.says.is_fault() && self.lexicon.parts.get(saying.part).ruinous;
        let rules = RULES + if ruinous { RUINOUS } else { 0.0 };
        let odds = match heard {
            Some(likely) if likely.odds + rules <= 0.0 => likely.odds + rules,
            _ => return out.sayings.push(saying),
        };
        out.steps.push(Step {
            item: saying.item,
            text: format!(
                "'{}' ({}) is likely not told of the car, by all words of the ad: left out \
                 (chance {:.2})",
                self.items(s).said_at(saying.item),
                saying.says,
                1.0 - chance(odds)
            ),
        });
        let meant = Chance::new(chance(odds)).filter(|c| c.value() >= LEAST_TO_ASK);
        if let Some(meant) = meant.filter(|_| saying.says.is_fault()) {
            out.left_out.push(LeftOut { saying, meant });
        }
    }

    /// Adds what is heard of a code and no rule says.
    fn add(&self, part: PartId, told: &[Told], s: &Scratch, out: &mut Weighed) {
        let Some(any) = self.ear.part(part, &s.hearing) else {
            return;
        };
        let by_rules = || told.iter().filter(|t| t.part == part);
        let lead = match by_rules().next() {
            None => ALONE,
            Some(_) => BESIDE,
        };
        // Most codes are not spoken of at all.
        if any.odds + lead <= 0.0 {
            return;
        }
        let denied = by_rules().any(|t| t.denied);
        let symptom = self.lexicon.parts.get(part).kind == PartKind::Symptom;
        let states = self.ear.states(part, &s.hearing).into_iter().flatten();
        for (says, likely) in Says::ALL.iter().zip(states) {
            // What is denied is no fault, and a symptom is never renewed: it is gone.
            let cannot = says.is_fault() && denied || *says == Says::Renewed && symptom;
            let of_code = out.sayings.iter().filter(|s| s.part == part).count();
            if likely.odds + lead > 0.0
                && !cannot
                && by_rules().all(|t| t.says != *says)
                && of_code < MOST_OF_A_CODE
            {
                self.say(part, *says, likely, s, out);
            }
        }
    }

    fn say(&self, part: PartId, says: Says, likely: Likely, s: &Scratch, out: &mut Weighed) {
        let items = self.items(s);
        out.steps.push(Step {
            item: likely.thing,
            text: format!(
                "'{}' says {} {says}, by all words of the ad (chance {:.2})",
                items.said_at(likely.thing),
                self.lexicon.parts.code(part),
                chance(likely.odds)
            ),
        });
        let item = items.list[likely.thing];
        out.sayings.push(Saying {
            part,
            says,
            tokens: (item.first, item.last),
            item: likely.thing,
            cue: None,
            sentence: 0,
            past: false,
            latest: false,
            denied: false,
            implied: false,
            qualifiers: Vec::new(),
            done: None,
            rule: Rule {
                name: items.wording(likely.thing),
                cue: None,
                denied: false,
                hedged: false,
                leans: false,
                heard: true,
            },
        });
    }

    /// Weighs how the car moves, as it was read, with what is heard.
    pub(super) fn heard_moves(&self, reading: &mut Reading, page: &Page<'_>, s: &Scratch) {
        if reading.kind != Kind::Car {
            return;
        }
        let told = reading.moves_as_read();
        let lead = |moves| if moves == told { MOVES_RULES } else { 0.0 };
        let heard = self.ear.moves(&s.hearing);
        let heard = heard.map(|(moves, likely)| (moves, likely.odds + lead(moves), likely.thing));
        let Some((moves, odds, thing)) = heard.max_by(|a, b| a.1.total_cmp(&b.1)) else {
            return;
        };
        if moves == told || odds <= lead(Moves::Unstated) {
            return;
        }
        reading.likely_moves = Some(moves);
        reading.fields.retain(|(key, _)| *key != "moves");
        let tokens = self.items(s).tokens_at(thing);
        let rule = format!("{}, {BY_ALL_WORDS}", page.words(tokens));
        page.note(reading, "moves", Some(tokens), &rule);
    }
}
