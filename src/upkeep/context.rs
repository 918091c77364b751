//! Learns the vectors of `context.csv` from labelled ads.

mod descent;
mod slopes;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use super::labelled::{Labelled, cars};
use crate::lexicon::Lexicon;
use crate::lexicon::context::network::{NAMED, OF_TOWER, STATES, SaidRows, TOWERS, Things, Vector};
use crate::lexicon::context::{
    ASK_BASIS, GEARBOX, MOVES, Of, TITLE, UNKNOWN, field, fixed_rows, of_states, said,
};
use crate::reading::context::Heard;
use crate::reading::reader::{Reader, Scratch};
use crate::reading::{AskBasis, Gearbox, Moves, Says, Title};
use crate::units::DistanceUnit;

/// Names that stand less often in what is learnt from have no vector of their own. Those
/// of the beginnings and ends of words tell what a word that is not known is like.
fn least(of: Of) -> usize {
    match of {
        Of::Word | Of::Phrase => 3,
        Of::Begins | Of::Ends => 8,
        _ => 1,
    }
}

/// A value that may be heard.
fn heard<V: Heard>(value: V) -> Option<V> {
    value.may_be_heard().then_some(value)
}

/// A name of the table.
type Name = (Of, String);

/// What is said of a code.
#[derive(Debug)]
struct Said {
    label: usize,
    rows: SaidRows,
    states: [bool; STATES],
}

/// An ad, with what it says.
#[derive(Debug)]
struct Lesson {
    things: Things,
    labels: Vec<usize>,
    said: Vec<Said>,
    /// So many of the labels are judged: of a saying alone only its parts are.
    judged: usize,
}

/// What is learnt from.
#[derive(Debug)]
pub struct Lessons {
    ads: Vec<Lesson>,
    /// What the rows behind the fixed ones are the vectors of.
    names: Vec<Name>,
    /// The rows of the labels, in the first tower.
    labels: Vec<u32>,
}

/// Where the vectors of each name stand, in their order: those behind the names that all
/// towers share have one for each tower.
fn places(names: &[Name]) -> impl Iterator<Item = (usize, &Name)> {
    let mut next = NAMED;
    names.iter().map(move |name| {
        let place = next;
        next += name.0.vectors();
        (place, name)
    })
}

/// An ad as a [`Lesson`], before its names have rows.
struct Unnumbered {
    things: Vec<Vec<Name>>,
    labels: Vec<Name>,
    said: Vec<(String, [bool; STATES])>,
    whole: bool,
}

/// The labelled ads of cars.
pub fn lessons(rows: &[Labelled], lexicon: &Lexicon) -> Lessons {
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let lesson = |(_, row): (usize, &Labelled)| {
        let gold = &row.gold;
        let text = row.text_alone().text;
        let things = reader.things(&text, &mut scratch, |(of, name)| (of, name.to_owned()));
        let mut said: BTreeMap<String, [bool; STATES]> = BTreeMap::new();
        for claim in &gold.claims {
            let states = said.entry(claim.part.clone()).or_default();
            let state = Says::ALL.iter().position(|says| *says == claim.says);
            state.into_iter().for_each(|k| states[k] = true);
        }
        let fields = [
            (MOVES, heard(gold.moves).map(Moves::word)),
            (GEARBOX, heard(gold.gearbox).map(Gearbox::word)),
            (TITLE, heard(gold.title).map(Title::word)),
            (ASK_BASIS, heard(gold.ask_basis).map(AskBasis::word)),
        ];
        let fields = fields.into_iter();
        let fields = fields.filter_map(|(key, word)| Some((Of::Field, field(key, word?))));
        let vague = gold.vague.iter().map(|v| (Of::Vague, v.word().to_owned()));
        let parts = said.keys().map(|code| (Of::Part, code.clone()));
        Unnumbered {
            things,
            labels: parts.chain(vague).chain(fields).collect(),
            said: said.into_iter().collect(),
            whole: gold.make.is_some() || gold.year.is_some() || gold.ask.is_some(),
        }
    };
    numbered(cars(rows).map(lesson).collect())
}

