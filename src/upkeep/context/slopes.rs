//! The slopes of the loss of an ad, from what it says back through the network
//! ([`network`]).

use std::ops::Range;

use nalgebra::DMatrixView;

use super::{Lesson, Said};
use crate::lexicon::context::network::{
    self, Labels, MOST, NAMED, ONE, OfStates, Pass, REACHES, STATES, TAPS, TOWERS, Things, Vector,
    WIDTH, add, beside, chance, layer, product, state,
};
use crate::upkeep::random::SplitMix;

/// How often, and what, is left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct LeaveOut {
    /// A row of a thing.
    pub(super) row: f32,
    /// A number of a thing, as it begins and as it ends.
    pub(super) number: f32,
    /// A thing that makes a code less likely than this (a logit) is not asked for its
    /// state, unless none makes it likelier.
    pub(super) asked: f32,
}
pub(super) const LEAVE_OUT: LeaveOut = LeaveOut {
    row: 0.1,
    number: 0.2,
    asked: -5.0,
};

/// The slope of each row; those of other named rows than labels as they came up.
pub(super) struct Slopes {
    pub(super) fixed: Vec<Vector>,
    pub(super) labels: [Vec<Vector>; TOWERS],
    pub(super) named: Vec<(u32, Vector)>,
}

impl Slopes {
    /// None yet, of so many labels.
    pub(super) fn new(labels: usize) -> Self {
        Slopes {
            fixed: vec![[0.0; WIDTH]; NAMED],
            labels: std::array::from_fn(|_| vec![[0.0; WIDTH]; labels]),
            named: Vec::new(),
        }
    }

    /// Adds them to those of all rows, whose labels stand there.
    pub(super) fn add_to(&self, all: &mut [Vector], labels: &[u32]) {
        all.iter_mut()
            .zip(&self.fixed)
            .for_each(|(all, slope)| add(all, 1.0, slope));
        for (tower, slopes) in self.labels.iter().enumerate() {
            for (row, slope) in labels.iter().zip(slopes) {
                add(&mut all[*row as usize + tower], 1.0, slope);
            }
        }
        for (row, slope) in &self.named {
            add(&mut all[*row as usize], 1.0, slope);
        }
    }
}

/// The rows as they are needed on the way back: turned.
pub(super) struct Turned {
    layers: [Vec<Vector>; REACHES.len()],
    labels: Labels,
    label_rows: Vec<Vector>,
}

/// Squares of rows, one behind the other, each turned.
fn turned(rows: &[Vector]) -> Vec<Vector> {
    let square = |s: &[Vector]| -> Vec<Vector> {
        (0..WIDTH)
            .map(|i| std::array::from_fn(|k| s[k][i]))
            .collect()
    };
    rows.chunks_exact(WIDTH).flat_map(square).collect()
}

impl Turned {
    pub(super) fn new(rows: &[Vector], labels: &[u32], tower: usize) -> Self {
        Turned {
            layers: std::array::from_fn(|n| turned(&rows[layer(tower, n)])),
            labels: Labels::new(rows, labels, tower),
            label_rows: labels.iter().map(|l| rows[*l as usize + tower]).collect(),
        }
    }
}

/// What a thread needs for an ad.
pub(super) struct Desk {
    leave_out: LeaveOut,
    pass: Pass,
    /// The rows of things, less those left out.
    things: Things,
    /// By how much each number of each thing counts, as it begins and as it ends.
    counts: [Vec<Vector>; 2],
    /// The slope of what goes into each layer, and of what comes out of the last.
    slopes: [Vec<Vector>; REACHES.len() + 1],
    /// The slope of the sums of a layer.
    cut: Vec<Vector>,
    /// The slope of the logit of each label at each thing, thing by thing.
    offs: Vec<f32>,
}

/// A tower of the network as it is at a step, and how much an ad counts there.
#[derive(Clone, Copy)]
pub(super) struct Network<'a> {
    pub(super) rows: &'a [Vector],
    pub(super) labels: &'a [u32],
    pub(super) turned: &'a Turned,
    pub(super) tower: usize,
    pub(super) left_out: &'a Range<u32>,
    pub(super) share: f32,
}

impl Network<'_> {
    /// By how much the loss falls where a thing says more of what is said; `unsaid` are
    /// the logarithms of the chances that each leaves it unsaid.
    fn lead(self, unsaid: impl Iterator<Item = f32>) -> f32 {
        // A chance of nothing at all would have no slope.
        const LEAST: f32 = 1e-7;
        let unsaid: f32 = unsaid.sum();
        let told = (-unsaid.exp_m1()).max(LEAST);
        -self.share * (1.0 - told) / told
    }
}

