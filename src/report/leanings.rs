//! A table of leanings as it was learnt, with what is known of its worth.

use std::io::{self, Write};

use crate::lexicon::leanings::{ANSWERS, LEAST_CHANCE};
use crate::upkeep::leanings::{Lesson, Trial};

/// Writes `leanings.csv`, with notes on how it was made.
///
/// # Errors
/// When writing fails.
pub fn write_leanings(
    rows: &[[String; 2 + ANSWERS.len()]],
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
    let mut csv = csv::Writer::from_writer(out);
    csv.write_field("near")?;
    csv.write_field("word")?;
    csv.write_record(ANSWERS.map(|(column, _)| column))?;
    for row in rows {
        csv.write_record(row)?;
    }
    csv.flush()
}
