//! What the words around a part make likely where no cue tells its state.
//!
//! A log-linear model: each trait of a mention (a word near it, what a cue near
//! it does, the state of the parts beside it, which part it is) adds its weight
//! to each answer, and the chances of the answers are as the exponentials of
//! the sums. The weights are learnt from labelled ads by
//! `fixworth lexicon leanings`; the reading asks for them last, where the rules
//! found nothing.

use hashbrown::HashMap;

use super::table::{LexiconError, Row, Sheet};
use crate::reading::Says;

/// Where a trait of a mention was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Near {
    /// The code itself.
    Part,
    /// The group of the car it belongs to.
    Group,
    /// The words that name it: `awd` is named more often than told of.
    Name,
    /// A word of its clause, before it.
    Before,
    /// A word of its clause, behind it.
    After,
    /// A word elsewhere in its sentence.
    Sentence,
    /// What a cue of its clause does, before it.
    CueBefore,
    /// What a cue of its clause does, behind it.
    CueAfter,
    /// What a cue elsewhere in its sentence does.
    CueSentence,
    /// The state told last in its sentence before it.
    Earlier,
    /// The state told next in its sentence.
    Later,
    /// The state told last in the sentence before.
    SentenceBefore,
    /// The state told first in the sentence behind.
    SentenceAfter,
    /// The words that the sentence behind opens with.
    Opens,
    /// What a cue in the sentence before does, where that names no part.
    CuePrevious,
    /// What a cue in the sentence behind does, where that names no part.
    CueNext,
    /// How it stands: alone in its sentence, in the headline.
    Form,
    /// What a rule says of it.
    Says,
    /// The code, with what a rule says of it.
    PartSays,
    /// The words that name it, with what a rule says of it.
    NameSays,
    /// How it stands, with what a rule says of it.
    FormSays,
    /// A word before the words of a rule, with how many words before.
    Left,
    /// A word behind the words of a rule, with how many words behind.
    Right,
    /// The words of the cue by which a rule says it.
    Cue,
    /// What lies between the part and that cue, with what the rule says.
    Path,
    /// What else is told of the same part, and in the same sentence.
    Told,
}

impl Near {
    /// Every place, with its word in the table.
    pub const ALL: [(Near, &'static str); 26] = [
        (Near::Part, "part"),
        (Near::Group, "group"),
        (Near::Name, "name"),
        (Near::Before, "before"),
        (Near::After, "after"),
        (Near::Sentence, "sentence"),
        (Near::CueBefore, "cue_before"),
        (Near::CueAfter, "cue_after"),
        (Near::CueSentence, "cue_sentence"),
        (Near::Earlier, "earlier"),
        (Near::Later, "later"),
        (Near::SentenceBefore, "sentence_before"),
        (Near::SentenceAfter, "sentence_after"),
        (Near::Opens, "opens"),
        (Near::CuePrevious, "cue_previous"),
        (Near::CueNext, "cue_next"),
        (Near::Form, "form"),
        (Near::Says, "says"),
        (Near::PartSays, "part_says"),
        (Near::NameSays, "name_says"),
        (Near::FormSays, "form_says"),
        (Near::Left, "left"),
        (Near::Right, "right"),
        (Near::Cue, "cue"),
        (Near::Path, "path"),
        (Near::Told, "told"),
    ];

    /// The word of the table.
    pub fn word(self) -> &'static str {
        let of = |(near, word): &(Near, &'static str)| (*near == self).then_some(*word);
        Near::ALL.iter().find_map(of).unwrap_or_default()
    }

    /// Its place among all, for arrays.
    pub fn index(self) -> usize {
        self as usize
    }
}

/// What can be told of a part, in the order of the table's columns; `None`:
/// nothing.
pub const ANSWERS: [(&str, Option<Says>); 5] = [
    ("bad", Some(Says::Bad)),
    ("suspect", Some(Says::Suspect)),
    ("renewed", Some(Says::Renewed)),
    ("sound", Some(Says::Sound)),
    ("nothing", None),
];

/// A state is told where its chance is at least this. A claim made adds to the
/// mean of precision and recall (F1) as long as it is right more often than
/// half of what that mean is; of writers that were not learnt from, so many are right
/// from here on (tried from 0.4 to 0.6 on 1,500 labelled ads).
pub const LEAST_CHANCE: f64 = 0.5;

/// One weight for each of [`ANSWERS`].
pub type Weights = [f64; ANSWERS.len()];

/// The chances of the answers whose weights sum up to these.
pub fn chances<const N: usize>(sums: [f64; N]) -> [f64; N] {
    let most = sums.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let powers = sums.map(|s| libm::exp(s - most));
    let all: f64 = powers.iter().sum();
    powers.map(|p| p / all)
}

/// The rows of `leanings.csv`.
pub type Leanings = Weighed<{ ANSWERS.len() }>;

impl Leanings {
    /// Reads and checks `leanings.csv`.
    ///
    /// # Errors
    /// A place that is not known, a weight that is no number, a trait that stands twice.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        Weighed::of_columns(sheet, ANSWERS.map(|(column, _)| column))
    }
}

