//! Sayings with all that they tell, `data/sayings.csv`: lists, headings, lines of two
//! columns, what is denied or doubted, and plain words that only look like a cure.
//! ` // ` stands for the end of a line.

mod ad;

use std::collections::BTreeSet;

use ad::told;

#[test]
fn sayings_tell_so_much_and_no_more() {
    let table = include_bytes!("data/sayings.csv");
    let mut reader = csv::Reader::from_reader(&table[..]);
    let (mut rows, mut wrong) = (0, Vec::new());
    for row in reader.records().map(Result::unwrap) {
        let text = row[0].replace(" // ", "\n");
        let told: BTreeSet<String> = told(&text).into_iter().collect();
        let right = row[1].split("; ").filter(|t| !t.is_empty());
        let right: BTreeSet<String> = right.map(str::to_owned).collect();
        if told != right {
            wrong.push(format!("{text:?}\n  read {told:?}, told {right:?}"));
        }
        rows += 1;
    }
    assert!(rows >= 60, "{rows} rows");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
