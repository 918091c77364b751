//! Every defect of the published list is looked for.

use super::LEXICON;
use fixworth::lexicon::checks::{Stage, When};
use fixworth::reading::Gearbox;

/// The defects with the codes that tell of them.
const LIST: &str = include_str!("../data/buyers-guide-defects.csv");
/// The checks that look for each.
const CHECKS: &str = include_str!("../data/defect_checks.csv");

fn rows(text: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    reader.records().map(Result::unwrap).collect()
}

#[test]
fn all_54_defects_of_the_published_list_are_covered_by_some_check() {
    let defects = rows(LIST);
    let covers = rows(CHECKS);
    assert_eq!((defects.len(), covers.len()), (54, 54));
    for (defect, cover) in defects.iter().zip(&covers) {
        assert_eq!((&defect[0], &defect[1]), (&cover[0], &cover[1]));
        let codes: Vec<&str> = defect[5].split(';').collect();
        for word in cover[2].split(';') {
            let name = format!("{}: {}: {word}", &defect[0], &defect[1]);
            let check = LEXICON.checks.find(word).expect(&name);
            assert_ne!(check.stage, Stage::Bring, "{name}");
            let speaks = check.codes.iter().map(|c| LEXICON.parts.code(*c));
            let speaks: Vec<_> = speaks.filter(|c| codes.contains(c)).collect();
            assert!(!speaks.is_empty(), "{name} speaks for none of {codes:?}");
        }
    }
}

#[test]
fn what_covers_a_defect_is_on_the_sheet_of_every_car_that_can_have_it() {
    for cover in rows(CHECKS) {
        let on_every_sheet = cover[2].split(';').any(|word| {
            let when = &LEXICON.checks.find(word).unwrap().when;
            let manual = When::Gearbox(Gearbox::Manual);
            when.contains(&When::Always) || cover[1].contains("manual") && when.contains(&manual)
        });
        assert!(on_every_sheet, "{}: {}", &cover[0], &cover[1]);
    }
}
