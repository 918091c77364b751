//! What was read, as numbered lines: the numbers mark the text.

use super::text::{likely, part_words};
use crate::lexicon::Lexicon;
use crate::reading::{Evidence, FaultCode, Reading, Says};

/// One numbered line of what was read.
pub(super) struct Entry<'a> {
    /// What kind of thing it is; the page marks by it.
    #[cfg_attr(not(feature = "page"), allow(dead_code))]
    pub kind: Told,
    /// What was read.
    pub what: String,
    /// What the code means.
    pub meaning: Option<String>,
    /// When the work was done, and what was found at the car, each behind a
    /// comma.
    pub more: String,
    /// Where.
    pub evidence: Vec<&'a Evidence>,
}

/// What kind of thing was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Told {
    /// A plain field, by its key.
    Field(&'static str),
    /// Something about a part or symptom.
    Claim(Says),
    /// A fault of a part or symptom, likely not said of this car.
    InPassing,
    /// A trouble code.
    Code,
    /// Vague wording.
    Vague,
}

/// Fields, claims, vague wording: the numbers that mark the text.
pub(super) fn entries<'a>(reading: &'a Reading, lexicon: &Lexicon) -> Vec<Entry<'a>> {
    let fields = reading.fields.iter().map(|(key, evidence)| Entry {
        kind: Told::Field(key),
        what: format!("{key} {}", field(reading, key)),
        meaning: None,
        more: String::new(),
        evidence: vec![evidence],
    });
    let claims = reading.claims.iter().map(|claim| {
        let done = claim
            .done_at
            .map(|miles| format!(", done at {miles} miles"))
            .or_else(|| claim.done_in.map(|year| format!(", done in {year}")));
        let part = lexicon.parts.get(claim.part);
        let found = claim.found.map(|f| {
            format!(
                ", found at the car, {:.0} % likely",
                f.chance.value() * 100.0
            )
        });
        Entry {
            kind: Told::Claim(claim.says),
            what: format!("{} {}", part_words(lexicon, claim.part), claim.says),
            meaning: Some(part.meaning.clone()),
            more: done.into_iter().chain(found).collect(),
            evidence: claim.evidence.iter().collect(),
        }
    });
    let in_passing = reading.in_passing().map(|told| Entry {
        kind: Told::InPassing,
        what: format!("{} told in passing", part_words(lexicon, told.part)),
        meaning: Some(lexicon.parts.get(told.part).meaning.clone()),
        more: format!(", {} of this car", likely(told.chance.value())),
        evidence: vec![&told.evidence],
    });
    let codes = reading.codes.iter().map(|c| Entry {
        kind: Told::Code,
        what: format!("trouble code {}", c.code),
        meaning: Some(meaning_of(c, lexicon)),
        more: String::new(),
        evidence: vec![&c.evidence],
    });
    let vague = reading.vague.iter().map(|(vague, evidence)| Entry {
        kind: Told::Vague,
        what: format!("vague {}", vague.word().replace('_', " ")),
        meaning: None,
        more: String::new(),
        evidence: vec![evidence],
    });
    let told = fields.chain(claims).chain(in_passing);
    told.chain(codes).chain(vague).collect()
}

/// What a trouble code stands for and points at, in words.
fn meaning_of(code: &FaultCode, lexicon: &Lexicon) -> String {
    let means = code.means.as_deref().unwrap_or("not in fault_codes.csv");
    if code.hints.is_empty() {
        return means.to_owned();
    }
    let hints: Vec<_> = code.hints.iter().map(|h| part_words(lexicon, *h)).collect();
    format!("{means}; points at: {}", hints.join(", "))
}

/// Stands for a value that the ad does not give.
pub(super) const UNTOLD: &str = "not told";

/// The value of a plain field in words.
pub(super) fn field(reading: &Reading, key: &str) -> String {
    let opt = |value: Option<String>| value.unwrap_or_else(|| UNTOLD.to_owned());
    match key {
        "kind" => reading.kind.to_string(),
        "year" => opt(reading.year.map(|y| y.to_string())),
        "make" => opt(reading.make.clone()),
        "model" => opt(reading.model.clone()),
        "ask" => opt(reading.ask.map(|a| a.to_string())),
        "ask_basis" => reading.ask_basis.to_string(),
        "miles" => opt(reading.miles.map(|m| m.to_string())),
        "miles_basis" => reading.miles_basis.to_string(),
        "title" => reading.title.to_string(),
        "moves" => match reading.likely_moves {
            Some(likely) => format!("likely {likely}"),
            None => reading.moves.to_string(),
        },
        "gearbox" => reading.gearbox.to_string(),
        "vin" => opt(reading.vin.clone()),
        _ => String::new(),
    }
}
