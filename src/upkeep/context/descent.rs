//! Learns the vectors of a network ([`network`]) from lessons.
//!
//! Steps down the slope of the mean loss of a few ads at a time (the cross-entropy of
//! every label and of every state of the codes that are said), with a step of its own for
//! each number (Adam: Kingma, Ba 2015, ICLR) and some of what is known left out at random
//! (dropout: Srivastava et al. 2014, J. Mach. Learn. Res. 15), so that nothing hangs on
//! one word. The same lessons give the same vectors.

use rayon::prelude::*;

use super::{Lesson, Name, Said};
use crate::lexicon::context::Of;
use crate::lexicon::context::network::{
    self, Labels, MOST, NAMED, ONE, OfStates, Pass, REACHES, STATE, STATES, TAPS, Things, UNSAID,
    Vector, WIDTH, add, beside, chance, layer,
};
use crate::upkeep::random::SplitMix;

/// Times that all ads are gone through.
const ROUNDS: usize = 20;
/// Ads between two steps.
const BATCH: usize = 32;
/// Ads whose slopes are summed up by one thread; the sum must not hang on how many
/// there are.
const SHARE: usize = 4;
/// The first step; they get smaller evenly, to none.
const STEP: f32 = 0.003;
/// How often something is left out.
#[derive(Debug, Clone, Copy)]
struct LeaveOut {
    /// A row of a thing.
    row: f32,
    /// A number of a thing, as it begins and as it ends.
    number: f32,
}
const LEAVE_OUT: LeaveOut = LeaveOut {
    row: 0.1,
    number: 0.2,
};
/// Of Adam: how much of the mean slope, and of its mean square, is kept at a step.
const KEPT: (f32, f32) = (0.9, 0.999);
/// A thing that makes a code less likely (a logit) is not asked for its state.
const ASKED: f32 = -5.0;
/// How likely a label is at a thing before anything is learnt, as a logit.
const AT_FIRST: f32 = -6.0;

/// The slope of each row; those of named rows as they came up.
struct Slopes {
    fixed: Vec<Vector>,
    named: Vec<(u32, Vector)>,
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
struct Turned {
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
    fn new(rows: &[Vector], labels: &[u32]) -> Self {
        Turned {
            layers: std::array::from_fn(|n| turned(&rows[layer(n)])),
            labels: Labels::new(rows, labels),
        }
    }
}

/// What a thread needs for an ad.
struct Desk {
    leave_out: LeaveOut,
    pass: Pass,
    /// The rows of things, less those left out.
    things: Things,
    /// By how much each number of each thing counts, as it begins and as it ends.
    counts: [Vec<Vector>; 2],
    /// The slope of what goes into each layer, and of what comes out of the last.
    slopes: [Vec<Vector>; REACHES.len() + 1],
}

/// Rows to begin with, of these names.
fn beginning(names: &[Name], random: &mut SplitMix) -> Vec<Vector> {
    let scale = |row: usize| match row {
        _ if (0..REACHES.len()).any(|n| layer(n).end - 1 == row) => 0.0,
        _ if row < STATE.start => ((TAPS * WIDTH) as f32).sqrt().recip(),
        _ if row < NAMED => 0.1,
        _ => match names[row - NAMED].0 {
            Of::Said => 0.0,
            of if of.is_label() => 0.1,
            _ => 0.3,
        },
    };
    let all = 0..NAMED + names.len();
    let mut rows: Vec<Vector> = all
        .map(|row| std::array::from_fn(|_| random.normal() * scale(row)))
        .collect();
    for (row, (of, _)) in rows[NAMED..].iter_mut().zip(names) {
        if of.is_label() {
            row[ONE] = AT_FIRST;
        }
    }
    rows
}

/// Learns from lessons, whose rows are those of these names, of which some are labels.
pub fn learn(lessons: &[&Lesson], names: &[Name], labels: &[u32]) -> Vec<Vector> {
    let mut random = SplitMix(1);
    let mut rows = beginning(names, &mut random);
    let mut descent = Descent::new(rows.len(), ROUNDS * lessons.len().div_ceil(BATCH));
    let mut order: Vec<usize> = (0..lessons.len()).collect();
    let mut slopes = vec![[0.0; WIDTH]; rows.len()];
    for _ in 0..ROUNDS {
        random.shuffle(&mut order);
        for batch in order.chunks(BATCH) {
            let seed = random.next();
            let turned = Turned::new(&rows, labels);
            let network = Network {
                rows: &rows,
                labels,
                turned: &turned,
                share: 1.0 / batch.len() as f32,
            };
            let shares: Vec<Slopes> = batch
                .par_chunks(SHARE)
                .enumerate()
                .map_init(
                    || Desk::new(LEAVE_OUT),
                    |desk, (number, ads)| {
                        let mut random = SplitMix(seed.wrapping_add(number as u64));
                        let mut slopes = Slopes::default();
                        for ad in ads {
                            desk.study(lessons[*ad], network, &mut slopes, &mut random);
                        }
                        slopes
                    },
                )
                .collect();
            slopes.fill([0.0; WIDTH]);
            for part in &shares {
                slopes
                    .iter_mut()
                    .zip(&part.fixed)
                    .for_each(|(s, p)| add(s, 1.0, p));
                for (row, slope) in &part.named {
                    add(&mut slopes[*row as usize], 1.0, slope);
                }
            }
            descent.step(&mut rows, &slopes);
        }
    }
    rows
}

/// The network as it is at a step, and how much an ad counts there.
#[derive(Clone, Copy)]
struct Network<'a> {
    rows: &'a [Vector],
    labels: &'a [u32],
    turned: &'a Turned,
    share: f32,
}

