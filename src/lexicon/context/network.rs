//! The arithmetic of [`Context`](super::Context): a small convolutional network.
//!
//! Each thing of an ad (a word, a phrase, a sign) begins as a vector of its own. Three
//! layers mix each with those beside it, one, two and four things off (dilated
//! convolutions: Yu, Koltun 2016, ICLR), with what is below nothing cut off (rectified)
//! and, from the second layer on, what came in added again (residual: He et al. 2016,
//! CVPR). What came of a part and of its cue, and a vector of the code, go through one
//! more such step to the answers.
//!
//! Sums run in one order, so that an answer is the same on every machine.

use std::ops::Range;

/// Numbers of a vector.
pub const WIDTH: usize = 32;
/// How many answers there are.
pub const ANSWERS: usize = 6;
/// How far off stands what each layer looks at.
pub const REACHES: [usize; 3] = [1, 2, 4];
/// On the left, in place, on the right.
pub const TAPS: usize = 3;
/// What goes into the step before the answers: the part, its cue, the code.
pub const INTO_HIDDEN: usize = 3;

/// A thing, at any layer; or one row of weights.
pub type Vector = [f32; WIDTH];
/// A sum of each answer; its exponentials are as the chances.
pub type Sums = [f32; ANSWERS];

/// The rows of a layer begin here: those of every number of what stands on the left,
/// in place and on the right, and the bias.
pub const fn layer(number: usize) -> Range<usize> {
    let rows = TAPS * WIDTH + 1;
    number * rows..(number + 1) * rows
}

/// The rows of the step before the answers, the last the bias.
pub const HIDDEN: Range<usize> = {
    let start = layer(REACHES.len()).start;
    start..start + INTO_HIDDEN * WIDTH + 1
};
/// A row for each answer, and the bias.
pub const ANSWER: Range<usize> = HIDDEN.end..HIDDEN.end + ANSWERS + 1;
/// Rows from here on are vectors of words, kinds and codes.
pub const NAMED: usize = ANSWER.end;

/// A thing of an ad, by the rows that it begins as the sum of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Thing {
    /// What kind of thing it is.
    pub kind: Option<u32>,
    /// Its words, where it has any.
    pub word: Option<u32>,
}

/// A part that is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// The thing that names it.
    pub thing: usize,
    /// The thing that governs it.
    pub cue: Option<usize>,
    /// The row of its code; none where the table does not know it.
    pub part: Option<u32>,
}

/// One layer's work on an ad.
#[derive(Debug, Default)]
pub struct LayerPass {
    /// Where it is needed.
    pub needed: Vec<bool>,
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

/// What stands `tap` (0 left, 1 in place, 2 right) of a place, `reach` off.
pub fn beside(place: usize, tap: usize, reach: usize, all: usize) -> Option<usize> {
    let at = (place + tap * reach).checked_sub(reach)?;
    (at < all).then_some(at)
}

impl Pass {
    /// Begins an ad: each thing as the sum of its rows.
    pub fn begin(&mut self, rows: &[Vector], things: impl Iterator<Item = Thing>) {
        self.inputs.clear();
        self.inputs.extend(things.map(|thing| {
            let mut vector = [0.0; WIDTH];
            for row in [thing.kind, thing.word].into_iter().flatten() {
                add(&mut vector, 1.0, &rows[row as usize]);
            }
            vector
        }));
    }

    /// Whether the things of an ad have been taken up.
    pub fn has_begun(&self) -> bool {
        !self.inputs.is_empty()
    }

    /// Forgets the ad: what is asked next is of another.
    pub fn forget(&mut self) {
        self.inputs.clear();
    }

    /// Runs the layers, as far as what is asked depends on them.
    pub fn run(&mut self, rows: &[Vector], asked: &[Asked]) {
        self.look_where_needed(asked);
        for number in 0..REACHES.len() {
            let (before, rest) = self.layers.split_at_mut(number);
            let from = before.last().map_or(&self.inputs, |l| &l.out);
            rest[0].run(&rows[layer(number)], from, number);
        }
    }

    /// Marks what each layer is needed for, from the last to the first.
    fn look_where_needed(&mut self, asked: &[Asked]) {
        let all = self.inputs.len();
        for number in (0..REACHES.len()).rev() {
            let mut needed = std::mem::take(&mut self.layers[number].needed);
            needed.clear();
            needed.resize(all, false);
            match self.layers.get(number + 1).zip(REACHES.get(number + 1)) {
                None => {
                    let places = asked.iter().flat_map(|a| [Some(a.thing), a.cue]);
                    for at in places.flatten() {
                        needed.get_mut(at).into_iter().for_each(|n| *n = true);
                    }
                }
                Some((above, reach)) => {
                    let places = (0..all).filter(|i| above.needed[*i]);
                    for at in places.flat_map(|i| (0..TAPS).map(move |tap| (i, tap))) {
                        if let Some(at) = beside(at.0, at.1, *reach, all) {
                            needed[at] = true;
                        }
                    }
                }
            }
            self.layers[number].needed = needed;
        }
    }

