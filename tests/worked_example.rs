//! The worked example of the README, step by step by hand, and by the program.
//!
//! `UPDATE_README=1 cargo test --test worked_example` writes it anew.

mod common;

use std::fmt::Write;

use common::{LEXICON, bill_for, reading};
use fixworth::costing::Reason;
use fixworth::margin::position::{Leaves, Limits, Position, doubt};
use fixworth::profile::Profile;
use fixworth::reading::Says;
use fixworth::units::{Miles, ModelYear, Money, ThreePoint};

const README: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
const BEGIN: &str = "<!-- worked-example: begin -->\n";
const END: &str = "<!-- worked-example: end -->";

#[test]
fn the_worked_example_is_what_the_formulas_and_the_program_give() {
    // As old and as far driven as the rates are given for.
    let mut car = reading(&[("overheats", Says::Bad)]);
    car.year = Some(ModelYear(2011));
    car.miles = Some(Miles(130_000));
    let bill = bill_for(&car, Some("midsize"), &Profile::default());

    let mut page = String::from(
        "A midsize car of 15 years and 130,000 miles that overheats, and nothing else is told; worth 3,000 \
         once right,\n2,300 in one case of ten. Every cause has its rate (`base_rates.csv`) and the chance that it \
         shows the symptom\n(`causes.csv`); their products, over the sum of all, are the chances:\n\n\
         | cause | rate | shows it | product | chance | costs then | on average |\n\
         | --- | ---: | ---: | ---: | ---: | ---: | ---: |\n",
    );
    let symptom = LEXICON.parts.find("overheats").unwrap();
    let listed = LEXICON.causes.of(symptom);
    let wear = fixworth::lexicon::base_rates::Wear::new(Some(15.0), Some(130_000.0));
    let mut rows: Vec<(String, Option<f64>, f64, f64)> = listed
        .causes
        .iter()
        .map(|cause| {
            let gearbox = car.gearbox;
            let job = LEXICON
                .repairs
                .resolve(cause.work, gearbox, "midsize")
                .unwrap();
            let rate = LEXICON.base_rates.rate(cause.work, wear, "midsize");
            let name = LEXICON.repairs.get(job).job.clone();
            (name, Some(rate), cause.shown(), rate * cause.shown())
        })
        .collect();
    let other = listed.other.as_ref().unwrap().shown();
    rows.push(("other:overheats".to_owned(), None, other, other));
    let sum: f64 = rows.iter().map(|r| r.3).sum();
    let mut mean = 0.0;
    for (job, rate, shows, product) in &rows {
        let own = |l: &&fixworth::costing::JobLine| {
            l.job == *job && matches!(l.reason, Reason::Cause | Reason::SomethingElse)
        };
        let line = bill.jobs.iter().find(own).unwrap();
        let chance = product / sum;
        assert!((line.chance.value() - chance).abs() < 1e-5, "{job}");
        let cost = line.cost.mean().to_f64();
        mean += chance * cost;
        let name = if rate.is_some() {
            job.replace('_', " ")
        } else {
            "something else".to_owned()
        };
        let rate = rate.map_or_else(String::new, |r| format!("{r:.3}"));
        writeln!(
            page,
            "| {name} | {rate} | {shows:.3} | {product:.4} | {:.0} % | {cost:.0} | {:.0} |",
            chance * 100.0,
            chance * cost
        )
        .unwrap();
    }
    let along: f64 = bill
        .jobs
        .iter()
        .filter(|l| l.reason == Reason::FollowOn)
        .map(|l| l.chance.value() * l.cost.mean().to_f64())
        .sum();
    assert!((mean + along - bill.total.likely.to_f64()).abs() < 0.05);

    let worth = ThreePoint {
        low: Money::whole(2300),
        likely: Money::whole(3000),
        high: Money::whole(3900),
    };
    let leaves = Leaves {
        right: 3000.0,
        doubt: doubt(&worth),
        off: 290.0,
        unknown: 60.0,
        way_out: 180.0,
    };
    let position = Position::new(&leaves, &bill.outcomes);
    let left = 3000.0 - bill.total.likely.to_f64() - 290.0 - 60.0;
    // No outcome is so dear that scrap is better.
    assert!((position.mean() - left).abs() < 0.5);
    assert!(position.gone().value() < 1e-9);
    let limits = Limits::new(Money::whole(600), 0.15);
    let margin = position.margin(Money::whole(900));
    writeln!(
        page,
        "\nThe causes cost {mean:.0} on average, what they bring along (`follow_on.csv`) {along:.0}: \
         a bill of {:.0}. With fees, fetching and selling at 290 and 60 set aside for papers that \
         are not told, 3,000 − {:.0} − 290 − 60 = {} is left before the price. The worth \
         spreads by (3,000 − 2,300) / 1.2816 = {:.0}, the bill by {:.0}. At 900 that is a margin of \
         {}, {} to {} in four of five, and money is lost in {:.1} of 100. The most to pay for \
         600 and a chance of loss of at most 15 % is {}.",
        bill.total.likely.to_f64(),
        bill.total.likely.to_f64(),
        Money::from_f64(left).unwrap(),
        leaves.doubt,
        bill.deviation,
        margin.likely,
        margin.low,
        margin.high,
        position.loss_at(900.0) * 100.0,
        position.ceiling(&limits),
    )
    .unwrap();

    let readme = std::fs::read_to_string(README).unwrap();
    let begin = readme.find(BEGIN).expect("the example's place") + BEGIN.len();
    let end = readme.find(END).expect("the example's end");
    if std::env::var_os("UPDATE_README").is_some_and(|v| v == "1") {
        let new = format!("{}{page}{}", &readme[..begin], &readme[end..]);
        std::fs::write(README, new).unwrap();
    } else {
        assert_eq!(&readme[begin..end], page);
    }
}
