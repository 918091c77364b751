//! Ads as they are typed or spoken into a telephone, one a row of
//! `data/telephone.csv`: words drawn out, written as others that sound the
//! same or as a dialect says them, ticks and crosses, sayings that run on. The
//! texts are invented. Each must tell what is told, and nothing else; so must
//! the sentences of `data/kinds_of_sellers.csv`: of careful people who write in
//! full, of dealers, yards and auctions, of other countries, and what they say
//! around an ad that tells nothing of the car.

mod ad;

use std::collections::BTreeSet;

use ad::read_ad;

/// What is read otherwise than a table says, and how many rows it has.
fn misread(table: &[u8]) -> (Vec<String>, usize) {
    let mut table = csv::Reader::from_reader(table);
    let mut wrong = Vec::new();
    let mut rows = 0;
    for row in table.records() {
        let row = row.unwrap();
        let text = row[0].replace(" // ", "\n");
        let told: BTreeSet<String> = row[1]
            .split("; ")
            .filter(|c| !c.is_empty())
            .map(str::to_owned)
            .collect();
        let read: BTreeSet<_> = ad::claims(&read_ad("2004 Mazda 6", &text))
            .into_iter()
            .map(|(code, says)| format!("{code} {says}"))
            .collect();
        rows += 1;
        if read != told {
            wrong.push(format!("{text:?}: read {read:?}"));
        }
    }
    (wrong, rows)
}

#[test]
fn telephone_texts_tell_what_they_would_if_written_out() {
    let (wrong, rows) = misread(include_bytes!("data/telephone.csv"));
    assert!(rows >= 150, "{rows} rows");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn sellers_of_all_kinds_tell_what_they_say() {
    let (wrong, rows) = misread(include_bytes!("data/kinds_of_sellers.csv"));
    assert!(rows >= 400, "{rows} rows");
    assert!(wrong.is_empty(), "{wrong:#?}");
}