    /// The sums of the answers for a part that the layers were run for.
    pub fn answer(&self, rows: &[Vector], asked: &Asked) -> Sums {
        answers(rows, &hidden(rows, &self.known(rows, asked)))
    }

    /// What is known of a part when its answer is looked for.
    pub fn known(&self, rows: &[Vector], asked: &Asked) -> [Vector; INTO_HIDDEN] {
        const NONE: Vector = [0.0; WIDTH];
        let last = &self.layers[REACHES.len() - 1].out;
        let at = |place: Option<usize>| place.and_then(|i| last.get(i)).copied();
        let part = asked.part.and_then(|row| rows.get(row as usize)).copied();
        [
            at(Some(asked.thing)).unwrap_or(NONE),
            at(asked.cue).unwrap_or(NONE),
            part.unwrap_or(NONE),
        ]
    }
}

impl LayerPass {
    fn run(&mut self, rows: &[Vector], from: &[Vector], number: usize) {
        self.bent.resize(from.len(), [0.0; WIDTH]);
        self.out.resize(from.len(), [0.0; WIDTH]);
        for i in (0..from.len()).filter(|i| self.needed[*i]) {
            let mut sum = rows[TAPS * WIDTH];
            for tap in 0..TAPS {
                let at = beside(i, tap, REACHES[number], from.len());
                let Some(vector) = at.map(|at| &from[at]) else {
                    continue;
                };
                let weights = &rows[tap * WIDTH..][..WIDTH];
                for (x, weights) in vector.iter().zip(weights) {
                    // Half of what is cut off is nothing.
                    if *x != 0.0 {
                        add(&mut sum, *x, weights);
                    }
                }
            }
            let bent = sum.map(|s| s.max(0.0));
            self.bent[i] = bent;
            self.out[i] = bent;
            if number > 0 {
                add(&mut self.out[i], 1.0, &from[i]);
            }
        }
    }
}

/// The step before the answers.
pub fn hidden(rows: &[Vector], known: &[Vector; INTO_HIDDEN]) -> Vector {
    let rows = &rows[HIDDEN];
    let mut sum = rows[INTO_HIDDEN * WIDTH];
    for (x, weights) in known.iter().flatten().zip(rows) {
        if *x != 0.0 {
            add(&mut sum, *x, weights);
        }
    }
    sum.map(|s| s.max(0.0))
}

/// The sums of the answers.
pub fn answers(rows: &[Vector], hidden: &Vector) -> Sums {
    let rows = &rows[ANSWER];
    let bias = &rows[ANSWERS];
    std::array::from_fn(|k| bias[k] + dot(hidden, &rows[k]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows that are all unlike, of so many names.
    fn rows(names: usize) -> Vec<Vector> {
        let number = |row: usize, i: usize| ((row * 31 + i * 17) % 23) as f32 / 46.0 - 0.24;
        let row = |row| std::array::from_fn(|i| number(row, i));
        (0..NAMED + names).map(row).collect()
    }

    fn things(words: &[u32]) -> impl Iterator<Item = Thing> {
        words.iter().map(|word| Thing {
            kind: None,
            word: Some(NAMED as u32 + word),
        })
    }

    fn sums(words: &[u32], asked: &[Asked], pass: &mut Pass) -> Vec<Sums> {
        let rows = rows(4);
        pass.begin(&rows, things(words));
        pass.run(&rows, asked);
        asked.iter().map(|a| pass.answer(&rows, a)).collect()
    }

    fn at(thing: usize) -> Asked {
        Asked {
            thing,
            cue: None,
            part: None,
        }
    }

    #[test]
    fn an_answer_does_not_hang_on_what_else_is_asked_or_was_read_before() {
        let words: Vec<u32> = (0..40).map(|i| i * i % 4).collect();
        let fresh = sums(&words, &[at(20)], &mut Pass::default());
        let mut used = Pass::default();
        sums(&[3; 60], &[at(20), at(50)], &mut used);
        let among_all: Vec<Asked> = (0..40).map(at).collect();
        let all = sums(&words, &among_all, &mut used);
        assert_eq!(all[20], fresh[0]);
        assert_ne!(all[20], all[21]);
    }

    #[test]
    fn words_count_as_far_as_all_layers_reach() {
        let reach: usize = REACHES.iter().sum();
        let words = [1; 40];
        let plain = sums(&words, &[at(20)], &mut Pass::default());
        for far in 1..12 {
            for place in [20 - far, 20 + far] {
                let mut other = words;
                other[place] = 2;
                let told = sums(&other, &[at(20)], &mut Pass::default());
                assert_eq!(told != plain, far <= reach, "{far} off");
            }
        }
        // At the ends of a text nothing stands beside.
        assert_eq!(sums(&[1], &[at(0)], &mut Pass::default()).len(), 1);
    }
}
