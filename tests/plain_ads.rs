//! Ads put together at random from sayings whose meaning is known, each with each:
//! what one tells of a plain field must not hang on what stands beside it. The
//! sayings are in `data/plain_sayings.csv`.

mod ad;
mod random;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use ad::read_ad;
use fixworth::reading::Reading;
use random::Random;

const ADS: usize = 4000;

/// Of a thousand ads at most so many may be read wrong in a field: two sayings side
/// by side may well mean something else than each alone.
const WRONG_OF_A_THOUSAND: usize = 6;

const CARS: [(u16, &str, &str); 8] = [
    (1999, "Toyota", "Corolla"),
    (2004, "Subaru", "Forester"),
    (2008, "Nissan", "Altima"),
    (2011, "Hyundai", "Elantra"),
    (2006, "Mazda", "Tribute"),
    (2003, "Dodge", "Neon"),
    (2007, "Saturn", "Ion"),
    (2000, "Volkswagen", "Golf"),
];

const FILLERS: &str = "";

struct Saying {
    field: String,
    value: String,
    text: String,
}

fn sayings() -> BTreeMap<String, Vec<Saying>> {
    let table = include_bytes!("data/plain_sayings.csv");
    let mut reader = csv::Reader::from_reader(&table[..]);
    let mut all: BTreeMap<String, Vec<Saying>> = BTreeMap::new();
    for row in reader.records().map(Result::unwrap) {
        let saying = Saying {
            field: row[0].to_owned(),
            value: row[1].to_owned(),
            text: row[2].to_owned(),
        };
        all.entry(saying.field.clone()).or_default().push(saying);
    }
    all
}

fn pick<'a, T>(from: &'a [T], random: &mut Random) -> &'a T {
    &from[random.below(from.len())]
}

/// With a comma between thousands.
fn grouped(n: u32) -> String {
    format!("{},{:03}", n / 1000, n % 1000)
}

fn sum(amount: u32, random: &mut Random) -> String {
    match random.below(4) {
        0 if amount >= 1000 => format!("${}", grouped(amount)),
        1 => format!("{amount} dollars"),
        2 => format!("{amount} bucks"),
        _ => format!("${amount}"),
    }
}

fn distance(miles: u32, random: &mut Random) -> (String, u32) {
    let thousands = miles / 1000;
    match random.below(4) {
        0 => (grouped(miles), miles),
        1 => (miles.to_string(), miles),
        2 => (format!("{thousands}k"), thousands * 1000),
        _ => (format!("{thousands} thousand"), thousands * 1000),
    }
}

/// An ad, and what each field of it should be.
fn ad(all: &BTreeMap<String, Vec<Saying>>, random: &mut Random) -> (String, Expected) {
    let amount = *pick(&[350, 500, 800, 1200, 1450, 2000, 2500, 3400, 5500], random);
    let miles = *pick(
        &[48_000, 83_450, 112_345, 145_600, 199_000, 246_800],
        random,
    );
    let untold = [
        ("ask", ""),
        ("ask_basis", "none"),
        ("miles", ""),
        ("title", "unstated"),
        ("gearbox", "unstated"),
        ("moves", "unstated"),
    ];
    let mut expected: Expected = untold.map(|(f, v)| (f, v.to_owned())).into();
    let mut lines: Vec<String> = Vec::new();
    for (field, told) in all {
        if field == FILLERS {
            for _ in 0..random.below(5) {
                lines.push(pick(told, random).text.clone());
            }
            continue;
        }
        if random.below(4) == 0 {
            continue;
        }
        let saying = pick(told, random);
        let (shown, read) = distance(miles, random);
        let more = sum(amount * 3 / 2 / 10 * 10, random);
        let text = saying.text.replace("{P}", &sum(amount, random));
        lines.push(text.replace("{Q}", &more).replace("{M}", &shown));
        match &*saying.field {
            "price" => {
                expected.insert("ask", amount.to_string());
                expected.insert("ask_basis", saying.value.clone());
            }
            "distance" => {
                expected.insert("miles", read.to_string());
            }
            "title" => {
                expected.insert("title", saying.value.clone());
            }
            "gearbox" => {
                expected.insert("gearbox", saying.value.clone());
            }
            "moves" => {
                expected.insert("moves", saying.value.clone());
            }
            field => panic!("{field} is no field of data/plain_sayings.csv"),
        }
    }
    for k in (1..lines.len()).rev() {
        lines.swap(k, random.below(k + 1));
    }
    let between = pick(&[" ", "\n", "\n- "], random);
    let mut body = lines.join(between);
    if random.below(6) == 0 {
        body.make_ascii_lowercase();
    }
    (body, expected)
}

type Expected = BTreeMap<&'static str, String>;

fn value(read: &Reading, field: &str) -> String {
    match field {
        "ask" => read.ask.map(|m| m.to_f64().to_string()),
        "ask_basis" => Some(read.ask_basis.word().to_owned()),
        "miles" => read.miles.map(|m| m.0.to_string()),
        "title" => Some(read.title.word().to_owned()),
        "gearbox" => Some(read.gearbox.word().to_owned()),
        "moves" => Some(read.moves.word().to_owned()),
        "year" => read.year.map(|y| y.to_string()),
        "make" => read.make.clone(),
        _ => read.model.clone(),
    }
    .unwrap_or_default()
}

#[test]
fn a_saying_of_a_field_does_not_hang_on_its_neighbours() {
    let all = sayings();
    let mut random = Random(11);
    let mut wrong: BTreeMap<&str, (usize, String)> = BTreeMap::new();
    for _ in 0..ADS {
        let (year, make, model) = *pick(&CARS, &mut random);
        let headline = match random.below(4) {
            0 => format!("{year} {model}"),
            1 => format!("{make} {model} {year}"),
            2 => format!("'{:02} {make} {model} for sale", year % 100),
            _ => format!("{year} {make} {model}"),
        };
        let (body, mut expected) = ad(&all, &mut random);
        expected.insert("year", year.to_string());
        expected.insert("make", make.to_owned());
        expected.insert("model", model.to_owned());
        let read = read_ad(&headline, &body);
        for (field, right) in expected {
            let got = value(&read, field);
            if got != right {
                let (count, texts) = wrong.entry(field).or_default();
                *count += 1;
                let _ = writeln!(texts, "{headline} | {body:?}: {got:?}, not {right:?}");
            }
        }
    }
    for (field, (count, texts)) in wrong {
        let most = ADS * WRONG_OF_A_THOUSAND / 1000;
        assert!(count <= most, "{field}: {count} of {ADS}\n{texts}");
    }
}
