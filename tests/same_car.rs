//! What is of one car becomes one car, and two cars stay two: measured on
//! pairs made from the sample ads, each changed as sellers change them.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use fixworth::history::{Gather, Gathered};
use fixworth::intake::{Intake, Listing, ListingId, Options, read_all};
use fixworth::lexicon::Lexicon;
use fixworth::reading::{Kind, Reader, Reading};
use fixworth::units::DistanceUnit;

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

fn samples() -> Vec<Listing> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    let files: Vec<PathBuf> = ["harbour-board.csv", "valley-swap.csv", "depot-list.csv"]
        .iter()
        .map(|name| dir.join(name))
        .collect();
    let intake: Intake = read_all(&files, &Options::default(), &LEXICON).unwrap();
    intake.listings
}

fn readings(listings: &[Listing]) -> Vec<Reading> {
    let reader = Reader::new(&LEXICON, DistanceUnit::Miles);
    listings.iter().map(|l| reader.read(l)).collect()
}

fn gathered(listings: &[Listing]) -> Gathered {
    let readings = readings(listings);
    Gather {
        listings,
        readings: &readings,
        repeats: &[],
        seen: &[],
        lexicon: &LEXICON,
    }
    .run()
}

/// Which car each listing is of.
fn cars(listings: &[Listing]) -> Vec<usize> {
    let gathered = gathered(listings);
    let mut of = HashMap::new();
    for (car, traced) in gathered.cars.iter().enumerate() {
        for id in traced.history.ads.iter().flat_map(|ad| &ad.ids) {
            of.insert(id.clone(), car);
        }
    }
    listings.iter().map(|l| of[&l.id]).collect()
}

/// One listing for each car of the samples.
fn different_cars() -> Vec<Listing> {
    let listings = samples();
    let readings = readings(&listings);
    let of = cars(&listings);
    let mut seen = Vec::new();
    let mut out = Vec::new();
    for ((listing, reading), car) in listings.into_iter().zip(&readings).zip(of) {
        if reading.kind == Kind::Car && reading.make.is_some() && !seen.contains(&car) {
            seen.push(car);
            out.push(listing);
        }
    }
    out
}

/// A copy under another number, link and date, in a later file.
fn copy(of: &Listing, n: usize) -> Listing {
    let mut copy = of.clone();
    copy.id = ListingId(format!("c{n}"));
    copy.number = Some(format!("9{n}"));
    copy.link = Some(format!("https://later.example.org/{n}"));
    copy.origin.file = "later-board.csv".into();
    copy.date = Some("2026-02-20".to_owned());
    copy
}

fn with_text(of: &Listing, n: usize, headline: &str, body: &str) -> Listing {
    let copy = copy(of, n);
    Listing {
        text: format!("{headline}\n{body}"),
        headline_len: headline.len(),
        ..copy
    }
}

/// The same car as a seller or another board would show it.
fn same_cars(of: &Listing, n: usize) -> Vec<(&'static str, Listing)> {
    let (head, body) = (of.headline().to_owned(), of.body().to_owned());
    let mut sentences: Vec<&str> = body.split_inclusive(". ").collect();
    let mut out = Vec::new();
    let mut cheaper = copy(of, n);
    cheaper.price = Some("777".to_owned());
    if of.price.is_some() && body.len() > 80 {
        // A drop below half would be another car's price.
        let digits: String = of
            .price
            .iter()
            .flat_map(|p| p.chars())
            .filter(char::is_ascii_digit)
            .collect();
        let ask: f64 = digits.parse().unwrap_or(0.0);
        cheaper.price = Some(format!("{:.0}", ask * 0.85));
        out.push(("cheaper", cheaper));
    }
    out.push(("posted anew", copy(of, n)));
    if sentences.len() > 4 {
        let at = 1 + n % (sentences.len() - 2);
        sentences.remove(at);
        out.push((
            "a sentence out",
            with_text(of, n, &head, &sentences.concat()),
        ));
    }
    if body.len() > 150 {
        let more = format!("{body} Still here, so come and look at it this weekend.");
        out.push(("a sentence in", with_text(of, n, &head, &more)));
        let shouted = format!("{} !!!", body.to_uppercase().replace(", ", " - "));
        out.push(("typed in capitals", with_text(of, n, &head, &shouted)));
    }
    out
}