impl LeaveOut {
    /// Leaves some numbers out; what stays counts for those too.
    fn numbers(self, random: &mut SplitMix) -> Vector {
        std::array::from_fn(|_| match random.share() < self.number {
            true => 0.0,
            false => 1.0 / (1.0 - self.number),
        })
    }
}

impl Desk {
    pub(super) fn new(leave_out: LeaveOut) -> Self {
        Desk {
            leave_out,
            pass: Pass::default(),
            things: Things::default(),
            counts: Default::default(),
            slopes: Default::default(),
            cut: Vec::new(),
            offs: Vec::new(),
        }
    }

    /// Adds the slopes of one ad.
    pub(super) fn study(
        &mut self,
        lesson: &Lesson,
        network: Network<'_>,
        slopes: &mut Slopes,
        random: &mut SplitMix,
    ) {
        if lesson.things.is_empty() {
            return;
        }
        let rows = network.rows;
        self.leave_out(&lesson.things, random);
        self.pass.begin(rows, &self.things, network.left_out);
        count(&mut self.pass.inputs, &self.counts[0]);
        self.pass.run(rows, network.tower);
        count(self.pass.last_mut(), &self.counts[1]);
        self.pass.set_ones();
        self.pass.tell(&network.turned.labels);
        for layer in &mut self.slopes {
            layer.clear();
            layer.resize(lesson.things.len(), [0.0; WIDTH]);
        }
        self.labels(lesson, network, slopes);
        for said in &lesson.said {
            self.states(said, network, slopes);
        }
        let of_last = &mut self.slopes[REACHES.len()];
        of_last.iter_mut().for_each(|slope| slope[ONE] = 0.0);
        count(of_last, &self.counts[1]);
        for number in (0..REACHES.len()).rev() {
            self.back_through(number, network, slopes);
        }
        count(&mut self.slopes[0], &self.counts[0]);
        for (thing, slope) in self.slopes[0].iter().enumerate() {
            let rows = self.things.rows(thing).iter();
            let rows = rows.filter(|row| !network.left_out.contains(row));
            slopes.named.extend(rows.map(|row| (*row, *slope)));
        }
    }

    /// Leaves out some rows and numbers of these things.
    fn leave_out(&mut self, things: &Things, random: &mut SplitMix) {
        self.things.clear();
        let leave_out = self.leave_out;
        for thing in 0..things.len() {
            let rows = things.rows(thing).iter().copied();
            self.things
                .push(rows.filter(|_| random.share() >= leave_out.row));
        }
        for counts in &mut self.counts {
            counts.clear();
            counts.extend((0..things.len()).map(|_| leave_out.numbers(random)));
        }
    }

    /// The slopes of the labels, which are said or not. What makes one likely by next to
    /// nothing counts too: there are many things, and most labels are said seldom.
    fn labels(&mut self, lesson: &Lesson, network: Network<'_>, slopes: &mut Slopes) {
        let count = network.labels.len();
        if count == 0 {
            return;
        }
        let things = self.pass.last();
        self.offs.clear();
        self.offs.extend_from_slice(&self.pass.logits);
        for offs in self.offs.chunks_exact_mut(count) {
            offs[lesson.judged..].fill(0.0);
            for off in &mut offs[..lesson.judged] {
                *off = chance(*off) * network.share;
            }
        }
        for label in lesson.labels.iter().filter(|l| **l < lesson.judged) {
            let logits = (0..things.len()).map(|thing| self.pass.logit(*label, thing));
            let lead = network.lead(logits.map(|logit| -logit.exp().ln_1p()));
            for (thing, offs) in self.offs.chunks_exact_mut(count).enumerate() {
                offs[*label] = chance(self.pass.logit(*label, thing)) * lead;
            }
        }
        let by_label = DMatrixView::from_slice(&self.offs, count, things.len()).transpose();
        let of_labels = slopes.labels[network.tower].as_flattened_mut();
        let numbers = things.as_flattened();
        product(of_labels, numbers, by_label.as_slice(), things.len());
        let rows = network.turned.label_rows.as_flattened();
        let of_things = self.slopes[REACHES.len()].as_flattened_mut();
        product(of_things, rows, &self.offs, count);
    }

