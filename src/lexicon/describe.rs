//! What a phrase means, in the words of the tables.

use super::parts::Parts;
use super::phrases::{Act, Cue, EffectOf, Meaning, Naming, NumberCue, Side, Sign, SignField};

/// All meanings of a phrase, one a line, as a mechanic would find them in the
/// tables: `names radiator (noun)`, `cue: bad, on either side`.
pub fn meanings(meaning: &Meaning, parts: &Parts) -> Vec<String> {
    let mut out = Vec::new();
    if meaning.decoy {
        out.push("ignored: only looks like a part".to_owned());
    }
    for named in &meaning.named {
        let naming = match named.naming {
            Naming::Noun => "noun",
            Naming::Generic => "generic",
            Naming::Equipment => "equipment",
            Naming::Feature => "feature",
            Naming::Subject => "subject",
            Naming::Fault => "fault",
            Naming::States(says) => says.word(),
        };
        out.push(format!("names {} ({naming})", parts.code(named.part)));
    }
    out.extend(meaning.cue.map(cue));
    if let Some(says) = meaning.heading {
        out.push(format!("heading: {says}"));
    }
    for effect in &meaning.effects {
        let of = match effect.of {
            EffectOf::Any => "any part".to_owned(),
            EffectOf::Nothing => "nothing named".to_owned(),
            EffectOf::Named => {
                let codes: Vec<_> = effect.subjects.iter().map(|p| parts.code(*p)).collect();
                codes.join(", ")
            }
        };
        let claims: Vec<_> = effect
            .claims
            .iter()
            .map(|(part, says)| format!("{}:{says}", part.map_or("subject", |p| parts.code(p))))
            .collect();
        out.push(format!("said of {of}: {}", claims.join(" ")));
    }
    out.extend(meaning.signs.iter().map(sign));
    if let Some(field) = meaning.hides {
        out.push(format!("no sign of {}: hides it", field_word(field)));
    }
    out.extend(meaning.numbers.iter().copied().map(number));
    out
}

/// `cue: bad, of what follows`.
fn cue(cue: Cue) -> String {
    let side = match cue.side {
        Side::After => "of what follows",
        Side::Before => "of what stands before",
        Side::Next => "of the one right behind",
        Side::Either => "on either side",
    };
    match cue.act {
        Act::State(says) if cue.outlasts => format!("cue: {says}, {side}, of what was renewed too"),
        Act::State(says) => format!("cue: {says}, {side}"),
        Act::Lacks => format!("cue: lacks, {side}"),
        Act::Negates => format!("cue: negates, {side}"),
        Act::Hedges => format!("cue: hedges, {side}"),
        act => format!("cue: {}", act.word()),
    }
}

fn sign(sign: &Sign) -> String {
    format!("sign: {} {}", field_word(sign.field), sign.value)
}

/// The word of `signs.csv` for a field.
pub fn field_word(field: SignField) -> &'static str {
    match field {
        SignField::Title => "title",
        SignField::Moves => "moves",
        SignField::Gearbox => "gearbox",
        SignField::Vague => "vague",
        SignField::AskBasis => "ask_basis",
        SignField::MilesBasis => "miles_basis",
        SignField::Kind => "kind",
        SignField::Distance => "distance",
        SignField::Aside => "aside",
    }
}

fn number(cue: NumberCue) -> String {
    let side = if cue.before { "before" } else { "after" };
    format!("{} a number: {}", side, cue.role.word())
}
