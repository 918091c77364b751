//! The slopes of the loss of an ad, from what it says back through the network
//! ([`network`]).

use super::{Lesson, Said};
use crate::lexicon::context::network::{
    self, Labels, MOST, NAMED, ONE, OfStates, Pass, REACHES, STATE, STATES, TAPS, Things, UNSAID,
    Vector, WIDTH, add, beside, chance, layer,
};
use crate::upkeep::random::SplitMix;

/// How often something is left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct LeaveOut {
    /// A row of a thing.
    pub(super) row: f32,
    /// A number of a thing, as it begins and as it ends.
    pub(super) number: f32,
}
pub(super) const LEAVE_OUT: LeaveOut = LeaveOut {
    row: 0.1,
    number: 0.2,
};
/// A thing that makes a code less likely (a logit) is not asked for its state.
const ASKED: f32 = -5.0;
/// The slope of each row; those of named rows as they came up.
pub(super) struct Slopes {
    pub(super) fixed: Vec<Vector>,
    pub(super) named: Vec<(u32, Vector)>,
}

impl Default for Slopes {
    fn default() -> Self {
        Slopes {
            fixed: vec![[0.0; WIDTH]; NAMED],
            named: Vec::new(),
        }
    }
}

/// The rows as they are needed on the way back: turned.
pub(super) struct Turned {
    layers: [Vec<Vector>; REACHES.len()],
    labels: Labels,
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
    pub(super) fn new(rows: &[Vector], labels: &[u32]) -> Self {
        Turned {
            layers: std::array::from_fn(|n| turned(&rows[layer(n)])),
            labels: Labels::new(rows, labels),
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
}

/// The network as it is at a step, and how much an ad counts there.
#[derive(Clone, Copy)]
pub(super) struct Network<'a> {
    pub(super) rows: &'a [Vector],
    pub(super) labels: &'a [u32],
    pub(super) turned: &'a Turned,
    pub(super) share: f32,
}

impl Network<'_> {
    /// By how much the loss falls, or rises, where a thing says more of what is said, or
    /// is not; `unsaid` are the logarithms of the chances that each leaves it unsaid.
    fn lead(self, said: bool, unsaid: impl Iterator<Item = f32>) -> f32 {
        // A chance of nothing at all would have no slope.
        const LEAST: f32 = 1e-7;
        if !said {
            return self.share;
        }
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
        let rows = network.rows;
        self.leave_out(&lesson.things, random);
        self.pass.begin(rows, &self.things);
        count(&mut self.pass.inputs, &self.counts[0]);
        self.pass.run(rows);
        count(self.pass.last_mut(), &self.counts[1]);
        self.pass.set_ones();
        self.pass.tell(&network.turned.labels);
        for layer in &mut self.slopes {
            layer.clear();
            layer.resize(lesson.things.len(), [0.0; WIDTH]);
        }
        for label in 0..lesson.judged {
            self.label(label, lesson.labels.contains(&label), network, slopes);
        }
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

    /// The slopes of a label that is said or not.
    fn label(&mut self, label: usize, said: bool, network: Network<'_>, slopes: &mut Slopes) {
        let all = self.pass.last().len();
        // Things that hardly say it too, else a label that none says would never be learnt.
        let unsaid = (0..all).map(|t| -self.pass.logit(label, t).exp().ln_1p());
        let lead = network.lead(said, unsaid);
        let mut of_row = [0.0; WIDTH];
        let row = network.labels[label] as usize;
        for thing in 0..all {
            let logit = self.pass.logit(label, thing);
            if !said && logit <= UNSAID {
                continue;
            }
            let off = lead * chance(logit);
            add(&mut of_row, off, &self.pass.last()[thing]);
            add(
                &mut self.slopes[REACHES.len()][thing],
                off,
                &network.rows[row],
            );
        }
        slopes.named.push((row as u32, of_row));
    }

    /// The slopes of the states of a code that is said.
    fn states(&mut self, said: &Said, network: Network<'_>, slopes: &mut Slopes) {
        let (label, rows) = (said.label, network.rows);
        let strongest = self.pass.strongest[label] as usize;
        let asked = |t: &usize| *t == strongest || self.pass.logit(label, *t) > ASKED;
        let asked: Vec<usize> = (0..self.pass.last().len()).filter(asked).collect();
        let told: Vec<(f32, OfStates)> = asked
            .iter()
            .map(|thing| {
                let states = network::states(rows, &self.pass.last()[*thing], &said.rows);
                (chance(self.pass.logit(label, *thing)), states)
            })
            .collect();
        let off: OfStates = std::array::from_fn(|k| {
            let unsaid = told
                .iter()
                .map(|(said, states)| (-(said * states[k]).min(MOST)).ln_1p());
            network.lead(said.states[k], unsaid)
        });
        let mut of_label = [0.0; WIDTH];
        let mut of_said = [[0.0; WIDTH]; STATES];
        let label_row = network.labels[label];
        for (thing, (chance, states)) in asked.iter().zip(&told) {
            let of_chance: OfStates = std::array::from_fn(|k| {
                let both = (chance * states[k]).min(MOST);
                off[k] / (1.0 - both)
            });
            let weighed = |k: usize| of_chance[k] * chance * states[k];
            let sum: f32 = (0..STATES).map(weighed).sum();
            let of_logit = sum * (1.0 - chance);
            let last = &self.pass.last()[*thing];
            let mut of_thing = rows[label_row as usize].map(|w| w * of_logit);
            add(&mut of_label, of_logit, last);
            for k in 0..STATES {
                let of_sum = weighed(k) - states[k] * sum;
                add(&mut of_said[k], of_sum, last);
                add(&mut of_thing, of_sum, &rows[STATE.start + k]);
                if let Some(row) = said.rows[k] {
                    add(&mut of_thing, of_sum, &rows[row as usize]);
                }
            }
            add(&mut self.slopes[REACHES.len()][*thing], 1.0, &of_thing);
        }
        for (k, slope) in of_said.iter().enumerate() {
            add(&mut slopes.fixed[STATE.start + k], 1.0, slope);
            slopes.named.extend(said.rows[k].map(|row| (row, *slope)));
        }
        slopes.named.push((label_row, of_label));
    }

    /// The slopes of a layer, and of what goes into it.
    fn back_through(&mut self, number: usize, network: Network<'_>, slopes: &mut Slopes) {
        let (below, above) = self.slopes.split_at_mut(number + 1);
        let (into, out) = (&mut below[number], &above[0]);
        let from = match number {
            0 => &self.pass.inputs,
            _ => &self.pass.layers[number - 1].out,
        };
        let start = layer(number).start;
        let layer = &self.pass.layers[number];
        let turned = &network.turned.layers[number];
        for i in 0..from.len() {
            let mut slope = out[i];
            if number > 0 {
                add(&mut into[i], 1.0, &slope);
            }
            cut(&mut slope, &layer.bent[i]);
            add(&mut slopes.fixed[start + TAPS * WIDTH], 1.0, &slope);
            for tap in 0..TAPS {
                let Some(at) = beside(i, tap, REACHES[number], from.len()) else {
                    continue;
                };
                for k in 0..WIDTH {
                    let row = tap * WIDTH + k;
                    if from[at][k] != 0.0 {
                        add(&mut slopes.fixed[start + row], from[at][k], &slope);
                    }
                    if slope[k] != 0.0 {
                        add(&mut into[at], slope[k], &turned[row]);
                    }
                }
            }
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
