//! What an ad says by all of its words: the words as they follow each other, and what the
//! tables say that they do.
//!
//! Where rules follow what stands in the tables, and the tables of weights
//! ([`super::leanings`], [`super::passing`]) add up single traits, a network hears the ad
//! as a whole. It is learnt from labelled ads by `fixworth lexicon leanings --of context`
//! and never told what a rule makes of a part, so that it errs where rules do not.
//! `context.csv` holds its numbers: a row is a vector, in hundredths.

pub mod network;

use hashbrown::HashMap;

use super::table::{LexiconError, Row, Sheet};
use crate::reading::Says;
use network::{
    Labels, NAMED, OfStates, Pass, REACHES, STATES, SaidRows, TAPS, Things, Vector, WIDTH,
};

/// What a row is the vector of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// A kind of thing: a word of no table, a number, a sign.
    Kind,
    /// A phrase of the tables that names no part, by what it does.
    Cue,
    /// A phrase of the tables that names a part, by what else it does.
    Name,
    /// A word, as it is spelled right; or a sign.
    Word,
    /// Several words that the tables have as one phrase.
    Phrase,
    /// The first four letters of a word.
    Begins,
    /// Its last four letters.
    Ends,
    /// That something is said of a code.
    Part,
    /// That something vague is said.
    Vague,
    /// That the car is said to move so.
    Moves,
    /// That a state is said of a code, by the name of both ([`said`]).
    Said,
}

impl Of {
    /// Every one, with its word in the table.
    pub const ALL: [(Of, &'static str); 11] = [
        (Of::Kind, "kind"),
        (Of::Cue, "cue"),
        (Of::Name, "name"),
        (Of::Word, "word"),
        (Of::Phrase, "phrase"),
        (Of::Begins, "begins"),
        (Of::Ends, "ends"),
        (Of::Part, "part"),
        (Of::Vague, "vague"),
        (Of::Moves, "moves"),
        (Of::Said, "said"),
    ];

    /// The word of the table.
    pub fn word(self) -> &'static str {
        let of = |(of, word): &(Of, &'static str)| (*of == self).then_some(*word);
        Of::ALL.iter().find_map(of).unwrap_or_default()
    }

    /// Whether it is something that an ad may say.
    pub fn is_label(self) -> bool {
        matches!(self, Of::Part | Of::Vague | Of::Moves)
    }
}

/// What the rules say counts so much, as the logarithm of odds. This and the others were
/// chosen by halves and wholes on labelled ads of writers that were not learnt from; half
/// more or less changes little.
pub const RULES: f64 = 3.0;
/// Of a fault that can ruin a car it counts so much more. A choice of ours, no source.
pub const RUINOUS: f64 = 1.0;
/// What is heard of a code of which the rules say nothing counts so much less, and where
/// they say something else.
pub const ALONE: f64 = -2.0;
/// See [`ALONE`].
pub const BESIDE: f64 = -4.0;

/// What the signs of vague wording say counts so much. Less would be right a little more
/// often, but leave out what warns of a seller.
pub const VAGUE_RULES: f64 = 6.0;
/// What they do not say counts so much less.
pub const VAGUE_ALONE: f64 = -3.0;

/// How the car moves by the rules, or by the tables of weights, counts so much.
pub const MOVES_RULES: f64 = 4.0;

/// The name of what is said of a code.
pub fn said(code: &str, says: Says) -> String {
    format!("{code} {says}")
}

/// Something of each state, in the order of the table's rows.
pub fn of_states<T>(of: impl Fn(Says) -> T) -> [T; STATES] {
    std::array::from_fn(|k| of(Says::ALL[k]))
}

/// The name of a phrase that does nothing by itself.
pub const DOES_NOTHING: &str = "nothing";
/// The name of words that the table does not know.
pub const UNKNOWN: &str = "(unknown)";

/// The rows of `context.csv`.
#[derive(Debug, Default)]
pub struct Context {
    rows: Vec<Vector>,
    named: [HashMap<Box<str>, u32>; Of::ALL.len()],
    labels: Labels,
    label_rows: Vec<u32>,
}

/// The names of the rows that stand for no word, kind or code, in their order.
pub fn fixed_rows() -> impl Iterator<Item = (String, String)> {
    const PLACES: [&str; TAPS] = ["left", "here", "right"];
    let layer = |number: usize| {
        let of = |place| (0..WIDTH).map(move |n| format!("{place} {n}"));
        let names = PLACES.into_iter().flat_map(of);
        let names = names.chain(["bias".to_owned()]);
        names.map(move |name| (format!("layer {number}"), name))
    };
    let states = Says::ALL.iter();
    let states = states.map(|says| ("state".to_owned(), says.word().to_owned()));
    let layers = (1..=REACHES.len()).flat_map(layer);
    layers.chain(states)
}

impl Context {
    /// Reads and checks `context.csv`.
    ///
    /// # Errors
    /// A row of an unknown kind, too many or too few numbers, a number that is none, a
    /// row that stands twice or is missing.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut context = Context::default();
        let mut fixed = fixed_rows();
        for row in sheet.rows() {
            let (of, name) = (row.required("of")?, row.required("name")?);
            let number = context.rows.len() as u32;
            if context.rows.len() < NAMED {
                let (due_of, due) = fixed.next().unwrap_or_default();
                if (of, name) != (due_of.as_str(), due.as_str()) {
                    let problem = format!(
                        "'{of}', '{name}' stands where '{due_of}', '{due}' is due; learn the \
                         table anew"
                    );
                    return Err(row.error("name", problem));
                }
            } else {
                let of = row.one_of("of", &Of::ALL)?;
                let names = &mut context.named[of as usize];
                if names.insert(name.into(), number).is_some() {
                    let problem = format!("'{name}' stands twice with '{}'; remove one", of.word());
                    return Err(row.error("name", problem));
                }
                if of.is_label() {
                    context.label_rows.push(number);
                }
            }
            context.rows.push(vector(&row)?);
        }
        if !context.rows.is_empty() && context.rows.len() < NAMED {
            let (of, name) = fixed.next().unwrap_or_default();
            return Err(LexiconError::Table {
                file: sheet.file().to_owned(),
                problem: format!("has no row '{of}', '{name}'; learn the table anew"),
            });
        }
        context.labels = Labels::new(&context.rows, &context.label_rows);
        Ok(context)
    }

