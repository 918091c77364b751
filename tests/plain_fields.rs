//! Each rule of the plain fields on sentences of its own: price, distance,
//! papers, moving, gearbox, kind, vague wording, year. The ads are invented.

use std::fmt::Debug;
use std::sync::OnceLock;

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::reading::{
    AskBasis, Gearbox, Kind, MilesBasis, Moves, Reader, Reading, Title, Vague,
};
use fixworth::units::DistanceUnit;

fn reader() -> &'static Reader<'static> {
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    static READER: OnceLock<Reader<'static>> = OnceLock::new();
    READER.get_or_init(|| {
        let lexicon = LEXICON.get_or_init(|| Lexicon::built_in().expect("sound tables"));
        Reader::new(lexicon, DistanceUnit::Miles)
    })
}

fn listing(title: &str, text: &str) -> Listing {
    let origin = Origin {
        file: "ad".into(),
        line: 1,
    };
    Listing::new(ListingId("1".to_owned()), origin, title, text)
}

fn read(title: &str, text: &str) -> Reading {
    reader().read(&listing(title, text))
}

/// Reads an ad whose headline says only the car.
fn ad(text: &str) -> Reading {
    read("2003 Mazda Protege", text)
}

fn ask(reading: &Reading) -> String {
    reading
        .ask
        .as_ref()
        .map_or_else(|| "none".to_owned(), |m| format!("{m}").replace(',', ""))
}

