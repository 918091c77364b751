//! What an ad says of other things than its car, and lists of equipment, change
//! nothing that is read of the car. The sentences are invented.

mod ad;

use ad::{LEXICON, listing};
use fixworth::reading::{Reader, Reading, Says};
use fixworth::units::DistanceUnit;

const CAR: &str = "Automatic, 142,300 miles, clean title. Runs and drives good. Asking $2,800.\n";

fn read(body: &str) -> Reading {
    let reader = Reader::new(&LEXICON, DistanceUnit::Miles);
    reader.read(&listing("2007 Nissan Sentra", body))
}

/// What a reading says, without the places.
fn told(r: &Reading) -> String {
    let claims: Vec<_> = r
        .claims
        .iter()
        .map(|c| (LEXICON.parts.code(c.part), c.says))
        .collect();
    let vague: Vec<_> = r.vague.iter().map(|(v, _)| v).collect();
    format!(
        "{:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?} {claims:?} {vague:?}",
        r.kind, r.year, r.model, r.ask, r.ask_basis, r.miles, r.title, r.moves, r.gearbox
    )
}

fn says(r: &Reading, code: &str) -> Option<Says> {
    let found = r.claims.iter().find(|c| LEXICON.parts.code(c.part) == code);
    found.map(|c| c.says)
}

#[test]
fn other_cars_trades_and_the_trade_of_a_dealer() {
    let bare = told(&read(CAR));
    let asides = [
        "We also have a 1999 Nissan Frontier with a bad engine and an 04 Mazda Tribute with 300k.",
        "We also have: 2011 Hyundai Sonata, 2012 Altima with new engine, 2008 Dodge Dakota.",
        "WE ALSO HAVE\n2005 MAZDA 6 88K $1995\n2003 BUICK CENTURY 140K $1495 NEEDS MOTOR MOUNT\n\
         2008 DODGE AVENGER $2995 NEW TRANSMISSION",
        "Also available: 2011 Toyota Prius $5,900, 2008 Prius (bad battery) $2,400.",
        "My other Vibe has a noisy wheel bearing and is not for sale.",
        "My other car has a blown head gasket.",
        "Questions about my other Saturn with the blown head go to my brother.",
        "I have two of these, the other one has a bad transmission and no title.",
        "My last Camry had 300k when the transmission went out.",
        "I bought it because my truck blew a head gasket.",
        "We got this one when our car was totaled by a deer.",
        "I need the money to fix my truck, it needs an engine.",
        "These usually have bad head gaskets.",
        "These are known for blown head gaskets and rusted frames.",
        "My neighbor has the same car with 310k miles and still runs.",
        "See my other ads for a 2001 Dodge Neon that needs a head gasket.",
        "The red one in the picture is my parts car, bad engine, no title.",
        "We buy cars, blown engines, bad transmissions, wrecked, no title, we pay cash!",
        "Do you have a trade? We pay top dollar for your trade even if it needs work.",
        "Every car is put through a 112 point inspection covering tires, brakes, lights and belts.",
        "We do not sell cars with flood damage or frame damage.",
        "Used cars may have dents, dings, scratches and normal wear.",
        "Only one key may be available on some vehicles.",
        "We finance everybody! Bad credit, first time buyer, repo, bankruptcy, all approved.",
        "Would trade for a truck with no rust and a good transmission.",
        "I am not interested in your broken down boat or your car with a blown engine.",
        "If you only want parts: bumper $100, rear end 200, doors 60 each, tailgate 75.",
        "A new transmission costs 1,800 at the dealer.",
    ];
    let changed: Vec<_> = asides
        .iter()
        .map(|aside| (aside, told(&read(&format!("{CAR}{aside}")))))
        .filter(|(_, told)| *told != bare)
        .collect();
    assert!(changed.is_empty(), "{bare}\n{changed:#?}");
}

#[test]
fn the_ad_comes_back_to_its_car() {
    let r = read("My other Vibe has a bad clutch, this one has a bad radiator.");
    assert_eq!(
        (says(&r, "clutch"), says(&r, "radiator")),
        (None, Some(Says::Bad))
    );
    let r = read("Trade for a truck with a new clutch. The radiator is bad.");
    assert_eq!(
        (says(&r, "clutch"), says(&r, "radiator")),
        (None, Some(Says::Bad))
    );
    let r = read("The engine came out of a 2006 Altima that was rear ended.");
    assert_eq!(says(&r, "collision"), None);
    // One sum alone is no list of prices of parts.
    let r = read("Will part it out. The clutch is bad.");
    assert_eq!(says(&r, "clutch"), Some(Says::Bad));
}

#[test]
fn equipment_in_a_list_is_told_no_state_of() {
    let bare = told(&read(CAR));
    let equipment = [
        "power windows",
        "sunroof",
        "driver airbag",
        "ABS",
        "rear wiper",
        "leather seats",
        "A/C",
        "alloy wheels",
        "heated mirrors",
        "fog lights",
    ];
    for parted in [", ", " / ", "; ", " | ", "\n", "\n- ", " - ", ". "] {
        for head in ["Options: ", "Comes with ", "", "OPTIONS\n"] {
            for tail in [".", ". All of it works.", ". Nothing is broken."] {
                let body = format!("{CAR}{head}{}{tail}", equipment.join(parted));
                assert_eq!(told(&read(&body)), bare, "{body}");
            }
        }
    }
}

#[test]
fn what_is_told_of_equipment_in_a_list_stays() {
    let r =
        read("Power windows, power locks, cruise, new tires, cold A/C, alloy wheels, CD player.");
    assert_eq!(says(&r, "tire"), Some(Says::Renewed));
    assert_eq!(says(&r, "ac"), Some(Says::Sound));
    let r = read("What doesn't work: cruise, power windows, sunroof, A/C, rear wiper.");
    for code in ["sunroof", "ac", "wiper"] {
        assert_eq!(says(&r, code), Some(Says::Bad), "{code}");
    }
    let r = read("Power windows, power locks, cruise, A/C (not cold), alloy wheels.");
    assert_eq!(says(&r, "ac"), Some(Says::Bad));
}
