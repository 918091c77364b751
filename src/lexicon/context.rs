//! All that stands around a part, weighed together: the words as they follow each other,
//! and what the tables say that they do.
//!
//! Where the tables of weights ([`super::leanings`], [`super::passing`]) add up single
//! traits, a network sees which stands where. It is learnt from labelled ads by
//! `fixworth lexicon leanings --of context` and never told what a rule makes of a part,
//! so that it errs where rules do not. `context.csv` holds its numbers: a row is a vector,
//! in hundredths.

pub mod network;

use hashbrown::HashMap;

use super::table::{LexiconError, Row, Sheet};
use crate::lexicon::passing;
use network::{Asked, INTO_HIDDEN, NAMED, Pass, REACHES, Sums, TAPS, Thing, Vector, WIDTH};

/// What a row is the vector of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// A kind of thing: a word of no table, a number, a sign.
    Kind,
    /// A phrase of the tables that names no part, by what it does.
    Cue,
    /// A phrase of the tables that names a part, by what else it does.
    Name,
    /// Words, as they stand or as a table has them.
    Word,
    /// A code.
    Part,
    /// A code of vague wording: whether it is meant so is asked as of a fault.
    Vague,
}

impl Of {
    /// Every one, with its word in the table.
    pub const ALL: [(Of, &'static str); 6] = [
        (Of::Kind, "kind"),
        (Of::Cue, "cue"),
        (Of::Name, "name"),
        (Of::Word, "word"),
        (Of::Part, "part"),
        (Of::Vague, "vague"),
    ];

    /// The word of the table.
    pub fn word(self) -> &'static str {
        let of = |(of, word): &(Of, &'static str)| (*of == self).then_some(*word);
        Of::ALL.iter().find_map(of).unwrap_or_default()
    }
}

/// So much counts what the network makes of a part beside the weights of its traits.
/// Chosen among 0.5, 0.7, 0.9 on labelled ads of writers that were not learnt from.
pub const CONTEXT_COUNTS: f64 = 0.5;

/// Vague wording is told where it is meant so with this chance. Chosen among 0.3, 0.4,
/// 0.5 on the same ads.
pub const LEAST_MEANT: f64 = 0.5;

/// Where one answer is likelier than this by the weights of traits, the network is not
/// asked: on the same ads it changes no figure from 0.9 on.
pub const SURE: f64 = 0.9;

/// The name of a phrase that does nothing by itself.
pub const DOES_NOTHING: &str = "nothing";
/// The name of words that the table does not know.
pub const UNKNOWN: &str = "(unknown)";

/// The rows of `context.csv`.
#[derive(Debug, Default)]
pub struct Context {
    rows: Vec<Vector>,
    named: [HashMap<Box<str>, u32>; Of::ALL.len()],
}

/// The names of the rows that stand for no word, kind or code, in their order.
pub fn fixed_rows() -> impl Iterator<Item = (String, String)> {
    const PLACES: [&str; TAPS] = ["left", "here", "right"];
    const INTO: [&str; INTO_HIDDEN] = ["thing", "cue", "part"];
    let numbered = |places: [&'static str; 3]| {
        let all = places.into_iter();
        let of = move |place| (0..WIDTH).map(move |n| format!("{place} {n}"));
        all.flat_map(of).chain(["bias".to_owned()])
    };
    let layers = (1..=REACHES.len()).flat_map(move |number| {
        numbered(PLACES).map(move |name| (format!("layer {number}"), name))
    });
    let hidden = numbered(INTO).map(|name| ("hidden".to_owned(), name));
    let answers = passing::ANSWERS.map(|(column, _)| column.to_owned());
    let answers = answers.into_iter().chain(["bias".to_owned()]);
    layers
        .chain(hidden)
        .chain(answers.map(|name| ("answer".to_owned(), name)))
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
                let names = &mut context.named[row.one_of("of", &Of::ALL)? as usize];
                if names.insert(name.into(), number).is_some() {
                    let problem = format!("'{name}' stands twice with '{of}'; remove one");
                    return Err(row.error("name", problem));
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

    /// Begins an ad of these things, unless that was done.
    pub fn begin(&self, things: impl Iterator<Item = Thing>, pass: &mut Pass) {
        if !pass.has_begun() {
            pass.begin(&self.rows, things);
        }
    }

    /// The sums of the answers ([`passing::ANSWERS`]) for each part asked about.
    pub fn sums(&self, asked: &[Asked], pass: &mut Pass) -> Vec<Sums> {
        pass.run(&self.rows, asked);
        let sums = |asked: &Asked| pass.answer(&self.rows, asked);
        asked.iter().map(sums).collect()
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
            ("word,quit,7 7", "word,quit,7", "each row has 32"),
            ("word,quit,7 7", "word,quit,7 7 7", "one number too many"),
            ("word,quit", "phrase,quit", "'phrase' is none of: kind, cue"),
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
        let cut = &whole[..whole.find("hidden,cue 0").unwrap()];
        let error = read(cut).unwrap_err().to_string();
        assert!(error.contains("has no row 'hidden', 'cue 0'"), "{error}");
    }

    #[test]
    fn an_empty_table_says_nothing() {
        assert!(read("of,name,hundredths\n").unwrap().is_empty());
        assert_eq!(fixed_rows().count(), NAMED);
    }
}
