//! Trouble codes in ads: which words are one, what they point at, and what the
//! seller is held to have said by them.

mod ad;

use ad::{LEXICON, claims, read};
use fixworth::reading::Says;

/// Codes of a text, as written out.
fn codes(text: &str) -> Vec<String> {
    read(text)
        .codes
        .iter()
        .map(|c| c.code.to_string())
        .collect()
}

fn hints(code: &str) -> Vec<&'static str> {
    let range = LEXICON.fault_codes.find(code.parse().unwrap()).unwrap();
    range.hints.iter().map(|h| LEXICON.parts.code(*h)).collect()
}

fn light(text: &str) -> Option<Says> {
    let all = claims(&read(text));
    let light: Vec<_> = all.iter().filter(|c| c.0 == "engine_light").collect();
    assert!(light.len() < 2, "{text}: {all:?}");
    light.first().map(|c| c.1)
}

// Ranges of SAE J2012 / ISO 15031-6, from memory.
#[test]
fn ranges_point_where_the_standard_points() {
    let of = |prefix: &str, numbers: std::ops::RangeInclusive<u16>, part: &str| {
        for n in numbers {
            let code = format!("{prefix}{n:03}");
            assert!(hints(&code).contains(&part), "{code}: {:?}", hints(&code));
        }
    };
    of("P0", 300..=312, "misfire");
    of("P0", 351..=362, "ignition_coil");
    of("P0", 201..=212, "fuel_injector");
    of("P0", 440..=459, "evap");
    of("P0", 420..=424, "catalytic_converter");
    of("P0", 430..=434, "catalytic_converter");
    of("P0", 130..=141, "o2_sensor");
    of("P0", 100..=104, "maf_sensor");
    of("P0", 335..=349, "crank_sensor");
    of("P0", 400..=408, "egr_valve");
    of("P0", 700..=702, "transmission");
    of("P0", 710..=724, "transmission");
    of("P0", 730..=799, "transmission");
    of("C0", 31..=50, "abs");
    of("B0", 1..=99, "airbag");
    of("U0", 100..=415, "wiring");
    assert_eq!(hints("P0128"), ["thermostat"]);
    assert_eq!(hints("P0562"), ["battery", "alternator"]);
    assert!(hints("P1135").is_empty());
}

#[test]
fn every_standard_engine_code_has_a_meaning_and_a_named_source() {
    for number in 0..0x1000_u16 {
        let code = format!("P0{number:03X}");
        let found = LEXICON.fault_codes.find(code.parse().unwrap());
        // P0B to P0F: hybrid drive and later additions, not in the table.
        assert_eq!(found.is_some(), number < 0xB00, "{code}");
    }
    let ranges = LEXICON.fault_codes.ranges();
    assert!(ranges.len() >= 120);
    assert!(ranges.iter().all(|r| r.source.contains("J2012")));
}

#[test]
fn codes_are_found_however_they_are_written() {
    for (text, wanted) in [
        ("Throws a P0420 code.", vec!["P0420"]),
        ("scanned it, p0171 and P0174", vec!["P0171", "P0174"]),
        ("code PO301 came up", vec!["P0301"]),
        ("codes P-0455/P 0128", vec!["P0455", "P0128"]),
        (
            "has P0300's and C0035, U0100",
            vec!["P0300", "C0035", "U0100"],
        ),
        ("P0420, P0430, and again p0420", vec!["P0420", "P0430"]),
        ("P0A80 on a hybrid", vec!["P0A80"]),
        // The maker's own code counts beside a light or another code.
        ("check engine light is on for P1135", vec!["P1135"]),
        ("P0171 and P1130", vec!["P0171", "P1130"]),
        ("ABS light on, code C1201", vec!["C1201"]),
        // So does one without its nought.
        (
            "check engine light is on, P420 and P171",
            vec!["P0420", "P0171"],
        ),
    ] {
        assert_eq!(codes(text), wanted, "{text}");
    }
}

#[test]
fn what_only_looks_like_a_code_is_none() {
    for text in [
        "1995 Chevrolet C1500, runs",
        "Mazda B2300 pickup",
        "Volvo P1800 for restoration",
        "part number B1250 in the box",
        "P 2500 obo",
        "P205/75R14 tires, check engine light off",
        "a P100 with a canopy",
        "stock B1ADE",
        "VIN 1M8GDM9AXKP042788",
        "call 555-0142",
    ] {
        assert_eq!(codes(text), Vec::<String>::new(), "{text}");
    }
}

#[test]
fn a_code_read_out_is_a_light_that_is_on_unless_it_is_denied_or_mended() {
    assert_eq!(light("It throws P0420."), Some(Says::Bad));
    assert_eq!(light("P0440"), Some(Says::Bad));
    assert_eq!(light("Check engine light is on, P0171."), Some(Says::Bad));
    assert_eq!(light("No P0420."), Some(Says::Sound));
    assert_eq!(light("Fixed the P0420."), Some(Says::Sound));
    assert_eq!(light("Runs great."), None);
}

#[test]
fn a_code_claims_nothing_of_the_part_that_it_points_at() {
    let reading = read("Reader says P0301 and P0420.");
    assert_eq!(claims(&reading), [("engine_light", Says::Bad)]);
    let hinted: Vec<_> = reading.codes[0]
        .hints
        .iter()
        .map(|h| LEXICON.parts.code(*h))
        .collect();
    assert_eq!(hinted[0], "misfire");
    let text = "\nReader says P0301 and P0420.";
    assert_eq!(&text[reading.codes[1].evidence.range.clone()], "P0420");
    // What the seller says beside it stands.
    let both = claims(&read("It has a misfire, code P0301. Needs a coil pack."));
    assert!(both.contains(&("misfire", Says::Bad)), "{both:?}");
    assert!(both.contains(&("ignition_coil", Says::Bad)), "{both:?}");
}

#[test]
fn a_code_leaves_what_is_said_around_it_as_it_was() {
    for (with, without) in [
        (
            "Needs an O2 sensor for P0141, and brakes.",
            "Needs an O2 sensor, and brakes.",
        ),
        ("New cat (P0420), new plugs.", "New cat, new plugs."),
        ("No rust, P0455, no leaks.", "No rust, no leaks."),
    ] {
        let mut read_with = claims(&read(with));
        read_with.retain(|c| c.0 != "engine_light");
        assert_eq!(read_with, claims(&read(without)), "{with}");
    }
}
