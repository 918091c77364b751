//! The arithmetic of [`Context`](super::Context): a small convolutional network.
//!
//! Each thing of an ad (a word, a phrase, a sign) begins as the sum of its rows. Three
//! layers mix each with those beside it, one, two and four things off (dilated
//! convolutions: Yu, Koltun 2016, ICLR), with what is below nothing cut off (rectified)
//! and, from the second layer on, what came in added again (residual: He et al. 2016,
//! CVPR). What comes of a thing tells how likely each label is said there; an ad says a
//! label unless every thing of it leaves it unsaid (noisy or: Pearl 1988, Probabilistic
//! Reasoning in Intelligent Systems). Of codes each thing tells too which state it says.
//!
//! All that comes behind the rows of the words is there twice, as two towers that were
//! learnt with other things left out: what both make likely is right more often than what
//! one does (an ensemble: Hansen, Salamon 1990, IEEE Trans. Pattern Anal. Mach. Intell. 12).
//!
//! The products are those of matrices, by a library that takes what the processor has.

use std::ops::Range;

use nalgebra::{DMatrixView, DMatrixViewMut};

use crate::reading::Says;

/// Whether each tower is told the codes that phrases name. One that is not must know parts
/// by their words, and errs elsewhere.
pub const TOLD_CODES: [bool; TOWERS] = [true, false];

/// Numbers of a vector.
pub const WIDTH: usize = 64;
/// Networks over the same words.
pub const TOWERS: usize = 2;
/// How many states a part may be said to be in.
pub const STATES: usize = Says::ALL.len();
/// How far off stands what each layer looks at.
pub const REACHES: [usize; 3] = [1, 2, 4];
/// On the left, in place, on the right.
pub const TAPS: usize = 3;
/// A thing that makes a label less likely than this (a logit, .0003) leaves it unsaid.
pub const UNSAID: f32 = -8.0;

/// A thing, at any layer; or one row of weights.
pub type Vector = [f32; WIDTH];
/// One number for each state.
pub type OfStates = [f32; STATES];
/// The rows of what is said of a code, one for each state, in the first tower; those of
/// the next follow.
pub type SaidRows = [Option<u32>; STATES];

/// Rows of a tower that stand for no name.
pub const OF_TOWER: usize = state(0).end;

/// The rows of a tower's layer: those of every number of what stands on the left, in place
/// and on the right, and the bias.
pub const fn layer(tower: usize, number: usize) -> Range<usize> {
    let rows = TAPS * WIDTH + 1;
    let start = tower * (REACHES.len() * rows + STATES) + number * rows;
    start..start + rows
}

/// A tower's rows for each state, whatever the code.
pub const fn state(tower: usize) -> Range<usize> {
    let start = layer(tower, REACHES.len()).start;
    start..start + STATES
}

/// Rows from here on are vectors of words, kinds, labels and codes.
pub const NAMED: usize = TOWERS * OF_TOWER;

/// The last number of what comes of a thing is one, so that the last number of a label's
/// row is its bias.
pub const ONE: usize = WIDTH - 1;

/// The things of an ad, by the rows that each begins as the sum of.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Things {
    rows: Vec<u32>,
    ends: Vec<u32>,
}

impl Things {
    /// Forgets all.
    pub fn clear(&mut self) {
        self.rows.clear();
        self.ends.clear();
    }