/// The steps down the slopes.
struct Descent {
    means: Vec<Vector>,
    squares: Vec<Vector>,
    done: i32,
    steps: usize,
}

impl Descent {
    fn new(rows: usize, steps: usize) -> Self {
        Descent {
            means: vec![[0.0; WIDTH]; rows],
            squares: vec![[0.0; WIDTH]; rows],
            done: 0,
            steps,
        }
    }

    fn step(&mut self, rows: &mut [Vector], slopes: &[Vector]) {
        self.done += 1;
        let step = STEP * (1.0 - self.done as f32 / (self.steps + 1) as f32);
        let grown = |kept: f32| 1.0 - kept.powi(self.done);
        let (mean_grown, square_grown) = (grown(KEPT.0), grown(KEPT.1));
        let numbers = rows.as_flattened_mut().par_iter_mut();
        let kept = self.means.as_flattened_mut().par_iter_mut();
        let kept = kept.zip(self.squares.as_flattened_mut().par_iter_mut());
        let slopes = slopes.as_flattened().par_iter();
        numbers
            .zip(kept)
            .zip(slopes)
            .with_min_len(1 << 14)
            .for_each(|((number, (mean, square)), slope)| {
                *mean = KEPT.0 * *mean + (1.0 - KEPT.0) * slope;
                *square = KEPT.1 * *square + (1.0 - KEPT.1) * slope * slope;
                *number -= step * (*mean / mean_grown) / ((*square / square_grown).sqrt() + 1e-8);
            });
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
    fn new(leave_out: LeaveOut) -> Self {
        Desk {
            leave_out,
            pass: Pass::default(),
            things: Things::default(),
            counts: Default::default(),
            slopes: Default::default(),
        }
    }

    /// Adds the slopes of one ad.
    fn study(
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
        self.pass
            .last_mut()
            .iter_mut()
            .for_each(|thing| thing[ONE] = 1.0);
        self.pass.tell(&network.turned.labels);
        for layer in &mut self.slopes {
            layer.clear();
            layer.resize(lesson.things.len(), [0.0; WIDTH]);
        }
        let labels = 0..lesson.judged.min(network.labels.len());
        for label in labels {
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
        let lead = match said {
            false => network.share,
            true => {
                // Things that hardly say it too, else a label that none says would never
                // be learnt.
                let unsaid = (0..all).map(|t| -self.pass.logit(label, t).exp().ln_1p());
                let unsaid: f32 = unsaid.sum();
                let told = (-unsaid.exp_m1()).max(1e-7);
                -network.share * (1.0 - told) / told
            }
        };
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
            let unsaid: f32 = unsaid.sum();
            let chance = (-unsaid.exp_m1()).max(1e-7);
            match said.states[k] {
                true => -network.share * (1.0 - chance) / chance,
                false => network.share,
            }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::context::SAYS;

    /// Words 0 to 3, two codes, and what is said of each.
    fn names() -> Vec<Name> {
        let words = (0..4).map(|n| (Of::Word, n.to_string()));
        let parts = ["clutch", "hub"].map(|code| (Of::Part, code.to_owned()));
        let said = ["clutch", "hub"]
            .into_iter()
            .flat_map(|code| SAYS.map(|(state, _)| (Of::Said, format!("{code} {state}"))));
        words.chain(parts).chain(said).collect()
    }

    const LABELS: [u32; 2] = [NAMED as u32 + 4, NAMED as u32 + 5];

    /// An ad of these words that says a state of one of the codes.
    fn lesson(words: &[u32], label: usize, state: usize) -> Lesson {
        let mut things = Things::default();
        for word in words {
            things.push([NAMED as u32 + word].into_iter());
        }
        let first = NAMED + 6 + label * STATES;
        Lesson {
            things,
            labels: vec![label],
            said: vec![Said {
                label,
                rows: std::array::from_fn(|k| Some((first + k) as u32)),
                states: std::array::from_fn(|k| k == state),
            }],
            judged: LABELS.len(),
        }
    }

    fn heard(rows: &[Vector], lesson: &Lesson) -> (Vec<f64>, Vec<OfStates>) {
        let mut pass = Pass::default();
        pass.begin(rows, &lesson.things);
        pass.run(rows);
        pass.tell(&Labels::new(rows, &LABELS));
        let labels = pass.unsaid.iter().map(|u| -f64::from(*u).exp_m1());
        let said = lesson.said.iter();
        let states = said.map(|s| pass.states(rows, s.label, &s.rows));
        (labels.collect(), states.collect())
    }

    fn loss(rows: &[Vector], lesson: &Lesson) -> f64 {
        let of = |right: bool, chance: f64| -(if right { chance } else { 1.0 - chance }).ln();
        let (labels, states) = heard(rows, lesson);
        let labels = labels.iter().enumerate();
        let labels: f64 = labels
            .map(|(l, chance)| of(lesson.labels.contains(&l), *chance))
            .sum();
        let told = lesson.said.iter().zip(&states);
        let states: f64 = told
            .flat_map(|(said, states)| said.states.iter().zip(states))
            .map(|(right, chance)| of(*right, f64::from(*chance)))
            .sum();
        labels + states
    }

    #[test]
    fn slopes_are_those_of_the_loss() {
        let mut random = SplitMix(7);
        let names = names();
        let mut rows = beginning(&names, &mut random);
        for (i, row) in rows.iter_mut().enumerate() {
            // All things say everything more or less, and all rows tell something.
            let more = |k: usize, v: f32| v * 1.5 + ((i * 7 + k * 5) % 11) as f32 / 100.0 - 0.05;
            *row = std::array::from_fn(|k| more(k, row[k]));
        }
        for label in LABELS {
            rows[label as usize][ONE] = -2.0;
        }
        let lesson = lesson(&[0, 1, 2, 3, 1, 0, 2, 1, 3, 0, 1, 2], 1, 2);
        let mut desk = Desk::new(LeaveOut {
            row: 0.0,
            number: 0.0,
        });
        let turned = Turned::new(&rows, &LABELS);
        let network = Network {
            rows: &rows,
            labels: &LABELS,
            turned: &turned,
            share: 1.0,
        };
        let mut slopes = Slopes::default();
        desk.study(&lesson, network, &mut slopes, &mut random);
        let mut all = slopes.fixed;
        all.resize(rows.len(), [0.0; WIDTH]);
        for (row, slope) in &slopes.named {
            add(&mut all[*row as usize], 1.0, slope);
        }
        let mut told = 0;
        for row in (0..rows.len()).step_by(7).chain(STATE.start..rows.len()) {
            for i in [0, 9, 31, ONE] {
                let moved = |by: f32| {
                    let mut rows = rows.clone();
                    rows[row][i] += by;
                    loss(&rows, &lesson)
                };
                let slope = (moved(1e-3) - moved(-1e-3)) / 2e-3;
                let found = f64::from(all[row][i]);
                // Where a number is cut off nearby, the slope bends.
                let near = 2e-2 * found.abs().max(slope.abs()) + 4e-3;
                assert!(
                    (slope - found).abs() < near,
                    "row {row}, {i}: {slope} {found}"
                );
                told += usize::from(found != 0.0);
            }
        }
        assert!(told > 100, "{told} of the slopes are not none");
    }

    #[test]
    fn what_stands_where_is_learnt_the_same_each_time() {
        // Word 1 behind word 2 tells of the first code, before it of the second; a bag of
        // words could not tell.
        let lessons: Vec<Lesson> = (0..400)
            .map(|n| match n % 2 {
                0 => lesson(&[0, 2, 1, 3, 0], 0, 1),
                _ => lesson(&[0, 1, 2, 3, 0], 1, 3),
            })
            .collect();
        let listed: Vec<&Lesson> = lessons.iter().collect();
        let names = names();
        let rows = learn(&listed, &names, &LABELS);
        for lesson in &lessons[..2] {
            assert!(loss(&rows, lesson) < 0.3, "{:?}", heard(&rows, lesson));
        }
        assert!(rows == learn(&listed, &names, &LABELS));
    }
}
