//! The page to decide on: the shortlist as one file for a browser, to sort, to
//! choose from, and to open each car in.
//!
//! Nothing is fetched and nothing sent: the policy of the page forbids it, and
//! allows the page's own style and script by their fingerprints alone. Words
//! of others are made harmless first (`safe_text`) and escaped by the
//! template; no word of others stands in the script, in the style or in an
//! address, but for links to the web.
//!
//! Without its script the page still shows all there is; the script sorts,
//! chooses, and works out margin, chance of loss and standing for any price
//! from the points stored in the page, as [`crate::margin::AtPrice`] does.

mod car;
mod fall;
mod ground;
mod said;
mod scale;
mod spread;
mod strip;
mod svg;

use std::io::{self, Write};

use askama::Template;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

use super::marked::Contacts;
use super::shortlist::Shortlist;
use crate::lexicon::Lexicon;
use crate::margin::{Action, Limits, Sort, Standing};
use crate::units::{DistanceUnit, Money};

pub use car::{Behind, Known};
use car::{CarView, OUTWORK, Shared};
use fall::Common;
use strip::Strips;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// The whole page.
#[derive(Template)]
#[template(path = "page.html", config = "src/report/html/askama.toml")]
struct Document<'a> {
    policy: String,
    style: &'static str,
    script: &'static str,
    title: String,
    count: String,
    basis: String,
    sign: &'static str,
    wanted_cents: i64,
    wanted: Money,
    loss_limit: f64,
    loss_percent: String,
    standings: [(&'static str, &'static str); 3],
    sorts: Vec<(&'static str, &'static str)>,
    actions: &'static [Action],
    skills: Vec<String>,
    places: Vec<String>,
    away: Option<&'static str>,
    axis: String,
    lines: String,
    common: &'a [(String, String)],
    cars: Vec<CarView<'a>>,
}

/// Writes the page of a list; `known` are its cars in the same order.
///
/// # Errors
/// When writing fails.
pub fn write_page(
    list: &Shortlist,
    known: &[Known<'_>],
    lexicon: &Lexicon,
    contacts: Contacts,
    out: &mut dyn Write,
) -> io::Result<()> {
    let basis = &list.basis;
    let wanted = Money::from(basis.wanted_margin);
    let shared = Shared {
        basis,
        lexicon,
        limits: Limits::new(wanted, basis.loss_limit),
        strips: Strips::new(&list.cars, wanted.to_f64()),
        contacts,
        common: Common::of(known.iter().map(|k| k.entry.appraisal)),
    };
    let unit = match basis.distance_unit {
        DistanceUnit::Miles => "miles",
        DistanceUnit::Km => "km",
    };
    let cars = list.cars.iter().zip(known);
    let cars: Vec<_> = cars
        .map(|(car, known)| CarView::new(car, known, &shared))
        .collect();
    // Offered only where the user has said how far away places are.
    let away = known
        .iter()
        .any(|k| k.behind.away.is_some())
        .then_some(unit);
    let document = Document {
        policy: policy(),
        style: STYLE,
        script: SCRIPT,
        title: format!("{} to decide on", list.count_in_words()),
        count: list.count_in_words(),
        basis: format!(
            "ranked by {}, money in {}, ages as of {} ({})",
            basis.sort,
            basis.currency.sign(),
            basis.as_of,
            basis.as_of_from
        ),
        sign: basis.currency.sign(),
        wanted_cents: (wanted.to_f64() * 100.0).round() as i64,
        wanted,
        loss_limit: basis.loss_limit,
        loss_percent: format!("{:.0}", basis.loss_limit * 100.0),
        standings: [
            ("pays", Standing::Pays.words()),
            ("risky", Standing::TooRisky.words()),
            ("dear", Standing::TooDear.words()),
        ],
        sorts: sorts(basis.sort, away.is_some()),
        away,
        actions: Action::ALL,
        skills: words_of(&cars, "skills"),
        places: places(&cars),
        common: &shared.common.0,
        axis: shared.strips.head(),
        lines: shared.strips.lines(),
        cars,
    };
    document.write_into(out)
}

/// What the page's own style and script are known by; nothing else may act or
/// be fetched.
fn policy() -> String {
    let fingerprint = |text: &str| STANDARD.encode(Sha256::digest(text.as_bytes()));
    format!(
        "default-src 'none'; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; \
         form-action 'none'",
        fingerprint(STYLE),
        fingerprint(SCRIPT)
    )
}

/// Keys of `data-` attributes and what they are called, the one that the list
/// is ranked by first.
fn sorts(ranked_by: &str, away: bool) -> Vec<(&'static str, &'static str)> {
    let of_rank = Sort::ALL.iter().find(|s| s.word() == ranked_by);
    let of_rank = match of_rank {
        Some(Sort::MarginPerHour) => "rank, by margin an hour",
        Some(Sort::LowEnd) => "rank, by the low end",
        Some(Sort::Ceiling) => "rank, by what may be paid",
        _ => "rank, by margin",
    };
    let mut sorts = vec![
        ("rank", of_rank),
        ("margin", "margin, most first"),
        ("low", "low end of the margin, most first"),
        ("losing", "chance of loss, least first"),
        ("rate", "margin an hour, most first"),
        ("ask", "price asked, least first"),
        ("hours", "hours, fewest first"),
        ("year", "model year, newest first"),
        ("miles", "distance on the car, least first"),
    ];
    sorts.extend(away.then_some(("away", "distance away, nearest first")));
    sorts
}

fn words_of(cars: &[CarView<'_>], key: &str) -> Vec<String> {
    let values = cars.iter().flat_map(|c| &c.data).filter(|(k, _)| *k == key);
    let mut words: Vec<String> = values
        .flat_map(|(_, v)| v.split(' ').map(str::to_owned))
        .filter(|w| !w.is_empty())
        .collect();
    // The workshop is no skill: it stands at the end.
    words.sort_by_key(|w| (w == OUTWORK, w.clone()));
    words.dedup();
    words
}

fn places(cars: &[CarView<'_>]) -> Vec<String> {
    let mut places: Vec<String> = cars.iter().map(|c| c.place.clone()).collect();
    places.retain(|p| !p.is_empty());
    places.sort();
    places.dedup();
    places
}
