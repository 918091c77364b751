//! Small words of an ad by what they do in it: `the`, `both`, `until`, names of
//! units. What such a word does is told by the code that asks for its class;
//! which words do so stands in a table.

mod class;

use super::table::{LexiconError, Row, Sheet};
use super::words::Words;
use crate::near::hint;

pub use class::WordClass;

/// Classes of whole names before a colon: they may have hyphens, which part the words
/// of a text.
const FIELDS: [WordClass; 3] = [
    WordClass::HeaderField,
    WordClass::SureField,
    WordClass::ToldField,
];

/// How many numbers hold a bit for each class.
const PIECES: usize = WordClass::ALL.len().div_ceil(u64::BITS as usize);

/// The classes of one word, or those that are asked for: a bit for each.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct ClassSet([u64; PIECES]);

impl ClassSet {
    /// These classes.
    pub const fn of(classes: &[WordClass]) -> Self {
        let mut set = ClassSet([0; PIECES]);
        let mut at = 0;
        while at < classes.len() {
            set.add(classes[at]);
            at += 1;
        }
        set
    }

    /// Whether the two have a class in common.
    pub const fn meets(self, other: Self) -> bool {
        let (mut common, mut at) = (0, 0);
        while at < PIECES {
            common |= self.0[at] & other.0[at];
            at += 1;
        }
        common != 0
    }

    const fn add(&mut self, class: WordClass) {
        let bit = class as usize;
        self.0[bit / 64] |= 1 << (bit % 64);
    }
}

/// The rows of `word_classes.csv`, by word.
#[derive(Debug, Default)]
pub struct WordClasses {
    words: Words,
    /// The classes of each word.
    sets: Vec<ClassSet>,
}

impl WordClasses {
    /// Reads and checks `word_classes.csv`.
    ///
    /// # Errors
    /// A class that no code asks for, one that stands twice or is missing; no
    /// word, a word twice, something that could never be one word of an ad; no
    /// meaning.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut classes = WordClasses::default();
        let mut seen: Vec<WordClass> = Vec::new();
        for row in sheet.rows() {
            let class = class(&row)?;
            if seen.contains(&class) {
                let problem = format!("'{}' stands twice; put its words together", class.name());
                return Err(row.error("class", problem));
            }
            seen.push(class);
            row.required("meaning")?;
            for word in row.required("words")?.split_whitespace() {
                classes.add(&row, word, class)?;
            }
        }
        match WordClass::ALL.iter().find(|class| !seen.contains(class)) {
            Some(class) => Err(sheet.error(format!(
                "no row has the class '{}', which is needed; add it",
                class.name()
            ))),
            None => Ok(classes),
        }
    }

    fn add(&mut self, row: &Row<'_>, word: &str, class: WordClass) -> Result<(), LexiconError> {
        let hyphens = FIELDS.contains(&class);
        let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || hyphens && b == b'-';
        if !word.bytes().all(plain) {
            let problem = format!(
                "'{word}' must be one word in lower case, letters and digits only: its stays for it's"
            );
            return Err(row.error("words", problem));
        }
        let at = self.words.intern(word).index();
        if at == self.sets.len() {
            self.sets.push(ClassSet::default());
        }
        let set = &mut self.sets[at];
        if set.meets(ClassSet::of(&[class])) {
            return Err(row.error("words", format!("'{word}' stands twice; remove one")));
        }
        set.add(class);
        Ok(())
    }

    /// Those of the table in the program.
    #[cfg(test)]
    pub(crate) fn built_in() -> Self {
        let sheet = super::table::Source::built_in().sheet("word_classes.csv");
        Self::read(&sheet.unwrap()).unwrap()
    }

    /// The classes of a word.
    pub fn of(&self, word: &str) -> ClassSet {
        let id = self.words.find(word);
        match id.is_known() {
            true => self.sets[id.index()],
            false => ClassSet::default(),
        }
    }

    /// All words with their classes.
    pub fn iter(&self) -> impl Iterator<Item = (&str, ClassSet)> {
        self.sets
            .iter()
            .enumerate()
            .map(|(at, set)| (self.words.at(at), *set))
    }
}

fn class(row: &Row<'_>) -> Result<WordClass, LexiconError> {
    let name = row.required("class")?;
    let found = WordClass::ALL.iter().find(|class| class.name() == name);
    found.copied().ok_or_else(|| {
        let names = WordClass::ALL.iter().map(|class| class.name());
        let hint = hint(name, names, "remove it: nothing asks for it");
        row.error("class", format!("no class is called '{name}'{hint}"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::table::Source;

    fn built_in() -> String {
        Source::built_in()
            .text("word_classes.csv")
            .unwrap()
            .1
            .into_owned()
    }

    fn problem(table: &str) -> String {
        let sheet = Sheet::parse("word_classes.csv", table).unwrap();
        WordClasses::read(&sheet).unwrap_err().to_string()
    }

    #[test]
    fn words_have_the_classes_of_their_rows() {
        let classes = WordClasses::built_in();
        let is = |word, class| classes.of(word).meets(ClassSet::of(&[class]));
        assert!(is("til", WordClass::Until) && !is("til", WordClass::The));
        assert!(is("its", WordClass::Its) && is("its", WordClass::It));
        assert_eq!(classes.of("gearbox"), ClassSet::default());
        let words = classes.iter().count();
        assert!(words > 200, "{words}");
    }

    #[test]
    fn wrong_rows_are_named() {
        let table = built_in();
        let line = table.lines().position(|l| l.starts_with("until,"));
        let line = line.unwrap() + 1;
        let row = table.lines().find(|l| l.starts_with("until,")).unwrap();
        for (wrong, told) in [
            (
                "untill,till,up to",
                "'class': no class is called 'untill'; did you mean 'until'?",
            ),
            (
                "moon,till,up to",
                "no class is called 'moon'; remove it: nothing asks for it",
            ),
            (
                "once,until,up to\nonce,once,from",
                "'class': 'once' stands twice",
            ),
            (
                "until,till until till,up to",
                "'words': 'till' stands twice; remove one",
            ),
            (
                "until,Until,up to",
                "'words': 'Until' must be one word in lower case",
            ),
            (
                "until,up-to,up to",
                "'words': 'up-to' must be one word in lower case",
            ),
            ("until,,up to", "'words': is empty"),
            ("until,until,", "'meaning': is empty"),
        ] {
            let problem = problem(&table.replacen(row, wrong, 1));
            assert!(problem.contains(told), "{problem}");
            let line = line + usize::from(told.contains("'once'"));
            let place = format!("word_classes.csv, line {line}, column ");
            assert!(problem.starts_with(&place), "{problem}");
        }
        let problem = problem(&table.replacen(row, "# none", 1));
        let told = "no row has the class 'until', which is needed; add it";
        assert!(problem.contains(told), "{problem}");
    }
}