    /// The slopes of the states of a code that is said.
    fn states(&mut self, said: &Said, network: Network<'_>, slopes: &mut Slopes) {
        let (label, rows, tower) = (said.label, network.rows, network.tower);
        let strongest = self.pass.strongest[label] as usize;
        let least = self.leave_out.asked;
        let asked = |t: &usize| *t == strongest || self.pass.logit(label, *t) > least;
        let asked: Vec<usize> = (0..self.pass.last().len()).filter(asked).collect();
        let told: Vec<(f32, OfStates)> = asked
            .iter()
            .map(|thing| {
                let states = network::states(rows, tower, &self.pass.last()[*thing], &said.rows);
                (chance(self.pass.logit(label, *thing)), states)
            })
            .collect();
        let off: OfStates = std::array::from_fn(|k| {
            let unsaid = told
                .iter()
                .map(|(said, states)| (-(said * states[k]).min(MOST)).ln_1p());
            match said.states[k] {
                true => network.lead(unsaid),
                false => network.share,
            }
        });
        let mut of_label = [0.0; WIDTH];
        let mut of_said = [[0.0; WIDTH]; STATES];
        let label_row = &network.turned.label_rows[label];
        let own = |k: usize| said.rows[k].map(|row| row + tower as u32);
        for (thing, (chance, states)) in asked.iter().zip(&told) {
            let of_chance: OfStates = std::array::from_fn(|k| {
                let both = (chance * states[k]).min(MOST);
                off[k] / (1.0 - both)
            });
            let weighed = |k: usize| of_chance[k] * chance * states[k];
            let sum: f32 = (0..STATES).map(weighed).sum();
            let of_logit = sum * (1.0 - chance);
            let last = &self.pass.last()[*thing];
            let mut of_thing = label_row.map(|w| w * of_logit);
            add(&mut of_label, of_logit, last);
            for k in 0..STATES {
                let of_sum = weighed(k) - states[k] * sum;
                add(&mut of_said[k], of_sum, last);
                add(&mut of_thing, of_sum, &rows[state(tower).start + k]);
                if let Some(row) = own(k) {
                    add(&mut of_thing, of_sum, &rows[row as usize]);
                }
            }
            add(&mut self.slopes[REACHES.len()][*thing], 1.0, &of_thing);
        }
        for (k, slope) in of_said.iter().enumerate() {
            add(&mut slopes.fixed[state(tower).start + k], 1.0, slope);
            slopes.named.extend(own(k).map(|row| (row, *slope)));
        }
        add(&mut slopes.labels[tower][label], 1.0, &of_label);
    }

    /// The slopes of a layer, and of what goes into it.
    fn back_through(&mut self, number: usize, network: Network<'_>, slopes: &mut Slopes) {
        let (below, above) = self.slopes.split_at_mut(number + 1);
        let (into, out) = (&mut below[number], &above[0]);
        let from = match number {
            0 => &self.pass.inputs,
            _ => &self.pass.layers[number - 1].out,
        };
        let start = layer(network.tower, number).start;
        let layer = &self.pass.layers[number];
        let turned = &network.turned.layers[number];
        if number > 0 {
            into.iter_mut().zip(out).for_each(|(s, o)| add(s, 1.0, o));
        }
        self.cut.clone_from(out);
        let cut_off = self.cut.iter_mut().zip(&layer.bent);
        cut_off.for_each(|(slope, bent)| cut(slope, bent));
        for slope in &self.cut {
            add(&mut slopes.fixed[start + TAPS * WIDTH], 1.0, slope);
        }
        for tap in 0..TAPS {
            let (places, others) = beside(tap, REACHES[number], from.len());
            if others.is_empty() {
                continue;
            }
            let slope = self.cut[places].as_flattened();
            // What each number of a thing weighs in each sum: things by numbers.
            let things =
                DMatrixView::from_slice(from[others.clone()].as_flattened(), WIDTH, others.len());
            let of_rows = &mut slopes.fixed[start + tap * WIDTH..][..WIDTH];
            product(
                of_rows.as_flattened_mut(),
                slope,
                things.transpose().as_slice(),
                others.len(),
            );
            let turned = turned[tap * WIDTH..][..WIDTH].as_flattened();
            product(into[others].as_flattened_mut(), turned, slope, WIDTH);
        }
    }
}

/// Lets each number count so much.
fn count(vectors: &mut [Vector], counts: &[Vector]) {
    for (vector, counts) in vectors.iter_mut().zip(counts) {
        vector.iter_mut().zip(counts).for_each(|(v, c)| *v *= c);
    }
}

/// What was cut off has no slope.
fn cut(slope: &mut Vector, bent: &Vector) {
    for (slope, bent) in slope.iter_mut().zip(bent) {
        if *bent <= 0.0 {
            *slope = 0.0;
        }
    }
}
