//! What is told of each part, by sentences and pairs of sentences in one
//! clause or two: one a row of `data/state_wordings.csv`, with all that is to be
//! read of it and nothing besides. The sentences are invented; no word of them
//! hangs on the table of leanings.

mod ad;

use ad::{claims, read_ad};

#[test]
fn each_part_has_its_state_and_no_other() {
    let mut table = csv::Reader::from_reader(include_bytes!("data/state_wordings.csv").as_slice());
    let mut wrong = Vec::new();
    let mut read = 0;
    for row in table.records() {
        let row = row.unwrap();
        let reading = read_ad("2003 Mazda Protege", &row[0]);
        let mut told: Vec<_> = claims(&reading)
            .iter()
            .map(|(code, says)| format!("{code} {says}"))
            .collect();
        told.sort();
        let told = told.join("; ");
        if told != row[1] {
            wrong.push(format!("{}: {} (read {told})", &row[0], &row[1]));
        }
        read += 1;
    }
    assert!(read > 400, "{read} rows");
    assert!(wrong.is_empty(), "misread: {wrong:#?}");
}
