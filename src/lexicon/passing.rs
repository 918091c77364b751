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
const LEAD_OVER_RUINOUS: f64 = 0.2;

/// Praise must be likelier by so much than a fault that the rules found, and a fault
/// than praise: where it is nearly even, the words themselves decide.
const LEAD_TO_TURN: f64 = 0.1;

/// A fault that is less likely the car's is not worth a question.
pub const LEAST_TO_ASK: f64 = 0.01;

/// What a rule found, as far as the verdict on it needs to know.
#[derive(Debug, Clone, Copy)]
pub struct Found {
    /// What is said of the part.
    pub says: Says,
    /// A fault of the part can ruin a car.
    pub ruinous: bool,
    /// It is denied in so many words: `no rust on the sills`.
    pub denied: bool,
}

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

impl Found {
    /// By how much another answer must be likelier.
    fn lead_of(self, other: Option<Says>) -> f64 {
        let fault = self.says.is_fault();
        match other.map(Says::is_fault) {
            Some(true) if self.denied => f64::INFINITY,
            None | Some(false) if fault && self.ruinous => LEAD_OVER_RUINOUS,
            Some(turned) if turned != fault => LEAD_TO_TURN,
            _ => 0.0,
        }
    }
}

impl Verdict {
    /// The verdict on what a rule found, by the chances of all [`ANSWERS`]: the
    /// likeliest is told. That is best for the mean of precision and recall (F1): tried
    /// with leads from 0 to 0.3 on 1,500 labelled ads of writers that were not learnt
    /// from. But praise is not made of a fault, nor a fault of praise, where it is nearly
    /// even; what is denied is never made a fault; and that a part has a fault that can
    /// ruin a car stands unless it is clearly less likely.
    pub fn on(found: Found, chances: [f64; ANSWERS.len()]) -> Self {
        let Found { says, .. } = found;
        let all = || ANSWERS.iter().map(|(_, says)| *says).zip(chances);
        let own = all().find(|(s, _)| *s == Some(says));
        let own = own.map_or(0.0, |(_, chance)| chance);
        let likeliest = all().max_by(|(_, a), (_, b)| a.total_cmp(b));
        match likeliest.filter(|(other, chance)| *chance > own + found.lead_of(*other)) {
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

    fn found(says: Says) -> Found {
        Found {
            says,
            ruinous: false,
            denied: false,
        }
    }

    #[test]
    fn the_likeliest_is_told() {
        let sure = [0.9, 0.02, 0.02, 0.02, 0.02, 0.02];
        assert_eq!(Verdict::on(found(Says::Bad), sure), Verdict::Stands);
        let Verdict::Means { says, chance } = Verdict::on(found(Says::Sound), sure) else {
            panic!("stands");
        };
        assert_eq!((says, chance), (Says::Bad, 0.9));
        // What is denied is no fault, whatever is likelier.
        let denied = Found {
            denied: true,
            ..found(Says::Sound)
        };
        assert_eq!(Verdict::on(denied, sure), Verdict::Stands);
        // Where nothing weighs, what the rules found stands.
        let even = [1.0 / ANSWERS.len() as f64; ANSWERS.len()];
        for (_, says) in ANSWERS {
            assert!(says.is_none_or(|s| Verdict::on(found(s), even) == Verdict::Stands));
        }
    }

    #[test]
    fn what_is_left_of_the_chance_of_a_fault_is_told() {
        let story = [0.15, 0.05, 0.1, 0.0, 0.0, 0.7];
        let Verdict::InPassing { meant, chance } = Verdict::on(found(Says::Bad), story) else {
            panic!("stands");
        };
        assert_eq!(chance, 0.7);
        assert!((meant.unwrap().value() - 0.2).abs() < 1e-9);
        // Of what can ruin a car it is not enough that it is likelier.
        let ruin = Found {
            ruinous: true,
            ..found(Says::Bad)
        };
        let close = [0.43, 0.01, 0.0, 0.0, 0.0, 0.56];
        assert!(matches!(
            Verdict::on(found(Says::Bad), close),
            Verdict::InPassing { .. }
        ));
        assert_eq!(Verdict::on(ruin, close), Verdict::Stands);
        assert!(matches!(
            Verdict::on(ruin, story),
            Verdict::InPassing { .. }
        ));
        let surely = [0.0, 0.0, 0.005, 0.0, 0.0, 0.995];
        let told = Verdict::on(found(Says::Suspect), surely);
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
