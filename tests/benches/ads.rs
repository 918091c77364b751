//! Made-up ads in any number, the same for the same seed: a headline with a
//! year, a make and a model, and a text of about 700 bytes of small talk,
//! figures and phrases of the tables. Words and phrases are as unevenly common
//! as in real texts: the n-th comes about 1/n as often as the first (Zipf's
//! law), so that memory caches are met as they are by real ads.

use std::collections::BTreeMap;

use fixworth::lexicon::Lexicon;

use super::random::Random;

/// Invented small talk between the phrases.
const WORDS: &[&str] = &[
    "the",
    "and",
    "it",
    "a",
    "to",
    "is",
    "I",
    "in",
    "with",
    "for",
    "has",
    "was",
    "on",
    "of",
    "but",
    "runs",
    "car",
    "needs",
    "new",
    "my",
    "you",
    "have",
    "at",
    "this",
    "been",
    "good",
    "will",
    "miles",
    "from",
    "not",
    "just",
    "last",
    "year",
    "had",
    "some",
    "drive",
    "work",
    "had",
    "well",
    "can",
    "them",
    "about",
    "after",
    "cold",
    "morning",
    "summer",
    "winter",
    "garage",
    "street",
    "weekend",
    "daughter",
    "school",
    "bought",
    "neighbor",
    "kitchen",
    "orchard",
    "bridge",
    "harbor",
    "ladder",
    "pencil",
    "river",
    "letter",
    "bakery",
    "violin",
    "lantern",
    "meadow",
    "saturday",
    "tuesday",
    "evening",
    "family",
    "moving",
    "abroad",
    "apartment",
    "commute",
    "college",
    "reason",
    "selling",
    "honest",
    "pictures",
    "cousin",
    "hands",
    "yard",
    "cash",
    "please",
    "call",
    "text",
    "thanks",
    "somebody",
    "handy",
    "project",
    "time",
    "space",
    "maybe",
    "really",
    "always",
    "never",
    "every",
    "since",
    "before",
    "because",
    "though",
    "should",
    "would",
    "could",
    "enough",
    "little",
    "pretty",
    "quite",
    "steady",
    "quiet",
    "smooth",
    "rough",
    "noisy",
    "shiny",
    "faded",
    "dusty",
    "grateful",
    "stubborn",
    "cheerful",
    "ordinary",
    "recieve",
    "truely",
    "definately",
    "alot",
    "mantained",
    "vehical",
    "absolutly",
    "recomend",
];

/// Makes and models that the ads are of.
const CARS: &[(&str, &str)] = &[
    ("Toyota", "Corolla"),
    ("Toyota", "Camry"),
    ("Nissan", "Altima"),
    ("Nissan", "Sentra"),
    ("Mazda", "Protege"),
    ("Mazda", "626"),
    ("Subaru", "Legacy"),
    ("Subaru", "Outback"),
    ("Mitsubishi", "Lancer"),
    ("Mitsubishi", "Mirage"),
    ("Chevrolet", "Malibu"),
    ("Chevrolet", "Cavalier"),
    ("Buick", "LeSabre"),
    ("Pontiac", "Vibe"),
    ("Pontiac", "Grand Am"),
    ("Saturn", "Ion"),
    ("Dodge", "Neon"),
    ("Dodge", "Caravan"),
    ("Volvo", "240"),
    ("Volvo", "V70"),
    ("Saab", "900"),
    ("Volkswagen", "Jetta"),
    ("Volkswagen", "Golf"),
    ("Hyundai", "Elantra"),
    ("Hyundai", "Accent"),
    ("Kia", "Rio"),
    ("Kia", "Spectra"),
    ("Vauxhall", "Astra"),
    ("Vauxhall", "Corsa"),
];

/// Bytes that a text is made to reach.
const TEXT: usize = 690;

/// As many ads as wanted, as a CSV file.
pub fn csv(count: usize, seed: u64, lexicon: &Lexicon) -> Vec<u8> {
    let mut random = Random(seed);
    let spelled = lexicon.phrases.spelled();
    let mut phrases: Vec<&str> = spelled
        .iter()
        .filter(|(_, phrase)| phrase.vehicles().is_empty())
        .map(|(words, _)| words.as_str())
        .collect();
    phrases.sort_unstable();
    for i in (1..phrases.len()).rev() {
        phrases.swap(i, random.below(i + 1));
    }
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut write = |row: [&str; 6]| out.write_record(row).expect("memory takes every row");
    write(["id", "title", "description", "price", "odometer", "year"]);
    let mut text = String::new();
    for id in 0..count {
        let (make, model) = CARS[random.zipf(CARS.len())];
        let year = (1990 + random.below(28)).to_string();
        let price = (random.below(60) * 50 + 300).to_string();
        let miles = (random.below(200_000) + 40_000).to_string();
        let headline = format!("{year} {make} {model} ${price}");
        body(&mut text, &mut random, &phrases);
        let cells = [&id.to_string(), &headline, &text, &price, &miles, &year];
        write(cells.map(String::as_str));
    }
    out.into_inner().expect("memory takes every row")
}

/// The same ads as JSON objects, each with its line break.
#[allow(dead_code)] // Not measured.
pub fn objects(count: usize, seed: u64, lexicon: &Lexicon) -> Vec<String> {
    let csv = csv(count, seed, lexicon);
    let mut reader = csv::Reader::from_reader(&csv[..]);
    let rows = reader.deserialize::<BTreeMap<String, String>>();
    let row = |row| serde_json::to_string(&row).expect("text is JSON") + "\n";
    rows.map(|r| row(r.expect("what was written can be read")))
        .collect()
}

fn body(text: &mut String, random: &mut Random, phrases: &[&str]) {
    text.clear();
    let mut begins = true;
    while text.len() < TEXT {
        let start = text.len();
        match random.below(20) {
            0..5 => text.push_str(phrases[random.zipf(phrases.len())]),
            5 => text.push_str(&(random.below(300) * 1000).to_string()),
            6 => text.push_str(&format!("${}", random.below(90) * 10)),
            _ => text.push_str(WORDS[random.zipf(WORDS.len())]),
        }
        if begins {
            text[start..start + 1].make_ascii_uppercase();
        }
        let end = match random.below(20) {
            0 => ", ",
            1 => ". ",
            2 => "\n",
            _ => " ",
        };
        begins = end.starts_with(['.', '\n']);
        text.push_str(end);
    }
}