/// What traits weigh for each of some answers.
#[derive(Debug)]
pub struct Weighed<const N: usize> {
    weights: [HashMap<Box<str>, [f64; N]>; Near::ALL.len()],
}

impl<const N: usize> Default for Weighed<N> {
    fn default() -> Self {
        Weighed {
            weights: std::array::from_fn(|_| HashMap::new()),
        }
    }
}

impl<const N: usize> Weighed<N> {
    /// Reads and checks a table of such weights, a column an answer.
    ///
    /// # Errors
    /// A place that is not known, a weight that is no number, a trait that
    /// stands twice.
    pub(super) fn of_columns(
        sheet: &Sheet,
        columns: [&'static str; N],
    ) -> Result<Self, LexiconError> {
        let mut leanings = Weighed::default();
        for row in sheet.rows() {
            let near = row.one_of("near", &Near::ALL)?;
            let mut weights = [0.0; N];
            for (weight, column) in weights.iter_mut().zip(columns) {
                *weight = number(&row, column)?;
            }
            let word = row.required("word")?;
            let seen = leanings.weights[near.index()].insert(word.into(), weights);
            if seen.is_some() {
                return Err(row.error(
                    "word",
                    format!("'{word}' stands twice with '{}'; remove one", near.word()),
                ));
            }
        }
        Ok(leanings)
    }

    /// The weights of a trait, where the table has any.
    pub fn of(&self, near: Near, word: &str) -> Option<&[f64; N]> {
        self.weights[near.index()].get(word)
    }

    /// Whether the table is empty, so that nothing is ever made likely.
    pub fn is_empty(&self) -> bool {
        self.weights.iter().all(HashMap::is_empty)
    }
}

/// A weight; an empty cell is none.
pub(super) fn number(row: &Row<'_>, column: &'static str) -> Result<f64, LexiconError> {
    let text = row.text(column)?;
    if text.is_empty() {
        return Ok(0.0);
    }
    let value = text.parse::<f64>().ok();
    value.filter(|v| v.abs() <= 20.0).ok_or_else(|| {
        row.error(
            column,
            format!("'{text}' is no weight: a number from -20 to 20, such as -0.35"),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Leanings, LexiconError> {
        Leanings::read(&Sheet::parse("leanings.csv", text)?)
    }

    #[test]
    fn a_wrong_row_is_named() {
        const HEAD: &str = "near,word,bad,suspect,renewed,sound,nothing\n";
        for (row, words) in [
            ("beside,quit,1,0,0,0,0", "line 2, column 'near'"),
            ("after,quit,much,0,0,0,0", "line 2, column 'bad'"),
            ("after,quit,1,0,0,0,99", "line 2, column 'nothing'"),
            ("after,quit,1,0,0,0,0\nafter,quit,1,0,0,0,0", "line 3"),
        ] {
            let error = read(&format!("{HEAD}{row}\n")).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
        let good = read(&format!("{HEAD}after,quit,1.5,,,,-1\n")).unwrap();
        let weights = good.of(Near::After, "quit").unwrap();
        assert_eq!(*weights, [1.5, 0.0, 0.0, 0.0, -1.0]);
        assert_eq!(good.of(Near::Before, "quit"), None);
    }

    #[test]
    fn chances_sum_to_one_and_keep_their_order() {
        let of = chances([2.0, 0.0, 1.0, -700.0, 700.0]);
        assert!((of.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(of[4] > of[0] && of[0] >= of[2] && of[3] >= 0.0);
    }
}
