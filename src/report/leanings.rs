//! A table of leanings as it was learnt, with what is known of its worth.

use std::io::{self, Write};

use crate::lexicon::leanings::{ANSWERS, LEAST_CHANCE};
use crate::lexicon::{moves_leanings, passing};
use crate::upkeep::context;
use crate::upkeep::leanings::{Lesson, Trial};

/// Writes `leanings.csv`, with notes on how it was made.
///
/// # Errors
/// When writing fails.
pub fn write_leanings(
    rows: &[Vec<String>],
    lessons: &[Lesson],
    trial: &Trial,
    ads: usize,
    out: &mut dyn Write,
) -> io::Result<()> {
    let open = lessons.iter().filter(|l| l.open).count();
    writeln!(
        out,
        "# What the words around a part make likely where no rule tells its state. Weights are \
         natural logarithms: those of all that stands around it are summed for each answer.\n\
         # near: where it stands (before, after: a word of the clause; cue_: what a cue does; \
         earlier, later, sentence_before, sentence_after: the state told there; opens: first words \
         of the next sentence; part, group, form).\n\
         # Learnt by 'fixworth lexicon leanings' (logistic regression) from {} parts named in \
         {ads} labelled ads and sentences, {open} of them without a state by the rules.\n\
         # Tried on the fifth of them that was left out, in turn, told from a chance of \
         {LEAST_CHANCE} on: {} right, {} wrong, {} not told.",
        lessons.len(),
        trial.right,
        trial.wrong,
        trial.missed
    )?;
    let answers = ANSWERS.map(|(column, _)| column);
    write_rows(&["near", "word"], &answers, rows, out)
}

/// Writes `moves_leanings.csv`, with notes on how it was made.
///
/// # Errors
/// When writing fails.
pub fn write_moves_leanings(
    rows: &[Vec<String>],
    lessons: &[Lesson<String>],
    trial: &Trial,
    out: &mut dyn Write,
) -> io::Result<()> {
    let open = lessons.iter().filter(|l| l.open).count();
    let chance = moves_leanings::LEAST_CHANCE;
    writeln!(
        out,
        "# What the words of an ad make likely of whether the car moves, where nothing says so. \
         Weights are natural logarithms: those of all words, and of every two side by side, are \
         summed for each answer, each once. '{}' stands for any ad.\n\
         # Learnt by 'fixworth lexicon leanings --of moves' (logistic regression) from {} labelled \
         ads, {open} of them without an answer by the rules.\n\
         # Tried on the fifth of them that was left out, in turn, told from a chance of {chance} \
         on: {} right, {} wrong, {} not told.",
        moves_leanings::ANY,
        lessons.len(),
        trial.right,
        trial.wrong,
        trial.missed
    )?;
    let answers = moves_leanings::ANSWERS.map(|(column, _)| column);
    write_rows(&["word"], &answers, rows, out)
}

/// Writes `passing.csv`, with notes on how it was made.
///
/// # Errors
/// When writing fails.
pub fn write_passing(
    rows: &[Vec<String>],
    lessons: &[Lesson],
    trial: &Trial,
    (ads, fresh): (usize, usize),
    out: &mut dyn Write,
) -> io::Result<()> {
    writeln!(
        out,
        "# A second look at what the rules find: what makes it likely that a part is said to be \
         so, or told in passing and not of the car. Weights are natural logarithms: those of all \
         that stands around it are summed for each answer.\n\
         # near: as in leanings.csv; says, part_says, name_says, form_says: what the rules say, \
         with the code, the words, or how it stands; left, right: a word beside, with how many \
         words off; cue: the words of the cue; path: what lies between it and the part, a letter a \
         thing; told: what else is told.\n\
         # Learnt by 'fixworth lexicon leanings --of passing' (logistic regression) from {} sayings \
         in {ads} labelled ads and sentences, {} of them fresh.\n\
         # Tried on the fifth of them that was left out, in turn: {} changed rightly, {} wrongly, \
         {} wrong ones kept.",
        lessons.len(),
        fresh,
        trial.right,
        trial.wrong,
        trial.missed
    )?;
    let answers = passing::ANSWERS.map(|(column, _)| column);
    write_rows(&["near", "word"], &answers, rows, out)
}

/// Writes `context.csv`, with notes on how it was made.
///
/// # Errors
/// When writing fails.
pub fn write_context(
    rows: &[[String; 3]],
    lessons: &context::Lessons,
    (ads, fresh): (usize, usize),
    out: &mut dyn Write,
) -> io::Result<()> {
    writeln!(
        out,
        "# What an ad says by all of its words, weighed together: a small convolutional \
         network. Numbers are hundredths; the first rows are the weights of its layers, the others \
         the vectors of what an ad is made of; all rows but those of kinds and words hold one for \
         each of two towers. They mean nothing one by one: words get theirs by learning the table \
         anew.\n\
         # Learnt by 'fixworth lexicon leanings --of context' (gradient descent) from {} claims in \
         {ads} labelled ads and sentences, {fresh} of them fresh.",
        lessons.claims()
    )?;
    write_rows(&["of", "name"], &["hundredths"], rows, out)
}

fn write_rows(
    traits: &[&str],
    answers: &[&str],
    rows: &[impl AsRef<[String]>],
    out: &mut dyn Write,
) -> io::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    csv.write_record(traits.iter().chain(answers))?;
    for row in rows {
        csv.write_record(row.as_ref())?;
    }
    csv.flush()
}
