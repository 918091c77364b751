//! Small hand-made readings, bills and worths.
#![allow(dead_code)] // Each test file uses its own part of this.

use std::sync::LazyLock;

use fixworth::costing::{Chance, FixBill, JobLine, Reason};
use fixworth::intake::ListingId;
use fixworth::lexicon::Lexicon;
use fixworth::normal::Part;
use fixworth::reading::{
    AskBasis, Claim, Evidence, Gearbox, MilesBasis, Moves, Reading, Says, Title, Vague,
};
use fixworth::units::{Hours, Miles, ModelYear, Money, ThreePoint};
use fixworth::worth::{Worth, WorthBasis};

/// The built-in tables, read once for all tests of a file.
pub fn lexicon() -> &'static Lexicon {
    static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());
    &LEXICON
}

pub fn money(low: i64, likely: i64, high: i64) -> ThreePoint<Money> {
    ThreePoint { low, likely, high }.map(Money::whole)
}

pub fn hours(low: i64, likely: i64, high: i64) -> ThreePoint<Hours> {
    ThreePoint { low, likely, high }.map(|h| Hours::new(h.into()))
}

pub fn evidence(text: &str, words: &str) -> Evidence {
    let start = text.find(words).unwrap();
    Evidence {
        range: start..start + words.len(),
        rule: format!("words '{words}'"),
    }
}

/// The text of the ad that `reading` speaks of.
pub const TEXT: &str = "2003 Toyota Corolla 5 speed\n\
    Runs and drives, 148,000 miles, clean title. Head gasket is leaking, \
    mechanic thinks the water pump too. New brake pads. As is. $900";

/// A Corolla that drives, with a bad and a suspected part.
pub fn reading(lexicon: &Lexicon, id: &str) -> Reading {
    let claim = |code: &str, says, words| Claim {
        evidence: vec![evidence(TEXT, words)],
        ..Claim::new(lexicon.parts.find(code).unwrap(), says)
    };
    Reading {
        year: Some(ModelYear(2003)),
        make: Some("Toyota".to_owned()),
        model: Some("Corolla".to_owned()),
        ask: Some(Money::whole(900)),
        ask_basis: AskBasis::Plain,
        miles: Some(Miles(148_000)),
        miles_basis: MilesBasis::Stated,
        title: Title::Clean,
        moves: Moves::Drives,
        gearbox: Gearbox::Manual,
        claims: vec![
            claim("head_gasket", Says::Bad, "Head gasket is leaking"),
            claim("water_pump", Says::Suspect, "thinks the water pump too"),
            claim("brake_pads", Says::Renewed, "New brake pads"),
        ],
        fields: vec![
            ("year", evidence(TEXT, "2003")),
            ("make", evidence(TEXT, "Toyota")),
            ("model", evidence(TEXT, "Corolla")),
            ("miles", evidence(TEXT, "148,000 miles")),
            ("ask", evidence(TEXT, "$900")),
        ],
        ..Reading::unread(ListingId(id.to_owned()))
    }
}

pub fn vague(reading: &mut Reading, vague: Vague) {
    reading.vague.push((
        vague,
        Evidence {
            range: 0..0,
            rule: format!("vague '{vague}'"),
        },
    ));
}

/// One job that is certain and one that is even.
pub fn bill(lexicon: &Lexicon) -> FixBill {
    let part = |code| lexicon.parts.find(code).unwrap();
    let job = |job: &str, name: &str, code, why: &str, chance, cost| JobLine {
        job: job.to_owned(),
        name: name.to_owned(),
        because: vec![part(code)],
        reason: if chance < 1.0 {
            Reason::Suspected
        } else {
            Reason::Stated
        },
        why: why.to_owned(),
        chance: Chance::new(chance).unwrap(),
        parts: money(60, 90, 180),
        parts_used: false,
        consumables: Money::whole(35),
        own_hours: hours(4, 6, 9),
        outwork: money(0, 60, 120),
        outwork_why: Some("the head is machined by a shop".to_owned()),
        shared_with: None,
        cost,
        caution: Some("Let the engine cool before the cooling system is opened.".to_owned()),
        source: "common practice, no source".to_owned(),
    };
    FixBill {
        told: None,
        jobs: vec![
            job(
                "head_gasket",
                "replace the head gasket",
                "head_gasket",
                "stated",
                1.0,
                money(320, 480, 880),
            ),
            job(
                "water_pump",
                "replace the water pump",
                "water_pump",
                "suspected",
                0.5,
                money(90, 130, 200),
            ),
        ],
        left: Vec::new(),
        total: money(420, 590, 800),
        outcomes: one_way(590.0, 140.0),
        optional: Vec::new(),
        deviation: 140.0,
        hours: hours(6, 8, 12),
        worst: Money::whole(1080),
        notes: Vec::new(),
    }
}

/// A bill that spreads about its mean and knows no two ways.
pub fn one_way(mean: f64, deviation: f64) -> Vec<Part> {
    vec![Part {
        chance: 1.0,
        mean,
        deviation,
    }]
}

pub fn worth() -> Worth {
    Worth {
        right: money(2300, 3000, 4100),
        title_factor: 1.0,
        floor: Money::whole(240),
        floor_why: "2,400 lb at 200 a short ton".to_owned(),
        way_out: Money::whole(240),
        way_out_why: "2,400 lb at 200 a short ton".to_owned(),
        basis: WorthBasis::Curve,
        supposed: Vec::new(),
    }
}
