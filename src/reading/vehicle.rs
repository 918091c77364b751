//! Make, model and model year: from the cells, the headline, the text.

use super::names::Name;
use super::numbers::{Form, Number};
use super::numerals;
use super::roles::Roles;
use super::tokens::{TokenKind, Tokens};
use crate::lexicon::phrases::NumberRole;
use crate::lexicon::vehicles::{MakeId, ModelId, VehicleName, Vehicles};
use crate::units::ModelYear;

/// What was read of the vehicle.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Vehicle {
    /// The make.
    pub make: Option<MakeId>,
    /// The model.
    pub model: Option<ModelId>,
    /// Model year.
    pub year: Option<ModelYear>,
    /// Tokens of make, model and year.
    pub make_tokens: Option<(usize, usize)>,
    /// Tokens of the model.
    pub model_tokens: Option<(usize, usize)>,
    /// Tokens of the year.
    pub year_tokens: Option<(usize, usize)>,
}

/// What the export's own columns say.
#[derive(Debug, Clone, Copy, Default)]
pub struct Cells<'a> {
    /// Year column.
    pub year: Option<&'a str>,
    /// Make column.
    pub make: Option<&'a str>,
    /// Model column.
    pub model: Option<&'a str>,
    /// The price is in pounds: of two badges of one car, the British one.
    pub pounds: bool,
}

/// So many tokens behind the name with which a text begins a year is the car's.
const REACH: usize = 6;

/// The same where it is an entry of its own in a list.
const LISTED: usize = 14;

/// Model years an ad can speak of.
const YEARS: std::ops::RangeInclusive<u16> = 1930..=2035;

