//! A saying must not hang on which part it is of, nor a symptom's state on which
//! symptom it is: every part of `data/plain_parts.csv` and many symptoms in
//! sayings of all kinds. Of each saying hardly one part may be read wrong.

mod ad;

use ad::told;

/// A part's name, its code, and whether there are many of it.
struct Part {
    name: String,
    code: String,
    many: bool,
}

fn parts() -> Vec<Part> {
    let table = include_bytes!("data/plain_parts.csv");
    let mut reader = csv::Reader::from_reader(&table[..]);
    let rows = reader.records().map(Result::unwrap);
    rows.map(|row| Part {
        name: row[0].to_owned(),
        code: row[1].to_owned(),
        many: &row[2] == "many",
    })
    .collect()
}

/// `_` is the name, `^` the name at the beginning of a sentence, `{one|many}`
/// hangs on the number.
fn said_of(saying: &str, part: &Part) -> String {
    let mut name = part.name.clone();
    let small = saying.replace('_', &name);
    name[..1].make_ascii_uppercase();
    let mut text = small.replace('^', &name);
    while let Some(open) = text.find('{') {
        let close = text.find('}').unwrap();
        let (one, many) = text[open + 1..close].split_once('|').unwrap();
        let word = if part.many { many } else { one }.to_owned();
        text.replace_range(open..=close, &word);
    }
    for vowel in ["a", "e", "i", "o", "u"] {
        text = text.replace(&format!(" a {vowel}"), &format!(" an {vowel}"));
    }
    text
}

/// Reads each saying of each part; of each at most this many of a hundred parts
/// may be read wrong.
fn hold(sayings: &[(&str, &str)], at_most: usize) {
    let parts = parts();
    let mut failing = Vec::new();
    for (saying, state) in sayings {
        let wrong: Vec<String> = parts
            .iter()
            .filter_map(|part| {
                let text = said_of(saying, part);
                let told = told(&text);
                (told != [format!("{} {state}", part.code)]).then(|| format!("{text} => {told:?}"))
            })
            .collect();
        if wrong.len() * 100 > at_most * parts.len() {
            failing.push(format!(
                "{saying}: {} wrong\n{}",
                wrong.len(),
                wrong.join("\n")
            ));
        }
    }
    assert!(failing.is_empty(), "{}", failing.join("\n"));
}

#[test]
fn what_was_renewed() {
    hold(
        &[
            ("The _ went bad last year. Replaced {it|them}.", "renewed"),
            ("^ died in June. New {one|ones} in.", "renewed"),
            ("Had the _ replaced by a shop.", "renewed"),
            ("^: replaced in March.", "renewed"),
            (
                "Don't worry about the _, I put {a new one|new ones} in.",
                "renewed",
            ),
            ("The _ went, I fixed that.", "renewed"),
            ("^ changed not long ago.", "renewed"),
        ],
        3,
    );
}

#[test]
fn what_is_at_fault() {
    hold(
        &[
            ("Everything works except the _.", "bad"),
            ("I never got around to the _.", "bad"),
            ("^ {has|have} seen better days.", "bad"),
            ("^ {is|are} on {its|their} way out.", "bad"),
            ("^: not done.", "bad"),
            ("Selling because the _ went.", "bad"),
            ("Budget for {a|} _.", "bad"),
        ],
        3,
    );
    // `fix the gearbox`: what is still to be done.
    hold(&[("Fix the _ and drive it.", "bad")], 5);
}

#[test]
fn what_is_in_order() {
    hold(
        &[
            ("Nothing wrong with the _.", "sound"),
            ("The _ {was|were} not affected.", "sound"),
            ("You won't need {a|} _.", "sound"),
            (
                "Was told the _ {was|were} bad but {it is|they are} fine.",
                "sound",
            ),
            ("What's not wrong: _.", "sound"),
        ],
        3,
    );
}

#[test]
fn what_is_doubted_and_what_comes_along() {
    hold(
        &[
            ("Could be {a bad|bad} _.", "suspect"),
            ("Maybe the _.", "suspect"),
            ("Comes with {a spare|spare} _.", "spare"),
        ],
        4,
    );
}

