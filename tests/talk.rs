//! What sellers say around what they tell, `data/talk.csv`, and when a fault shows,
//! changes nothing of it.

mod ad;

/// `_` is a part, `~` a symptom.
const TOLD: [&str; 22] = [
    "The _ is bad.",
    "New _.",
    "The _ works fine.",
    "Needs a _.",
    "The _ was replaced last year.",
    "It has a ~.",
    "There is no ~.",
    "The _ might be bad.",
    "There is a spare _ in the trunk.",
    "The _ and the wheel bearing are new.",
    "It needs a _ and a wheel bearing.",
    "The _ is new but the wheel bearing is bad.",
    "I replaced the _ and the wheel bearing.",
    "The _ does not work.",
    "Has a ~, probably the _.",
    "The _ was bad so I replaced it.",
    "Just put in a new _.",
    "The _ is shot and it has a ~.",
    "I think it needs a _.",
    "The _ has never given trouble.",
    "It does not have a ~.",
    "The _ needs to be replaced.",
];

const PARTS: [&str; 5] = [
    "starter",
    "radiator",
    "thermostat",
    "control arm",
    "muffler",
];
const SYMPTOMS: [&str; 4] = ["misfire", "clunk", "coolant leak", "vibration"];

fn told(text: &str) -> Vec<String> {
    let mut told = ad::told(text);
    told.sort();
    told
}

#[test]
fn talk_around_it_changes_nothing() {
    let table = include_bytes!("data/talk.csv");
    let mut reader = csv::Reader::from_reader(&table[..]);
    let (mut rows, mut failing) = (0, Vec::new());
    for (n, row) in reader.records().map(Result::unwrap).enumerate() {
        let words = &row[1];
        for (k, saying) in TOLD.iter().enumerate() {
            let plain = saying
                .replace('_', PARTS[(n + k) % PARTS.len()])
                .replace('~', SYMPTOMS[(n + k) % SYMPTOMS.len()]);
            let text = match &row[0] {
                "before" => {
                    let (first, rest) = plain.split_at(1);
                    let after_stop = words.trim_end().ends_with('.');
                    let first = if after_stop {
                        first.to_owned()
                    } else {
                        first.to_lowercase()
                    };
                    format!("{words}{first}{rest}")
                }
                _ => format!("{}{words}.", plain.trim_end_matches('.')),
            };
            let (with, without) = (told(&text), told(&plain));
            assert!(!without.is_empty(), "{plain}");
            if with != without {
                failing.push(format!("{text:?}: {with:?}, not {without:?}"));
            }
        }
        rows += 1;
    }
    assert!(rows >= 110, "{rows} rows");
    assert!(failing.is_empty(), "{}", failing.join("\n"));
}

#[test]
fn when_a_fault_shows_changes_nothing() {
    let sayings = [
        "wheel bearing hums",
        "wheel bearing growls",
        "wheel bearing is noisy",
        "struts clunk",
        "struts knock",
        "struts squeak",
        "ball joint clunks",
        "ball joint squeaks",
        "power steering pump whines",
        "power steering pump leaks",
        "alternator squeals",
        "water pump leaks",
        "water pump squeals",
        "clutch slips",
        "clutch judders",
        "transmission slips",
        "transmission whines",
        "engine knocks",
        "engine smokes",
        "engine stalls",
        "engine leaks oil",
        "brakes squeal",
        "brakes pulsate",
        "timing chain rattles",
        "muffler rattles",
        "radiator leaks",
        "belt squeals",
        "starter grinds",
        "steering rack leaks",
        "differential whines",
        "turbo whines",
    ];
    let tails = [
        "on the highway",
        "on the motorway",
        "when cold",
        "when it is cold",
        "when warm",
        "when accelerating",
        "on hills",
        "at idle",
        "all the time",
        "a little",
        "from time to time",
        "on cold starts",
        "on start up",
        "in the morning",
    ];
    let mut failing = Vec::new();
    for saying in sayings {
        let plain = format!("The {saying}.");
        let without = told(&plain);
        assert!(without.iter().any(|t| t.ends_with("bad")), "{plain}");
        for tail in tails {
            let text = format!("The {saying} {tail}.");
            let with = told(&text);
            if with != without {
                failing.push(format!("{text:?}: {with:?}, not {without:?}"));
            }
        }
    }
    assert!(failing.is_empty(), "{}", failing.join("\n"));
}
