//! The network as it is learnt: slopes against differences, and what small lessons teach.

use super::descent::{beginning, learn};
use super::slopes::{Desk, LeaveOut, Network, Slopes, Turned};
use super::{Lesson, Name, Said};
use crate::lexicon::context::network::{
    Labels, NAMED, ONE, OfStates, Pass, STATE, STATES, Things, Vector, WIDTH, add,
};
use crate::lexicon::context::{Of, of_states};
use crate::upkeep::random::SplitMix;

/// Words 0 to 3, two codes, and what is said of each.
fn names() -> Vec<Name> {
    let words = (0..4).map(|n| (Of::Word, n.to_string()));
    let parts = ["clutch", "hub"].map(|code| (Of::Part, code.to_owned()));
    let said = ["clutch", "hub"]
        .into_iter()
        .flat_map(|code| of_states(|says| (Of::Said, super::said(code, says))));
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
