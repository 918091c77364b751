//! Several cars in one ad: `2001 Saturn SC2, 1,300. 1999 SL1, 200 for the
//! carcass. Both 1,400.`
//!
//! One ad gives one reading. The others, each with its price where one stands
//! behind its name, are told as a warning.

use super::model::Reading;
use super::names::Name;
use super::numbers::{Form, Number};
use super::price::Candidate;
use super::roles::Roles;
use super::tokens::Tokens;
use super::years;
use crate::lexicon::vehicles::{VehicleName, Vehicles};
use crate::units::ModelYear;

/// One of the cars: its words, and where they stand.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Offer {
    /// Year and name, as `1999 SL1`.
    pub(super) name: String,
    model: Option<String>,
    year: ModelYear,
    at: usize,
    /// The price behind its name, before the next car's, with its tokens.
    pub(super) price: Option<(f64, (usize, usize))>,
}

/// The cars on offer where there are two at least: each named with its year,
/// and each with a price of its own, or two in the `headline` (its length in
/// tokens), or with `signs`: places where the ad says that it is several.
pub(super) fn find(
    numbers: &[(Number, Roles)],
    tokens: &Tokens,
    names: &[Name<'_>],
    prices: &[Candidate],
    vehicles: &Vehicles,
    signs: &[(usize, usize)],
    headline: usize,
) -> Vec<Offer> {
    let mut named: Vec<Offer> = Vec::new();
    for (n, _) in numbers {
        let Some(year) = year(n, tokens) else {
            continue;
        };
        if let Some(name) = names.iter().find(|v| v.first == n.tokens.1 + 1) {
            named.extend(offer(n, year, name, names, vehicles));
        }
    }
    let mut out: Vec<Offer> = Vec::new();
    for (i, offer) in named.iter().enumerate() {
        let end = named[i + 1..]
            .iter()
            .find(|o| !same(o, offer))
            .map_or(tokens.list.len(), |o| o.at);
        // `1,500 for both`, `both: 1,400` is the price of none.
        let of_all = |c: &Candidate| {
            let near = |s: &&(usize, usize)| s.0 <= c.tokens.1 + 2 && c.tokens.0 <= s.1 + 3;
            signs.iter().any(|s| near(&s))
        };
        let behind = |c: &&Candidate| (offer.at..end).contains(&c.tokens.0) && !of_all(c);
        let price = prices.iter().find(behind).map(|c| (c.value, c.tokens));
        match out.iter_mut().find(|o| same(o, offer)) {
            Some(known) => known.price = known.price.or(price),
            None => out.push(Offer {
                price,
                ..offer.clone()
            }),
        }
    }
    let priced = out.iter().filter(|o| o.price.is_some()).count();
    let headed = out.iter().filter(|o| o.at < headline).count();
    if out.len() < 2 || signs.is_empty() && priced < out.len() && headed < 2 {
        out.clear();
    }
    out
}

/// The model year that a number before a name is: `1999`, `99`.
fn year(n: &Number, tokens: &Tokens) -> Option<ModelYear> {
    let word = tokens.word(n.tokens.0);
    if n.form != Form::Plain || n.money {
        return None;
    }
    years::in_figures(word).map(ModelYear)
}

/// The car of a year and the name behind it; the model may follow its make.
fn offer(
    number: &Number,
    year: ModelYear,
    name: &Name<'_>,
    names: &[Name<'_>],
    vehicles: &Vehicles,
) -> Option<Offer> {
    let model = |n: &Name<'_>| {
        n.of.iter().find_map(|v| match v {
            VehicleName::Model { model, .. } => Some(*model),
            VehicleName::Make(_) => None,
        })
    };
    let make = name.of.iter().find_map(|v| match v {
        VehicleName::Make(make) => Some(vehicles.make(*make)),
        VehicleName::Model { .. } => None,
    });
    let next = || {
        names
            .iter()
            .find(|n| n.first == name.last + 1)
            .and_then(model)
    };
    let found = if make.is_some() { next() } else { model(name) };
    let at = number.tokens.0;
    let words = match (make, found) {
        (_, Some(id)) => format!("{year} {}", vehicles.model(id).name),
        (Some(make), None) => format!("{year} {make}"),
        (None, None) => return None,
    };
    Some(Offer {
        name: words,
        model: found.map(|id| vehicles.model(id).name.clone()),
        year,
        at,
        price: None,
    })
}

/// Whether two names are of one car: a name without its model may be any.
fn same(a: &Offer, b: &Offer) -> bool {
    a.year == b.year && (a.model.is_none() || b.model.is_none() || a.model == b.model)
}

/// The offer that a reading is of, as far as year and model tell.
pub(super) fn own<'o>(offers: &'o [Offer], reading: &Reading) -> Option<&'o Offer> {
    let fits = |o: &&Offer| {
        reading.year == Some(o.year) && (o.model.is_none() || o.model == reading.model)
    };
    offers.iter().find(fits)
}

/// What to tell of the cars.
pub(super) fn warning(offers: &[Offer], own: Option<&Offer>) -> String {
    let told: Vec<String> = offers
        .iter()
        .map(|o| match o.price {
            Some((price, _)) => format!("{} at {price:.0}", o.name),
            None => format!("{}, its own price unclear", o.name),
        })
        .collect();
    let figures = own.map_or_else(
        || "what is said of which is unclear".to_owned(),
        |own| format!("the figures are of the {}", own.name),
    );
    format!(
        "the ad offers several cars ({}); {figures}",
        told.join("; ")
    )
}
