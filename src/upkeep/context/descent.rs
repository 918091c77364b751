//! Learns the vectors of a network ([`network`]) from lessons.
//!
//! Steps down the slope of the mean loss of a few ads at a time (the cross-entropy of
//! every label and of every state of the codes that are said), with a step of its own for
//! each number (Adam: Kingma, Ba 2015, ICLR) and some of what is known left out at random
//! (dropout: Srivastava et al. 2014, J. Mach. Learn. Res. 15), so that nothing hangs on
//! one word. The same lessons give the same vectors.

use rayon::prelude::*;

use super::Lesson;
use super::slopes::{Desk, LEAVE_OUT, Network, Slopes, Turned};
use crate::lexicon::context::network::{
    NAMED, OF_TOWER, ONE, REACHES, TAPS, TOWERS, Vector, WIDTH, layer, state,
};
use crate::lexicon::context::{Of, left_out};
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
/// Of Adam: how much of the mean slope, and of its mean square, is kept at a step.
const KEPT: (f32, f32) = (0.9, 0.999);
/// How likely a label is at a thing before anything is learnt, as a logit.
const AT_FIRST: f32 = -6.0;

/// Rows to begin with; behind the first they are of these kinds.
pub(super) fn beginning(kinds: &[Of], random: &mut SplitMix) -> Vec<Vector> {
    let scale = |row: usize| match row {
        _ if row < NAMED => of_tower(row % OF_TOWER),
        _ => match kinds[row - NAMED] {
            Of::Said => 0.0,
            of if of.is_label() => 0.1,
            _ => 0.3,
        },
    };
    let all = 0..NAMED + kinds.len();
    let mut rows: Vec<Vector> = all
        .map(|row| std::array::from_fn(|_| random.normal() * scale(row)))
        .collect();
    for (row, of) in rows[NAMED..].iter_mut().zip(kinds) {
        if of.is_label() {
            row[ONE] = AT_FIRST;
        }
    }
    rows
}

/// How far from nothing the rows of a tower begin.
fn of_tower(row: usize) -> f32 {
    match row {
        _ if (0..REACHES.len()).any(|n| layer(0, n).end - 1 == row) => 0.0,
        _ if row < state(0).start => ((TAPS * WIDTH) as f32).sqrt().recip(),
        _ => 0.1,
    }
}

/// Learns from lessons, whose rows are of these kinds, of which some are labels.
pub fn learn(lessons: &[&Lesson], kinds: &[Of], labels: &[u32]) -> Vec<Vector> {
    let mut random = SplitMix(1);
    let mut rows = beginning(kinds, &mut random);
    let code = |of: &Of| *of == Of::Code;
    let first = kinds.iter().position(code).unwrap_or_default();
    let codes = kinds.iter().filter(|of| code(of)).count();
    let codes = ((NAMED + first) as u32)..((NAMED + first + codes) as u32);
    let left_out = left_out(&codes);
    let mut descent = Descent::new(rows.len(), ROUNDS * lessons.len().div_ceil(BATCH));
    let mut order: Vec<usize> = (0..lessons.len()).collect();
    let mut slopes = vec![[0.0; WIDTH]; rows.len()];
    for _ in 0..ROUNDS {
        random.shuffle(&mut order);
        for batch in order.chunks(BATCH) {
            let seed = random.next();
            let turned: [Turned; TOWERS] =
                std::array::from_fn(|tower| Turned::new(&rows, labels, tower));
            let networks: [Network<'_>; TOWERS] = std::array::from_fn(|tower| Network {
                rows: &rows,
                labels,
                turned: &turned[tower],
                tower,
                left_out: &left_out[tower],
                share: 1.0 / batch.len() as f32,
            });
            let shares: Vec<Slopes> = batch
                .par_chunks(SHARE)
                .enumerate()
                .map_init(
                    || Desk::new(LEAVE_OUT),
                    |desk, (number, ads)| {
                        let mut random = SplitMix(seed.wrapping_add(number as u64));
                        let mut slopes = Slopes::new(labels.len());
                        for ad in ads {
                            for network in networks {
                                desk.study(lessons[*ad], network, &mut slopes, &mut random);
                            }
                        }
                        slopes
                    },
                )
                .collect();
            slopes.fill([0.0; WIDTH]);
            for share in &shares {
                share.add_to(&mut slopes, labels);
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
                *number -= step * (*mean / mean_grown) / ((*square / square_grown).sqrt() + 1e-8);
            });
    }
}
