//! Learns the vectors of `context.csv` from labelled ads.

mod descent;

use std::collections::BTreeMap;

use super::labelled::{Labelled, cars};
use super::passing::{judged, place};
use crate::lexicon::Lexicon;
use crate::lexicon::context::network::{Asked, NAMED, Pass, Thing, Vector};
use crate::lexicon::context::{Context, Of, UNKNOWN, fixed_rows};
use crate::lexicon::passing::{ANSWERS, Passing};
use crate::reading::reader::{Reader, Scratch};
use crate::units::DistanceUnit;

/// Words that stand less often in what is learnt from have no vector of their own.
const LEAST: usize = 5;
/// One fresh ad in so many is left out, to try what was learnt of the others.
const TRIED: usize = 5;

/// A name of the table.
type Name = (Of, String);

/// An ad, with the parts asked about and their right answers.
#[derive(Debug)]
struct Lesson {
    ad: usize,
    things: Vec<Thing>,
    asked: Vec<(Asked, usize)>,
}

/// What is learnt from.
#[derive(Debug)]
pub struct Lessons {
    ads: Vec<Lesson>,
    /// What the rows behind the fixed ones are the vectors of.
    names: Vec<Name>,
}

/// The same before the names have rows.
struct Unnumbered {
    ad: usize,
    things: Vec<(Name, Option<Name>)>,
    asked: Vec<(usize, Option<usize>, Name, usize)>,
}

/// The labelled ads of cars, with all parts that they name: of those that the rules say
/// something of, the network is told no more than of the others.
pub fn lessons(rows: &[Labelled], lexicon: &mut Lexicon) -> Lessons {
    // Else what they leave out would not be learnt from.
    lexicon.passing = Passing::default();
    lexicon.context = Context::default();
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let mut ads = Vec::new();
    for (ad, row) in cars(rows) {
        let mut asked = Vec::new();
        let name = |part| (Of::Part, lexicon.parts.code(part).to_owned());
        for (remark, answer) in judged(row, &reader, lexicon, &mut scratch) {
            asked.push((remark.thing, remark.cue, name(remark.part), answer));
        }
        let text = row.text_alone().text;
        let examples = reader.examples(&text, &mut scratch).into_iter();
        for open in examples.filter(|e| e.says.is_none()) {
            let code = lexicon.parts.code(open.part);
            let gold = row.gold.claims.iter().find(|c| c.part == code);
            asked.push((
                open.thing,
                None,
                name(open.part),
                place(gold.map(|c| c.says)),
            ));
        }
        // It is meant so, or not: the first of the answers, or the last.
        for words in reader.vague_words(&text, &mut scratch) {
            let meant = row.gold.vague.contains(&words.says);
            let answer = place(meant.then_some(ANSWERS[0].1).flatten());
            let name = (Of::Vague, words.says.word().to_owned());
            asked.push((words.thing, Some(words.last), name, answer));
        }
        let things = reader.things(&text, &mut scratch, |thing| {
            let (of, does) = thing.kind;
            let word = thing.word.map(|w| (Of::Word, w.to_owned()));
            ((of, does.to_owned()), word)
        });
        ads.push(Unnumbered { ad, things, asked });
    }
    ads.retain(|ad| !ad.asked.is_empty());
    numbered(ads)
}

fn numbered(ads: Vec<Unnumbered>) -> Lessons {
    let mut counts: BTreeMap<&Name, usize> = BTreeMap::new();
    for ad in &ads {
        let things = ad
            .things
            .iter()
            .flat_map(|(kind, word)| [Some(kind), word.as_ref()]);
        let parts = ad.asked.iter().map(|(.., part, _)| Some(part));
        for name in things.chain(parts).flatten() {
            *counts.entry(name).or_default() += 1;
        }
    }
    let unknown = (Of::Word, UNKNOWN.to_owned());
    counts.retain(|(of, _), count| *of != Of::Word || *count >= LEAST);
    counts.insert(&unknown, 1);
    let row = |number: usize| (NAMED + number) as u32;
    let rows: BTreeMap<&Name, u32> = counts
        .keys()
        .enumerate()
        .map(|(i, n)| (*n, row(i)))
        .collect();
    let of_unknown = rows.get(&unknown).copied();
    let lesson = ads.iter().map(|ad| Lesson {
        ad: ad.ad,
        things: ad
            .things
            .iter()
            .map(|(kind, word)| Thing {
                kind: rows.get(kind).copied(),
                word: word
                    .as_ref()
                    .and_then(|w| rows.get(w).copied().or(of_unknown)),
            })
            .collect(),
        asked: ad
            .asked
            .iter()
            .map(|(thing, cue, part, answer)| {
                let asked = Asked {
                    thing: *thing,
                    cue: *cue,
                    part: rows.get(part).copied(),
                };
                (asked, *answer)
            })
            .collect(),
    });
    Lessons {
        ads: lesson.collect(),
        names: counts.keys().map(|n| (*n).clone()).collect(),
    }
}

/// What was learnt, tried on fresh ads that were left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Trial {
    /// Parts whose likeliest answer is the label's.
    pub right: usize,
    /// Parts asked about.
    pub asked: usize,
}

impl Lessons {
    /// How many parts are asked about.
    pub fn asked(&self) -> usize {
        self.ads.iter().map(|ad| ad.asked.len()).sum()
    }

    /// Learns from all of them.
    pub fn learn(&self) -> Vec<Vector> {
        descent::learn(&self.ads.iter().collect::<Vec<_>>(), self.names.len())
    }

    /// Learns from all but a share of the ads from `first` on, and tries that.
    pub fn try_left_out(&self, first: usize) -> Trial {
        let tried = |l: &&Lesson| l.ad >= first && l.ad.is_multiple_of(TRIED);
        let kept: Vec<_> = self.ads.iter().filter(|l| !tried(l)).collect();
        let rows = descent::learn(&kept, self.names.len());
        let mut trial = Trial::default();
        let mut pass = Pass::default();
        for lesson in self.ads.iter().filter(tried) {
            let asked: Vec<Asked> = lesson.asked.iter().map(|(asked, _)| *asked).collect();
            pass.begin(&rows, lesson.things.iter().copied());
            pass.run(&rows, &asked);
            for (asked, answer) in &lesson.asked {
                let sums = pass.answer(&rows, asked);
                let best = (0..sums.len()).max_by(|a, b| sums[*a].total_cmp(&sums[*b]));
                trial.right += usize::from(best == Some(*answer));
                trial.asked += 1;
            }
        }
        trial
    }

    /// The table's rows.
    pub fn rows(&self, learnt: &[Vector]) -> Vec<[String; 3]> {
        let names = self.names.iter();
        let names = names.map(|(of, name)| (of.word().to_owned(), name.clone()));
        let named = fixed_rows().chain(names).zip(learnt);
        named
            .map(|((of, name), vector)| [of, name, hundredths(vector)])
            .collect()
    }
}

fn hundredths(vector: &Vector) -> String {
    let whole = vector.map(|v| (v * 100.0).round().to_string());
    // Nothing has no sign.
    whole
        .map(|w| if w == "-0" { "0".to_owned() } else { w })
        .join(" ")
}
