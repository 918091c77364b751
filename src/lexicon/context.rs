//! What an ad says by all of its words: the words as they follow each other, and what the
//! tables say that they do.
//!
//! Where rules follow what stands in the tables, and the tables of weights
//! ([`super::leanings`], [`super::passing`]) add up single traits, a network hears the ad
//! as a whole. It is learnt from labelled ads by `fixworth lexicon leanings --of context`
//! and never told what a rule makes of a part, so that it errs where rules do not.
//! `context.csv` holds its numbers: a row is a vector, or one for each tower
//! ([`network::TOWERS`]), in hundredths.

pub mod network;

use std::ops::Range;

use hashbrown::HashMap;

use super::table::{LexiconError, Row, Sheet};
use crate::reading::Says;
use network::{
    Labels, NAMED, OF_TOWER, OfStates, Pass, REACHES, STATES, SaidRows, TAPS, TOLD_CODES, TOWERS,
    Things, Vector, WIDTH,
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
    /// A code that the tables have a phrase for.
    Code,
    /// The first four letters of a word.
    Begins,
    /// Its last four letters.
    Ends,
    /// That something is said of a code.
    Part,
    /// That something vague is said.
    Vague,
    /// That a plain field has a value, by the name of both ([`field`]).
    Field,
    /// That a state is said of a code, by the name of both ([`said`]).
    Said,
}

impl Of {
    /// Every one, with its word in the table.
    pub const ALL: [(Of, &'static str); 12] = [
        (Of::Kind, "kind"),
        (Of::Cue, "cue"),
        (Of::Name, "name"),
        (Of::Word, "word"),
        (Of::Phrase, "phrase"),
        (Of::Code, "code"),
        (Of::Begins, "begins"),
        (Of::Ends, "ends"),
        (Of::Part, "part"),
        (Of::Vague, "vague"),
        (Of::Field, "field"),
        (Of::Said, "said"),
    ];

    /// The word of the table.
    pub fn word(self) -> &'static str {
        let of = |(of, word): &(Of, &'static str)| (*of == self).then_some(*word);
        Of::ALL.iter().find_map(of).unwrap_or_default()
    }

    /// How many vectors a row of it has: one that all towers share, or one for each.
    pub fn vectors(self) -> usize {
        match self {
            Of::Said => TOWERS,
            of if of.is_label() => TOWERS,
            _ => 1,
        }
    }

    /// Whether it is something that an ad may say.
    pub fn is_label(self) -> bool {
        matches!(self, Of::Part | Of::Vague | Of::Field)
    }
}

/// What the rules say counts so much, as the logarithm of odds. This and the others were
/// chosen by halves and wholes on labelled ads of writers that were not learnt from; half
/// more or less changes little.
pub const RULES: f64 = 2.5;
/// Of a fault that can ruin a car it counts so much more. A choice of ours, no source.
pub const RUINOUS: f64 = 2.0;
/// What is heard of a code of which the rules say nothing counts so much less, and where
/// they say something else.
pub const ALONE: f64 = -1.5;
/// See [`ALONE`].
pub const BESIDE: f64 = -3.0;

/// What the signs of vague wording say counts so much.
pub const VAGUE_RULES: f64 = 3.0;
/// What they do not say counts so much less.
pub const VAGUE_ALONE: f64 = -1.0;

/// What rules or the tables of weights say of a plain field counts so much.
pub const FIELD_RULES: f64 = 4.0;
/// What is heard of a field that they leave open counts so much less.
pub const FIELD_ALONE: f64 = -2.0;

/// The name of what is said of a code.
pub fn said(code: &str, says: Says) -> String {
    format!("{code} {says}")
}

/// Keys of the plain fields that are heard, as in a reading.
pub const MOVES: &str = "moves";
/// See [`MOVES`].
pub const GEARBOX: &str = "gearbox";
/// See [`MOVES`].
pub const TITLE: &str = "title";
/// See [`MOVES`].
pub const ASK_BASIS: &str = "ask_basis";

/// The name of a value of a plain field, by its key in a reading.
pub fn field(key: &str, value: &str) -> String {
    format!("{key} {value}")
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
    labels: [Labels; TOWERS],
    label_rows: Vec<u32>,
    /// For each tower the rows that it leaves out.
    left_out: [Range<u32>; TOWERS],
}

/// The rows that each tower leaves out, by those of the codes.
pub fn left_out(codes: &Range<u32>) -> [Range<u32>; TOWERS] {
    TOLD_CODES.map(|told| if told { 0..0 } else { codes.clone() })
}

/// The names of the rows that stand for no word, kind or code, in their order. Each has a
/// vector for every tower.
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
    /// row that stands twice or is missing, codes that stand apart.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut context = Context::default();
        let (mut fixed, mut known) = (fixed_rows(), 0);
        let mut codes = 0..0;
        for row in sheet.rows() {
            if known < OF_TOWER {
                if context.rows.is_empty() {
                    context.rows.resize(NAMED, [0.0; WIDTH]);
                }
                let (of, name) = (row.required("of")?, row.required("name")?);
                let (due_of, due) = fixed.next().unwrap_or_default();
                if (of, name) != (due_of.as_str(), due.as_str()) {
                    let problem = format!(
                        "'{of}', '{name}' stands where '{due_of}', '{due}' is due; learn the \
                         table anew"
                    );
                    return Err(row.error("name", problem));
                }
                let vectors = vectors(&row, TOWERS)?.into_iter().enumerate();
                vectors.for_each(|(tower, v)| context.rows[tower * OF_TOWER + known] = v);
                known += 1;
            } else {
                let number = context.rows.len() as u32;
                if context.name(&row)? == Of::Code {
                    codes = match codes {
                        Range { start: 0, end: 0 } => number..number + 1,
                        Range { start, end } if end == number => start..number + 1,
                        _ => {
                            let problem =
                                "the rows of codes stand apart; move this one to the others";
                            return Err(row.error("of", problem));
                        }
                    };
                }
            }
        }
        if (1..OF_TOWER).contains(&known) {
            let (of, name) = fixed.next().unwrap_or_default();
            return Err(LexiconError::Table {
                file: sheet.file().to_owned(),
                problem: format!("has no row '{of}', '{name}'; learn the table anew"),
            });
        }
        context.left_out = left_out(&codes);
        let rows = (&context.rows, &context.label_rows);
        context.labels = std::array::from_fn(|tower| Labels::new(rows.0, rows.1, tower));
        Ok(context)
    }

    /// Takes up a row with a name of its own.
    fn name(&mut self, row: &Row<'_>) -> Result<Of, LexiconError> {
        let of = row.one_of("of", &Of::ALL)?;
        let name = row.required("name")?;
        let number = self.rows.len() as u32;
        let names = &mut self.named[of as usize];
        if names.insert(name.into(), number).is_some() {
            let problem = format!("'{name}' stands twice with '{}'; remove one", of.word());
            return Err(row.error("name", problem));
        }
        if of.is_label() {
            self.label_rows.push(number);
        }
        self.rows.extend(vectors(row, of.vectors())?);
        Ok(of)
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
    pub fn hear(&self, things: &Things, passes: &mut [Pass; TOWERS]) {
        for (tower, pass) in passes.iter_mut().enumerate() {
            pass.begin(&self.rows, things, &self.left_out[tower]);
            pass.run(&self.rows, tower);
            pass.tell(&self.labels[tower]);
        }
    }

    /// The rows of what is said of a code.
    pub fn said_rows(&self, code: &str) -> SaidRows {
        of_states(|says| self.row_of(Of::Said, &said(code, says)))
    }

    /// The chances that the ad heard says each state of a code, tower by tower.
    pub fn states(
        &self,
        passes: &[Pass; TOWERS],
        label: usize,
        said: &SaidRows,
    ) -> [OfStates; TOWERS] {
        std::array::from_fn(|tower| passes[tower].states(&self.rows, tower, label, said))
    }
}

