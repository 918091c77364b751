//! Reading a profile file with the place of what is wrong in it.

use toml::de::{DeTable, DeValue};

use super::Profile;
use super::keys::{KEYS, Key};
use crate::lexicon::skills::{SkillKind, Skills};
use crate::near::hint;

/// What is wrong in a profile, and where.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProfileError {
    /// The text is no TOML.
    #[error("{file}, line {line}: not readable as TOML: {problem}")]
    NotToml {
        /// The file as named by the caller.
        file: String,
        /// Line, from 1.
        line: usize,
        /// The reader's words.
        problem: String,
    },
    /// A key that means nothing.
    #[error("{file}, line {line}: no key '{key}'{near}")]
    UnknownKey {
        /// The file as named by the caller.
        file: String,
        /// Line, from 1.
        line: usize,
        /// The key found.
        key: String,
        /// The nearest key, or where to find them all.
        near: String,
    },
    /// A value that its key cannot take.
    #[error("{file}, line {line}, {key}: {problem}")]
    Value {
        /// The file as named by the caller.
        file: String,
        /// Line, from 1.
        line: usize,
        /// The key.
        key: &'static str,
        /// What is wrong and what would be right.
        problem: String,
    },
}

pub(super) fn parse(
    file: &str,
    text: &str,
    skills: Option<&Skills>,
) -> Result<Profile, ProfileError> {
    let text = text.trim_start_matches('\u{feff}');
    let line = |at: usize| 1 + text.bytes().take(at).filter(|b| *b == b'\n').count();
    let table = DeTable::parse(text).map_err(|e| ProfileError::NotToml {
        file: file.to_owned(),
        line: line(e.span().map_or(0, |s| s.start)),
        problem: e.message().to_owned(),
    })?;
    for (key, _) in table.get_ref() {
        let word: &str = key.get_ref();
        if !KEYS.iter().any(|k| k.name == word) {
            return Err(ProfileError::UnknownKey {
                file: file.to_owned(),
                line: line(key.span().start),
                key: word.escape_debug().to_string(),
                near: hint(
                    word,
                    KEYS.iter().map(|k| k.name),
                    "'fixworth profile' lists the keys",
                ),
            });
        }
    }
    let mut profile = Profile::default();
    // In the registry's order, so that the unit is known before the distances
    // whatever the order in the file.
    for key in KEYS {
        let Some(value) = table.get_ref().get(key.name) else {
            continue;
        };
        (key.set)(&mut profile, value.get_ref())
            .and_then(|()| known_words(key.name, value.get_ref(), skills))
            .map_err(|problem| ProfileError::Value {
                file: file.to_owned(),
                line: line(value.span().start),
                key: key.name,
                problem,
            })?;
    }
    Ok(profile)
}

/// Takes one value as written on a command line: as in the file, or a bare word
/// for what would stand in quotes there.
pub(super) fn set(
    profile: &mut Profile,
    key: &Key,
    value: &str,
    skills: Option<&Skills>,
) -> Result<(), String> {
    let value = value.trim();
    let line = format!("{} = {value}", key.name);
    let quoted = format!("{} = \"{value}\"", key.name);
    let mut only = |text: &str| -> Option<Result<(), String>> {
        let table = DeTable::parse(text).ok()?;
        let table = table.get_ref();
        let value = table.get(key.name).filter(|_| table.len() == 1)?.get_ref();
        let taken = known_words(key.name, value, skills);
        Some(taken.and_then(|()| (key.set)(profile, value)))
    };
    only(&line)
        .or_else(|| only(&quoted))
        .unwrap_or_else(|| Err(format!("'{}' is no value of it", value.escape_debug())))
}

