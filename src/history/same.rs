//! Whether two ads are of one car.
//!
//! The number of the car (VIN) and the ad's own link or number speak for
//! themselves. Without them the texts must be alike *and* the facts agree:
//! dealers and cheats use one text for many cars, so that likeness alone never
//! makes one car of two. Make, model and year must be the same, the place must
//! not differ, and the distances must lie within reach of each other. How near
//! is near enough was chosen on made pairs (`tests/same_car.rs`); common
//! practice gives no figures for it.

use std::num::NonZeroU64;

use super::exports::{ExportId, plain_link, series};
use super::shingles::{hashed, joined};
use crate::day::Day;
use crate::intake::Listing;
use crate::reading::{Gearbox, Kind, MilesBasis, Reading, Says};
use crate::units::Money;

/// Why two ads are held to be of one car, the surest first.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub enum Ground {
    /// The same vehicle identification number.
    Vin,
    /// The same link.
    Link,
    /// The same number on the same site.
    Number,
    /// The same facts, and texts this much alike (0 to 1).
    Text(f64),
}

/// A hash that stands for a text; in eight bytes even where there is none.
pub(super) type Key = NonZeroU64;

fn key(hash: u64) -> Key {
    Key::new(hash).unwrap_or(Key::MIN)
}

/// What ads are compared by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Facts {
    kind: Kind,
    gearbox: Gearbox,
    basis: MilesBasis,
    make: Option<Key>,
    model: Option<Key>,
    year: Option<u16>,
    pub vin: Option<Key>,
    pub miles: Option<u32>,
    place: Option<Key>,
    ask: Option<Money>,
    told: Told,
    /// Site and number of the ad.
    pub number: Option<Key>,
    pub link: Option<Key>,
    /// The earliest file that it stands in.
    pub file: ExportId,
    /// First and last day on which it was seen.
    pub days: Option<(Day, Day)>,
}

/// What is told of parts, as sets: faults, and what was renewed.
#[derive(Debug, Clone, Copy, Default)]
struct Told([u64; 6]);

impl Told {
    fn of(reading: &Reading) -> Self {
        let mut told = Told::default();
        for claim in &reading.claims {
            let half = match claim.says {
                Says::Bad | Says::Suspect => 0,
                Says::Renewed => 3,
                Says::Sound | Says::Spare => continue,
            };
            // More parts than there is room for share a place; they only make
            // two ads a little more alike.
            let at = claim.part.index() % 192;
            told.0[half + at / 64] |= 1 << (at % 64);
        }
        told
    }

    /// Things that both tell, and the share of what either tells.
    fn common(&self, other: &Told) -> (u32, f64) {
        let pairs = || self.0.iter().zip(&other.0);
        let both: u32 = pairs().map(|(a, b)| (a & b).count_ones()).sum();
        let either: u32 = pairs().map(|(a, b)| (a | b).count_ones()).sum();
        (both, f64::from(both) / f64::from(either.max(1)))
    }
}

/// Miles a car that is for sale may be driven in a day, for viewings and
/// errands; and at most between two ads of it. Common practice, no source.
const MILES_A_DAY: u32 = 60;
const MILES_AT_MOST: u32 = 3_000;

impl Facts {
    /// What an ad tells by itself: the file and the days come later. `host`
    /// is the site that its link leads to.
    pub fn of(listing: &Listing, reading: &Reading, host: Option<&str>) -> Self {
        let site = || host.map_or_else(|| series(&listing.origin.file), hashed);
        let word = |text: &Option<String>| text.as_deref().map(|t| key(hashed(t)));
        let vin = reading.vin.as_deref().filter(|vin| tells_a_car(vin));
        let link = listing.link.as_deref().and_then(plain_link);
        let place = listing.place.as_deref().map(folded);
        Facts {
            kind: reading.kind,
            gearbox: reading.gearbox,
            basis: reading.miles_basis,
            make: word(&reading.make),
            model: word(&reading.model),
            year: reading.year.map(|y| y.0),
            vin: vin.map(|v| key(hashed(v))),
            miles: reading.miles.map(|m| m.0),
            place: place.filter(|p| !p.is_empty()).map(|p| key(hashed(&p))),
            ask: reading.ask,
            told: Told::of(reading),
            number: listing
                .number
                .as_deref()
                .map(|n| key(joined(site(), hashed(n)))),
            link: link.as_deref().map(|l| key(hashed(l))),
            file: ExportId(0),
            days: None,
        }
    }

    /// A key that ads of one car share where text has to tell.
    pub fn vehicle(&self) -> Option<u64> {
        let make = self.make?.get();
        let year = u64::from(self.year.unwrap_or_default());
        let model = self.model.map_or(0, Key::get);
        Some(joined(joined(make, model), year))
    }

    /// Keys of make, model, year and about this distance: two cars less than
    /// 1,000 miles apart share one of the two.
    pub fn about(&self, shifted: bool) -> Option<u64> {
        let miles = self.miles?.saturating_add(if shifted { 1_000 } else { 0 });
        let step = u64::from(miles / 2_000) << 1 | u64::from(shifted);
        Some(joined(self.vehicle()?, step))
    }