/// Symptoms by name, with their codes.
const SYMPTOMS: [(&str, &str); 14] = [
    ("oil leak", "oil_leak"),
    ("coolant leak", "coolant_leak"),
    ("misfire", "misfire"),
    ("clunk", "clunk"),
    ("vibration", "vibration"),
    ("squeak", "squeak"),
    ("engine knock", "engine_knock"),
    ("rough idle", "rough_idle"),
    ("parasitic drain", "parasitic_drain"),
    ("power steering leak", "power_steering_leak"),
    ("transmission leak", "transmission_leak"),
    ("lifter tick", "engine_tick"),
    ("wobble", "vibration"),
    ("hesitation", "low_power"),
];

fn symptoms_hold(sayings: &[&str], state: &str) {
    let mut wrong = Vec::new();
    for saying in sayings {
        for (name, code) in SYMPTOMS {
            let symptom = Part {
                name: name.to_owned(),
                code: code.to_owned(),
                many: false,
            };
            let text = said_of(saying, &symptom);
            let told = told(&text);
            if told != [format!("{code} {state}")] {
                wrong.push(format!("{text} => {told:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_symptom_that_is_there() {
    symptoms_hold(
        &[
            "Can't get rid of the _.",
            "I put up with the _.",
            "Never found the _.",
            "It has got a _.",
            "The _ is back.",
            "Couldn't fix the _.",
            "If it wasn't for the _ I'd keep it.",
            "Fix the _ and it's a great car.",
        ],
        "bad",
    );
    let new = told("New engine knock since Tuesday.");
    assert_eq!(new, ["engine_knock bad"]);
}

#[test]
fn a_symptom_that_is_gone() {
    symptoms_hold(
        &[
            "No _.",
            "There was a _ but it's fixed.",
            "It had a _ when I bought it, I sorted it.",
            "The _ it had is gone.",
            "Got rid of the _.",
            "^: fixed.",
            "Not one _.",
        ],
        "sound",
    );
}

#[test]
fn a_heading_may_deny() {
    for (text, expected) in [
        ("What isn't fixed: starter, radiator.", "bad"),
        (
            "Things that went wrong and didn't get fixed: starter, radiator.",
            "bad",
        ),
        (
            "Things that have not gone wrong: starter, radiator.",
            "sound",
        ),
        ("What's not original: starter, radiator.", "renewed"),
        ("What still works: starter, radiator.", "sound"),
    ] {
        let right = ["starter", "radiator"].map(|part| format!("{part} {expected}"));
        assert_eq!(told(text), right, "{text}");
    }
}

#[test]
fn a_symptom_may_head_its_cause() {
    for (text, right) in [
        (
            "Clunk: ball joint, done.",
            ["clunk sound", "ball_joint renewed"],
        ),
        (
            "Misfire: new plugs, gone.",
            ["misfire sound", "tune_up renewed"],
        ),
        (
            "Overheats: water pump.",
            ["overheats bad", "water_pump bad"],
        ),
    ] {
        let (mut told, mut right) = (told(text), right);
        told.sort();
        right.sort();
        assert_eq!(told, right, "{text}");
    }
}

#[test]
fn a_saying_whose_subject_is_not_there_hides_nothing() {
    // `heater is dead` is said of an oxygen sensor; where there is none, the heater
    // is.
    assert_eq!(
        told("Sat two years so the heater is dead."),
        ["heater_blower bad"]
    );
    let sensor = told("The O2 sensor heater is dead.");
    assert_eq!(sensor, ["o2_sensor bad"]);
    assert_eq!(told("Gearbox's gone."), ["transmission bad"]);
}

#[test]
fn equipment_in_a_list_of_parts_is_one_of_them() {
    for (text, right) in [
        (
            "New battery, stereo, tie rods.",
            &["battery renewed", "radio renewed", "tie_rod renewed"][..],
        ),
        (
            "New tires/brakes/stereo.",
            &["tire renewed", "brake_pads renewed", "radio renewed"],
        ),
        // Alone at the end of a list it is how the car is equipped.
        ("New tires, sunroof.", &["tire renewed"]),
    ] {
        assert_eq!(told(text), right, "{text}");
    }
}

#[test]
fn what_is_said_of_one_is_said_of_the_next() {
    for (text, right) in [
        ("ECU is bad. So is the starter.", ["ecu bad", "starter bad"]),
        (
            "The transmission went, then the oil pan.",
            ["transmission bad", "oil_pan bad"],
        ),
        (
            "Brakes are good and so is the clutch.",
            ["brake_pads sound", "clutch sound"],
        ),
        (
            "Everything but the clutch and the radio works.",
            ["clutch bad", "radio bad"],
        ),
    ] {
        assert_eq!(told(text), right, "{text}");
    }
    // Its age is no state.
    let told = told("Alternator replaced, wipers original.");
    assert_eq!(told, ["alternator renewed"]);
}

#[test]
fn a_log_of_work() {
    for (text, state) in [
        ("Mar 02 starter. Aug 05 radiator.", "renewed"),
        ("Jan 2014: starter\nMay 19: radiator", "renewed"),
        ("Oct 05 - new starter\nMar 2011 - new radiator", "renewed"),
        ("Starter May 05. Radiator Mar 2011.", "renewed"),
        ("Starter (May 19), radiator (Jan 2002).", "renewed"),
        (
            "From the receipts: Mar 05 starter; Mar 2011 radiator.",
            "renewed",
        ),
        ("I gave it a starter and a radiator.", "renewed"),
        ("Spent 900 on starter and radiator.", "renewed"),
        ("Needs, in order: starter, radiator.", "bad"),
        ("Not spent on: starter, radiator.", "bad"),
    ] {
        let right = ["starter", "radiator"].map(|part| format!("{part} {state}"));
        assert_eq!(told(text), right, "{text}");
    }
    // A sentence behind a date tells of that day.
    let day = told("November 2025: the steering began to feel loose.");
    assert_eq!(day, ["loose_steering bad"]);
    // `may` is no month without its year.
    assert_eq!(told("May need a starter."), ["starter suspect"]);
}

#[test]
fn what_is_put_off_or_done_already() {
    hold(
        &[
            ("You won't need to replace the _, I already did.", "renewed"),
            ("One less thing to do: new _.", "renewed"),
            ("I keep putting off the _.", "bad"),
            ("Not willing to put a _ in it.", "bad"),
            ("Needs a _ before it can be driven.", "bad"),
            ("Shame about the _.", "bad"),
            ("^ problem free.", "sound"),
            ("^ inspected and fine.", "sound"),
            ("Might only need a _.", "suspect"),
        ],
        13,
    );
}

#[test]
fn a_neighbour_changes_nothing() {
    for (text, right) in [
        (
            "- Second owner.\n- Fix the starter and drive it.",
            "starter bad",
        ),
        (
            "Caliper rebuilt, comes with two keys.",
            "brake_caliper renewed",
        ),
        (
            "Great car, the radiator I put in is already bad.",
            "radiator bad",
        ),
        ("Trunk has a spare wheel bearing.", "wheel_bearing spare"),
    ] {
        assert_eq!(told(text), [right], "{text}");
    }
}

#[test]
fn lists_of_answers_and_sums() {
    for (text, right) in [
        (
            "Starter: yes, bad. Radiator: no, that's fine.",
            &["starter bad", "radiator sound"][..],
        ),
        (
            "Quoted 300 for the starter and 500 for the radiator.",
            &["starter bad", "radiator bad"],
        ),
        (
            "Fail: starter, radiator. Pass: muffler.",
            &["starter bad", "radiator bad", "muffler sound"],
        ),
        (
            "The starter is bad, and the radiator.",
            &["starter bad", "radiator bad"],
        ),
        (
            "What it needs: starter. What it comes with: a spare radiator.",
            &["starter bad", "radiator spare"],
        ),
        (
            "To do: starter (done), radiator (not done).",
            &["starter renewed", "radiator bad"],
        ),
        (
            "I did the starter, you do the radiator.",
            &["starter renewed", "radiator bad"],
        ),
    ] {
        assert_eq!(told(text), right, "{text}");
    }
}
