//! The defects that the US window form for used vehicles lists (16 CFR 455, as
//! amended 81 FR 81664; `tests/data/buyers-guide-defects.csv`): said as sellers
//! say them, each is read as a fault.

mod ad;

use ad::{LEXICON, claims, read};

const LIST: &str = include_str!("data/buyers-guide-defects.csv");

struct Defect {
    name: String,
    said: [String; 3],
    expect: Vec<String>,
}

fn defects() -> Vec<Defect> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(LIST.as_bytes());
    reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            Defect {
                name: format!("{}: {}", &row[0], &row[1]),
                said: [2, 3, 4].map(|i| row[i].to_owned()),
                expect: row[5].split(';').map(str::to_owned).collect(),
            }
        })
        .collect()
}

#[test]
fn every_listed_defect_has_three_sentences_and_codes_that_exist() {
    let defects = defects();
    assert_eq!(defects.len(), 54);
    for d in &defects {
        for code in &d.expect {
            assert!(LEXICON.parts.find(code).is_some(), "{}: {code}", d.name);
        }
        let [a, b, c] = &d.said;
        assert!(a != b && b != c && a != c, "{}", d.name);
        assert!(d.said.iter().all(|s| s.len() > 5), "{}", d.name);
    }
}

#[test]
fn every_listed_defect_is_read_as_a_fault_in_each_of_its_sentences() {
    let mut missed = Vec::new();
    for d in defects() {
        for said in &d.said {
            let claims = claims(&read(said));
            let right = claims
                .iter()
                .any(|(code, says)| says.is_fault() && d.expect.iter().any(|e| e == code));
            if !right {
                missed.push(format!("{} | {said} | {claims:?}", d.name));
            }
        }
    }
    assert!(
        missed.is_empty(),
        "{} missed:\n{}",
        missed.len(),
        missed.join("\n")
    );
}
