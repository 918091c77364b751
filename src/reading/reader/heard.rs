//! What the rules say of each code, and of the plain fields, weighed with what is heard of
//! the whole ad.

use super::{Reader, Scratch};
use crate::lexicon::context::{
    ALONE, ASK_BASIS, BESIDE, FIELD_ALONE, FIELD_RULES, GEARBOX, MOVES, RUINOUS, RULES, TITLE,
};
use crate::lexicon::parts::{PartId, PartKind};
use crate::lexicon::passing::LEAST_TO_ASK;
use crate::reading::asides;
use crate::reading::context::{BY_ALL_WORDS, Heard, Likely, chance};
use crate::reading::model::{AskBasis, Gearbox, Kind, Moves, Reading, Says, Title};
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
        // Most codes are not spoken of at all; what is told aside is of another thing.
        if any.odds + lead <= 0.0 || aside(any.thing, s) {
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
        let thing = items.telling(likely.thing);
        out.steps.push(Step {
            item: thing,
            text: format!(
                "'{}' says {} {says}, by all words of the ad (chance {:.2})",
                items.said_at(thing),
                self.lexicon.parts.code(part),
                chance(likely.odds)
            ),
        });
        let item = items.list[thing];
        out.sayings.push(Saying {
            part,
            says,
            tokens: (item.first, item.last),
            item: thing,
            cue: None,
            sentence: 0,
            past: false,
            latest: false,
            denied: false,
            implied: false,
            qualifiers: Vec::new(),
            done: None,
            rule: Rule {
                name: items.wording(thing),
                cue: None,
                denied: false,
                hedged: false,
                leans: false,
                heard: true,
            },
        });
    }

    /// Weighs the plain fields of a car, as they were read, with what is heard.
    pub(super) fn heard_fields(&self, reading: &mut Reading, page: &Page<'_>, s: &Scratch) {
        if reading.kind != Kind::Car {
            return;
        }
        let note = |reading: &mut Reading, key, thing| {
            reading.fields.retain(|(known, _)| *known != key);
            let items = self.items(s);
            let tokens = items.tokens_at(items.telling(thing));
            let rule = format!("{}, {BY_ALL_WORDS}", page.words(tokens));
            page.note(reading, key, Some(tokens), &rule);
        };
        let (ear, hearing) = (&self.ear, &s.hearing);
        let told = reading.moves_as_read();
        let moves = likelier(told, Moves::Unstated, ear.moves.likely(hearing));
        if let Some((moves, thing)) = moves {
            reading.likely_moves = Some(moves);
            note(reading, MOVES, thing);
        }
        // Who names the gearbox means it.
        if reading.gearbox == Gearbox::Unstated {
            let heard = ear.gearbox.likely(hearing);
            if let Some((gearbox, thing)) = likelier(reading.gearbox, Gearbox::Unstated, heard) {
                reading.gearbox = gearbox;
                note(reading, GEARBOX, thing);
            }
        }
        let title = ear.title.likely(hearing);
        if let Some((title, thing)) = likelier(reading.title, Title::Unstated, title) {
            reading.title = title;
            note(reading, TITLE, thing);
        }
        // What the price cell says is not heard; of other bases none has a price.
        let told = reading.ask_basis;
        if told == AskBasis::Plain || told.may_be_heard() && !self.basis_in_the_cell(page) {
            let heard = ear.ask_basis.likely(hearing);
            if let Some((basis, thing)) = likelier(told, AskBasis::Plain, heard) {
                reading.ask_basis = basis;
                note(reading, ASK_BASIS, thing);
            }
        }
    }
}

/// Whether a thing stands in what is told of other things than the car on offer.
fn aside(thing: usize, s: &Scratch) -> bool {
    let item = s.items[thing];
    asides::touches(&s.asides, item.first as usize, item.last as usize)
}

/// The value of a field that is likelier than the one told, and the thing that says so
/// most; `open` is the value of a field of which nothing is told.
fn likelier<V: Copy + PartialEq>(
    told: V,
    open: V,
    heard: impl Iterator<Item = (V, Likely)>,
) -> Option<(V, usize)> {
    let heard: Vec<(V, Likely)> = heard.collect();
    // What is told and has no label cannot be weighed.
    if told != open && heard.iter().all(|(value, _)| *value != told) {
        return None;
    }
    let odds = |value: V, likely: Likely| match value == told {
        true => likely.odds + FIELD_RULES,
        false if told == open => likely.odds + FIELD_ALONE,
        false => likely.odds,
    };
    let heard = heard.into_iter();
    let heard = heard.map(|(value, likely)| (value, odds(value, likely), likely.thing));
    let (value, odds, thing) = heard.max_by(|a, b| a.1.total_cmp(&b.1))?;
    (value != told && odds > 0.0).then_some((value, thing))
}