/// The vectors of a row, in hundredths.
fn vectors(row: &Row<'_>, count: usize) -> Result<Vec<Vector>, LexiconError> {
    const COLUMN: &str = "hundredths";
    let mut vectors = vec![[0.0; WIDTH]; count];
    let due = count * WIDTH;
    let mut numbers = row.required(COLUMN)?.as_bytes().split(|b| *b == b' ');
    let shown = |text: &[u8]| String::from_utf8_lossy(text).into_owned();
    for place in vectors.as_flattened_mut() {
        let text = numbers.next().unwrap_or_default();
        let number = whole(text).ok_or_else(|| {
            let text = shown(text);
            row.error(
                COLUMN,
                format!("'{text}' is no whole number; this row has {due}, parted by spaces"),
            )
        })?;
        *place = f32::from(number) / 100.0;
    }
    match numbers.next() {
        None => Ok(vectors),
        Some(text) => Err(row.error(
            COLUMN,
            format!(
                "'{}' is one number too many; this row has {due}",
                shown(text)
            ),
        )),
    }
}

/// A whole number of at most four digits. There are some 1.7 million: the parsers of the
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

    fn numbers(of: usize) -> String {
        vec!["7"; of * WIDTH].join(" ")
    }

    fn table(named: &[(&str, usize)]) -> String {
        let fixed = fixed_rows().map(|(of, name)| format!("{of},{name},{}\n", numbers(TOWERS)));
        let head = "of,name,hundredths\n".to_owned();
        let named = named.iter();
        let named = named.map(|(name, of)| format!("{name},{}\n", numbers(*of)));
        [head].into_iter().chain(fixed).chain(named).collect()
    }

    fn read(text: &str) -> Result<Context, LexiconError> {
        Context::read(&Sheet::parse("context.csv", text)?)
    }

    #[test]
    fn a_wrong_row_is_named() {
        let whole = table(&[("word,quit", 1), ("part,clutch", TOWERS)]);
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
            ("word,quit,7 7", "word,quit,7", "this row has 64"),
            ("part,clutch,7 7", "part,clutch,7", "this row has 128"),
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
        let apart = table(&[("code,hub", 1), ("word,quit", 1), ("code,clutch", 1)]);
        let error = read(&apart).unwrap_err().to_string();
        assert!(error.contains("of codes stand apart"), "{error}");
        let cut = &whole[..whole.find("state,renewed").unwrap()];
        let error = read(cut).unwrap_err().to_string();
        assert!(error.contains("has no row 'state', 'renewed'"), "{error}");
    }

    #[test]
    fn a_tower_leaves_out_what_it_is_not_told() {
        for (told, rows) in TOLD_CODES.iter().zip(left_out(&(7..9))) {
            assert_eq!(rows, if *told { 0..0 } else { 7..9 });
        }
        let table = table(&[("word,quit", 1), ("code,hub", 1), ("code,clutch", 1)]);
        let codes = NAMED as u32 + 1..NAMED as u32 + 3;
        assert_eq!(read(&table).unwrap().left_out, left_out(&codes));
    }

    #[test]
    fn an_empty_table_says_nothing() {
        assert!(read("of,name,hundredths\n").unwrap().is_empty());
        assert_eq!(fixed_rows().count(), OF_TOWER);
    }
}
