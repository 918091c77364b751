//! Whether a fault is told of a part, in the many wordings of sellers, one
//! sentence a row of `data/part_wordings.csv`: denied, doubted, mended, broken
//! again, of one of several. The sentences are invented.

mod ad;

use ad::{LEXICON, read_ad};

#[test]
fn a_fault_is_told_apart_from_none() {
    let mut table = csv::Reader::from_reader(include_bytes!("data/part_wordings.csv").as_slice());
    let mut wrong = Vec::new();
    let mut read = 0;
    for row in table.records() {
        let row = row.unwrap();
        let (text, part, told) = (&row[0], &row[1], &row[2]);
        let reading = read_ad("2003 Mazda Protege", text);
        let says: Vec<_> = reading
            .claims
            .iter()
            .filter(|c| LEXICON.parts.code(c.part) == part)
            .map(|c| c.says)
            .collect();
        let fault = says.iter().any(|s| s.is_fault());
        if says.is_empty() || fault != (told == "fault") {
            wrong.push(format!("{text} ({part}: {told}, read {says:?})"));
        }
        read += 1;
    }
    assert!(read > 200, "{read} rows");
    assert!(wrong.is_empty(), "misread: {wrong:#?}");
}
