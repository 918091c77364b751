//! Learns the weights of `passing.csv` from labelled ads, as those of parts are
//! learnt ([`super::leanings`]).

use super::judge::NOT_SCORED;
use super::labelled::{Labelled, cars};
use super::leanings::{Fit, Learnt, Lesson, Told, Trait, table};
use crate::lexicon::Lexicon;
use crate::lexicon::leanings::Near;
use crate::lexicon::parts::Parts;
use crate::lexicon::passing::{ANSWERS, Passing, Verdict};
use crate::reading::Says;
use crate::reading::reader::{Reader, Scratch};
use crate::units::DistanceUnit;

/// How closely weights follow the sayings. The variance was chosen among 0.025, 0.05,
/// 0.15, 0.3 on 1,500 labelled ads of writers that were not learnt from.
pub const FIT: Fit = Fit {
    least: 20,
    variance: 0.05,
};
/// What weighs less is left out.
const LEAST_WEIGHT: f64 = 0.05;

/// What the rules say in labelled ads of cars, as far as it stays a claim: what
/// another saying of the same part takes the place of tells nothing.
pub fn lessons(rows: &[Labelled], lexicon: &mut Lexicon) -> Vec<Lesson> {
    // Else what it leaves out could not be learnt again.
    lexicon.passing = Passing::default();
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let mut out = Vec::new();
    for (ad, row) in cars(rows) {
        let listing = row.text_alone();
        let claims = reader.read_with(&listing, &mut scratch).claims;
        for example in reader.told_examples(&listing.text, &mut scratch) {
            let says = |says| Some(says) == example.says;
            let stays = claims
                .iter()
                .any(|c| c.part == example.part && says(c.says));
            let code = lexicon.parts.code(example.part);
            let scored = !NOT_SCORED.iter().any(|(c, s)| *c == code && says(*s));
            if !stays || !scored {
                continue;
            }
            let gold = row.gold.claims.iter().filter(|c| c.part == code);
            let gold: Vec<Says> = gold.map(|c| c.says).collect();
            let right = gold.iter().find(|s| says(**s)).or(gold.first()).copied();
            let answer = ANSWERS.iter().position(|(_, s)| *s == right);
            out.push(Lesson {
                ad,
                answer: answer.unwrap_or(ANSWERS.len() - 1),
                open: true,
                fresh: false,
                traits: example.traits,
            });
        }
    }
    out
}

/// What the table tells of a saying, and what the rules say of it.
pub fn tell(lesson: &Lesson, chances: [f64; ANSWERS.len()], parts: &Parts) -> Told {
    let place = |says: Option<Says>| {
        let place = ANSWERS.iter().position(|(_, s)| *s == says);
        place.unwrap_or(ANSWERS.len() - 1)
    };
    let of = |near: Near| {
        let mut of = lesson.traits.iter().filter(move |(n, _)| *n == near);
        of.next().map(|(_, word)| word.as_str())
    };
    let said = ANSWERS
        .iter()
        .find(|(column, _)| of(Near::Says) == Some(column));
    let says = said.and_then(|(_, says)| *says);
    let part = of(Near::Part).and_then(|code| parts.find(code));
    let ruinous = part.is_some_and(|part| parts.get(part).ruinous);
    let verdict = says.map(|says| Verdict::on(says, ruinous, chances));
    let answer = match verdict {
        None | Some(Verdict::Stands) => None,
        Some(Verdict::Means { says, .. }) => Some(place(Some(says))),
        Some(Verdict::InPassing { .. }) => Some(place(None)),
    };
    Told {
        answer,
        unless: place(says),
    }
}

/// The table's rows.
pub fn rows(learnt: &Learnt<Trait, { ANSWERS.len() }>) -> Vec<Vec<String>> {
    let cells = |(near, word): &Trait| vec![near.word().to_owned(), word.clone()];
    table(learnt, cells, LEAST_WEIGHT)
}
