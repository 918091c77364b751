//! The network as it is learnt: slopes against differences, and what small lessons teach.

use super::descent::{beginning, learn};
use super::slopes::{Desk, LeaveOut, Network, Slopes, Turned};
use super::{Lesson, Said};
use crate::lexicon::context::Of;
use crate::lexicon::context::network::{
    Labels, NAMED, ONE, OfStates, Pass, REACHES, STATES, TOWERS, Things, Vector, WIDTH, layer,
    state,
};
use crate::upkeep::random::SplitMix;

/// Words 0 to 3, two codes, and what is said of each, tower by tower.
fn kinds() -> Vec<Of> {
    let of_towers = |of, count| std::iter::repeat_n(of, count * TOWERS);
    let words = std::iter::repeat_n(Of::Word, 4);
    let parts = of_towers(Of::Part, LABELS.len());
    words
        .chain(parts)
        .chain(of_towers(Of::Said, LABELS.len() * STATES))
        .collect()
}

const LABELS: [u32; 2] = [NAMED as u32 + 4, (NAMED + 4 + TOWERS) as u32];

/// An ad of these words that says a state of one of the codes.
fn lesson(words: &[u32], label: usize, state: usize) -> Lesson {
    let mut things = Things::default();
    for word in words {
        things.push([NAMED as u32 + word].into_iter());
    }
    let first = NAMED + 4 + (LABELS.len() + label * STATES) * TOWERS;
    Lesson {
        things,
        labels: vec![label],
        said: vec![Said {
            label,
            rows: std::array::from_fn(|k| Some((first + k * TOWERS) as u32)),
            states: std::array::from_fn(|k| k == state),
        }],
        judged: LABELS.len(),
    }
}

fn heard(rows: &[Vector], tower: usize, lesson: &Lesson) -> (Vec<f64>, Vec<OfStates>) {
    let mut pass = Pass::default();
    pass.begin(rows, &lesson.things, &(0..0));
    pass.run(rows, tower);
    pass.tell(&Labels::new(rows, &LABELS, tower));
    let labels = pass.unsaid.iter().map(|u| -f64::from(*u).exp_m1());
    let said = lesson.said.iter();
    let states = said.map(|s| pass.states(rows, tower, s.label, &s.rows));
    (labels.collect(), states.collect())
}

/// The loss of all towers.
fn loss(rows: &[Vector], lesson: &Lesson) -> f64 {
    (0..TOWERS).map(|tower| loss_of(rows, tower, lesson)).sum()
}

fn loss_of(rows: &[Vector], tower: usize, lesson: &Lesson) -> f64 {
    let of = |right: bool, chance: f64| -(if right { chance } else { 1.0 - chance }).ln();
    let (labels, states) = heard(rows, tower, lesson);
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
    let mut rows = beginning(&kinds(), &mut random);
    for (i, row) in rows.iter_mut().enumerate() {
        // All things say everything more or less, and all rows tell something.
        let more = |k: usize, v: f32| v * 1.5 + ((i * 7 + k * 5) % 11) as f32 / 100.0 - 0.05;
        *row = std::array::from_fn(|k| more(k, row[k]));
    }
    // No sum lies near where it is cut off, where the slope would bend.
    for number in (0..TOWERS).flat_map(|tower| (0..REACHES.len()).map(move |n| layer(tower, n))) {
        let (bias, weights) = rows[number].split_last_mut().unwrap();
        weights
            .as_flattened_mut()
            .iter_mut()
            .for_each(|w| *w *= 0.1);
        *bias = std::array::from_fn(|k| if k % 3 == 0 { -0.5 } else { 0.5 });
    }
    for label in LABELS {
        let towers = &mut rows[label as usize..][..TOWERS];
        towers.iter_mut().for_each(|row| row[ONE] = -2.0);
    }
    let lesson = lesson(&[0, 1, 2, 3, 1, 0, 2, 1, 3, 0, 1, 2], 1, 2);
    let mut desk = Desk::new(LeaveOut {
        row: 0.0,
        number: 0.0,
        asked: f32::NEG_INFINITY,
    });
    let mut slopes = Slopes::new(LABELS.len());
    for tower in 0..TOWERS {
        let network = Network {
            rows: &rows,
            labels: &LABELS,
            turned: &Turned::new(&rows, &LABELS, tower),
            tower,
            left_out: &(0..0),
            share: 1.0,
        };
        desk.study(&lesson, network, &mut slopes, &mut random);
    }
    let mut all = vec![[0.0; WIDTH]; rows.len()];
    slopes.add_to(&mut all, &LABELS);
    let mut told = 0;
    for row in (0..rows.len())
        .step_by(7)
        .chain(state(0))
        .chain(state(1).start..rows.len())
    {
        for i in [0, 9, 31, ONE] {
            let moved = |by: f32| {
                let mut rows = rows.clone();
                rows[row][i] += by;
                loss(&rows, &lesson)
            };
            let slope = (moved(1e-3) - moved(-1e-3)) / 2e-3;
            let found = f64::from(all[row][i]);
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
    let kinds = kinds();
    let rows = learn(&listed, &kinds, &LABELS);
    for lesson in &lessons[..2] {
        assert!(loss(&rows, lesson) < 0.6, "{:?}", heard(&rows, 0, lesson));
    }
    assert!(rows == learn(&listed, &kinds, &LABELS));
}

#[test]
fn what_has_few_words_or_no_labels_is_learnt_from() {
    let kinds = kinds();
    let brief = [lesson(&[2], 0, 1), lesson(&[], 1, 3), lesson(&[1, 0], 1, 3)];
    let brief: Vec<&Lesson> = brief.iter().collect();
    let rows = learn(&brief, &kinds, &LABELS);
    assert!(rows.iter().flatten().all(|number| number.is_finite()));
    let bare = Lesson {
        labels: Vec::new(),
        said: Vec::new(),
        judged: 0,
        ..lesson(&[0, 1], 0, 1)
    };
    assert_eq!(learn(&[&bare], &kinds[..4], &[]).len(), NAMED + 4);
}
