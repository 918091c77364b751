//! A second look at what the rules found: by all that stands around it, how likely
//! is each thing that may be said of a part, and that nothing is: that it is named in
//! passing, in small print, in stories, in lists of equipment.
//!
//! The same kind of model as for parts that the rules leave open
//! ([`super::leanings`]).

use super::leanings::Weighed;
use super::table::{LexiconError, Sheet};
use crate::reading::Says;
use crate::units::Chance;

/// The answers, in the order of the table's columns; `None`: nothing is said of the
/// car's.
pub const ANSWERS: [(&str, Option<Says>); 6] = [
    ("bad", Some(Says::Bad)),
    ("suspect", Some(Says::Suspect)),
    ("renewed", Some(Says::Renewed)),
    ("sound", Some(Says::Sound)),
    ("spare", Some(Says::Spare)),
    ("passing", None),
];

/// Something else must be likelier by so much than a fault that can ruin a car. A
/// choice of ours, no source.
const LEAD_OVER_RUINOUS: f64 = 0.4;

/// Praise must be likelier by so much than a fault that the rules found, and a fault
/// than praise: where it is nearly even, the words themselves decide.
const LEAD_TO_TURN: f64 = 0.2;

/// A fault that is less likely the car's is not worth a question.
const LEAST_TO_ASK: f64 = 0.01;

/// What a second look makes of a saying.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// What the rules found.
    Stands,
    /// Another thing is likely said.
    Means {
        /// What.
        says: Says,
        /// How likely.
        chance: f64,
    },
    /// Likely nothing is said of the car's.
    InPassing {
        /// How likely.
        chance: f64,
        /// The chance that the part has a fault all the same; none where that is too
        /// small to ask about.
        meant: Option<Chance>,
    },
}

impl Verdict {
    /// The verdict on what a rule found, by the chances of all [`ANSWERS`]: the
    /// likeliest is told. That is best for the mean of precision and recall (F1): tried
    /// with leads from 0 to 0.3 on 1,500 labelled ads of writers that were not learnt
    /// from. But praise is not made of a fault, nor a fault of praise, where it is nearly
    /// even; and that a part has a fault that can ruin a car stands unless it is far less
    /// likely: one left out wrongly costs a buyer more than ten told wrongly.
    pub fn on(says: Says, ruinous: bool, chances: [f64; ANSWERS.len()]) -> Self {
        let all = || ANSWERS.iter().map(|(_, says)| *says).zip(chances);
        let found = all()
            .find(|(s, _)| *s == Some(says))
            .map_or(0.0, |(_, c)| c);
        let likeliest = all().max_by(|(_, a), (_, b)| a.total_cmp(b));
        let lead = |other: Option<Says>| {
            let turns = other.map(Says::is_fault) == Some(!says.is_fault());
            let kept = ruinous && says.is_fault() && !other.is_some_and(Says::is_fault);
            match (kept, turns) {
                (true, _) => LEAD_OVER_RUINOUS,
                (false, true) => LEAD_TO_TURN,
                (false, false) => 0.0,
            }
        };
        match likeliest.filter(|(other, chance)| *chance > found + lead(*other)) {
            None => Verdict::Stands,
            Some((Some(says), chance)) => Verdict::Means { says, chance },
            Some((None, chance)) => {
                let faults = all().filter(|(s, _)| s.is_some_and(Says::is_fault));
                let meant = Chance::new(faults.map(|(_, c)| c).sum());
                Verdict::InPassing {
                    chance,
                    meant: meant.filter(|c| c.value() >= LEAST_TO_ASK),
                }
            }
        }
    }

    /// In words, of the words that name the part and what a rule found; none where
    /// that stands.
    pub fn in_words(self, words: &str, says: Says) -> Option<String> {
        let says = says.word();
        match self {
            Verdict::Stands => None,
            Verdict::Means {
                says: means,
                chance,
            } => Some(format!(
                "'{words}' ({says}) is likelier {means} by all that stands around it (chance \
                 {chance:.2})"
            )),
            Verdict::InPassing { chance, .. } => Some(format!(
                "'{words}' ({says}) is likely told in passing, and not of the car: left out \
                 (chance {chance:.2})"
            )),
        }
    }
}

/// The rows of `passing.csv`.
pub type Passing = Weighed<{ ANSWERS.len() }>;

impl Passing {
    /// Reads and checks `passing.csv`.
    ///
    /// # Errors
    /// A place that is not known, a weight that is no number, a trait that stands twice.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        Weighed::of_columns(sheet, ANSWERS.map(|(column, _)| column))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::leanings::Near;

    #[test]
    fn the_likeliest_is_told() {
        let sure = [0.9, 0.02, 0.02, 0.02, 0.02, 0.02];
        assert_eq!(Verdict::on(Says::Bad, false, sure), Verdict::Stands);
        let Verdict::Means { says, chance } = Verdict::on(Says::Sound, false, sure) else {
            panic!("stands");
        };
        assert_eq!((says, chance), (Says::Bad, 0.9));
        // Where nothing weighs, what the rules found stands.
        let even = [1.0 / ANSWERS.len() as f64; ANSWERS.len()];
        for (_, says) in ANSWERS {
            assert!(says.is_none_or(|s| Verdict::on(s, false, even) == Verdict::Stands));
        }
    }

    #[test]
    fn what_is_left_of_the_chance_of_a_fault_is_told() {
        let story = [0.15, 0.05, 0.1, 0.0, 0.0, 0.7];
        let Verdict::InPassing { meant, chance } = Verdict::on(Says::Bad, false, story) else {
            panic!("stands");
        };
        assert_eq!(chance, 0.7);
        assert!((meant.unwrap().value() - 0.2).abs() < 1e-9);
        // Of what can ruin a car it is not enough that it is likelier.
        let close = [0.35, 0.05, 0.0, 0.0, 0.0, 0.6];
        assert!(matches!(
            Verdict::on(Says::Bad, false, close),
            Verdict::InPassing { .. }
        ));
        assert_eq!(Verdict::on(Says::Bad, true, close), Verdict::Stands);
        assert!(matches!(
            Verdict::on(Says::Bad, true, story),
            Verdict::InPassing { .. }
        ));
        let surely = [0.0, 0.0, 0.005, 0.0, 0.0, 0.995];
        let told = Verdict::on(Says::Suspect, false, surely);
        assert!(matches!(told, Verdict::InPassing { meant: None, .. }));
    }

    #[test]
    fn a_wrong_row_is_named() {
        const HEAD: &str = "near,word,bad,suspect,renewed,sound,spare,passing\n";
        let read =
            |row: &str| Passing::read(&Sheet::parse("passing.csv", &format!("{HEAD}{row}\n"))?);
        for (row, words) in [
            ("beside,warranty,1,0,0,0,0,-1", "line 2, column 'near'"),
            ("after,warranty,1,0,0,0,0,much", "line 2, column 'passing'"),
            ("after,warranty,1,,,,,\nafter,warranty,1,,,,,", "line 3"),
        ] {
            let error = read(row).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
        let good = read("name_says,seat bad,1.5,,,,,-2").unwrap();
        assert_eq!(
            good.of(Near::NameSays, "seat bad"),
            Some(&[1.5, 0.0, 0.0, 0.0, 0.0, -2.0])
        );
    }
}
