//! The phrases of the tables that the binary carries, joined when it was built
//! (`src/join_tables.rs`).

use super::phrases::Phrases;
use super::table::LexiconError;

const JOINED: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/phrases"));

/// All phrases of the tables in the binary.
///
/// # Errors
/// Never in a binary that was built whole: a test compares them with the
/// tables.
pub fn phrases() -> Result<Phrases, LexiconError> {
    postcard::from_bytes(JOINED).map_err(|error| LexiconError::Table {
        file: "the phrases in the program".to_owned(),
        problem: format!("cannot be read ({error}); build it anew"),
    })
}

#[cfg(test)]
mod tests {
    use super::super::parts::Parts;
    use super::super::phrases::{PhraseRows, PhraseSheets};
    use super::super::table::Source;
    use super::super::vehicles::Vehicles;
    use super::*;

    #[test]
    fn what_was_joined_is_what_the_tables_say() {
        let source = Source::built_in();
        let parts = Parts::read(&source.sheet("parts.csv").unwrap()).unwrap();
        let vehicles = Vehicles::of(&source).unwrap();
        let sheets = PhraseSheets::sheets(&source).unwrap();
        let rows = PhraseRows::read(PhraseSheets::of(&sheets), &parts).unwrap();
        let anew = rows.join(&parts, &vehicles).unwrap();
        assert!(postcard::to_allocvec(&anew).unwrap() == JOINED);
        let taken = phrases().unwrap();
        let word = taken.words().find("alternator");
        assert!(word.is_known());
        assert_eq!(word, anew.words().find("alternator"));
        assert_eq!(taken.spelled().len(), anew.spelled().len());
    }
}