    /// Whether the table is empty, so that nothing is ever made likely.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The row of a name.
    pub fn row_of(&self, of: Of, name: &str) -> Option<u32> {
        self.named[of as usize].get(name).copied()
    }

    /// The label of a name.
    pub fn label_of(&self, of: Of, name: &str) -> Option<usize> {
        let row = self.row_of(of, name)?;
        self.label_rows.iter().position(|r| *r == row)
    }

    /// Hears an ad of these things.
    pub fn hear(&self, things: &Things, pass: &mut Pass) {
        pass.begin(&self.rows, things);
        pass.run(&self.rows);
        pass.tell(&self.labels);
    }

    /// The rows of what is said of a code.
    pub fn said_rows(&self, code: &str) -> SaidRows {
        of_states(|says| self.row_of(Of::Said, &said(code, says)))
    }

    /// The chances that the ad heard says each state of a code.
    pub fn states(&self, pass: &Pass, label: usize, said: &SaidRows) -> OfStates {
        pass.states(&self.rows, label, said)
    }
}

/// The numbers of a row, in hundredths.
fn vector(row: &Row<'_>) -> Result<Vector, LexiconError> {
    const COLUMN: &str = "hundredths";
    let mut vector = [0.0; WIDTH];
    let mut numbers = row.required(COLUMN)?.as_bytes().split(|b| *b == b' ');
    let shown = |text: &[u8]| String::from_utf8_lossy(text).into_owned();
    for place in &mut vector {
        let text = numbers.next().unwrap_or_default();
        let number = whole(text).ok_or_else(|| {
            let text = shown(text);
            row.error(
                COLUMN,
                format!("'{text}' is no whole number; each row has {WIDTH}, parted by spaces"),
            )
        })?;
        *place = f32::from(number) / 100.0;
    }
    match numbers.next() {
        None => Ok(vector),
        Some(text) => Err(row.error(
            COLUMN,
            format!(
                "'{}' is one number too many; each row has {WIDTH}",
                shown(text)
            ),
        )),
    }
}

/// A whole number of at most four digits. There are some 350,000: the parsers of the
/// standard library would take most of the start.
fn whole(text: &[u8]) -> Option<i16> {
    let (sign, digits) = match text {
        [b'-', digits @ ..] => (-1, digits),
        digits => (1, digits),
    };
    let add = |sum: i16, digit: &u8| {
        let digit = digit.wrapping_sub(b'0');
        (digit < 10).then(|| sum * 10 + i16::from(digit))
    };
    if !(1..=4).contains(&digits.len()) {
        return None;
    }
    digits.iter().try_fold(0, add).map(|value| sign * value)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(named: &[&str]) -> String {
        let numbers = ["7"; WIDTH].join(" ");
        let fixed = fixed_rows().map(|(of, name)| format!("{of},{name},{numbers}\n"));
        let head = "of,name,hundredths\n".to_owned();
        let named = named.iter().map(|name| format!("{name},{numbers}\n"));
        [head].into_iter().chain(fixed).chain(named).collect()
    }

    fn read(text: &str) -> Result<Context, LexiconError> {
        Context::read(&Sheet::parse("context.csv", text)?)
    }

    #[test]
    fn a_wrong_row_is_named() {
        let whole = table(&["word,quit", "part,clutch"]);
        let context = read(&whole).unwrap();
        assert_eq!(context.row_of(Of::Word, "quit"), Some(NAMED as u32));
        assert_eq!(context.row_of(Of::Part, "quit"), None);
        for (from, to, words) in [
            ("word,quit,7 7", "word,quit,7 x", "'x' is no whole number"),
            (
                "word,quit,7 7",
                "word,quit,77777 7",
                "'77777' is no whole number",
            ),
            ("word,quit,7 7", "word,quit,- 7", "'-' is no whole number"),
            ("word,quit,7 7", "word,quit,7", "each row has 64"),
            ("word,quit,7 7", "word,quit,7 7 7", "one number too many"),
            (
                "word,quit",
                "wording,quit",
                "'wording' is none of: kind, cue",
            ),
            (
                "layer 2,left 3,",
                "layer 2,left 4,",
                "'layer 2', 'left 3' is due",
            ),
            ("part,clutch", "word,quit", "'quit' stands twice"),
        ] {
            assert!(whole.contains(from));
            let error = read(&whole.replace(from, to)).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
            assert!(error.contains("line "), "{error}");
        }
        let cut = &whole[..whole.find("state,renewed").unwrap()];
        let error = read(cut).unwrap_err().to_string();
        assert!(error.contains("has no row 'state', 'renewed'"), "{error}");
    }

    #[test]
    fn an_empty_table_says_nothing() {
        assert!(read("of,name,hundredths\n").unwrap().is_empty());
        assert_eq!(fixed_rows().count(), NAMED);
    }
}
