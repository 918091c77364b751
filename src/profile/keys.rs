//! The registry of profile keys: name, explanation, how it is read and shown.

use std::fmt::Write as _;

use rust_decimal::Decimal;
use toml::de::DeValue;

use super::{Profile, Ton};
use crate::units::{Chance, Currency, DistanceUnit, HourlyRate, Hours, Miles, Money};

/// One key of the profile.
pub struct Key {
    /// The key as written.
    pub name: &'static str,
    /// What it means, with its unit.
    pub about: &'static str,
    /// The value of a profile as TOML.
    pub show: fn(&Profile) -> String,
    /// Takes a value; the error says what is wrong with it.
    pub(super) set: fn(&mut Profile, &DeValue<'_>) -> Result<(), String>,
}

macro_rules! amount {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| p.$field.amount().normalize().to_string(),
            set: |p, v| at_least_zero(v).map(|d| p.$field = Money::new(d)),
        }
    };
}

macro_rules! chance {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| p.$field.value().to_string(),
            set: |p, v| chance(v).map(|c| p.$field = c),
        }
    };
}

macro_rules! factor {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| p.$field.normalize().to_string(),
            set: |p, v| above_zero(v).map(|d| p.$field = d),
        }
    };
}

macro_rules! rate {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| p.$field.0.amount().normalize().to_string(),
            set: |p, v| at_least_zero(v).map(|d| p.$field = HourlyRate(Money::new(d))),
        }
    };
}

macro_rules! per_distance {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| p.per_unit(p.$field).to_string(),
            set: |p, v| {
                let rate = at_least_zero(v)?;
                p.$field = Money::new(Profile::per_mile(p.distance_unit, rate));
                Ok(())
            },
        }
    };
}

macro_rules! yes_no {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| p.$field.to_string(),
            set: |p, v| yes_no(v).map(|yes| p.$field = yes),
        }
    };
}

macro_rules! word_list {
    ($name:literal, $about:literal, $field:ident) => {
        Key {
            name: $name,
            about: $about,
            show: |p| format!("{:?}", p.$field),
            set: |p, v| word_list(v).map(|l| p.$field = l),
        }
    };
}