fn known_words(key: &str, value: &DeValue<'_>, skills: Option<&Skills>) -> Result<(), String> {
    let (Some(skills), DeValue::Array(items)) = (skills, value) else {
        return Ok(());
    };
    let kind = if key == "tools" {
        SkillKind::Tool
    } else {
        SkillKind::Skill
    };
    for item in items.iter() {
        if let DeValue::String(word) = item.get_ref()
            && !skills.has(kind, word)
        {
            let near = hint(word, skills.codes(kind), "that table lists them");
            return Err(format!(
                "'{}' is no {} of skills.csv{near}",
                word.escape_debug(),
                kind.word()
            ));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Currency, DistanceUnit, HourlyRate, Miles, Money};
    use rust_decimal::Decimal;

    fn message(text: &str) -> String {
        Profile::parse("me.toml", text).unwrap_err().to_string()
    }

    #[test]
    fn nothing_said_is_the_default() {
        assert_eq!(Profile::parse("me.toml", "").unwrap(), Profile::default());
    }

    #[test]
    fn commented_default_names_every_key_and_reads_back() {
        let text = Profile::commented();
        let table: toml::Table = text.parse().unwrap();
        let names: Vec<_> = KEYS.iter().map(|k| k.name).collect();
        assert_eq!(table.len(), names.len());
        assert!(names.iter().all(|n| table.contains_key(*n)));
        let skills = crate::lexicon::Lexicon::built_in().unwrap().skills;
        let read = Profile::parse_checked("default", &text, &skills).unwrap();
        assert_eq!(read, Profile::default());
    }

    #[test]
    fn every_key_is_taken_from_the_file() {
        // A value unlike the default for every key, so that a setter that
        // writes another field is seen.
        for key in KEYS {
            let other = match (key.show)(&Profile::default()).as_str() {
                "\"USD\"" => "\"GBP\"",
                "\"miles\"" => "\"km\"",
                "\"short\"" => "\"metric\"",
                "true" => "false",
                "false" => "true",
                list if list.starts_with('[') => "[\"basic\"]",
                "{}" => "{ \"kalmar bay\" = 3 }",
                _ => "0.75",
            };
            let text = format!("{} = {other}", key.name);
            let read = Profile::parse("me.toml", &text).unwrap();
            let shown = (key.show)(&read);
            let expected = if key.name == "distance_to_seller" {
                "1"
            } else {
                other
            };
            assert_eq!(shown, expected, "{}", key.name);
            // Figures by distance are shown in the unit, which is another then.
            let by_unit = |k: &Key| {
                key.name == "distance_unit"
                    && [
                        "distance_to_seller",
                        "distances_to",
                        "travel_rate",
                        "trailer_rate",
                    ]
                    .contains(&k.name)
            };
            for rest in KEYS.iter().filter(|k| k.name != key.name && !by_unit(k)) {
                assert_eq!((rest.show)(&read), (rest.show)(&Profile::default()));
            }
        }
    }

    #[test]
    fn rates_per_km_become_rates_per_mile_whatever_the_order() {
        let p = Profile::parse(
            "me.toml",
            "travel_rate = 1\ndistance_to_seller = 100\ndistance_unit = \"km\"\ncurrency = \"eur\"",
        )
        .unwrap();
        assert_eq!(p.distance_unit, DistanceUnit::Km);
        assert_eq!(p.currency, Currency::Eur);
        assert_eq!(p.travel_per_mile, Money::new(Decimal::new(1_609_344, 6)));
        assert_eq!(p.distance_to_seller, Miles(62));
        // Shown as they were written, but for the rounding to whole miles.
        let shown = |name| KEYS.iter().find(|k| k.name == name).map(|k| (k.show)(&p));
        assert_eq!(shown("travel_rate").as_deref(), Some("1"));
        assert_eq!(shown("distance_to_seller").as_deref(), Some("100"));
        // Not written: stays per mile as the default has it.
        assert_eq!(p.trailer_per_mile, Profile::default().trailer_per_mile);
    }

    #[test]
    fn places_have_their_own_distance() {
        let text =
            "distances_to = { \"Port Emmery\" = 16, saltbriar = 50 }\ndistance_unit = \"km\"";
        let p = Profile::parse("me.toml", text).unwrap();
        assert_eq!(p.distance_to(Some(" port emmery")), Some(Miles(10)));
        assert_eq!(p.at(Some("Saltbriar")).distance_to_seller, Miles(31));
        assert_eq!(p.distance_to(Some("Marlock")), None);
        assert_eq!(p.at(Some("Marlock")).as_ref(), &p);
        assert_eq!(p.at(None).as_ref(), &p);
        let shown = KEYS.iter().find(|k| k.name == "distances_to");
        let shown = shown.map(|k| (k.show)(&p));
        let expected = "{ \"port emmery\" = 16, \"saltbriar\" = 50 }";
        assert_eq!(shown.as_deref(), Some(expected));
        assert_eq!(
            message("distances_to = { Marlock = -3 }"),
            "me.toml, line 1, distances_to: Marlock: -3 is negative; it must be 0 or more"
        );
        assert_eq!(
            message("distances_to = 12"),
            "me.toml, line 1, distances_to: 12 is not a table such as { \"Saltbriar\" = 31 }"
        );
    }

    #[test]
    fn decimals_stay_exact() {
        let p = Profile::parse("me.toml", "hour_value = 12.1").unwrap();
        assert_eq!(p.hour_value, HourlyRate(Money::new(Decimal::new(121, 1))));
    }

    #[test]
    fn wrong_files_are_named_with_line_and_remedy() {
        assert_eq!(
            message("\n\nshop_rat = 90"),
            "me.toml, line 3: no key 'shop_rat'; did you mean 'shop_rate'?"
        );
        assert_eq!(
            message("currency = \"USD\"\nshop_rate = -90"),
            "me.toml, line 2, shop_rate: -90 is negative; it must be 0 or more"
        );
        assert_eq!(
            message("hour_value = \"free\""),
            "me.toml, line 1, hour_value: \"free\" is not a number such as 45 or 2.5"
        );
        assert_eq!(
            message("loss_limit = 20"),
            "me.toml, line 1, loss_limit: 20 is no chance; it must be between 0 and 1"
        );
        assert_eq!(
            message("parts_factor = 0"),
            "me.toml, line 1, parts_factor: 0 is no factor; give a number above 0, 1 for no change"
        );
        assert_eq!(
            message("scrap_ton = \"big\""),
            "me.toml, line 1, scrap_ton: \"big\" is none of \"short\", \"long\", \"metric\""
        );
        assert!(message("a = 1\nb = = 2").starts_with("me.toml, line 2: not readable as TOML"));
        for bad in ["hour_value = inf", "hour_value = nan", "hour_value = 1e30"] {
            assert!(
                message(bad).starts_with("me.toml, line 1, hour_value: "),
                "{bad}"
            );
        }
    }

    #[test]
    fn skills_are_looked_up_where_the_table_is_given() {
        let skills = crate::lexicon::Lexicon::built_in().unwrap().skills;
        let text = "skills = [\"basic\",\n\"brakez\"]";
        assert!(Profile::parse("me.toml", text).is_ok());
        assert_eq!(
            Profile::parse_checked("me.toml", text, &skills)
                .unwrap_err()
                .to_string(),
            "me.toml, line 1, skills: 'brakez' is no skill of skills.csv; did you mean 'brakes'?"
        );
    }
}
