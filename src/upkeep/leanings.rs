//! Learns the weights of `leanings.csv` from labelled ads.
//!
//! Multinomial logistic regression with a quadratic penalty, fitted by
//! gradients whose steps are scaled for each weight (AdaGrad: Duchi, Hazan,
//! Singer 2011, J. Mach. Learn. Res. 12:2121-2159). Every part that an ad names
//! is an example, also where a rule tells its state: the words beside a state
//! are much the same whether a rule knows them or not, and there are four times
//! as many.

use std::collections::BTreeMap;

use super::labelled::{Labelled, cars};
use crate::lexicon::Lexicon;
use crate::lexicon::leanings::{ANSWERS, Near, chances};
use crate::reading::Says;
use crate::reading::reader::{Reader, Scratch};
use crate::units::DistanceUnit;

/// A trait of a part that was named, as the table has it.
pub type Trait = (Near, String);

/// What is to be answered, with its answer: one part that an ad names, or one
/// whole ad.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson<T = Trait> {
    /// Which ad, to keep those of one ad together.
    pub ad: usize,
    /// What stands around it.
    pub traits: Vec<T>,
    /// Which of the answers is right.
    pub answer: usize,
    /// Whether the rules leave it open, so that the table will be asked.
    pub open: bool,
}

/// How closely weights follow the lessons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Traits with fewer examples are left out.
    pub least: usize,
    /// Strength of the penalty: the variance that weights are expected to have.
    pub variance: f64,
}

/// That of parts; the variance was chosen among 0.05, 0.15, 0.3, 0.5 by leaving out
/// fifths of the ads.
pub const FIT: Fit = Fit {
    least: 3,
    variance: 0.3,
};
/// How much more an example counts that the rules leave open, as are those that
/// the table is asked for. Chosen among 1, 2, 3 by leaving out fifths of the ads.
const OPEN_COUNTS: f64 = 2.0;
/// Rounds over all examples.
const ROUNDS: usize = 300;
/// First step of a weight.
const STEP: f64 = 0.3;

/// The parts that labelled ads of cars name.
pub fn lessons(rows: &[Labelled], lexicon: &Lexicon) -> Vec<Lesson> {
    let reader = Reader::new(lexicon, DistanceUnit::Miles);
    let mut scratch = Scratch::default();
    let mut out = Vec::new();
    for (ad, row) in cars(rows) {
        let listing = row.text_alone();
        for example in reader.examples(&listing.text, &mut scratch) {
            let code = lexicon.parts.code(example.part);
            let claims = row.gold.claims.iter().filter(|c| c.part == code);
            let told: Vec<Says> = claims.map(|c| c.says).collect();
            out.push(Lesson {
                ad,
                answer: answer(&told, example.says),
                open: example.says.is_none(),
                traits: example.traits,
            });
        }
    }
    out
}

/// Which answer is right: the label's; where the label has two, the one that
/// the rules found here.
fn answer(told: &[Says], by_rules: Option<Says>) -> usize {
    let right = match (told, by_rules) {
        ([one], _) => Some(*one),
        (several, Some(says)) if several.contains(&says) => Some(says),
        (several, _) => several.first().copied(),
    };
    let nothing = ANSWERS.len() - 1;
    let of = |says: Says| ANSWERS.iter().position(|(_, s)| *s == Some(says));
    right.and_then(of).unwrap_or(nothing)
}

/// Weights learnt from lessons, by trait.
pub type Learnt<T = Trait, const N: usize = { ANSWERS.len() }> = BTreeMap<T, [f64; N]>;

/// Learns from lessons; the same lessons give the same weights.
pub fn learn<T: Ord + Clone, const N: usize>(lessons: &[&Lesson<T>], fit: Fit) -> Learnt<T, N> {
    let mut counts: BTreeMap<&T, usize> = BTreeMap::new();
    for lesson in lessons {
        let mut seen: Vec<&T> = lesson.traits.iter().collect();
        seen.sort();
        seen.dedup();
        seen.into_iter()
            .for_each(|t| *counts.entry(t).or_default() += 1);
    }
    counts.retain(|_, n| *n >= fit.least);
    let number: BTreeMap<&T, usize> = counts.keys().enumerate().map(|(i, t)| (*t, i)).collect();
    let rows: Vec<Vec<usize>> = lessons
        .iter()
        .map(|l| l.traits.iter().filter_map(|t| number.get(t)).copied())
        .map(Iterator::collect)
        .collect();
    let mut weights = vec![[0.0; N]; number.len()];
    let mut squares = vec![[1e-9; N]; number.len()];
    for _ in 0..ROUNDS {
        let mut slopes: Vec<[f64; N]> = weights
            .iter()
            .map(|w| w.map(|w| w / fit.variance))
            .collect();
        for (row, lesson) in rows.iter().zip(lessons) {
            let mut off = chances(sums(row.iter().map(|i| &weights[*i])));
            off[lesson.answer] -= 1.0;
            if lesson.open {
                off = off.map(|o| o * OPEN_COUNTS);
            }
            for i in row {
                slopes[*i].iter_mut().zip(off).for_each(|(s, o)| *s += o);
            }
        }
        for ((weight, slope), square) in weights.iter_mut().zip(&slopes).zip(&mut squares) {
            for ((w, s), q) in weight.iter_mut().zip(slope).zip(square) {
                *q += s * s;
                *w -= STEP * s / q.sqrt();
            }
        }
    }
    let learnt = number.into_keys().cloned().zip(weights);
    learnt.collect()
}

fn sums<'w, const N: usize>(weights: impl Iterator<Item = &'w [f64; N]>) -> [f64; N] {
    let mut sums = [0.0; N];
    for w in weights {
        sums.iter_mut().zip(w).for_each(|(s, w)| *s += w);
    }
    sums
}