/// All keys in the order of the written file. `distance_unit` stands before
/// the keys whose figures depend on it and is always taken first.
pub const KEYS: &[Key] = &[
    Key {
        name: "currency",
        about: "Money of all figures here and in the ads: USD, CAD, GBP, EUR, AUD or NZD.\nNothing is converted.",
        show: |p| format!("\"{}\"", p.currency.code()),
        set: |p, v| choice(v, CURRENCIES, |c| c.code()).map(|c| p.currency = c),
    },
    Key {
        name: "distance_unit",
        about: "Unit of the distances below and in reports: miles or km.",
        show: |p| format!("\"{}\"", unit_word(p.distance_unit)),
        set: |p, v| {
            choice(v, &[DistanceUnit::Miles, DistanceUnit::Km], |u| {
                unit_word(*u)
            })
            .map(|u| p.distance_unit = u)
        },
    },
    rate!(
        "hour_value",
        "What an hour of your own work is worth to you. 0 counts your time as free.",
        hour_value
    ),
    rate!(
        "shop_rate",
        "What an hour in a workshop costs, for work that you cannot do.",
        shop_rate
    ),
    factor!(
        "shop_hours_factor",
        "Hours that a workshop with a lift takes for one of yours.",
        shop_hours_factor
    ),
    word_list!(
        "skills",
        "What you can do (codes of skills.csv). A job that asks for another skill goes out.",
        skills
    ),
    word_list!(
        "tools",
        "Tools beyond a socket set and a jack that you have or can borrow (codes of skills.csv).",
        tools
    ),
    yes_no!(
        "buys_used_parts",
        "Whether you buy used parts from a salvage yard where that is usual.",
        buys_used_parts
    ),
    factor!(
        "parts_factor",
        "Price level of parts where you live: 1 is that of the tables, 1.3 is 30 % dearer.",
        parts_factor
    ),
    chance!(
        "suspect_chance",
        "How likely a fault is there that the seller only suspects, 0 to 1.",
        suspect_chance
    ),
    chance!(
        "job_correlation",
        "How strongly the costs of two jobs on one car go together, 0 (not at all) to 1.",
        job_correlation
    ),
    Key {
        name: "distance_to_seller",
        about: "Distance one way to a usual seller, in distance_unit.",
        show: |p| in_unit(p.distance_to_seller, p.distance_unit).to_string(),
        set: |p, v| distance(v, p.distance_unit).map(|d| p.distance_to_seller = d),
    },
    Key {
        name: "distances_to",
        about: "The same to places that you know, by their names in the ads, such as\n{ \"Port Emmery\" = 12, \"Saltbriar\" = 31 }.",
        show: |p| {
            let places = p.distances_to.iter();
            let places =
                places.map(|(place, d)| format!("{place:?} = {}", in_unit(*d, p.distance_unit)));
            match places.collect::<Vec<_>>().join(", ") {
                none if none.is_empty() => "{}".to_owned(),
                places => format!("{{ {places} }}"),
            }
        },
        set: |p, v| {
            let DeValue::Table(table) = v else {
                let found = found(v);
                return Err(format!(
                    "{found} is not a table such as {{ \"Saltbriar\" = 31 }}"
                ));
            };
            let places = table.iter().map(|(place, value)| {
                let distance = distance(value.get_ref(), p.distance_unit);
                let place: &str = place.get_ref();
                let wrong = |problem| format!("{}: {problem}", place.escape_debug());
                Ok((place_key(place), distance.map_err(wrong)?))
            });
            let places: Result<_, String> = places.collect();
            places.map(|places| p.distances_to = places)
        },
    },
    per_distance!(
        "travel_rate",
        "Cost of driving there and back to view and fetch, a distance_unit.",
        travel_per_mile
    ),
    amount!(
        "trailer_base",
        "Fixed cost of a tow or a hired trailer, for a car that does not drive.",
        trailer_base
    ),
    per_distance!(
        "trailer_rate",
        "What comes to it, a distance_unit one way.",
        trailer_per_mile
    ),
    amount!(
        "registration_fee",
        "Title and registration of one car.",
        registration_fee
    ),
    amount!(
        "inspection_fee",
        "Roadworthiness and emissions test of one car.",
        inspection_fee
    ),
    amount!(
        "selling_cost",
        "Ads and what else selling costs, a car.",
        selling_cost
    ),
    Key {
        name: "prepare_hours",
        about: "Your hours to clean, photograph and show a car.",
        show: |p| p.prepare_hours.amount().normalize().to_string(),
        set: |p, v| at_least_zero(v).map(|d| p.prepare_hours = Hours::new(d)),
    },
    amount!("prepare_cost", "Materials for that.", prepare_cost),
    amount!(
        "wanted_margin",
        "The least margin that makes a car worth the trouble.",
        wanted_margin
    ),
    chance!(
        "loss_limit",
        "The chance of losing money that you still accept, 0 to 1.",
        loss_limit
    ),
    amount!(
        "scrap_per_ton",
        "What the scrap yard pays for a complete car, a ton of its weight.",
        scrap_per_ton
    ),
    Key {
        name: "scrap_ton",
        about: "Which ton that is: short (2,000 lb), long (2,240 lb) or metric (1,000 kg).",
        show: |p| format!("\"{}\"", p.scrap_ton.word()),
        set: |p, v| choice(v, Ton::ALL, |t| t.word()).map(|t| p.scrap_ton = t),
    },
    yes_no!(
        "breaks_cars",
        "Whether you break a car for parts where that leaves more: it needs room, and months\nuntil all is sold.",
        breaks_cars
    ),
];

/// A profile as a file with an explanation above each key.
pub(super) fn commented(profile: &Profile) -> String {
    let mut out = String::from(
        "# Profile: your own figures. Every key may be left out; what is written here is\n\
         # then taken. The figures are common practice, from memory: put in your own.\n",
    );
    for key in KEYS {
        out.push('\n');
        for line in key.about.lines() {
            let _ = writeln!(out, "# {line}");
        }
        let _ = writeln!(out, "{} = {}", key.name, (key.show)(profile));
    }
    out
}

const CURRENCIES: &[Currency] = &[
    Currency::Usd,
    Currency::Cad,
    Currency::Gbp,
    Currency::Eur,
    Currency::Aud,
    Currency::Nzd,
];

const fn unit_word(unit: DistanceUnit) -> &'static str {
    match unit {
        DistanceUnit::Miles => "miles",
        DistanceUnit::Km => "km",
    }
}

