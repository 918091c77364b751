//! Learns the vectors of a network ([`network`]) from lessons.
//!
//! Steps down the slope of the mean loss (the cross-entropy) of a few ads at a time, with
//! a step of its own for each number (Adam: Kingma, Ba 2015, ICLR) and some of what is
//! known left out at random (dropout: Srivastava et al. 2014, J. Mach. Learn. Res. 15),
//! so that nothing hangs on one word. The same lessons give the same vectors.

use rayon::prelude::*;

use super::Lesson;
use crate::lexicon::context::network::{
    self, ANSWER, ANSWERS, Asked, HIDDEN, INTO_HIDDEN, NAMED, Pass, REACHES, TAPS, Thing, Vector,
    WIDTH, add, beside, dot, layer,
};
use crate::lexicon::leanings::chances;
use crate::upkeep::random::SplitMix;

/// Times that all ads are gone through.
const ROUNDS: usize = 10;
/// Ads between two steps.
const BATCH: usize = 32;
/// Ads whose slopes are summed up by one thread; the sum must not hang on how many
/// there are.
const SHARE: usize = 4;
/// The first step; they get smaller evenly, to none.
const STEP: f32 = 0.002;
/// Each step takes so much of a number away, times the step.
const DECAY: f32 = 1e-4;
/// How often something is left out.
#[derive(Debug, Clone, Copy)]
struct LeaveOut {
    /// A thing of the ad.
    thing: f32,
    /// A number of a thing, or of what is known of a part.
    number: f32,
}
/// Chosen among numbers of 0.12 and 0.25 on labelled ads of writers that were not learnt
/// from; between them little changes.
const LEAVE_OUT: LeaveOut = LeaveOut {
    thing: 0.15,
    number: 0.12,
};
/// Of Adam: how much of the mean slope, and of its mean square, is kept at a step.
const KEPT: (f32, f32) = (0.9, 0.999);

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

/// What a thread needs for an ad.
struct Desk {
    leave_out: LeaveOut,
    pass: Pass,
    /// By how much each number of each thing counts, after some are left out.
    counts: Vec<Vector>,
    /// The slope of what goes into each layer, and of what comes out of the last.
    slopes: [Vec<Vector>; REACHES.len() + 1],
}

/// Rows to begin with, of so many names.
fn beginning(names: usize, random: &mut SplitMix) -> Vec<Vector> {
    let scale = |row: usize| match row {
        _ if HIDDEN.end - 1 == row || ANSWER.end - 1 == row => 0.0,
        _ if (0..REACHES.len()).any(|n| layer(n).end - 1 == row) => 0.0,
        _ if row < HIDDEN.start => ((TAPS * WIDTH) as f32).sqrt().recip(),
        _ if row < ANSWER.start => ((INTO_HIDDEN * WIDTH) as f32).sqrt().recip(),
        _ => 0.1,
    };
    let rows = 0..NAMED + names;
    rows.map(|row| std::array::from_fn(|_| random.normal() * scale(row)))
        .collect()
}