/// What becomes of open parts of ads that were not learnt from, where a state
/// is told from a chance on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Trial {
    /// Told, and so labelled.
    pub right: usize,
    /// Told, and labelled otherwise or not at all.
    pub wrong: usize,
    /// Labelled with a state, and not told.
    pub missed: usize,
}

/// What a table tells of a lesson, by the chances of its answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Told {
    /// The answer told; none where nothing is.
    pub answer: Option<usize>,
    /// The answer that stands where nothing is told.
    pub unless: usize,
}

/// The likeliest answer from a chance on; the last of the answers is that nothing is
/// told.
pub fn from_chance<const N: usize>(chances: [f64; N], least: f64) -> Told {
    let nothing = N - 1;
    let best = (0..nothing).max_by(|a, b| chances[*a].total_cmp(&chances[*b]));
    Told {
        answer: best.filter(|b| chances[*b] >= least),
        unless: nothing,
    }
}

/// Learns from all but a share of the ads and tries that, in turn. Tried are those
/// from the ad `first` on: where rules were made from the others, only these show how
/// often rules err. What is told of a lesson, by its place among all, is for `tell` to
/// say.
pub fn try_left_out<T: Ord + Clone, const N: usize>(
    (lessons, first): (&[Lesson<T>], usize),
    folds: usize,
    fit: Fit,
    tell: impl Fn(usize, [f64; N]) -> Told,
) -> Trial {
    let mut trial = Trial::default();
    for fold in 0..folds {
        let tried = |l: &Lesson<T>| l.ad % folds == fold && l.ad >= first;
        let kept: Vec<_> = lessons.iter().filter(|l| !tried(l)).collect();
        let learnt: Learnt<T, N> = learn(&kept, fit);
        let out = lessons.iter().enumerate().filter(|(_, l)| tried(l));
        for (i, lesson) in out.filter(|(_, l)| l.open) {
            let of = sums(lesson.traits.iter().filter_map(|t| learnt.get(t)));
            let told = tell(i, chances(of));
            match told.answer {
                Some(best) if best == lesson.answer => trial.right += 1,
                Some(_) => trial.wrong += 1,
                None if lesson.answer != told.unless => trial.missed += 1,
                None => {}
            }
        }
    }
    trial
}

/// The table's rows; weights that round to nothing are left out.
pub fn rows(learnt: &Learnt) -> Vec<Vec<String>> {
    let cells = |(near, word): &Trait| vec![near.word().to_owned(), word.clone()];
    table(learnt, cells, 0.05)
}

/// The rows of a table of weights: the cells of each trait that weighs at least
/// so much in an answer, and its weights.
pub(super) fn table<T, const N: usize>(
    learnt: &Learnt<T, N>,
    cells: impl Fn(&T) -> Vec<String>,
    least: f64,
) -> Vec<Vec<String>> {
    let rounded = |w: f64| {
        let text = format!("{w:.2}");
        match text.as_str() {
            "0.00" | "-0.00" => String::new(),
            _ => text,
        }
    };
    learnt
        .iter()
        .filter(|(_, weights)| weights.iter().any(|w| w.abs() >= least))
        .map(|(of, weights)| {
            let weights = weights.iter().map(|w| rounded(*w));
            cells(of).into_iter().chain(weights).collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lesson(ad: usize, word: &str, answer: usize) -> Lesson {
        Lesson {
            ad,
            traits: vec![
                (Near::After, word.to_owned()),
                (Near::Form, "any".to_owned()),
            ],
            answer,
            open: true,
        }
    }

    #[test]
    fn what_words_tell_is_learnt() {
        let mut all = Vec::new();
        for ad in 0..60 {
            all.push(lesson(ad, "kaputt", 0));
            all.push(lesson(ad, "lovely", 3));
            all.push(lesson(ad, "there", 4));
        }
        let learnt: Learnt = learn(&all.iter().collect::<Vec<_>>(), FIT);
        let of = |word: &str| learnt[&(Near::After, word.to_owned())];
        assert!(of("kaputt")[0] > of("kaputt")[4] + 1.0);
        assert!(of("lovely")[3] > of("lovely")[0] + 1.0);
        let tell = |_, chances: [f64; ANSWERS.len()]| from_chance(chances, 0.45);
        let trial = try_left_out((&all, 0), 5, FIT, tell);
        assert_eq!(
            trial,
            Trial {
                right: 120,
                wrong: 0,
                missed: 0
            }
        );
        assert_eq!(rows(&learnt).len(), 4);
    }

    #[test]
    fn what_was_learnt_is_tried_on_fresh_ads_where_there_are_any() {
        // In the ads that the rules were made from, squeals are praise.
        let mut all: Vec<Lesson> = (0..60).map(|ad| lesson(ad, "squeals", 3)).collect();
        all.extend((60..90).map(|ad| lesson(ad, "squeals", 0)));
        let tell = |_, chances: [f64; ANSWERS.len()]| from_chance(chances, 0.45);
        let trial = try_left_out((&all, 0), 5, FIT, tell);
        assert_eq!((trial.right, trial.wrong), (60, 30));
        let trial = try_left_out((&all, 60), 5, FIT, tell);
        assert_eq!((trial.right, trial.wrong), (0, 30));
    }

    #[test]
    fn the_label_decides_and_the_rule_chooses_between_two() {
        assert_eq!(answer(&[Says::Renewed], Some(Says::Bad)), 2);
        assert_eq!(answer(&[Says::Renewed, Says::Bad], Some(Says::Bad)), 0);
        assert_eq!(answer(&[], Some(Says::Bad)), 4);
        assert_eq!(answer(&[Says::Spare], None), 4);
    }
}