    /// Adds one.
    pub fn push(&mut self, rows: impl Iterator<Item = u32>) {
        self.rows.extend(rows);
        self.ends.push(self.rows.len() as u32);
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// The rows of one.
    pub fn rows(&self, thing: usize) -> &[u32] {
        let start = thing.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.rows[start as usize..self.ends[thing] as usize]
    }
}

/// The rows of all labels of a tower, turned: for each number of a thing what it adds to
/// the sum of every label.
#[derive(Debug, Default)]
pub struct Labels {
    weights: Vec<f32>,
    count: usize,
}

impl Labels {
    /// Of these rows of the first tower.
    pub fn new(rows: &[Vector], labels: &[u32], tower: usize) -> Self {
        let row = move |label: &u32| &rows[*label as usize + tower];
        let number = |i: usize| labels.iter().map(move |label| row(label)[i]);
        Labels {
            weights: (0..WIDTH).flat_map(number).collect(),
            count: labels.len(),
        }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// Adds the logits of all labels at these things, thing by thing.
    fn at(&self, things: &[Vector], logits: &mut [f32]) {
        product(logits, &self.weights, things.as_flattened(), WIDTH);
    }
}

/// One layer's work on an ad.
#[derive(Debug, Default)]
pub struct LayerPass {
    /// What the layer makes of each thing.
    pub bent: Vec<Vector>,
    /// That, and what came in.
    pub out: Vec<Vector>,
}

/// The work of a tower on an ad; kept to be used again.
#[derive(Debug, Default)]
pub struct Pass {
    /// The things as they begin.
    pub inputs: Vec<Vector>,
    /// Layer by layer.
    pub layers: [LayerPass; REACHES.len()],
    /// The logit of each label at each thing, thing by thing.
    pub logits: Vec<f32>,
    /// The logarithm of the chance that an ad leaves a label unsaid.
    pub unsaid: Vec<f32>,
    /// The thing that says a label most likely.
    pub strongest: Vec<u32>,
    /// The logit of the label there.
    highest: Vec<f32>,
}

/// Adds to sums what vectors weigh, one behind the other: `weights` has for each of the
/// `width` numbers of a vector what it adds to each number of its sum.
pub fn product(sums: &mut [f32], weights: &[f32], vectors: &[f32], width: usize) {
    let (each, all) = (weights.len() / width, vectors.len() / width);
    let weights = DMatrixView::from_slice(weights, each, width);
    let vectors = DMatrixView::from_slice(vectors, width, all);
    DMatrixViewMut::from_slice(sums, each, all).gemm(1.0, &weights, &vectors, 1.0);
}

/// Adds `times` a vector.
pub fn add(to: &mut Vector, times: f32, vector: &Vector) {
    for i in 0..WIDTH {
        to[i] += times * vector[i];
    }
}

/// The sum of the products, pair by pair.
pub fn dot(a: &Vector, b: &Vector) -> f32 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// From a logit to a chance.
pub fn chance(logit: f32) -> f32 {
    1.0 / (1.0 + (-logit).exp())
}

/// The places that have something `tap` (0 left, 1 in place, 2 right) of them, `reach` off,
/// and the places of that.
pub fn beside(tap: usize, reach: usize, all: usize) -> (Range<usize>, Range<usize>) {
    let off = if tap == 1 { 0 } else { reach.min(all) };
    match tap {
        0 => (off..all, 0..all - off),
        _ => (0..all - off, off..all),
    }
}

impl Pass {
    /// Takes up the things of an ad, each as the sum of its rows but those left out.
    pub fn begin(&mut self, rows: &[Vector], things: &Things, left_out: &Range<u32>) {
        self.inputs.clear();
        self.inputs.extend((0..things.len()).map(|thing| {
            let mut vector = [0.0; WIDTH];
            let seen = things.rows(thing).iter();
            for row in seen.filter(|row| !left_out.contains(row)) {
                add(&mut vector, 1.0, &rows[*row as usize]);
            }
            vector
        }));
    }

    /// Runs the layers of a tower.
    pub fn run(&mut self, rows: &[Vector], tower: usize) {
        for number in 0..REACHES.len() {
            let (before, rest) = self.layers.split_at_mut(number);
            let from = before.last().map_or(&self.inputs, |l| &l.out);
            rest[0].run(&rows[layer(tower, number)], from, number);
        }
        self.set_ones();
    }

    /// Sets the last number of what came of each thing to one.
    pub fn set_ones(&mut self) {
        self.last_mut()
            .iter_mut()
            .for_each(|thing| thing[ONE] = 1.0);
    }

    /// What came of each thing.
    pub fn last(&self) -> &[Vector] {
        &self.layers[REACHES.len() - 1].out
    }

    /// The same, to be changed.
    pub fn last_mut(&mut self) -> &mut [Vector] {
        &mut self.layers[REACHES.len() - 1].out
    }