fn numbered(ads: Vec<Unnumbered>) -> Lessons {
    let mut counts: BTreeMap<Name, usize> = BTreeMap::new();
    for ad in &ads {
        let states = |code: &str| of_states(|says| (Of::Said, said(code, says)));
        let of_codes = ad.said.iter().flat_map(|(code, _)| states(code));
        let of_ad = ad.things.iter().flatten().chain(&ad.labels).cloned();
        for name in of_ad.chain(of_codes) {
            *counts.entry(name).or_default() += 1;
        }
    }
    counts.retain(|(of, _), count| *count >= least(*of));
    counts.insert((Of::Word, UNKNOWN.to_owned()), 1);
    let names: Vec<Name> = counts.into_keys().collect();
    let places: Vec<u32> = places(&names).map(|(place, _)| place as u32).collect();
    let row_of = |name: &Name| names.binary_search(name).ok().map(|at| places[at]);
    let unknown = row_of(&(Of::Word, UNKNOWN.to_owned()));
    let of_labels = names.iter().filter(|(of, _)| of.is_label());
    let labels: Vec<u32> = of_labels.filter_map(row_of).collect();
    let parts = names.iter().filter(|(of, _)| *of == Of::Part).count();
    let label_of = |name: &Name| labels.iter().position(|row| Some(*row) == row_of(name));
    let lesson = |ad: &Unnumbered| {
        let mut things = Things::default();
        for names in &ad.things {
            let row = |name: &Name| match name.0 {
                Of::Word => row_of(name).or(unknown),
                _ => row_of(name),
            };
            things.push(names.iter().filter_map(row));
        }
        let said = |(code, states): &(String, [bool; STATES])| {
            Some(Said {
                label: label_of(&(Of::Part, code.clone()))?,
                rows: of_states(|says| row_of(&(Of::Said, said(code, says)))),
                states: *states,
            })
        };
        Lesson {
            things,
            labels: ad.labels.iter().filter_map(label_of).collect(),
            said: ad.said.iter().filter_map(said).collect(),
            judged: if ad.whole { labels.len() } else { parts },
        }
    };
    let ads = ads.iter().map(lesson).collect();
    Lessons { ads, names, labels }
}

impl Lessons {
    /// How many claims are learnt from.
    pub fn claims(&self) -> usize {
        self.ads.iter().map(|ad| ad.said.len()).sum()
    }

    /// Learns from all of them.
    pub fn learn(&self) -> Vec<Vector> {
        let all: Vec<_> = self.ads.iter().collect();
        let kinds = self.names.iter();
        let kinds = kinds.flat_map(|(of, _)| std::iter::repeat_n(*of, of.vectors()));
        descent::learn(&all, &kinds.collect::<Vec<_>>(), &self.labels)
    }

    /// The table's rows.
    pub fn rows(&self, learnt: &[Vector]) -> Vec<[String; 3]> {
        let fixed = fixed_rows().enumerate().map(|(row, (of, name))| {
            let towers = (0..TOWERS).map(|tower| learnt[tower * OF_TOWER + row]);
            [of, name, hundredths(towers)]
        });
        let named = places(&self.names).map(|(place, (of, name))| {
            let vectors = learnt[place..][..of.vectors()].iter().copied();
            [of.word().to_owned(), name.clone(), hundredths(vectors)]
        });
        fixed.chain(named).collect()
    }
}

fn hundredths(vectors: impl Iterator<Item = Vector>) -> String {
    let whole = vectors.flatten().map(|v| (v * 100.0).round().to_string());
    // Nothing has no sign.
    let whole = whole.map(|w| if w == "-0" { "0".to_owned() } else { w });
    whole.collect::<Vec<_>>().join(" ")
}