/// Another car under the same words.
fn other_cars(of: &Listing, reading: &Reading, n: usize) -> Vec<(&'static str, Listing)> {
    let mut out = Vec::new();
    let copy = |of: &Listing, n: usize| {
        let mut other = copy(of, n);
        if let Some(vin) = &reading.vin {
            // Another car has another number.
            let last = if vin.ends_with('7') { "4" } else { "7" };
            let number = format!("{}{last}", &vin[..16]);
            other.text = other.text.replace(vin.as_str(), &number);
        }
        other
    };
    if let Some(miles) = reading.miles {
        let mut other = copy(of, n);
        other.distance = Some((miles.0 + 23_417).to_string());
        other.distance_unit = Some(DistanceUnit::Miles);
        out.push(("other distance", other));
    }
    if let Some(year) = reading.year {
        let mut other = copy(of, n);
        other.year = Some((year.0 - 2).to_string());
        out.push(("other year", other));
    }
    if of.place.is_some() {
        let mut other = copy(of, n);
        other.place = Some("Farrowdale".to_owned());
        out.push(("other place", other));
    }
    out
}

#[test]
fn the_same_car_is_found_again_however_it_is_posted() {
    let base = different_cars();
    assert!(base.len() > 150, "{}", base.len());
    let (mut found, mut all) = (0, 0);
    let mut missed: HashMap<&str, usize> = HashMap::new();
    let kinds = [
        "cheaper",
        "posted anew",
        "a sentence out",
        "a sentence in",
        "typed in capitals",
    ];
    for kind in kinds {
        let mut listings = base.clone();
        let mut pairs = Vec::new();
        for (n, listing) in base.iter().enumerate() {
            let made = same_cars(listing, n).into_iter().find(|(k, _)| *k == kind);
            if let Some((_, copy)) = made {
                pairs.push((n, listings.len()));
                listings.push(copy);
            }
        }
        assert!(pairs.len() > 60, "{kind}: {}", pairs.len());
        let of = cars(&listings);
        for (a, b) in pairs {
            all += 1;
            if of[a] == of[b] {
                found += 1;
            } else {
                *missed.entry(kind).or_default() += 1;
            }
        }
        // No two different cars of the samples became one on the way.
        let mut firsts: Vec<usize> = of[..base.len()].to_vec();
        firsts.sort_unstable();
        firsts.dedup();
        assert_eq!(firsts.len(), base.len(), "{kind}");
    }
    println!("{found} of {all} found; missed {missed:?}");
    let recall = f64::from(found) / f64::from(all);
    assert!(recall >= 0.95, "{found} of {all}; missed {missed:?}");
}

#[test]
fn one_text_makes_no_one_car_of_two() {
    let base = different_cars();
    let read = readings(&base);
    let (mut wrong, mut all) = (Vec::new(), 0);
    for kind in ["other distance", "other year", "other place"] {
        let mut listings = base.clone();
        let mut pairs = Vec::new();
        for (n, (listing, reading)) in base.iter().zip(&read).enumerate() {
            let made = other_cars(listing, reading, n);
            if let Some((_, other)) = made.into_iter().find(|(k, _)| *k == kind) {
                pairs.push((n, listings.len()));
                listings.push(other);
            }
        }
        assert!(pairs.len() > 60, "{kind}: {}", pairs.len());
        let of = cars(&listings);
        for (a, b) in pairs {
            all += 1;
            if of[a] == of[b] {
                wrong.push(format!("{kind}: {}", listings[a].id));
            }
        }
    }
    assert!(
        wrong.len() * 100 <= all,
        "{} of {all}: {wrong:?}",
        wrong.len()
    );
}

fn ad(file: &str, n: usize, head: &str, body: &str) -> Listing {
    let origin = fixworth::intake::Origin {
        file: file.into(),
        line: n as u64 + 2,
    };
    Listing::new(ListingId(format!("{file}{n}")), origin, head, body)
}