    /// How likely each label is said, by all things together.
    pub fn tell(&mut self, labels: &Labels) {
        let (all, count) = (self.last().len(), labels.len());
        self.logits.clear();
        self.logits.resize(all * count, 0.0);
        self.unsaid.clear();
        self.unsaid.resize(count, 0.0);
        self.strongest.clear();
        self.strongest.resize(count, 0);
        if count == 0 {
            return;
        }
        self.highest.clear();
        self.highest.resize(count, f32::NEG_INFINITY);
        let last = &self.layers[REACHES.len() - 1].out;
        labels.at(last, &mut self.logits);
        for (i, logits) in self.logits.chunks_exact(count).enumerate() {
            for (label, logit) in logits.iter().enumerate() {
                if *logit > self.highest[label] {
                    self.highest[label] = *logit;
                    self.strongest[label] = i as u32;
                }
                if *logit > UNSAID {
                    self.unsaid[label] -= logit.exp().ln_1p();
                }
            }
        }
    }

    /// The logit of a label at a thing.
    pub fn logit(&self, label: usize, thing: usize) -> f32 {
        self.logits[thing * self.unsaid.len() + label]
    }

    /// The chances that an ad says each state of a code, by this tower.
    pub fn states(&self, rows: &[Vector], tower: usize, label: usize, code: &SaidRows) -> OfStates {
        let mut unsaid = [0.0f32; STATES];
        let said = (0..self.last().len()).filter(|thing| self.logit(label, *thing) > UNSAID);
        for thing in said {
            let said = chance(self.logit(label, thing));
            let states = states(rows, tower, &self.last()[thing], code);
            for (unsaid, state) in unsaid.iter_mut().zip(states) {
                *unsaid += (-(said * state).min(MOST)).ln_1p();
            }
        }
        unsaid.map(|u| -u.exp_m1())
    }
}

/// No chance is higher, so that the logarithm of what is left of it is a number.
pub const MOST: f32 = 1.0 - 1e-6;

impl LayerPass {
    fn run(&mut self, rows: &[Vector], from: &[Vector], number: usize) {
        let all = from.len();
        self.bent.clear();
        self.bent.resize(all, rows[TAPS * WIDTH]);
        for tap in 0..TAPS {
            let (places, others) = beside(tap, REACHES[number], all);
            let weights = rows[tap * WIDTH..][..WIDTH].as_flattened();
            let sums = self.bent[places].as_flattened_mut();
            product(sums, weights, from[others].as_flattened(), WIDTH);
        }
        let numbers = self.bent.as_flattened_mut();
        numbers.iter_mut().for_each(|n| *n = n.max(0.0));
        self.out.clone_from(&self.bent);
        if number > 0 {
            let sums = self.out.iter_mut().zip(from);
            sums.for_each(|(out, from)| add(out, 1.0, from));
        }
    }
}

/// The chances of the states of a code where a thing says something of it.
pub fn states(rows: &[Vector], tower: usize, thing: &Vector, code: &SaidRows) -> OfStates {
    let sums: OfStates = std::array::from_fn(|k| {
        let own = code[k].map_or(0.0, |row| dot(thing, &rows[row as usize + tower]));
        dot(thing, &rows[state(tower).start + k]) + own
    });
    let highest = sums.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let powers = sums.map(|s| (s - highest).exp());
    let all: f32 = powers.iter().sum();
    powers.map(|p| p / all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_beside_ends_with_the_ad() {
        assert_eq!(beside(0, 2, 5), (2..5, 0..3));
        assert_eq!(beside(1, 2, 5), (0..5, 0..5));
        assert_eq!(beside(2, 2, 5), (0..3, 2..5));
        for tap in [0, 2] {
            let (places, others) = beside(tap, 4, 3);
            assert!(places.is_empty() && others.is_empty());
        }
    }

    #[test]
    fn a_product_adds_up_what_each_number_weighs() {
        // Two numbers weigh in three sums, of seven vectors.
        let weights = [1.0, 2.0, 3.0, 10.0, 20.0, 30.0];
        let vectors: Vec<f32> = (0..14u8).map(f32::from).collect();
        let mut sums = vec![0.5; 21];
        product(&mut sums, &weights, &vectors, 2);
        let due = vectors
            .chunks(2)
            .flat_map(|v| [1.0, 2.0, 3.0].map(|w: f32| 0.5 + w * v[0] + 10.0 * w * v[1]));
        assert_eq!(sums, due.collect::<Vec<_>>());
    }
}
