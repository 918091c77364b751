//! Stories with several turns: what ailed the car, what was tried, what came of it.
//! Each story of `data/turns.csv` is told of several symptoms and parts; what it says
//! must not hang on which they are.

mod ad;

use std::collections::BTreeSet;

use ad::told;

/// Symptoms by a noun, with their codes: `{S}`.
const NOUNS: [(&str, &str); 6] = [
    ("misfire", "misfire"),
    ("clunk", "clunk"),
    ("vibration", "vibration"),
    ("rough idle", "rough_idle"),
    ("coolant leak", "coolant_leak"),
    ("brake squeal", "brake_noise"),
];

/// Symptoms by a verb: `{b}`, `{p}`, `{d}` and `{g}`, and their codes.
const VERBS: [([&str; 4], &str); 5] = [
    (
        ["overheat", "overheats", "overheated", "overheating"],
        "overheats",
    ),
    (
        [
            "leak coolant",
            "leaks coolant",
            "leaked coolant",
            "leaking coolant",
        ],
        "coolant_leak",
    ),
    (["stall", "stalls", "stalled", "stalling"], "stalls"),
    (
        [
            "pull to the left",
            "pulls to the left",
            "pulled to the left",
            "pulling to the left",
        ],
        "pulls",
    ),
    (
        ["idle rough", "idles rough", "idled rough", "idling rough"],
        "rough_idle",
    ),
];

/// Parts: `{P}`, and `{Q}` for another one.
const PARTS: [(&str, &str); 5] = [
    ("alternator", "alternator"),
    ("thermostat", "thermostat"),
    ("control arm", "control_arm"),
    ("wheel bearing", "wheel_bearing"),
    ("fuel filter", "fuel_filter"),
];

/// With a capital at the beginning of each sentence, and `an` before a vowel.
fn as_written(story: &str) -> String {
    let mut out = String::new();
    for sentence in story.split_inclusive(". ") {
        let mut letters = sentence.chars();
        out.extend(letters.next().map(|c| c.to_ascii_uppercase()));
        out.push_str(letters.as_str());
    }
    for vowel in ["a", "e", "i", "o", "u"] {
        for (article, right) in [(" a ", " an "), ("A ", "An ")] {
            out = out.replace(&format!("{article}{vowel}"), &format!("{right}{vowel}"));
        }
    }
    out
}

#[test]
fn a_story_does_not_hang_on_its_symptom_or_part() {
    let table = include_bytes!("data/turns.csv");
    let mut reader = csv::Reader::from_reader(&table[..]);
    let mut wrong = Vec::new();
    for (number, row) in reader.records().map(Result::unwrap).enumerate() {
        let stories: Vec<(String, &str)> = if row[0].contains("{S}") {
            let of = |(name, code): &(&str, &'static str)| (row[0].replace("{S}", name), *code);
            NOUNS.iter().map(of).collect()
        } else {
            let of = |(forms, code): &([&str; 4], &'static str)| {
                let places = ["{b}", "{p}", "{d}", "{g}"];
                let filled = places.iter().zip(forms);
                let text = filled.fold(row[0].to_owned(), |text, (p, f)| text.replace(p, f));
                (text, *code)
            };
            VERBS.iter().map(of).collect()
        };
        for (at, (story, symptom)) in stories.into_iter().enumerate() {
            let part = PARTS[(number + at) % PARTS.len()];
            let other = PARTS[(number + at + 2) % PARTS.len()];
            let text = as_written(&story.replace("{P}", part.0).replace("{Q}", other.0));
            let mut expected = BTreeSet::from([format!("{symptom} {}", &row[1])]);
            for (code, state) in [(part.1, &row[2]), (other.1, &row[3])] {
                if !state.is_empty() {
                    expected.insert(format!("{code} {state}"));
                }
            }
            let told: BTreeSet<String> = told(&text)
                .into_iter()
                // That a part first thought of is in order may be told or not.
                .filter(|told| !row[3].is_empty() || *told != format!("{} sound", other.1))
                .collect();
            if told != expected {
                wrong.push(format!("{text}\n  read {told:?}, told {expected:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_others_said_is_taken_back_or_granted() {
    for (text, right) in [
        // Nothing more than the answer: a word of its own is no answer.
        ("The shop said the radiator. It is silver.", "radiator bad"),
        ("They said it has a clunk. It is a good car.", "clunk bad"),
        ("I have never had it painted. Clunk up front.", "clunk bad"),
        ("AC? Never seen it work.", "ac bad"),
        ("It clunks. I bought it new.", "clunk bad"),
        (
            "Went through two alternators, replaced them myself.",
            "alternator renewed",
        ),
        // What ends, or comes back, is another thing.
        (
            "Leaks oil. The previous owner took good care of it.",
            "oil_leak bad",
        ),
        ("Leaks oil. No accident, never had one.", "oil_leak bad"),
        (
            "Vibration at highway speed, never felt it in town.",
            "vibration bad",
        ),
        (
            "Misfire when cold, never noticed it when warm.",
            "misfire bad",
        ),
        ("It slips. Third row seat, never had it.", "slips bad"),
        ("Smokes at start up. No sign of it when warm.", "smoke bad"),
        (
            "The transmission slips. Buyer said he would come, he never returned.",
            "slips bad",
        ),
        ("Coolant leak killed it off.", "coolant_leak bad"),
        ("It overheated badly. That ended it.", "overheats bad"),
        ("Overheats, and that was the end of it.", "overheats bad"),
        (
            "It stalls. Inspection was done in May, thats over.",
            "stalls bad",
        ),
        (
            "Vibration at 50. Haven't felt it since I parked it.",
            "vibration bad",
        ),
        (
            "Needs a water pump. Not any more than that.",
            "water_pump bad",
        ),
        (
            "Needs a battery. Not any more than 50 bucks.",
            "battery bad",
        ),
        ("Hit a deer. Mar 25 bumper and hood.", "collision bad"),
        ("Transmission slips. Never again.", "slips bad"),
        ("Stalls. I drove it to Texas and not since.", "stalls bad"),
        ("Nothing needed but tires.", "tire bad"),
        (
            "They said the water pump was replaced. It was not.",
            "water_pump bad",
        ),
        ("He said the AC works. It does not.", "ac bad"),
        (
            "The shop said the brakes are shot. They aren't.",
            "brake_pads sound",
        ),
        ("Overheats. Fender bender fixed that side.", "overheats bad"),
        ("The alternator I put in is bad.", "alternator bad"),
        (
            "Had a coolant leak fixed. If the ad is up it is still there.",
            "coolant_leak sound",
        ),
        ("Had a misfire. New coil. Power is back.", "misfire sound"),
        (
            "Had a coolant leak fixed. It still does 30 mpg.",
            "coolant_leak sound",
        ),
        (
            "Had a clunk fixed. We drove it to Ohio and came back.",
            "clunk sound",
        ),
        (
            "Clunk fixed. Not sure if it will fit your family, time will tell.",
            "clunk sound",
        ),
        (
            "It clunked. It was the motor mount, but I replaced that.",
            "motor_mount renewed",
        ),
    ] {
        let told = told(text);
        assert!(told.iter().any(|t| t == right), "{text}: {told:?}");
    }
}
