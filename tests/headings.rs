//! Headings in sellers' own words, `data/headings.csv`, over lists in several layouts,
//! alone and behind the list of another heading. What a heading says must not hang on
//! the layout, nor on which parts it heads.

mod ad;

use std::collections::BTreeSet;

use ad::told;

const PARTS: [(&str, &str); 8] = [
    ("alternator", "alternator"),
    ("radiator", "radiator"),
    ("thermostat", "thermostat"),
    ("control arm", "control_arm"),
    ("wheel bearing", "wheel_bearing"),
    ("starter", "starter"),
    ("muffler", "muffler"),
    ("caliper", "brake_caliper"),
];

/// A heading over two parts.
type Layout = fn(&str, [&str; 2]) -> String;

const LAYOUTS: [Layout; 4] = [
    |h, [a, b]| format!("{h}: {a}, {b}."),
    |h, [a, b]| format!("{h}:\n- {a}\n- {b}"),
    |h, [a, b]| format!("{h}\n- {a}\n- {b}"),
    |h, [a, b]| format!("{}\n{a}\n{b}", h.to_uppercase()),
];

fn wrong(text: &str, expected: &[(&str, &str)]) -> Option<String> {
    let told: BTreeSet<String> = told(text).into_iter().collect();
    let expected = expected.iter().map(|(code, says)| format!("{code} {says}"));
    let expected: BTreeSet<String> = expected.collect();
    (told != expected).then(|| format!("{text:?}\n  read {told:?}, told {expected:?}"))
}

#[test]
fn a_heading_governs_its_list_and_no_other() {
    let table = include_bytes!("data/headings.csv");
    let mut reader = csv::Reader::from_reader(&table[..]);
    let (mut rows, mut failing) = (0, Vec::new());
    for (n, row) in reader.records().map(Result::unwrap).enumerate() {
        let part = |k: usize| PARTS[(n + k) % PARTS.len()];
        let (state, heading) = (&row[0], &row[1]);
        let [own, other] = [[part(0), part(3)], [part(5), part(6)]];
        let names = |two: [(&'static str, &'static str); 2]| two.map(|p| p.0);
        for (at, layout) in LAYOUTS.iter().enumerate() {
            let text = layout(heading, names(own));
            let told = own.map(|p| (p.1, state));
            failing.extend(wrong(&text, &told));
            // Without colons and marks, nothing tells where a list ends.
            for (before, says) in [("Needs", "bad"), ("New", "renewed")] {
                if at < 3 && says != state {
                    let both = format!("{}\n{text}", layout(before, names(other)));
                    let mut all = told.to_vec();
                    all.extend(other.map(|p| (p.1, says)));
                    failing.extend(wrong(&both, &all));
                }
            }
        }
        rows += 1;
    }
    assert!(rows >= 280, "{rows} rows");
    assert!(failing.is_empty(), "{}", failing.join("\n"));
}
