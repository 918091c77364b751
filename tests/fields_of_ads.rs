//! Short ads with what their plain fields are, one a row of
//! `data/fields_of_ads.csv`: prices that came down in what was added later, with
//! a column that kept the old one; logs of work and sums of other things beside
//! a price that stands; money and distances of other countries. The ads are
//! invented.

mod ad;

use ad::{LEXICON, listing};
use fixworth::reading::Reader;
use fixworth::units::DistanceUnit;

#[test]
fn short_ads_tell_their_fields() {
    let table = include_bytes!("data/fields_of_ads.csv");
    let mut table = csv::Reader::from_reader(table.as_slice());
    let reader = Reader::new(&LEXICON, DistanceUnit::Miles);
    let (mut rows, mut wrong) = (0, Vec::new());
    for row in table.records() {
        let row = row.unwrap();
        let mut ad = listing(&row[0], &row[1].replace(" // ", "\n"));
        ad.price = Some(row[2].into()).filter(|_| !row[2].is_empty());
        let read = reader.read(&ad);
        for told in row[3].split("; ") {
            let (field, want) = told.split_once(' ').unwrap();
            let got = match field {
                "ask" => read.ask.map(|m| m.to_f64().to_string()).unwrap_or_default(),
                "miles" => read.miles.map(|m| m.0.to_string()).unwrap_or_default(),
                "miles_basis" => read.miles_basis.word().to_owned(),
                "ask_basis" => read.ask_basis.word().to_owned(),
                "moves" => read.moves_as_read().word().to_owned(),
                "year" => read.year.map(|y| y.to_string()).unwrap_or_default(),
                "make" => read.make.clone().unwrap_or_default(),
                "gearbox" => read.gearbox.word().to_owned(),
                "title" => read.title.word().to_owned(),
                code => {
                    let of = |c: &&fixworth::reading::Claim| LEXICON.parts.code(c.part) == code;
                    let says = read.claims.iter().filter(of).map(|c| c.says.word());
                    says.collect::<Vec<_>>().join(" and ")
                }
            };
            if got != want {
                wrong.push(format!("{:?}: {field} {got:?}, not {want:?}", &row[1]));
            }
        }
        rows += 1;
    }
    assert!(rows >= 150, "{rows} rows");
    assert!(wrong.is_empty(), "{wrong:#?}");
}
