//! Parses the command line, runs, reports.

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::reading::Reader;
use fixworth::units::DistanceUnit;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let args: Vec<String> = std::env::args().collect();
    let lexicon = Lexicon::built_in()?;
    let reader = Reader::new(&lexicon, DistanceUnit::Miles)?;
    let mut csv = csv::Reader::from_path(&args[2])?;
    for row in csv.records() {
        let row = row?;
        let cell = |i: usize| row.get(i).filter(|s| !s.is_empty()).map(str::to_owned);
        let mut l = Listing::new(
            ListingId(row[0].to_owned()),
            Origin {
                file: "x".into(),
                line: 0,
            },
            &row[1],
            &row[2],
        );
        l.price = cell(3);
        l.distance = cell(4);
        l.year = cell(5);
        if args.iter().any(|a| a == "--why") {
            for line in reader.trace(&l) {
                eprintln!("{} {line}", l.id);
            }
        }
        let r = reader.read(&l);
        let v = serde_json::json!({
            "id": r.id, "kind": r.kind, "year": r.year, "make": r.make, "model": r.model,
            "ask": r.ask, "ask_basis": r.ask_basis, "miles": r.miles, "miles_basis": r.miles_basis,
            "title": r.title, "moves": r.moves, "gearbox": r.gearbox, "vin": r.vin,
            "claims": r.claims.iter().map(|c| serde_json::json!({"part": lexicon.parts.code(c.part), "says": c.says, "rule": c.evidence[0].rule, "text": &l.text[c.evidence[0].range.clone()]})).collect::<Vec<_>>(),
            "vague": r.vague.iter().map(|v| v.0).collect::<Vec<_>>(),
        });
        println!("{v}");
    }
    Ok(())
}