/// What stands there, for a message.
fn found(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(s) => format!("\"{s}\""),
        DeValue::Integer(i) => i.to_string(),
        DeValue::Float(f) => f.to_string(),
        DeValue::Boolean(b) => b.to_string(),
        DeValue::Datetime(d) => d.to_string(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

fn number(value: &DeValue<'_>) -> Result<Decimal, String> {
    let parsed = match value {
        // The text, not the float, so that 0.1 stays exactly 0.1.
        DeValue::Integer(i) if i.radix() == 10 => i.as_str().parse().ok(),
        DeValue::Float(f) => f
            .as_str()
            .parse()
            .ok()
            .or_else(|| Decimal::from_scientific(f.as_str()).ok()),
        _ => None,
    };
    parsed.ok_or_else(|| format!("{} is not a number such as 45 or 2.5", found(value)))
}

/// More than any price of this trade, and little enough that products of
/// several such figures stay exact.
const LARGEST: Decimal = Decimal::from_parts(10_000_000, 0, 0, false, 0);

fn at_least_zero(value: &DeValue<'_>) -> Result<Decimal, String> {
    let d = number(value)?;
    if d < Decimal::ZERO {
        Err(format!("{d} is negative; it must be 0 or more"))
    } else if d > LARGEST {
        Err(format!("{d} is too large; it must be at most {LARGEST}"))
    } else if d.scale() > 6 {
        Err(format!("{d} has more than six digits behind the point"))
    } else {
        Ok(d)
    }
}

fn above_zero(value: &DeValue<'_>) -> Result<Decimal, String> {
    match at_least_zero(value)? {
        d if d.is_zero() => Err("0 is no factor; give a number above 0, 1 for no change".into()),
        d if d > Decimal::ONE_HUNDRED => Err(format!("{d} is too large; it must be at most 100")),
        d => Ok(d),
    }
}

fn yes_no(value: &DeValue<'_>) -> Result<bool, String> {
    match value {
        DeValue::Boolean(yes) => Ok(*yes),
        other => Err(format!("{} is not true or false", found(other))),
    }
}

fn whole(value: &DeValue<'_>) -> Result<u32, String> {
    use rust_decimal::prelude::ToPrimitive;
    let d = at_least_zero(value)?;
    d.round()
        .to_u32()
        .ok_or_else(|| format!("{d} is not a distance"))
}

fn distance(value: &DeValue<'_>, unit: DistanceUnit) -> Result<Miles, String> {
    let distance = whole(value)?;
    Ok(match unit {
        DistanceUnit::Miles => Miles(distance),
        DistanceUnit::Km => Miles::from_km(distance),
    })
}

fn in_unit(distance: Miles, unit: DistanceUnit) -> u32 {
    match unit {
        DistanceUnit::Miles => distance.0,
        DistanceUnit::Km => distance.to_km(),
    }
}

/// A place as it is looked up: letter case and blanks around do not count.
pub(super) fn place_key(place: &str) -> String {
    place.trim().to_lowercase()
}

fn chance(value: &DeValue<'_>) -> Result<Chance, String> {
    use rust_decimal::prelude::ToPrimitive;
    let d = number(value)?;
    d.to_f64()
        .and_then(Chance::new)
        .ok_or_else(|| format!("{d} is no chance; it must be between 0 and 1"))
}

fn choice<T: Copy>(
    value: &DeValue<'_>,
    all: &[T],
    word: impl Fn(&T) -> &'static str,
) -> Result<T, String> {
    let fits = |t: &&T| match value {
        DeValue::String(s) => word(t).eq_ignore_ascii_case(s),
        _ => false,
    };
    all.iter().find(fits).copied().ok_or_else(|| {
        let words: Vec<_> = all.iter().map(|t| format!("\"{}\"", word(t))).collect();
        format!("{} is none of {}", found(value), words.join(", "))
    })
}

fn word_list(value: &DeValue<'_>) -> Result<Vec<String>, String> {
    let DeValue::Array(items) = value else {
        return Err(format!(
            "{} is not a list such as [\"basic\", \"brakes\"]",
            found(value)
        ));
    };
    let mut words = items
        .iter()
        .map(|item| match item.get_ref() {
            DeValue::String(s) => Ok(s.to_string()),
            other => Err(format!(
                "{} in the list is not a word in quotes",
                found(other)
            )),
        })
        .collect::<Result<Vec<_>, _>>()?;
    words.sort();
    words.dedup();
    Ok(words)
}
