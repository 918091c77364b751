//! The facts of an ad that can be supposed otherwise.

use std::str::FromStr;

use rust_decimal::Decimal;

use crate::reading::{AskBasis, Gearbox, MilesBasis, Moves, Reading, Title};
use crate::units::{Miles, ModelYear, Money};

/// One fact of an ad.
pub struct Fact {
    /// Its name, as in the columns out.
    pub name: &'static str,
    /// Whether the ad tells it without doubt.
    pub is_told: fn(&Reading) -> bool,
    /// The value as written in a change; `unknown` where there is none.
    pub show: fn(&Reading) -> String,
    /// Supposes a value; the error says what would do.
    pub(super) set: fn(&mut Reading, &str) -> Result<(), String>,
}

impl std::fmt::Debug for Fact {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Fact({})", self.name)
    }
}

/// The word for a figure that is not known.
const UNKNOWN: &str = "unknown";

macro_rules! word {
    ($name:literal, $field:ident, $kind:ident) => {
        Fact {
            name: $name,
            is_told: |r| r.$field != $kind::Unstated,
            show: |r| r.$field.word().to_owned(),
            set: |r, text| {
                r.$field = $kind::of_word(text).ok_or_else(|| {
                    let all: Vec<_> = $kind::ALL.iter().map(|v| v.word()).collect();
                    format!("'{text}' is none of {}", all.join(", "))
                })?;
                Ok(())
            },
        }
    };
}

/// All of them.
pub const FACTS: &[Fact] = &[
    Fact {
        name: "ask",
        is_told: |r| r.ask.is_some(),
        show: |r| shown(r.ask.map(|ask| ask.amount().normalize())),
        set: |r, text| {
            let ask = figure(text, 10_000_000, "an amount such as 600")?;
            r.ask = ask.map(Money::new);
            // A supposed price is meant as one; how, the ad says if it does.
            r.ask_basis = match (r.ask, r.ask_basis) {
                (None, _) => AskBasis::None,
                (Some(_), AskBasis::Negotiable) => AskBasis::Negotiable,
                (Some(_), AskBasis::Firm) => AskBasis::Firm,
                (Some(_), _) => AskBasis::Plain,
            };
            r.currency = None;
            Ok(())
        },
    },
    Fact {
        name: "ask_basis",
        is_told: |r| r.ask.is_some(),
        show: |r| r.ask_basis.word().to_owned(),
        set: |r, text| {
            r.ask_basis = AskBasis::of_word(text).ok_or_else(|| {
                let all: Vec<_> = AskBasis::ALL.iter().map(|v| v.word()).collect();
                format!("'{text}' is none of {}", all.join(", "))
            })?;
            Ok(())
        },
    },
    Fact {
        name: "miles",
        is_told: |r| matches!(r.miles_basis, MilesBasis::Stated | MilesBasis::Rounded),
        show: |r| shown(r.miles.map(|m| Decimal::from(m.0))),
        set: |r, text| {
            let miles = figure(text, 2_000_000, "a number of miles such as 120000")?;
            r.miles = miles.and_then(|m| u32::try_from(m.round()).ok()).map(Miles);
            r.miles_basis = match r.miles {
                Some(_) => MilesBasis::Stated,
                None => MilesBasis::None,
            };
            Ok(())
        },
    },
    Fact {
        name: "year",
        is_told: |r| r.year.is_some(),
        show: |r| shown(r.year.map(|y| Decimal::from(y.0))),
        set: |r, text| {
            let year = figure(text, 2100, "a model year such as 2008")?;
            let year = year.and_then(|y| u16::try_from(y).ok());
            if year.is_some_and(|y| y < 1900) {
                return Err(format!("'{text}' is no model year such as 2008"));
            }
            r.year = year.map(ModelYear);
            Ok(())
        },
    },
    word!("title", title, Title),
    word!("moves", moves, Moves),
    word!("gearbox", gearbox, Gearbox),
];

/// The fact of this name.
pub fn find(name: &str) -> Option<&'static Fact> {
    FACTS.iter().find(|fact| fact.name == name)
}

fn shown(value: Option<Decimal>) -> String {
    value.map_or_else(|| UNKNOWN.to_owned(), |v| v.to_string())
}

/// A figure of 0 or more, or none for the word that says so.
fn figure(text: &str, most: i64, wanted: &str) -> Result<Option<Decimal>, String> {
    if text == UNKNOWN {
        return Ok(None);
    }
    let value = Decimal::from_str(text)
        .ok()
        .filter(|v| (Decimal::ZERO..=Decimal::from(most)).contains(v));
    value
        .map(|v| Some(v.round_dp(2)))
        .ok_or_else(|| format!("'{text}' is not {wanted}, or {UNKNOWN}"))
}
