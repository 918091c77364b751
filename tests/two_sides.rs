//! What is said of the front and of the rear, of the left and of the right, is said of
//! two things: both states are told, whatever the part and however the second one is
//! named.

mod ad;

use std::collections::BTreeSet;

use ad::told;

/// Parts of which an axle has a pair.
const PAIRS: [(&str, &str); 5] = [
    ("tires", "tire"),
    ("brakes", "brake_pads"),
    ("struts", "shock_strut"),
    ("rotors", "brake_rotor"),
    ("springs", "spring"),
];

/// Parts with one on each side.
const SINGLES: [(&str, &str); 6] = [
    ("axle", "cv_axle"),
    ("wheel bearing", "wheel_bearing"),
    ("headlight", "lamp"),
    ("mirror", "mirror"),
    ("fender", "fender"),
    ("ball joint", "ball_joint"),
];

/// Sayings of several and of one, with their states.
const STATES: [(&str, &str, &str); 6] = [
    ("are new", "is new", "renewed"),
    ("were replaced", "was replaced", "renewed"),
    ("are shot", "is shot", "bad"),
    ("need replacing", "needs replacing", "bad"),
    ("are worn out", "is worn out", "bad"),
    ("have been replaced", "has been replaced", "renewed"),
];

/// `{a}` and `{b}` are sides, `{n}` the part, `{x}` and `{y}` the sayings of each.
const OF_PAIRS: [&str; 7] = [
    "The {a} {n} {x}, {b}s {y}.",
    "The {a} {n} {x}. The {b}s {y}.",
    "The {a} {n} {x} but the {b} ones {y}.",
    "The {a} {n} {x}, the {b} {n} {y}.",
    "Its {n}: {a}s {x}, {b}s {y}.",
    "The {a} {n} {x} and the {b}s {y}.",
    "The {a} {n} {x}, {b} {y}.",
];

const OF_SINGLES: [&str; 6] = [
    "The {a} {n} {x}, {b} {y}.",
    "The {a} {n} {x}, the {b} one {y}.",
    "The {a} {n} {x}. The {b} one {y}.",
    "The {a} {n} {x} but the {b} {n} {y}.",
    "The {a} {n} {x}, the other one {y}.",
    "The {n} on the {a} {x}, the one on the {b} {y}.",
];

/// Every telling in which the states of the two differ.
fn tellings(
    layouts: &[&str],
    parts: &[(&str, &str)],
    sides: [(&str, &str); 2],
    one: bool,
) -> Vec<(String, BTreeSet<String>)> {
    let mut out = Vec::new();
    for layout in layouts {
        for (name, code) in parts {
            for (a, b) in sides {
                for x in STATES {
                    for y in STATES.iter().filter(|y| y.2 != x.2) {
                        let say =
                            |s: (&'static str, &'static str, &str)| if one { s.1 } else { s.0 };
                        let text = layout
                            .replace("{a}", a)
                            .replace("{b}", b)
                            .replace("{n}", name)
                            .replace("{x}", say(x))
                            .replace("{y}", say(*y));
                        let both = [x.2, y.2].map(|state| format!("{code} {state}"));
                        out.push((text, both.into_iter().collect()));
                    }
                }
            }
        }
    }
    out
}

fn hold(tellings: Vec<(String, BTreeSet<String>)>) {
    let wrong: Vec<String> = tellings
        .into_iter()
        .filter_map(|(text, both)| {
            let told: BTreeSet<String> = told(&text).into_iter().collect();
            (told != both).then(|| format!("{text} => {told:?}"))
        })
        .collect();
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn fronts_and_rears_are_two_things() {
    let sides = [("front", "rear"), ("rear", "front")];
    hold(tellings(&OF_PAIRS, &PAIRS, sides, false));
}

#[test]
fn left_and_right_are_two_things() {
    let sides = [("left", "right"), ("passenger", "driver")];
    hold(tellings(&OF_SINGLES, &SINGLES, sides, true));
}
