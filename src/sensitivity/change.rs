//! One figure or fact supposed otherwise.

use std::str::FromStr;

use rust_decimal::Decimal;

use super::facts::{self, FACTS, Fact};
use crate::lexicon::Lexicon;
use crate::lexicon::parts::{PartId, Parts};
use crate::lexicon::skills::Skills;
use crate::near::hint;
use crate::profile::Profile;
use crate::profile::keys::KEYS;
use crate::reading::{Claim, Reading, Says};
use crate::units::{HourlyRate, Money};

/// All that the figures of one car are made from, beside the tables and the
/// comparables.
#[derive(Debug, Clone)]
pub struct Scenario {
    /// The user's figures.
    pub profile: Profile,
    /// What the ad says.
    pub reading: Reading,
    /// Worth once right with these papers, where it is not to be estimated.
    pub worth: Option<Money>,
}

/// The name under which worth once right is changed.
pub const WORTH: &str = "worth";
/// The name under which the hours of all jobs are changed, by a factor.
pub const JOB_HOURS: &str = "job_hours";

/// Keys that tell how ads are read: with another one the readings would be
/// others.
const READ_WITH: [&str; 2] = ["currency", "distance_unit"];

/// A change of a scenario.
#[derive(Debug, Clone)]
pub enum Change {
    /// A key of the profile.
    Profile {
        /// The key.
        key: &'static str,
        /// The value as written.
        value: String,
    },
    /// A fact of the ad.
    Fact {
        /// The fact.
        fact: &'static Fact,
        /// The value as written.
        value: String,
    },
    /// What is said of a part; none: nothing.
    Claim {
        /// The part.
        part: PartId,
        /// What is said.
        says: Option<Says>,
    },
    /// Worth once right.
    Worth(Money),
    /// Hours of all jobs times this.
    JobHours(Decimal),
}

/// A change that cannot be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeError {
    /// A name that means nothing.
    #[error("no key '{key}'{near}")]
    UnknownKey {
        /// The name.
        key: String,
        /// The nearest there is, or where to find them all.
        near: String,
    },
    /// A key that tells how ads are read.
    #[error("{key} tells how the ads are read; change it in the profile")]
    ReadWith {
        /// The key.
        key: &'static str,
    },
    /// A value that does not do.
    #[error("{key}: {problem}")]
    Value {
        /// The name.
        key: String,
        /// What is wrong and what would be right.
        problem: String,
    },
}

impl Change {
    /// The change of this name to this value: a key of the profile, a fact of
    /// the ad ([`FACTS`]), `worth`, or the code of a part with what is said of
    /// it.
    ///
    /// # Errors
    /// No such name, or a value that does not do.
    pub fn parse(key: &str, value: &str, lexicon: &Lexicon) -> Result<Self, ChangeError> {
        if let Some(change) = Change::named(key, value, Some(&lexicon.skills)) {
            return change;
        }
        if let Some(part) = lexicon.parts.find(key) {
            return claim(key, part, value);
        }
        let parts = &lexicon.parts;
        let names: Vec<&str> = names()
            .chain(parts.ids().map(|part| parts.code(part)))
            .collect();
        Err(ChangeError::UnknownKey {
            near: hint(
                key,
                names,
                "it takes keys of the profile, facts of the ad and codes of parts.csv",
            ),
            key: key.escape_debug().to_string(),
        })
    }

    /// The same without the parts, and with `job_hours`: what a row of
    /// `assumptions.csv` may name.
    ///
    /// # Errors
    /// As [`Change::parse`].
    pub fn of_assumption(key: &str, value: &str) -> Result<Self, ChangeError> {
        if key == JOB_HOURS {
            let factor = Decimal::from_str(value)
                .ok()
                .filter(|f| *f > Decimal::ZERO && *f <= Decimal::TEN);
            return factor
                .map(Change::JobHours)
                .ok_or_else(|| ChangeError::Value {
                    key: key.to_owned(),
                    problem: format!("'{value}' is no factor between 0 and 10"),
                });
        }
        Change::named(key, value, None).unwrap_or_else(|| {
            Err(ChangeError::UnknownKey {
                near: hint(
                    key,
                    names().chain([JOB_HOURS]),
                    "see assumptions.csv for what there is",
                ),
                key: key.escape_debug().to_string(),
            })
        })
    }

