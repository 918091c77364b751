//! What tells that words of a fault or a repair are not said of this car's: parts
//! named in passing, in small print, in stories, in lists of equipment.
//!
//! The same kind of model as for parts that the rules leave open
//! ([`super::leanings`]), asked of what the rules found, with two answers.

use super::leanings::Weighed;
use super::table::{LexiconError, Sheet};
use crate::units::Chance;

/// The answers, in the order of the table's columns.
pub const ANSWERS: [&str; 2] = ["passing", "meant"];

/// What a rule found is left out where its chance to be said in passing is at least
/// this. Tried from 0.5 to 0.8 on 1,343 labelled ads that were not learnt from: the
/// mean of precision and recall is highest from 0.55 to 0.65.
pub const LEAST_CHANCE: f64 = 0.65;

/// The same of a fault: one left out wrongly costs a buyer more than one told wrongly,
/// and in 70 ads of a writer of whom nothing was learnt, seven of the nine that 0.65
/// leaves out besides were meant. What is left out stays in the bill by the chance that
/// is left, and is asked about.
pub const LEAST_CHANCE_OF_FAULT: f64 = 0.8;

/// The log-odds that a fault which was left out is the car's are taken times this: of
/// 68 such faults in ads that nothing was learnt from 14 were, where the chances by the
/// table summed to 6.6; so they sum to 13.4. Writers it was not learnt from are less
/// like those it was.
const TRUST: f64 = 0.6;

/// A fault that is less likely the car's is not worth a question.
const LEAST_TO_ASK: f64 = 0.01;

/// How likely a fault that was left out is the car's all the same, from the sums of
/// the weights for [`ANSWERS`]; `None` where that is too little to ask about.
pub fn meant([passing, meant]: [f64; ANSWERS.len()]) -> Option<Chance> {
    let chance = 1.0 / (1.0 + (TRUST * (passing - meant)).exp());
    Chance::new(chance).filter(|c| c.value() >= LEAST_TO_ASK)
}

/// The rows of `passing.csv`.
pub type Passing = Weighed<{ ANSWERS.len() }>;

impl Passing {
    /// Reads and checks `passing.csv`.
    ///
    /// # Errors
    /// A place that is not known, a weight that is no number, a trait that stands twice.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        Weighed::of_columns(sheet, ANSWERS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::leanings::Near;

    #[test]
    fn what_was_left_out_is_trusted_less_than_the_table_says() {
        let even = meant([1.5, 1.5]).unwrap();
        assert!((even.value() - 0.5).abs() < 1e-9);
        // By the table one in five.
        let told = meant([4f64.ln(), 0.0]).unwrap().value();
        assert!((0.28..0.32).contains(&told), "{told}");
        assert_eq!(meant([9.0, 0.0]), None);
        assert_eq!(meant([f64::INFINITY, 0.0]), None);
    }

    #[test]
    fn a_wrong_row_is_named() {
        const HEAD: &str = "near,word,passing,meant\n";
        let read =
            |row: &str| Passing::read(&Sheet::parse("passing.csv", &format!("{HEAD}{row}\n"))?);
        for (row, words) in [
            ("beside,warranty,1,-1", "line 2, column 'near'"),
            ("after,warranty,1,much", "line 2, column 'meant'"),
            ("after,warranty,1,-1\nafter,warranty,1,-1", "line 3"),
        ] {
            let error = read(row).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
        let good = read("name_says,seat bad,1.5,").unwrap();
        assert_eq!(good.of(Near::NameSays, "seat bad"), Some(&[1.5, 0.0]));
    }
}
