//! Make, model and model year: from the cells, the headline, the text.

use super::names::Name;
use super::numbers::Number;
use super::roles::Roles;
use super::tokens::{TokenKind, Tokens};
use super::years::{Year, in_figures, years};
use crate::lexicon::vehicles::{MakeId, ModelId, VehicleName, Vehicles};
use crate::lexicon::word_classes::WordClass;
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
        .and_then(|c| in_figures(c.trim().trim_start_matches(['\'', '\u{2019}'])))
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
    let text = Text {
        names,
        years: &years,
        tokens,
        headline: headline_tokens,
    };
    choose(&mut out, cell_make, cells, &text, vehicles);
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

/// What an ad names of cars.
struct Text<'a> {
    names: &'a [Name<'a>],
    years: &'a [Year],
    tokens: &'a Tokens,
    /// Tokens of the headline.
    headline: usize,
}

impl Text<'_> {
    /// Whether a name is an entry: `Make: Kia, Model: Rio`.
    fn is_entry(&self, name: &Name<'_>) -> bool {
        let colon = name.first.checked_sub(1);
        colon.is_some_and(|i| self.tokens.kind(i) == TokenKind::Sign(b':'))
            && name.first > 1
            && self.tokens.is_a(name.first - 2, WordClass::Model)
            && !matches!(self.tokens.kind(name.last + 1), TokenKind::Word)
    }

    /// Whether the year that was taken for the car's stands right before a name.
    fn own_year(&self, year: Option<(usize, usize)>, name: &Name<'_>) -> bool {
        year.is_some_and(|y| y.1 + 1 == name.first)
    }
}

fn choose(
    out: &mut Vehicle,
    cell_make: Option<MakeId>,
    cells: Cells<'_>,
    text: &Text<'_>,
    vehicles: &Vehicles,
) {
    let (names, years, headline) = (text.names, text.years, text.headline);
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
            let built = out
                .year
                .is_some_and(|y| y >= row.years.0 && y <= row.years.1);
            let own = text.own_year(out.year_tokens, name);
            if *shy
                && !(make_beside
                    || make_known && early && !bare_number(name, vehicles, *model)
                    || make_known && in_headline
                    || make_anywhere && text.is_entry(name)
                    || own && built && !bare_number(name, vehicles, *model)
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
            score += i32::from(own) * 5;
            if out.year.is_some() {
                score += if built { 12 } else { -12 };
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
    // `2005 Liberty wagon Subaru`: of two makes with a model of that name, the
    // one that is named.
    let namesake = |model: ModelId| {
        let row = vehicles.model(model);
        let mut named = makes.iter().map(|(make, _)| *make).chain(first_make);
        let other = named.clone().all(|make| make != row.make);
        let of = |make| vehicles.model_of(make, &row.name);
        other.then(|| named.find_map(of)).flatten()
    };
    if let Some((score, model, name)) = best
        && let namesake = namesake(model)
        && (score > 0 || namesake.is_some())
    {
        let model = namesake.unwrap_or(model);
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
