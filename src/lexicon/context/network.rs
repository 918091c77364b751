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
//! Sums run in one order, so that an answer is the same on every machine.

use std::ops::Range;

use crate::reading::Says;

/// Numbers of a vector.
pub const WIDTH: usize = 64;
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
/// The rows of what is said of a code, one for each state.
pub type SaidRows = [Option<u32>; STATES];

/// The rows of a layer begin here: those of every number of what stands on the left,
/// in place and on the right, and the bias.
pub const fn layer(number: usize) -> Range<usize> {
    let rows = TAPS * WIDTH + 1;
    number * rows..(number + 1) * rows
}

/// A row for each state, whatever the code.
pub const STATE: Range<usize> = {
    let start = layer(REACHES.len()).start;
    start..start + STATES
};
/// Rows from here on are vectors of words, kinds, labels and codes.
pub const NAMED: usize = STATE.end;

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

/// The rows of all labels, turned: for each number of a thing what it adds to the sum of
/// every label.
#[derive(Debug, Default)]
pub struct Labels {
    weights: Vec<f32>,
    count: usize,
}

impl Labels {
    /// Of these rows.
    pub fn new(rows: &[Vector], labels: &[u32]) -> Self {
        let number = |i: usize| labels.iter().map(move |row| rows[*row as usize][i]);
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

    /// The logits of all labels at a thing.
    fn at(&self, thing: &Vector, logits: &mut [f32]) {
        logits.fill(0.0);
        for (x, weights) in thing.iter().zip(self.weights.chunks_exact(self.count)) {
            if *x != 0.0 {
                for (logit, weight) in logits.iter_mut().zip(weights) {
                    *logit += x * weight;
                }
            }
        }
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

/// The work on an ad; kept to be used again.
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

/// Adds to a sum what each number of a vector weighs, a block of the sum at a time, so
/// that it stays in the registers.
fn weigh(sum: &mut Vector, vector: &Vector, weights: &[Vector]) {
    const BLOCK: usize = 16;
    for (number, sum) in sum.chunks_exact_mut(BLOCK).enumerate() {
        let mut block = [0.0; BLOCK];
        block.copy_from_slice(sum);
        for (x, weights) in vector.iter().zip(weights) {
            let weights = &weights[number * BLOCK..][..BLOCK];
            for i in 0..BLOCK {
                block[i] += x * weights[i];
            }
        }
        sum.copy_from_slice(&block);
    }
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

/// What stands `tap` (0 left, 1 in place, 2 right) of a place, `reach` off.
pub fn beside(place: usize, tap: usize, reach: usize, all: usize) -> Option<usize> {
    let at = (place + tap * reach).checked_sub(reach)?;
    (at < all).then_some(at)
}

impl Pass {
    /// Takes up the things of an ad, each as the sum of its rows.
    pub fn begin(&mut self, rows: &[Vector], things: &Things) {
        self.inputs.clear();
        self.inputs.extend((0..things.len()).map(|thing| {
            let mut vector = [0.0; WIDTH];
            for row in things.rows(thing) {
                add(&mut vector, 1.0, &rows[*row as usize]);
            }
            vector
        }));
    }

    /// Runs the layers.
    pub fn run(&mut self, rows: &[Vector]) {
        for number in 0..REACHES.len() {
            let (before, rest) = self.layers.split_at_mut(number);
            let from = before.last().map_or(&self.inputs, |l| &l.out);
            rest[0].run(&rows[layer(number)], from, number);
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
        for (i, (thing, logits)) in last
            .iter()
            .zip(self.logits.chunks_exact_mut(count))
            .enumerate()
        {
            labels.at(thing, logits);
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

    /// The chances that an ad says each state of a code.
    pub fn states(&self, rows: &[Vector], label: usize, code: &SaidRows) -> OfStates {
        let mut unsaid = [0.0f32; STATES];
        let said = (0..self.last().len()).filter(|thing| self.logit(label, *thing) > UNSAID);
        for thing in said {
            let said = chance(self.logit(label, thing));
            let states = states(rows, &self.last()[thing], code);
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
        self.bent.clear();
        self.out.clear();
        for i in 0..from.len() {
            let mut sum = rows[TAPS * WIDTH];
            for tap in 0..TAPS {
                let at = beside(i, tap, REACHES[number], from.len());
                let Some(vector) = at.map(|at| &from[at]) else {
                    continue;
                };
                weigh(&mut sum, vector, &rows[tap * WIDTH..][..WIDTH]);
            }
            let bent = sum.map(|s| s.max(0.0));
            let mut out = bent;
            if number > 0 {
                add(&mut out, 1.0, &from[i]);
            }
            self.bent.push(bent);
            self.out.push(out);
        }
    }
}

/// The chances of the states of a code where a thing says something of it.
pub fn states(rows: &[Vector], thing: &Vector, code: &SaidRows) -> OfStates {
    let sums: OfStates = std::array::from_fn(|k| {
        let own = code[k].map_or(0.0, |row| dot(thing, &rows[row as usize]));
        dot(thing, &rows[STATE.start + k]) + own
    });
    let highest = sums.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let powers = sums.map(|s| (s - highest).exp());
    let all: f32 = powers.iter().sum();
    powers.map(|p| p / all)
}