    fn named(key: &str, value: &str, skills: Option<&Skills>) -> Option<Result<Self, ChangeError>> {
        let wrong = |problem| ChangeError::Value {
            key: key.to_owned(),
            problem,
        };
        if let Some(key) = READ_WITH.iter().find(|k| **k == key) {
            return Some(Err(ChangeError::ReadWith { key }));
        }
        let value = value.to_owned();
        if let Some(known) = KEYS.iter().find(|k| k.name == key) {
            let tried = Profile::default().set(known, &value, skills);
            let key = known.name;
            return Some(
                tried
                    .map_err(wrong)
                    .map(|()| Change::Profile { key, value }),
            );
        }
        if let Some(fact) = facts::find(key) {
            let mut unread = Reading::unread(crate::intake::ListingId(String::new()));
            let tried = (fact.set)(&mut unread, &value);
            return Some(tried.map_err(wrong).map(|()| Change::Fact { fact, value }));
        }
        (key == WORTH).then(|| {
            Decimal::from_str(&value)
                .ok()
                .filter(|v| (Decimal::ZERO..=Decimal::from(10_000_000)).contains(v))
                .map(|v| Change::Worth(Money::new(v)))
                .ok_or_else(|| wrong(format!("'{value}' is not an amount such as 4500")))
        })
    }

    /// Makes the change.
    pub fn apply(&self, scenario: &mut Scenario) {
        // Values were tried when they were parsed, so that nothing fails here.
        match self {
            Change::Profile { key, value } => {
                if let Some(key) = KEYS.iter().find(|k| k.name == *key) {
                    let _ = scenario.profile.set(key, value, None);
                }
            }
            Change::Fact { fact, value } => {
                let _ = (fact.set)(&mut scenario.reading, value);
            }
            Change::Claim { part, says } => suppose(&mut scenario.reading, *part, *says),
            Change::Worth(worth) => scenario.worth = Some(*worth),
            Change::JobHours(factor) => stretch(&mut scenario.profile, *factor),
        }
    }

    /// Name and value in words, and the value before; none for worth, which is
    /// estimated.
    pub fn told(&self, before: &Scenario, parts: &Parts) -> (String, Option<String>, String) {
        let said = |says: Option<Says>| says.map_or("unsaid", Says::word).to_owned();
        match self {
            Change::Profile { key, value } => {
                let known = KEYS.iter().find(|k| k.name == *key);
                let was = known.map(|k| (k.show)(&before.profile));
                ((*key).to_owned(), was, value.clone())
            }
            Change::Fact { fact, value } => (
                fact.name.to_owned(),
                Some((fact.show)(&before.reading)),
                value.clone(),
            ),
            Change::Claim { part, says } => {
                let claims = before.reading.claims.iter();
                let was = claims.filter(|c| c.part == *part).map(|c| c.says).next();
                let was = match before.reading.chance_in_passing(*part) {
                    Some(_) => "told in passing".to_owned(),
                    None => said(was),
                };
                (parts.code(*part).to_owned(), Some(was), said(*says))
            }
            Change::Worth(worth) => (WORTH.to_owned(), None, worth.to_string()),
            Change::JobHours(factor) => {
                let was = Some("1".to_owned());
                (JOB_HOURS.to_owned(), was, factor.normalize().to_string())
            }
        }
    }
}

/// The names of all that can be changed but the parts.
fn names<'a>() -> impl Iterator<Item = &'a str> {
    let keys = KEYS.iter().map(|k| k.name);
    keys.filter(|name| !READ_WITH.contains(name))
        .chain(FACTS.iter().map(|f| f.name))
        .chain([WORTH])
}

fn claim(key: &str, part: PartId, value: &str) -> Result<Change, ChangeError> {
    let says = match value {
        "unsaid" => None,
        word => Some(Says::of_word(word).ok_or_else(|| {
            let all: Vec<_> = Says::ALL.iter().map(|s| s.word()).collect();
            ChangeError::Value {
                key: key.to_owned(),
                problem: format!("'{value}' is none of {}, unsaid", all.join(", ")),
            }
        })?),
    };
    Ok(Change::Claim { part, says })
}

fn suppose(reading: &mut Reading, part: PartId, says: Option<Says>) {
    reading.claims.retain(|c| c.part != part);
    reading.told_in_passing.retain(|t| t.part != part);
    reading
        .claims
        .extend(says.map(|says| Claim::new(part, says)));
}

/// Jobs that take longer cost as much as dearer hours do. The hours of selling
/// are no job and keep their cost.
fn stretch(profile: &mut Profile, factor: Decimal) {
    profile.hour_value = HourlyRate(profile.hour_value.0.times(factor));
    profile.shop_rate = HourlyRate(profile.shop_rate.0.times(factor));
    let inverse = Decimal::ONE.checked_div(factor).unwrap_or(Decimal::ONE);
    profile.prepare_hours = profile.prepare_hours.times(inverse);
}