/// Names every row that does not hold, not only the first.
fn holds<T: PartialEq + Debug>(rows: impl IntoIterator<Item = (&'static str, T, T)>) {
    let wrong: Vec<String> = rows
        .into_iter()
        .filter(|(_, got, want)| got != want)
        .map(|(text, got, want)| format!("{text} -> {got:?}, not {want:?}"))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn moves_is_told_by_use_and_praise() {
    let texts = [
        "Runs and drives great.",
        "I drive it to work every day.",
        "We took it to the lake last weekend.",
        "Gets me to work and back.",
        "It has been my daily for six years.",
        "My wife uses it for the school run.",
        "Still in daily use.",
        "Drives like new.",
        "Drove it from Ashford to Colby yesterday, no problem.",
        "She still takes me to town.",
        "Runs like a top.",
        "Still driving it until it sells.",
        "Test drive welcome.",
        "Pulls strong through all gears.",
        "Handles well and rides smooth.",
        "Currently being used as my commuter.",
        "I use it to haul hay.",
        "Can be driven home today.",
        "Insured and on the road.",
        "Never let me down.",
        "Turn key and go.",
        "Good little runner, MOT till June.",
        "Commutes 40 miles a day.",
        "Runs, drives, stops.",
        "Drives and handles as it should.",
        "Starts, runs and drives.",
        "Runs and drives perfectly.",
        "Daily driven.",
        "It drives ok but the clutch is getting high.",
        "Drove 300 miles last weekend without a hiccup.",
        "We drive it every day.",
        "Ran errands in it this morning, drives fine.",
        "My night shift wagon.",
        "It has been my daughter's school run car since 2019.",
        "Ran it to the coast on Saturday.",
        "Ran it round the ring road twice this month.",
        "Driven mostly for school runs.",
        "Only driven on weekends.",
        "Put 500 miles on it since.",
        "Took it on a road trip up north last week.",
    ];
    holds(texts.map(|t| (t, ad(t).moves, Moves::Drives)));
}

#[test]
fn moves_is_told_by_what_stops_the_car() {
    let texts = [
        "Motor runs but it wont move.",
        "Starts right up but it's not safe to drive, bring a trailer.",
        "Engine starts, transmission is gone, must be towed.",
        "Starts and idles but no brakes, do not drive it.",
        "Runs but cannot be driven.",
        "Engine is good. No forward gears.",
        "It starts but will not go into gear.",
        "Fires up but I would not drive it anywhere.",
        "Undriveable, brake line blew.",
    ];
    holds(texts.map(|t| (t, ad(t).moves, Moves::RunsOnly)));
    let texts = [
        "It won't start.",
        "Doesn't run, came that way.",
        "Non runner.",
        "Cranks but no start.",
        "Not running at the moment.",
        "Engine is seized.",
        "Timing belt snapped.",
        "Blown engine, body is straight.",
        "Turns over but will not fire.",
        "Was my daily driver until last month, now it won't start.",
        "Just clicks when you turn the key.",
        "It quit running last week and I had it towed home.",
    ];
    holds(texts.map(|t| (t, ad(t).moves, Moves::NoStart)));
}

#[test]
fn praise_of_running_gives_way_to_a_gearbox_that_is_gone() {
    let rows = [
        ("Runs great. Transmission is out.", Moves::RunsOnly),
        (
            "Transmission is shot but the motor runs and it runs good.",
            Moves::RunsOnly,
        ),
        ("Runs great, transmission slips a little.", Moves::Drives),
        ("Runs and drives, transmission is going out.", Moves::Drives),
        ("Transmission is out.", Moves::Unstated),
        (
            "Runs good. Transmission was gone through last year.",
            Moves::Drives,
        ),
    ];
    holds(rows.map(|(text, want)| (text, ad(text).moves, want)));
}

#[test]
fn what_is_wished_for_is_another_car() {
    let rows = [
        (
            "Will trade for a truck that runs and drives.",
            Moves::Unstated,
        ),
        ("Looking for a reliable daily driver.", Moves::Unstated),
        (
            "Need something that runs. This one does not start.",
            Moves::NoStart,
        ),
        ("Would trade for a quad. Runs and drives.", Moves::Drives),
        (
            "Runs and drives, would trade for a dirt bike that runs.",
            Moves::Drives,
        ),
    ];
    holds(rows.map(|(text, want)| (text, ad(text).moves, want)));
}

#[test]
fn a_saying_that_ends_its_clause_is_told_from_one_that_goes_on() {
    let rows = [
        ("Body only, no engine.", Moves::NoStart),
        ("No engine noise.", Moves::Unstated),
        ("Comes without a motor", Moves::NoStart),
        ("Starts, no drive", Moves::RunsOnly),
        ("Lovely drive", Moves::Drives),
    ];
    holds(rows.map(|(text, want)| (text, ad(text).moves, want)));
}

#[test]
fn moves_is_unstated_where_nothing_is_said() {
    let texts = [
        "Excellent condition, garage kept.",
        "No test drives, sold as is.",
        "Ran when parked two years ago.",
        "New tires and battery, cold air.",
        "You haul.",
        "My mum can't drive any more.",
        "Would make a great daily driver for somebody.",
        "The window motor is dead.",
        "Drive today with $900 down.",
        "Never used it much.",
    ];
    holds(texts.map(|t| (t, ad(t).moves, Moves::Unstated)));
}

#[test]
fn a_start_fault_that_comes_and_goes_leaves_a_car_that_drives() {
    let texts = [
        "Runs and drives great, wouldn't start once last winter.",
        "Drives fine, sometimes it won't crank until you wait a minute.",
        "It does not run hot. I drive it daily.",
    ];
    holds(texts.map(|t| (t, ad(t).moves, Moves::Drives)));
}

#[test]
fn prices_in_all_their_spellings() {
    let rows = [
        ("Asking 1,450.", "1450"),
        ("$2,300 obo", "2300"),
        ("Was $2500, now $1900.", "1900"),
        ("Eighteen hundred takes it.", "1800"),
        ("Twenty-two fifty firm", "2250"),
        ("Price reduced from 3000 to 2400. asking 2400", "2400"),
        ("I paid 3200 and put 1500 into it. $1800.", "1800"),
        ("I have $900 in parts in it. Asking $700.", "700"),
        ("Shop quoted 1200 for the clutch. 800 takes it.", "800"),
        ("First 650 cash takes it", "650"),
        ("1200$ firm", "1200"),
        ("2 grand and it's yours", "2000"),
        ("I want 1.5k for it", "1500"),
        ("clean inside. 900", "900"),
        ("Book value is 4000. I am asking 2750.", "2750"),
        ("£450 ono", "450"),
        ("€1,350 or near offer", "1350"),
        ("Price dropped to $999", "999"),
        ("$1,100 or trade for a truck", "1100"),
        (
            "Need 1300 out of it, new clutch cost 900. Selling for 1300",
            "1300",
        ),
        ("New tires cost $400. $1600", "1600"),
        ("1500 for the whole car", "1500"),
    ];
    holds(rows.map(|(t, want)| (t, ask(&ad(t)), want.to_owned())));
    let headlines = [
        ("1999 Saturn SL1 $750", "750"),
        ("Volvo 240 - 1,200 obo", "1200"),
    ];
    holds(headlines.map(|(t, want)| (t, ask(&read(t, "Blue.")), want.to_owned())));
}

#[test]
fn figures_that_are_no_price() {
    let texts = [
        "New clutch was 900 dollars in parts.",
        "Has 143,000 miles.",
        "Call 555-0134 after 5.",
        "Make me an offer.",
    ];
    let none = || "none".to_owned();
    holds(texts.map(|t| (t, ask(&ad(t)), none())));
    holds(texts.map(|t| (t, ad(t).ask_basis, AskBasis::None)));
    let texts = [
        "$900 down and drive.",
        "$89 a week, we finance.",
        "Only $500 down payment.",
    ];
    let none = || "none".to_owned();
    holds(texts.map(|t| (t, ask(&ad(t)), none())));
    holds(texts.map(|t| (t, ad(t).ask_basis, AskBasis::Deposit)));
}

#[test]
fn how_the_price_is_meant() {
    use AskBasis::{Firm, Negotiable, Plain};
    let rows = [
        ("$900 obo", Negotiable),
        ("$900 or best offer", Negotiable),
        ("900obo", Negotiable),
        ("£900 ono", Negotiable),
        ("$900, open to offers", Negotiable),
        ("$900/offer", Negotiable),
        ("$900 neg.", Negotiable),
        ("$900 B/O", Negotiable),
        (
            "I would take less than $900 for a quick sale. asking $900",
            Negotiable,
        ),
        ("$900 firm", Firm),
        ("$900, price is not negotiable", Firm),
        ("$900 and I won't take less", Firm),
        ("$900 no offers", Firm),
        ("$900, I don't haggle", Firm),
        ("$900, no lowball offers please", Plain),
        ("$900, will consider a trade", Plain),
        ("$900 cash. Brake pedal is firm.", Plain),
    ];
    holds(rows.map(|(t, want)| (t, ad(t).ask_basis, want)));
    let mut l = listing("2003 Mazda Protege", "Blue.");
    l.price = Some("1,500 obo".to_owned());
    assert_eq!(reader().read(&l).ask_basis, Negotiable);
}

#[test]
fn distances_and_how_they_are_known() {
    use MilesBasis::{Doubted, Masked, Rounded, Stated};
    let rows = [
        ("143,200 miles", 143_200, Stated),
        ("143k miles", 143_000, Rounded),
        ("about 143,000 miles", 143_000, Rounded),
        ("143,xxx miles", 143_500, Masked),
        ("143,4xx miles", 143_450, Masked),
        ("143xxx", 143_500, Masked),
        ("117 thousand miles", 117_000, Rounded),
        ("98,000ish miles", 98_000, Rounded),
        ("odometer says 151 something", 151_000, Rounded),
        ("timing belt done at 90k, now 138k", 138_000, Rounded),
        ("water pump at 105,000. Currently 148,300.", 148_300, Stated),
        ("between 139 and 141 thousand miles", 140_000, Rounded),
        ("88,140 on the clock", 88_140, Stated),
        ("odometer broke at 212,310", 212_310, Doubted),
        ("120,000 miles, true mileage unknown", 120_000, Doubted),
        (
            "engine has 40k on it, 160,000 miles on the car",
            160_000,
            Stated,
        ),
        ("I live 12 miles from town. 99,500 miles.", 99_500, Stated),
        ("new tires 3,000 miles ago, 121,000 miles", 121_000, Stated),
        ("200,000 km", 124_274, Stated),
        ("rego till May, 200,000 on the clock", 124_274, Stated),
        ("New box at 138,000 km, now 162,300", 100_849, Stated),
        ("5 digit odometer shows 41,200 miles", 41_200, Doubted),
        ("mileage 187k and climbing", 187_000, Rounded),
    ];
    holds(rows.map(|(t, miles, basis)| {
        let r = ad(t);
        let got = r.miles.map_or(0, |m| m.0);
        let near = if got.abs_diff(miles) <= 2 { miles } else { got };
        (t, (near, r.miles_basis), (miles, basis))
    }));
    let texts = [
        "Drove it 300 miles last week.",
        "32 mpg on the highway.",
        "Oil changed every 3,000 miles.",
        "Located 20 miles north of Ashford.",
    ];
    holds(texts.map(|t| (t, ad(t).miles, None)));
}

#[test]
fn papers() {
    use Title::{BillOfSale, Clean, Junk, Lien, Missing, Rebuilt, Salvage, Unstated};
    let rows = [
        ("Clean title.", Clean),
        ("Title: clear", Clean),
        ("Title's clean, in my name.", Clean),
        ("Pink slip in hand.", Clean),
        ("V5 in my name, one key.", Clean),
        ("V5 present, one key.", Unstated),
        ("Salvage title.", Salvage),
        ("Cat N, repaired.", Salvage),
        ("Rebuilt title, inspected.", Rebuilt),
        ("There is a lien on it, payoff is 900.", Lien),
        ("Lost title.", Missing),
        ("No logbook.", Missing),
        ("Bill of sale only.", BillOfSale),
        ("Junk title.", Junk),
        ("No title jumpers.", Unstated),
        ("We never sell salvage.", Unstated),
        ("New brakes.", Unstated),
    ];
    holds(rows.map(|(t, want)| (t, ad(t).title, want)));
}

#[test]
fn gearboxes() {
    use Gearbox::{Automatic, Cvt, Manual, Unstated};
    let rows = [
        ("5 speed.", Manual),
        ("five speed manual", Manual),
        ("stick shift", Manual),
        ("6spd", Manual),
        ("three on the tree", Manual),
        ("4spd auto", Automatic),
        ("4 speed automatic", Automatic),
        ("tiptronic", Automatic),
        ("It has the CVT.", Cvt),
        ("CVT? No, 4 speed auto.", Automatic),
        ("Owners manual in the glove box.", Unstated),
        ("Manual windows.", Unstated),
        ("Smith Auto Sales", Unstated),
    ];
    holds(rows.map(|(t, want)| (t, ad(t).gearbox, want)));
}

#[test]
fn kinds_of_offer() {
    let rows = [
        (
            "4 rims off a 2006 Toyota Tacoma",
            "Good shape.",
            Kind::Parts,
        ),
        (
            "Parting out 2001 Volkswagen Jetta",
            "Everything goes.",
            Kind::Parts,
        ),
        ("Haynes manual for Volvo 240", "Clean.", Kind::Parts),
        ("Tonneau cover", "Fits a short bed.", Kind::Parts),
        ("Car cover for a Mazda Miata", "Blue.", Kind::Parts),
        ("Engine out of 2004 Nissan Sentra", "Ran well.", Kind::Parts),
        ("2004 Saturn Vue parts car", "For parts only.", Kind::Parts),
        ("Pioneer head unit", "With remote.", Kind::Parts),
        ("Wanted: Toyota pickup", "Any condition.", Kind::Other),
        ("WTB Subaru wagon", "Cash.", Kind::Other),
        ("Mobile mechanic", "I come to you.", Kind::Other),
        ("Cash for cars", "Free towing.", Kind::Other),
        ("Vauxhall Astra spares or repair", "Failed MOT.", Kind::Car),
        ("1999 Dodge Neon parts car or fix", "Runs.", Kind::Car),
        ("2002 Kia Sephia good for parts", "Or fix it.", Kind::Car),
        (
            "2004 Dodge Dakota, roof rack goes with it",
            "Auto.",
            Kind::Car,
        ),
        (
            "2005 Hyundai Elantra needs engine",
            "Clean body.",
            Kind::Car,
        ),
        (
            "1998 Toyota Camry",
            "Comes with a service manual.",
            Kind::Car,
        ),
    ];
    holds(rows.map(|(title, text, want)| (title, read(title, text).kind, want)));
}

#[test]
fn vague_wording() {
    use Vague::*;
    let vague = |t: &str| -> Vec<Vague> { ad(t).vague.iter().map(|(v, _)| *v).collect() };
    let rows = [
        ("Needs some TLC.", NeedsWork),
        ("Project car.", NeedsWork),
        ("Has some issues.", UnnamedFault),
        ("Not sure what's wrong with it.", UnnamedFault),
        ("Should be an easy fix.", CheapFix),
        ("Probably just a sensor.", CheapFix),
        ("Mechanic's special.", MechanicSpecial),
        ("Ran when parked.", Stale),
        ("It has been sitting in the barn since 2019.", Stale),
        ("Sold as is.", AsIs),
        ("No warranty.", AsIs),
        ("Selling it for my neighbor.", ThirdHand),
        ("Bought at auction.", ThirdHand),
        ("Must go today.", Pressure),
        ("First $400 takes it.", Pressure),
        ("Won't last long.", Pressure),
        ("No test drives.", NoCheck),
    ];
    holds(rows.map(|(t, want)| (t, vague(t), vec![want])));
    let texts = [
        "No issues at all.",
        "No hurry to sell.",
        "Just needs a good home.",
        "My wife's choice of color.",
        "No problems.",
    ];
    holds(texts.map(|t| (t, vague(t), Vec::new())));
}

#[test]
fn years_of_headline_and_text() {
    let rows = [
        ("Vauxhall Astra 07 spares or repair", "", 2007),
        ("Toyota Tacoma", "02 ext cab, new clutch in 2019.", 2002),
        ("Mazda Miata! 1998? no, '97.", "", 1997),
        ("Hyundai Accent '08 St. Mary", "", 2008),
        ("Volkswagen Golf", "Rusty. 2001 I believe.", 2001),
        ("Vauxhall Corsa 55 plate", "", 2005),
        ("98 Dodge Ram", "Tires from 2021.", 1998),
        ("Mitsubishi Eclipse 2003 off the road", "", 2003),
    ];
    holds(rows.map(|(title, text, year)| (title, read(title, text).year.map(|y| y.0), Some(year))));
}

#[test]
fn thousands_parted_by_a_space_are_one_figure_where_the_ad_writes_so() {
    let r =
        ad("241 000 km, all motorway. Oil changed every 50 000. Price 2 900 and not negotiable.");
    assert_eq!(ask(&r), "2900");
    assert_eq!(r.miles.map(|m| m.0), Some(149_750));
    assert_eq!(r.miles_basis, MilesBasis::Stated);
    // Two numbers that only stand beside each other.
    assert_eq!(ask(&ad("187k miles, has 4 195 tires, $900")), "900");
}

#[test]
fn a_point_parts_thousands_of_money_and_distance() {
    let r = ad("187.432 miles, asking $1.850 firm");
    assert_eq!(r.miles.map(|m| m.0), Some(187_432));
    assert_eq!(ask(&r), "1850");
}

#[test]
fn a_column_in_the_other_unit_than_the_text_is_seen_by_the_two_figures() {
    let mut ad = listing("2006 Mazda3", "214 thousand km, which is 133,100 of yours.");
    ad.distance = Some("133,100".to_owned());
    assert_eq!(reader().read(&ad).miles.map(|m| m.0), Some(133_100));
    ad.distance = Some("214,000".to_owned());
    assert_eq!(reader().read(&ad).miles.map(|m| m.0), Some(132_973));
}

#[test]
fn telephone_numbers_are_no_price() {
    let r = read("2003 Mazda Protege", "Needs a clutch. Ring 555-0178.");
    assert_eq!((ask(&r), r.ask_basis), ("none".to_owned(), AskBasis::None));
    let r = read(
        "2003 Mazda Protege",
        "Needs a clutch, 1,200. Ring 555-0178.",
    );
    assert_eq!(ask(&r), "1200");
}

#[test]
fn what_holds_a_car_is_a_deposit() {
    let mut ad = listing(
        "2014 Hyundai Elantra, pay by the month",
        "300 holds it, then 36 times 139.",
    );
    ad.price = Some("300".to_owned());
    let r = reader().read(&ad);
    assert_eq!(
        (ask(&r), r.ask_basis),
        ("none".to_owned(), AskBasis::Deposit)
    );
}

#[test]
fn corners_of_a_cab_do_not_corner_and_a_trailer_may_be_a_duty() {
    let r = ad(
        "5.3 runs strong, brake line let go, pedal goes to the floor, cab corners ok. \
        You'll have to trailer it.",
    );
    assert_eq!(r.moves, Moves::RunsOnly);
}

#[test]
fn services_and_ads_that_name_no_car_are_none() {
    for (title, text) in [
        (
            "Dead cars hauled, coast road and inland",
            "Running or not. Cash at the tailgate.",
        ),
        (
            "Mobile brakes & exhaust - we come to your barn",
            "Licensed, insured, 20 years.",
        ),
        (
            "Anything with wheels",
            "We pick up anywhere from the point to the junction.",
        ),
    ] {
        assert_eq!(read(title, text).kind, Kind::Other, "{title}");
    }
    assert_eq!(
        read("Cheap runabout", "Runs and drives, 900.").kind,
        Kind::Car
    );
}

fn claims(reading: &Reading) -> Vec<String> {
    let parts = &Lexicon::built_in().expect("sound tables").parts;
    let claims = reading.claims.iter();
    claims
        .map(|c| format!("{} {}", parts.code(c.part), c.says))
        .collect()
}

#[test]
fn a_question_answered_in_the_headline_tells_which_car_it_is() {
    let r = read(
        "Subaru Baja 2003 turbo? no, NA - auto",
        "188,000 mi. Bed cover ok.",
    );
    assert!(!claims(&r).iter().any(|c| c.starts_with("turbo")), "{r:?}");
    // In the text it tells what it lacks.
    let r = ad("Runs fine. Heater? No.");
    assert!(claims(&r).iter().any(|c| c.ends_with(" bad")), "{r:?}");
}

#[test]
fn a_clutch_that_is_done_is_finished_and_one_done_at_a_distance_is_new() {
    assert_eq!(claims(&ad("5 speed, clutch is done.")), ["clutch bad"]);
    assert_eq!(claims(&ad("Clutch was done at 90k.")), ["clutch renewed"]);
    assert_eq!(
        claims(&ad("The timing belt is done.")),
        ["timing_belt renewed"]
    );
    let r = ad("The clutch began to slip on the hill behind the school.");
    assert_eq!(claims(&r), ["slips bad"]);
}

#[test]
fn papers_that_are_clean_by_the_hundred() {
    assert_eq!(ad("Title 100% clear.").title, Title::Clean);
    assert_eq!(ad("Runs, parts only title. $500").title, Title::Junk);
}

#[test]
fn a_price_plus_tax_is_the_price() {
    assert_eq!(ask(&ad("Needs a clutch, $900 plus tax.")), "900");
}

#[test]
fn an_exchanged_odometer_makes_a_sum() {
    let miles = |text: &str| {
        let r = ad(text);
        (r.miles.map(|m| m.0), r.miles_basis, r.warnings.len())
    };
    let sum = |whole| (Some(whole), MilesBasis::Doubted, 1);
    assert_eq!(miles("Cluster swapped at 90k, shows 30k."), sum(120_000));
    assert_eq!(
        miles(
            "Cluster was swapped at 131,000 for one from a car with 22,000; the odometer reads 54,012."
        ),
        sum(163_012)
    );
    assert_eq!(
        miles(
            "Cluster was replaced at 131,000 with a used one that had 22,000 on it, odometer shows 54,012."
        ),
        sum(163_012)
    );
    // What it shows has the first distance in it.
    let r = ad("Cluster swapped at 90k, odometer shows 120k.");
    assert_eq!(r.miles.map(|m| m.0), Some(120_000));
}

#[test]
fn golf_clubs_are_no_car_and_may_lie_in_one() {
    let r = read(
        "Golf clubs",
        "Full set of golf clubs, lived in the trunk, $100.",
    );
    assert_eq!((r.kind, r.make.as_deref()), (Kind::Other, None));
    let r = read(
        "2012 Volkswagen Passat",
        "Golf clubs in the trunk not included, 90k, $4000.",
    );
    assert_eq!((r.kind, r.model.as_deref()), (Kind::Car, Some("Passat")));
    let r = read("2006 Volkswagen Golf", "Runs and drives, $900.");
    assert_eq!((r.kind, r.model.as_deref()), (Kind::Car, Some("Golf")));
}

#[test]
fn a_car_called_as_a_part_is_no_part() {
    let told = read("2009 Dodge Caliber", "The pedal was soft till it was bled.");
    assert_eq!(told.kind, Kind::Car);
    let mats = read("2008 Pontiac Vibe", "Floor mats are new. 4 new tires.");
    assert_eq!(mats.kind, Kind::Car);
    let tires = read("Hyundai Sonata 2003", "4 new tires, no rust, asking 900.");
    assert_eq!(tires.kind, Kind::Car);
}

#[test]
fn parts_fit_cars_of_several_years() {
    let rows = [
        ("2002-2006 Nissan Altima doors", Kind::Parts),
        ("86-91 Mazda 626 engine and gearbox", Kind::Parts),
        ("Lot 41 - 2009 Mazda 626", Kind::Car),
        ("2004 Nissan Altima, gets 30-35 on the highway", Kind::Car),
    ];
    holds(rows.map(|(t, want)| (t, read(t, "Pick up only, 300.").kind, want)));
}

#[test]
fn a_start_that_fails_at_times_gives_way_to_somebody_who_drives_it_now() {
    let rows = [
        (
            "It doesn't catch one time in six, you wait. We drive it every day.",
            Moves::Drives,
        ),
        (
            "Drove it home, next morning it would not start.",
            Moves::NoStart,
        ),
        (
            "Security light comes on and it won't start for 10 min.",
            Moves::Unstated,
        ),
        ("Does not run. Inspected until June.", Moves::NoStart),
        ("Engine knocks. I am not running it.", Moves::Unstated),
    ];
    holds(rows.map(|(t, want)| (t, ad(t).moves, want)));
}

#[test]
fn faults_that_show_while_the_engine_runs_leave_it_running() {
    let rows = [
        ("It overheats, you need a trailer.", Moves::RunsOnly),
        ("Starts and runs. No brakes.", Moves::RunsOnly),
        ("Runs but no reverse.", Moves::Unstated),
        ("No brakes. Motor is good.", Moves::Unstated),
    ];
    holds(rows.map(|(t, want)| (t, ad(t).moves, want)));
}

#[test]
fn grand_and_x_behind_a_year_begin_a_name() {
    let rows = [
        ("99 Grand Am SE", Some(1999)),
        ("MUST SELL 95 Grand Prix", Some(1995)),
        ("10 Grand Caravan", Some(2010)),
        ("17 X-Trail", Some(2017)),
        ("Astra 2004 (53 plate)", Some(2004)),
        ("Astra 1.6, 53 plate", Some(2003)),
    ];
    holds(rows.map(|(t, want)| (t, read(t, "Blue.").year.map(|y| y.0), want)));
    assert_eq!(ask(&ad("2 grand and it's yours")), "2000");
}

#[test]
fn a_name_that_ends_too_early_gives_way_to_make_and_model() {
    let lexus = read("2008 Lexus RX 350", "Blue.");
    assert_eq!(lexus.model.as_deref(), Some("RX 350"));
    let benz = read("1986 Mercedes-Benz 200", "Blue.");
    assert_eq!(benz.model.as_deref(), Some("200"));
}

#[test]
fn words_behind_a_bare_number_make_it_a_price() {
    let rows = [
        ("4500, take it or leave it.", "4500"),
        ("Auto, 1250, brakes are new.", "1250"),
        ("$900, no offers. New tires last year, $400.", "900"),
        ("Was $1500 now down to $1200.", "1200"),
        ("$1500 today only.", "1500"),
        ("Tires $400 750 cash", "750"),
    ];
    holds(rows.map(|(t, want)| (t, ask(&ad(t)), want.to_owned())));
}

#[test]
fn thousands_of_which_the_rest_is_not_told() {
    let rows = [
        ("There are 163-something thousand on it.", Some(163_000)),
        ("210+k miles.", Some(210_000)),
        ("Auto cold air 139k new tires.", Some(139_000)),
        ("142k miles 3k idle hours", Some(142_000)),
        ("New timing belt at 90k.", None),
        ("Around 178k. Bought with 40k on it.", Some(178_000)),
    ];
    holds(rows.map(|(t, want)| (t, ad(t).miles.map(|m| m.0), want)));
    let change = ad("277,000 and change.");
    assert_eq!(change.miles_basis, MilesBasis::Rounded);
}

#[test]
fn words_right_behind_a_figure_speak_of_it_and_elsewhere_of_other_things() {
    let basis = [
        ("Asking $1,200 flat.", AskBasis::Firm),
        ("Asking $1,200, full stop.", AskBasis::Firm),
        ("Asking $1,200 and I'm done lowering it.", AskBasis::Firm),
        ("Asking $1,200, talk me down.", AskBasis::Negotiable),
        ("Asking $1,200 or we find a number.", AskBasis::Negotiable),
        ("Left rear is flat. Asking $1,200.", AskBasis::Plain),
        ("No rust, full stop. Asking $1,200.", AskBasis::Plain),
        ("Two pumps of gas to start. Asking $1,200.", AskBasis::Plain),
        ("Asking $1,200. Needs a jump to start.", AskBasis::Plain),
        ("Asking $1,200, not final.", AskBasis::Plain),
    ];
    holds(basis.map(|(text, want)| (text, ad(text).ask_basis, want)));
    let known = [
        ("142,880 miles, unverified.", MilesBasis::Doubted),
        ("142,880 miles, but who knows.", MilesBasis::Doubted),
        ("142,880 miles. The leak is a guess.", MilesBasis::Stated),
        (
            "Who knows what the noise is. 142,880 miles.",
            MilesBasis::Stated,
        ),
        (
            "It may be nothing odometer stuck on 142,880 miles",
            MilesBasis::Doubted,
        ),
    ];
    holds(known.map(|(text, want)| (text, ad(text).miles_basis, want)));
}

#[test]
fn use_tells_the_gearbox_where_nothing_names_it() {
    let texts = [
        ("Five gears and a good clutch.", Gearbox::Manual),
        ("All six gears work. Automatic.", Gearbox::Automatic),
        ("Put it in drive and it goes.", Gearbox::Automatic),
        ("Put it in drive and it goes, CVT.", Gearbox::Cvt),
        ("Five seats and five doors.", Gearbox::Unstated),
    ];
    holds(texts.map(|(text, want)| (text, ad(text).gearbox, want)));
}

/// `$90` for a part beside the bare figure that an ad ends with, and a figure at the end
/// that could be a year but that the car has one.
#[test]
fn a_bare_figure_at_the_end_is_the_price() {
    let asked = |text: &str| ask(&ad(text));
    holds([
        (
            "a part's price",
            asked("New gas cap is $90 at the counter. 950"),
            "950".to_owned(),
        ),
        (
            "a sum alone",
            asked("Runs great. $900. 14,500"),
            "900".to_owned(),
        ),
        (
            "like a year",
            asked("Rear glass cracked. Odometer 187,412. 2000"),
            "2000".to_owned(),
        ),
        (
            "a year of work",
            asked("Timing belt replaced in 2000"),
            "none".to_owned(),
        ),
        (
            "no round figure",
            asked("Rear glass cracked. Odometer 187,412. 2003"),
            "none".to_owned(),
        ),
    ]);
}