/// Reads make, model and year.
pub(super) fn read(
    cells: Cells<'_>,
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    names: &[Name<'_>],
    vehicles: &Vehicles,
    headline_tokens: usize,
) -> Vehicle {
    let mut out = Vehicle::default();
    if let Some(year) = cells
        .year
        .and_then(|c| c.trim().parse().ok())
        .filter(|y| YEARS.contains(y))
    {
        out.year = Some(ModelYear(year));
    }
    let years = years(numbers, tokens, names, headline_tokens);
    if out.year.is_none()
        && let Some(best) = years
            .iter()
            .max_by(|a, b| a.weight.cmp(&b.weight).then(b.tokens.cmp(&a.tokens)))
    {
        out.year = Some(best.year);
        out.year_tokens = Some(best.tokens);
    }
    let cell_make = cells.make.and_then(|m| {
        vehicles
            .makes_of(&crate::lexicon::vehicles::folded(m))
            .first()
            .copied()
    });
    choose(
        &mut out,
        cell_make,
        cells,
        names,
        &years,
        vehicles,
        headline_tokens,
    );
    // A year that the model was never built in gives way to one that it was.
    if let (Some(model), Some(year), None) = (out.model, out.year, cells.year) {
        let span = vehicles.model(model).years;
        if (year < span.0 || year > span.1)
            && let Some(other) = years
                .iter()
                .filter(|y| y.weight >= 3 && y.year >= span.0 && y.year <= span.1)
                .max_by(|a, b| a.weight.cmp(&b.weight).then(b.tokens.cmp(&a.tokens)))
        {
            out.year = Some(other.year);
            out.year_tokens = Some(other.tokens);
        }
    }
    out
}

struct Year {
    year: ModelYear,
    tokens: (usize, usize),
    weight: u8,
}

fn years(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    names: &[Name<'_>],
    headline: usize,
) -> Vec<Year> {
    let mut out = spoken(numbers, tokens, names, headline);
    for (n, roles) in numbers {
        let (first, mut last) = n.tokens;
        let word = tokens.word(first);
        // `10 Grand Caravan` is no sum.
        let grand = last == first + 1 && names.iter().any(|v| v.first == last);
        if grand {
            last = first;
        }
        if n.money || first != last || !grand && n.form != Form::Plain {
            continue;
        }
        let in_headline = first < headline;
        // `1998? No, 97.`
        if tokens.kind(last + 1) == TokenKind::Sign(b'?') && tokens.word(last + 2) == "no" {
            continue;
        }
        let plate = roles.after == Some(NumberRole::Plate);
        let digits = word.bytes().take_while(u8::is_ascii_digit).count();
        if digits != word.len() {
            continue;
        }
        let unit = matches!(
            roles.after,
            Some(NumberRole::UnitKm | NumberRole::UnitMiles)
        );
        let sum = matches!(
            roles.after,
            Some(NumberRole::Ask | NumberRole::Deposit | NumberRole::Bid | NumberRole::OtherMoney)
        ) || roles.before == Some(NumberRole::OtherMoney);
        if unit || sum && !in_headline {
            continue;
        }
        let beside = names.iter().any(|v| {
            v.first == last + 1
                || v.last + 1 == first
                || (v.first == last + 2
                    && !matches!(tokens.kind(last + 1), TokenKind::Line | TokenKind::Blank))
        });
        let inside = names.iter().any(|v| v.first <= first && last <= v.last);
        let year = match digits {
            4 => {
                let y = n.value as u16;
                if !YEARS.contains(&y) {
                    continue;
                }
                Some((y, 3 + u8::from(in_headline) * 3 + u8::from(beside) * 2))
            }
            2 => {
                let two: u16 = word.parse().unwrap_or_default();
                if plate {
                    let y = if two >= 51 { two - 50 } else { two };
                    Some((2000 + y, 5))
                } else {
                    let y = if two >= 40 { 1900 + two } else { 2000 + two };
                    let apostrophe = first_is_quoted(tokens, first);
                    let start = first == 0;
                    // The text may say again what the headline should.
                    let leads = word.starts_with('0')
                        && (headline..=headline + 1).contains(&first)
                        && tokens.kind(first.wrapping_sub(1)) != TokenKind::Word;
                    // `17 X-Trail`
                    let named = names.iter().any(|v| v.first == last + 1);
                    let odd = !(apostrophe || named)
                        && matches!(
                            roles.after,
                            Some(NumberRole::Neither | NumberRole::OtherDistance)
                        );
                    if odd || !YEARS.contains(&y) || (31..40).contains(&two) {
                        None
                    } else if apostrophe && (beside || in_headline) {
                        Some((y, 6))
                    } else if in_headline && (start || beside) {
                        Some((y, 5))
                    } else if beside && (start || apostrophe) {
                        Some((y, 3))
                    } else if in_headline && last + 1 == headline {
                        Some((y, 2))
                    } else if beside
                        || leads
                        || in_headline && word.starts_with('0')
                        || in_headline && (70..=99).contains(&two) && roles.after.is_none()
                        || (70..=99).contains(&two) && listed(tokens, names, headline, first)
                    {
                        Some((y, 1))
                    } else {
                        None
                    }
                }
            }
            _ => None,
        };
        if let Some((y, weight)) = year {
            out.push(Year {
                year: ModelYear(y),
                tokens: (first, last),
                weight: if inside {
                    weight.saturating_sub(3)
                } else {
                    weight
                },
            });
        }
    }
    // A four-digit year in the text counts only beside a name or at its
    // beginning; elsewhere it dates a job.
    // or behind a name with which the text begins: `peugeot 206 1.4 hdi 2003`.
    let led = |y: &Year| {
        let from = y.tokens.0.saturating_sub(REACH);
        let mut leading = names
            .iter()
            .filter(|v| (from..y.tokens.0).contains(&v.first));
        leading.any(|v| (headline..=headline + 1).contains(&v.first))
            && (headline + 1..y.tokens.0)
                .all(|i| matches!(tokens.kind(i), TokenKind::Word | TokenKind::Number))
    };
    let found = |y: &Year| {
        let headed = y.tokens.0 < headline || y.tokens.0 <= headline + 3;
        headed
            || y.weight >= 5
            || y.weight < 3
            || led(y)
            || listed(tokens, names, headline, y.tokens.0)
    };
    if out.iter().any(found) {
        out.retain(found);
    } else {
        // With no better one, a year alone at the end of a sentence, or one
        // that the seller believes: `2001 I believe.`
        out.retain(|y| {
            matches!(
                tokens.kind(y.tokens.0.wrapping_sub(1)),
                TokenKind::Line | TokenKind::Blank | TokenKind::Sign(b'.' | b'!')
            )
        });
    }
    out
}

/// Years told in words beside the name of a car: `two thousand four Neon`,
/// `ninety nine Tahoe`, `Impala oh six`.
fn spoken(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    names: &[Name<'_>],
    headline: usize,
) -> Vec<Year> {
    let mut out = Vec::new();
    for (n, roles) in numbers.iter().filter(|(n, _)| n.form == Form::Words) {
        let (first, last) = n.tokens;
        let year = n.value as u16;
        let before = names
            .iter()
            .any(|v| v.first == last + 1 || v.first == last + 2);
        // `selling my Neon two thousand` is a sum.
        let behind = names.iter().any(|v| v.last + 1 == first) && !year.is_multiple_of(100);
        let other = matches!(
            roles.after,
            Some(
                NumberRole::Ask | NumberRole::Deposit | NumberRole::UnitMiles | NumberRole::UnitKm
            )
        ) || roles.before == Some(NumberRole::Ask);
        let named = before || behind && !other;
        if named && (1950..=2030).contains(&year) {
            out.push(Year {
                year: ModelYear(year),
                tokens: n.tokens,
                weight: 5 + u8::from(first < headline) * 3,
            });
        }
    }
    for name in names {
        let ends_here = |from: usize| {
            let (year, end) = numerals::short_year(tokens, from)?;
            (end == name.first).then_some((year, from))
        };
        let before = (1..=2)
            .filter_map(|k| name.first.checked_sub(k))
            .find_map(ends_here);
        let behind = || {
            let from = name.last + 1;
            let (year, end) = numerals::short_year(tokens, from)?;
            Some((year, from)).filter(|_| end > from + 1)
        };
        if let Some((year, from)) = before.or_else(behind) {
            out.push(Year {
                year: ModelYear(year),
                tokens: (from, from + 1),
                weight: 5 + u8::from(from < headline) * 3,
            });
        }
    }
    out
}

/// Whether a year is an entry of its own, perhaps with the letter of its plate,
/// in the list that begins with a name: `Micra 1.0 Shape, 97 P, 3dr`.
fn listed(tokens: &Tokens, names: &[Name<'_>], headline: usize, at: usize) -> bool {
    let comma = |i: usize| tokens.kind(i) == TokenKind::Sign(b',');
    let one = |i: usize| tokens.kind(i) == TokenKind::Word && tokens.word(i).len() == 1;
    let letter = one(at + 1);
    let from = at.saturating_sub(LISTED);
    // `J reg 1992`
    let plate = at > 2 && one(at - 2) && comma(at - 3);
    at > 0
        && (comma(at - 1) || plate && tokens.kind(at - 1) == TokenKind::Word)
        && (comma(at + 1) || letter && comma(at + 2))
        && names
            .iter()
            .any(|v| (headline..=headline + 1).contains(&v.first) && (from..at).contains(&v.first))
        && (headline + 1..at).all(|i| {
            let sign = tokens.kind(i);
            matches!(sign, TokenKind::Word | TokenKind::Number) || comma(i)
        })
}

/// Whether an apostrophe stands right before: `'03`.
fn first_is_quoted(tokens: &Tokens, i: usize) -> bool {
    // The apostrophe is dropped from the tokens; it leaves a gap of a byte.
    let at = tokens.list[i].source.0;
    match i.checked_sub(1).map(|p| tokens.list[p].source.1) {
        Some(end) => at - end >= 1 && tokens.quoted.binary_search(&at).is_ok(),
        None => tokens.quoted.binary_search(&at).is_ok(),
    }
}

fn choose(
    out: &mut Vehicle,
    cell_make: Option<MakeId>,
    cells: Cells<'_>,
    names: &[Name<'_>],
    years: &[Year],
    vehicles: &Vehicles,
    headline: usize,
) {
    // Makes named, the headline's first.
    let makes: Vec<(MakeId, &Name<'_>)> = names
        .iter()
        .flat_map(|n| {
            n.of.iter().filter_map(move |v| match v {
                VehicleName::Make(m) => Some((*m, n)),
                VehicleName::Model { .. } => None,
            })
        })
        .collect();
    let first_make = cell_make.or_else(|| {
        makes
            .iter()
            .find(|(_, n)| n.first < headline)
            .map(|(m, _)| *m)
    });
    let mut best: Option<(i32, ModelId, &Name<'_>)> = None;
    for name in names {
        for v in name.of {
            let VehicleName::Model { model, shy } = v else {
                continue;
            };
            let row = vehicles.model(*model);
            let in_headline = name.first < headline;
            let make_beside = makes.iter().any(|(m, n)| {
                *m == row.make
                    && (n.last < name.first && name.first - n.last <= 3
                        || name.last < n.first && n.first - name.last <= 2)
            });
            let make_known = first_make == Some(row.make);
            let make_anywhere = make_known || makes.iter().any(|(m, _)| *m == row.make);
            let year_before = years.iter().any(|y| {
                (y.tokens.1 < name.first && name.first - y.tokens.1 <= 2)
                    || (name.last < y.tokens.0 && y.tokens.0 - name.last <= 2)
            });
            let starts = name.first == 0;
            let early = name.first < headline + 3;
            if *shy
                && !(make_beside
                    || make_known && early && !bare_number(name, vehicles, *model)
                    || make_known && in_headline
                    || in_headline
                        && (year_before || starts)
                        && !bare_number(name, vehicles, *model))
            {
                continue;
            }
            let mut score = 0;
            if in_headline {
                score += 40;
            }
            if make_beside {
                score += 30;
            } else if make_known {
                score += 25;
            } else if make_anywhere {
                score += 10;
            } else if first_make.is_some() {
                score -= 35;
            }
            if year_before {
                score += 8;
            }
            // `2001 Century and 1998 LeSabre`: the year taken has a name.
            let own = out.year_tokens.is_some_and(|y| y.1 + 1 == name.first);
            score += i32::from(own) * 5;
            if let Some(year) = out.year {
                if year >= row.years.0 && year <= row.years.1 {
                    score += 12;
                } else {
                    score -= 12;
                }
            }
            score += ((name.last - name.first) as i32) * 3;
            if *shy {
                score -= 4;
            }
            // The car spoken of first is the one offered.
            score -= (name.first.min(200) / 8) as i32;
            let other_badge =
                |s: i32, b: &Name<'_>| cells.pounds && score >= s && b.first == name.first;
            if best.is_none_or(|(s, _, b)| score > s || other_badge(s, b)) {
                best = Some((score, *model, name));
            }
        }
    }
    if let Some(cell) = cells.model {
        let folded = crate::lexicon::vehicles::folded(cell);
        if let Some(model) = vehicles
            .names
            .get(&folded)
            .into_iter()
            .flatten()
            .find_map(|v| match v {
                VehicleName::Model { model, .. }
                    if cell_make.is_none_or(|m| vehicles.model(*model).make == m) =>
                {
                    Some(*model)
                }
                _ => None,
            })
        {
            out.model = Some(model);
            out.make = Some(vehicles.model(model).make);
            return;
        }
    }
    if let Some((score, model, name)) = best
        && score > 0
    {
        out.model = Some(model);
        out.make = Some(vehicles.model(model).make);
        out.model_tokens = Some((name.first, name.last));
        out.make_tokens = makes
            .iter()
            .find(|(m, _)| Some(*m) == out.make)
            .map(|(_, n)| (n.first, n.last));
        return;
    }
    if let Some((make, name)) = makes.first() {
        out.make = cell_make.or(Some(*make));
        out.make_tokens = Some((name.first, name.last));
    } else {
        out.make = cell_make;
    }
}

/// A bare number is a model only beside its make.
fn bare_number(name: &Name<'_>, vehicles: &Vehicles, model: ModelId) -> bool {
    name.first == name.last
        && vehicles
            .model(model)
            .name
            .bytes()
            .all(|b| b.is_ascii_digit())
}
