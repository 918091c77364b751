//! What the words of a text do in it, by `word_classes.csv`.

use super::Tokens;
use crate::lexicon::word_classes::{ClassSet, WordClass, WordClasses};

impl Tokens {
    /// Notes the classes of all words; what changes the words later forgets
    /// them. `of` has the classes of a token.
    pub fn classify(&mut self, of: impl Fn(usize, &str) -> ClassSet) {
        let Tokens {
            classes,
            list,
            folded,
            ..
        } = self;
        classes.clear();
        classes.extend(
            list.iter()
                .enumerate()
                .map(|(i, t)| of(i, &folded[t.folded.0 as usize..t.folded.1 as usize])),
        );
    }

    /// The same by the table itself, for a text whose words are not looked up
    /// otherwise: a cell.
    pub fn classify_by(&mut self, table: &WordClasses) {
        self.classify(|_, word| table.of(word));
    }

    /// Whether a token is a word of this class.
    pub fn is_a(&self, index: usize, class: WordClass) -> bool {
        self.is_any(index, &[class])
    }

    /// Whether a token is a word of one of these classes.
    #[inline]
    pub fn is_any(&self, index: usize, classes: &[WordClass]) -> bool {
        let asked = ClassSet::of(classes);
        self.classes.get(index).is_some_and(|set| set.meets(asked))
    }
}