/// Learns from lessons, whose rows are those of `names` names.
pub fn learn(lessons: &[&Lesson], names: usize) -> Vec<Vector> {
    let mut random = SplitMix(1);
    let mut rows = beginning(names, &mut random);
    let mut descent = Descent::new(rows.len(), ROUNDS * lessons.len().div_ceil(BATCH));
    let mut order: Vec<usize> = (0..lessons.len()).collect();
    for _ in 0..ROUNDS {
        random.shuffle(&mut order);
        for batch in order.chunks(BATCH) {
            let seed = random.next();
            let asked: usize = batch.iter().map(|i| lessons[*i].asked.len()).sum();
            let share = 1.0 / asked.max(1) as f32;
            let shares: Vec<Slopes> = batch
                .par_chunks(SHARE)
                .enumerate()
                .map_init(
                    || Desk::new(LEAVE_OUT),
                    |desk, (number, ads)| {
                        let mut random = SplitMix(seed.wrapping_add(number as u64));
                        let mut slopes = Slopes::default();
                        for ad in ads {
                            desk.study(lessons[*ad], &rows, share, &mut slopes, &mut random);
                        }
                        slopes
                    },
                )
                .collect();
            let mut slopes = vec![[0.0; WIDTH]; rows.len()];
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
                let along = (*mean / mean_grown) / ((*square / square_grown).sqrt() + 1e-8);
                *number -= step * (along + DECAY * *number);
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

    fn thing(self, random: &mut SplitMix) -> Vector {
        match random.share() < self.thing {
            true => [0.0; WIDTH],
            false => self.numbers(random),
        }
    }
}

impl Desk {
    fn new(leave_out: LeaveOut) -> Self {
        Desk {
            leave_out,
            pass: Pass::default(),
            counts: Vec::new(),
            slopes: Default::default(),
        }
    }

    /// Adds the slopes of one ad.
    fn study(
        &mut self,
        lesson: &Lesson,
        rows: &[Vector],
        share: f32,
        slopes: &mut Slopes,
        random: &mut SplitMix,
    ) {
        let all = lesson.things.len();
        self.counts.clear();
        let leave_out = self.leave_out;
        self.counts
            .extend((0..all).map(|_| leave_out.thing(random)));
        self.pass.begin(rows, lesson.things.iter().copied());
        for (input, counts) in self.pass.inputs.iter_mut().zip(&self.counts) {
            input.iter_mut().zip(counts).for_each(|(i, c)| *i *= c);
        }
        let asked: Vec<Asked> = lesson.asked.iter().map(|(asked, _)| *asked).collect();
        self.pass.run(rows, &asked);
        for layer in &mut self.slopes {
            layer.clear();
            layer.resize(all, [0.0; WIDTH]);
        }
        for (asked, answer) in &lesson.asked {
            self.ask(asked, *answer, rows, share, slopes, random);
        }
        for number in (0..REACHES.len()).rev() {
            self.back_through(number, rows, slopes);
        }
        let inputs = lesson.things.iter().zip(&self.slopes[0]).zip(&self.counts);
        for ((Thing { kind, word }, slope), counts) in inputs {
            let slope: Vector = std::array::from_fn(|i| slope[i] * counts[i]);
            if slope.iter().any(|s| *s != 0.0) {
                let rows = [kind, word].into_iter().flatten();
                slopes.named.extend(rows.map(|row| (*row, slope)));
            }
        }
    }

    /// The slopes of the steps from what is known of a part to its answer.
    fn ask(
        &mut self,
        asked: &Asked,
        answer: usize,
        rows: &[Vector],
        share: f32,
        slopes: &mut Slopes,
        random: &mut SplitMix,
    ) {
        let mut known = self.pass.known(rows, asked);
        let counts: [Vector; INTO_HIDDEN] = std::array::from_fn(|_| self.leave_out.numbers(random));
        for (known, counts) in known.iter_mut().zip(&counts) {
            known.iter_mut().zip(counts).for_each(|(k, c)| *k *= c);
        }
        let hidden = network::hidden(rows, &known);
        let chances = chances(network::answers(rows, &hidden).map(f64::from));
        let mut of_hidden = [0.0; WIDTH];
        for (k, chance) in chances.iter().enumerate() {
            let off = (*chance as f32 - f32::from(u8::from(k == answer))) * share;
            add(&mut slopes.fixed[ANSWER.start + k], off, &hidden);
            slopes.fixed[ANSWER.start + ANSWERS][k] += off;
            add(&mut of_hidden, off, &rows[ANSWER.start + k]);
        }
        cut(&mut of_hidden, &hidden);
        add(&mut slopes.fixed[HIDDEN.end - 1], 1.0, &of_hidden);
        for (k, (known, counts)) in known.iter().zip(&counts).enumerate() {
            let mut slope = [0.0; WIDTH];
            for i in 0..WIDTH {
                let row = HIDDEN.start + k * WIDTH + i;
                add(&mut slopes.fixed[row], known[i], &of_hidden);
                slope[i] = dot(&rows[row], &of_hidden) * counts[i];
            }
            let last = &mut self.slopes[REACHES.len()];
            match k {
                0 => add(&mut last[asked.thing], 1.0, &slope),
                1 => {
                    if let Some(cue) = asked.cue {
                        add(&mut last[cue], 1.0, &slope);
                    }
                }
                _ => slopes.named.extend(asked.part.map(|row| (row, slope))),
            }
        }
    }

    /// The slopes of a layer, and of what goes into it.
    fn back_through(&mut self, number: usize, rows: &[Vector], slopes: &mut Slopes) {
        let (below, above) = self.slopes.split_at_mut(number + 1);
        let (into, out) = (&mut below[number], &above[0]);
        let from = match number {
            0 => &self.pass.inputs,
            _ => &self.pass.layers[number - 1].out,
        };
        let start = layer(number).start;
        let layer = &self.pass.layers[number];
        for i in (0..from.len()).filter(|i| layer.needed[*i]) {
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
                    let row = start + tap * WIDTH + k;
                    add(&mut slopes.fixed[row], from[at][k], &slope);
                    into[at][k] += dot(&rows[row], &slope);
                }
            }
        }
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

    /// Words 0 to 3, a part, and one that is asked about beside it.
    fn lesson(words: &[u32], thing: usize, cue: Option<usize>, answer: usize) -> Lesson {
        let row = |n: u32| Some(NAMED as u32 + n);
        let thing_of = |word: &u32| Thing {
            kind: row(5),
            word: row(*word),
        };
        let asked = Asked {
            thing,
            cue,
            part: row(4),
        };
        Lesson {
            ad: 0,
            things: words.iter().map(thing_of).collect(),
            asked: vec![(asked, answer)],
        }
    }

    fn sums(rows: &[Vector], lesson: &Lesson) -> network::Sums {
        let mut pass = Pass::default();
        let (asked, _) = lesson.asked[0];
        pass.begin(rows, lesson.things.iter().copied());
        pass.run(rows, &[asked]);
        pass.answer(rows, &asked)
    }

    fn loss(rows: &[Vector], lesson: &Lesson) -> f64 {
        -chances(sums(rows, lesson).map(f64::from))[lesson.asked[0].1].ln()
    }

    #[test]
    fn slopes_are_those_of_the_loss() {
        let mut random = SplitMix(7);
        let rows = beginning(6, &mut random);
        let rows: Vec<Vector> = rows.iter().map(|r| r.map(|v| v * 2.0 + 0.01)).collect();
        let lesson = lesson(&[0, 1, 2, 3, 1, 0, 2, 1, 3, 0, 1, 2], 5, Some(3), 2);
        let mut desk = Desk::new(LeaveOut {
            thing: 0.0,
            number: 0.0,
        });
        let mut slopes = Slopes::default();
        desk.study(&lesson, &rows, 1.0, &mut slopes, &mut random);
        let mut all = slopes.fixed;
        all.resize(rows.len(), [0.0; WIDTH]);
        for (row, slope) in &slopes.named {
            add(&mut all[*row as usize], 1.0, slope);
        }
        let mut told = 0;
        for row in (0..rows.len()).step_by(7).chain(NAMED..rows.len()) {
            for i in [0, 9, 31] {
                let moved = |by: f32| {
                    let mut rows = rows.clone();
                    rows[row][i] += by;
                    loss(&rows, &lesson)
                };
                let slope = (moved(1e-3) - moved(-1e-3)) / 2e-3;
                let found = f64::from(all[row][i]);
                // Where a number is cut off nearby, the slope bends.
                let near = 2e-2 * found.abs().max(slope.abs()) + 2e-3;
                assert!(
                    (slope - found).abs() < near,
                    "row {row}, {i}: {slope} {found}"
                );
                told += usize::from(found != 0.0);
            }
        }
        assert!(told > 60, "{told} of the slopes are none");
    }

    #[test]
    fn what_stands_where_is_learnt_the_same_each_time() {
        // Word 1 makes it the first answer behind the part, the fourth before it; a bag
        // of words could not tell.
        let lessons: Vec<Lesson> = (0..400)
            .map(|n| match n % 2 {
                0 => lesson(&[0, 2, 3, 1, 0], 2, None, 0),
                _ => lesson(&[0, 1, 3, 2, 0], 2, None, 3),
            })
            .collect();
        let listed: Vec<&Lesson> = lessons.iter().collect();
        let rows = learn(&listed, 6);
        for lesson in &lessons[..2] {
            assert!(loss(&rows, lesson) < 0.1, "{:?}", sums(&rows, lesson));
        }
        assert!(rows == learn(&listed, 6));
    }
}
