//! Curb weights of the vehicle classes against published ones
//! (`tests/data/curb_weights.csv` names its source).

use std::collections::BTreeMap;

use fixworth::lexicon::Lexicon;

#[test]
fn classes_weigh_what_cars_of_their_kind_weighed_on_average() {
    let text = include_str!("data/curb_weights.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut groups: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for row in reader.records() {
        let row = row.unwrap();
        let weight = row[1].parse().unwrap();
        groups.entry(row[0].to_owned()).or_default().push(weight);
    }
    assert_eq!(groups.values().map(Vec::len).sum::<usize>(), 93);
    let lexicon = Lexicon::built_in().unwrap();
    for (kind, class) in [
        ("Small", "small"),
        ("Compact", "compact"),
        ("Midsize", "midsize"),
        ("Large", "fullsize"),
        ("Sporty", "sporty"),
        ("Van", "van"),
    ] {
        let weights = &groups[kind];
        let mean = weights.iter().sum::<f64>() / weights.len() as f64;
        let class = lexicon.classes.find(class).unwrap();
        let ours: f64 = class.curb_weight_lb.to_string().parse().unwrap();
        assert!((ours - mean).abs() <= 1.0, "{kind}: {ours} against {mean}");
    }
}