const DEALER: &str = "One owner, automatic, power windows and locks, cold air, warm heat, new \
    inspection. Every vehicle sold as is, no warranty, dealer fee not included in the price shown. \
    We finance, bad credit no problem, bring your last two pay slips. Call Renny at the lot.";

#[test]
fn a_dealer_s_words_for_many_cars_are_many_cars() {
    let mut lot = Vec::new();
    for n in 0..40 {
        let mut car = ad("lot.csv", n, "2011 Kia Forte EX", DEALER);
        car.distance = Some((90_000 + 700 * n).to_string());
        car.price = Some("4995".to_owned());
        car.place = Some("Pellmouth".to_owned());
        lot.push(car);
    }
    assert_eq!(gathered(&lot).cars.len(), 40);
    // The lot a week later: each car finds itself and no other.
    for n in 0..40 {
        let mut again = lot[n].clone();
        again.id = ListingId(format!("again{n}"));
        again.origin.file = "lot-2.csv".into();
        again.price = Some("4795".to_owned());
        lot.push(again);
    }
    let of = cars(&lot);
    for n in 0..40 {
        assert_eq!(of[n], of[n + 40]);
    }
    assert_eq!(gathered(&lot).cars.len(), 40);
}

#[test]
fn a_number_of_the_car_joins_what_words_would_not_and_parts_what_they_would() {
    let vin = |n: usize, vin: &str, words: &str| {
        let mut car = ad(
            &format!("{n}.csv"),
            n,
            "2005 Saab 9-3",
            &format!("{words} VIN {vin}."),
        );
        car.place = Some(["Pellmouth", "Marlock"][n % 2].to_owned());
        car
    };
    let one = "YS3FH41U451024680";
    let same = [
        vin(0, one, "Runs well, clutch slips."),
        vin(
            1,
            one,
            "Selling my car, it was my aunt's, the leather is good.",
        ),
    ];
    assert_eq!(gathered(&same).cars.len(), 1);
    let other = [
        vin(
            0,
            one,
            "Runs well, clutch slips, clean title, leather seats, ask for Ottil.",
        ),
        vin(
            2,
            "YS3FH41U451024681",
            "Runs well, clutch slips, clean title, leather seats, ask for Ottil.",
        ),
    ];
    assert_eq!(gathered(&other).cars.len(), 2);
    // Seventeen places filled with next to nothing are no number.
    let none = [
        vin(0, "11111111111111A11", "Runs well, clutch slips."),
        vin(1, "11111111111111A11", "Selling my car, it was my aunt's."),
    ];
    assert_eq!(gathered(&none).cars.len(), 2);
}

#[test]
fn the_same_number_on_another_board_is_another_ad() {
    let mut a = ad(
        "harbour.csv",
        1,
        "2005 Saab 9-3",
        "Runs well, clutch slips.",
    );
    let mut b = ad(
        "valley.csv",
        1,
        "1999 Buick Century",
        "My aunt's, leaks coolant.",
    );
    (a.number, b.number) = (Some("7".to_owned()), Some("7".to_owned()));
    let listings = [a.clone(), b.clone()];
    assert_eq!(gathered(&listings).cars.len(), 2);
    // Nor is it the same where one board uses it again for another car.
    b.origin.file = "harbour-2.csv".into();
    assert_eq!(gathered(&[a.clone(), b]).cars.len(), 2);
    // The same car under the same number is one, however it is told.
    let mut c = ad(
        "harbour-2.csv",
        2,
        "2005 Saab 9-3",
        "Must go. New paint, ask for Ottil.",
    );
    c.number = Some("7".to_owned());
    assert_eq!(gathered(&[a, c]).cars.len(), 1);
}

#[test]
fn the_cars_do_not_depend_on_the_number_of_threads() {
    let listings = samples();
    let names = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        let cars = pool.install(|| gathered(&listings).cars);
        cars.into_iter()
            .map(|c| (c.id, c.listing, c.history))
            .collect::<Vec<_>>()
    };
    assert_eq!(names(1), names(3));
}