    /// A distance told to the last digits: two cars of one model and year
    /// seldom share it.
    pub fn exact_miles(&self) -> Option<u32> {
        let told = self.basis == MilesBasis::Stated;
        self.miles.filter(|m| told && m % 100 != 0)
    }
}

fn folded(place: &str) -> String {
    let words = place.split(|c: char| !c.is_alphanumeric());
    words.collect::<String>().to_lowercase()
}

/// A number made of a few characters over and over stands for none.
fn tells_a_car(vin: &str) -> bool {
    let mut seen: Vec<u8> = vin.bytes().collect();
    seen.sort_unstable();
    seen.dedup();
    seen.len() >= 6
}

/// Whether both are told and differ.
fn differ<T: PartialEq>(a: Option<T>, b: Option<T>) -> bool {
    a.zip(b).is_some_and(|(a, b)| a != b)
}

/// The ground on which two ads are of one car, if there is one. The likeness
/// of their texts is asked for only where it matters.
pub(super) fn ground(a: &Facts, b: &Facts, likeness: impl Fn() -> f64) -> Option<Ground> {
    if a.kind != b.kind || differ(a.vin, b.vin) {
        return None;
    }
    let other_car = differ(a.make, b.make) || differ(a.year, b.year);
    let equal = |a: Option<Key>, b: Option<Key>| a.is_some() && a == b;
    if equal(a.vin, b.vin) && !differ(a.make, b.make) {
        return Some(Ground::Vin);
    }
    // A site may use a number again, and the column may be no number of an ad:
    // of two cars that are plainly others the same number makes no one car.
    let same_ad = |likeness: f64| match other_car || differ(a.model, b.model) {
        true => likeness >= 0.5,
        false => likeness >= 0.3 || a.vehicle().is_some_and(|v| b.vehicle() == Some(v)),
    };
    if equal(a.link, b.link) && same_ad(likeness()) {
        return Some(Ground::Link);
    }
    if equal(a.number, b.number) && same_ad(likeness()) {
        return Some(Ground::Number);
    }
    let needed = agree(a, b)?;
    let likeness = likeness();
    (likeness >= needed).then_some(Ground::Text(likeness))
}

/// How alike the texts of two ads must be if their facts agree; none where they
/// do not.
pub(super) fn agree(a: &Facts, b: &Facts) -> Option<f64> {
    if a.kind != Kind::Car || b.kind != Kind::Car {
        // Wheels, parts and services have nothing that tells one from another.
        return (a.kind == b.kind && a.ask == b.ask && !differ(a.place, b.place)).then_some(0.9);
    }
    if differ(a.vin, b.vin) || differ(a.place, b.place) {
        return None;
    }
    if a.make != b.make || a.model != b.model || a.year != b.year {
        return None;
    }
    let gearbox = |f: &Facts| (f.gearbox != Gearbox::Unstated).then_some(f.gearbox);
    if differ(gearbox(a), gearbox(b)) {
        return None;
    }
    let at_once = a.file == b.file;
    let prices_fit = match (a.ask, b.ask) {
        (Some(x), Some(y)) if at_once && a.miles.is_none() => x == y,
        (Some(x), Some(y)) => {
            let (less, more) = (x.min(y).to_f64(), x.max(y).to_f64());
            more <= 2.0 * less
        }
        _ => true,
    };
    if !prices_fit {
        return None;
    }
    match (a.miles, b.miles) {
        (Some(x), Some(y)) => {
            let exact = a.exact_miles().is_some() && a.exact_miles() == b.exact_miles();
            if exact {
                // The same place besides: the words may all be others.
                let same_place = a.place.is_some() && a.place == b.place;
                return Some(if same_place && a.ask == b.ask {
                    0.0
                } else {
                    0.1
                });
            }
            if x.abs_diff(y) > reach(a, b, at_once) {
                return None;
            }
            // Another site, other words, but the same price and faults; more of
            // them where no place is told.
            let (both, share) = a.told.common(&b.told);
            let same_place = a.place.is_some() && a.place == b.place;
            let same_ask = a.ask.is_some() && a.ask == b.ask;
            let told_alike = if same_place { both >= 2 } else { both >= 3 };
            if same_ask && !at_once && told_alike && share >= 0.5 {
                return Some(0.0);
            }
            Some(if at_once { 0.6 } else { 0.5 })
        }
        (None, None) if at_once => Some(0.9),
        _ if a.make.is_none() => None,
        _ => Some(0.8),
    }
}

/// Miles that two ads of one car may lie apart.
fn reach(a: &Facts, b: &Facts, at_once: bool) -> u32 {
    let rounding = |f: &Facts| match f.basis {
        MilesBasis::Stated => 100,
        MilesBasis::Rounded => 1_000,
        _ => 10_000,
    };
    let rounding = rounding(a).max(rounding(b));
    if at_once {
        return rounding.min(1_000);
    }
    let apart = a.days.zip(b.days).map_or(0, |((a0, a1), (b0, b1))| {
        b0.since(a1).max(a0.since(b1)).max(0)
    });
    let driven = (apart as u32).saturating_mul(MILES_A_DAY);
    rounding + driven.min(MILES_AT_MOST)
}
