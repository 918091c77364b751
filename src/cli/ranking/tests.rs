//! Both ways to a list, one that holds all ads and one that holds none, side by
//! side.

use std::path::Path;

use clap::Parser;

use super::*;
use crate::cli::args::{Args, Command};
use crate::cli::batch;
use crate::report::Shortlist;

fn configs(words: &[&str]) -> (InputConfig, FigureConfig) {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    let words = words.iter().map(|word| match word.contains('.') {
        true => samples.join(word).display().to_string(),
        false => (*word).to_owned(),
    });
    let all = ["fixworth".to_owned(), "shortlist".to_owned()];
    let args = Args::try_parse_from(all.into_iter().chain(words)).unwrap();
    let Command::Shortlist(args) = args.command else {
        panic!("another command");
    };
    let mut input = InputConfig::resolve(args.input).unwrap();
    let figures = FigureConfig::resolve(args.figures, &mut input.lexicon).unwrap();
    (input, figures)
}

fn json(list: &Shortlist) -> String {
    let mut out = Vec::new();
    list.write_json(&mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// What keeps everything in memory gives the same, for any cutting.
#[test]
fn a_car_that_is_taken_back_is_the_car_that_was_put_aside() {
    let files = [
        "harbour-board.csv",
        "later/harbour-board-2026-02-14.csv",
        "later/harbour-board-2026-02-21.csv",
        "depot-list.csv",
        "valley-swap.csv",
    ];
    for figures in [
        &["--comparables", "comparables.csv"][..],
        &["--profile", "profile.toml", "--findings", "findings.csv"],
    ] {
        let (input, figures) = configs(&[&files, figures].concat());
        let lexicon = &input.lexicon;
        let batch = batch::read(&input, figures.profile.distance_unit).unwrap();
        let all = pipeline::appraise(batch, &figures, lexicon, Sort::LowEnd).unwrap();
        let cars = all.entries().count();
        assert!(cars > 100 && all.rows > cars, "{cars}");
        let expected = |sort: Sort| {
            let mut entries: Vec<Entry<'_>> = all.entries().collect();
            let gone = |e: &Entry<'_>| e.history.is_some_and(|h| h.gone.is_some());
            entries.sort_by(|a, b| {
                let order = sort.compare(a.appraisal, b.appraisal);
                gone(a).cmp(&gone(b)).then(order)
            });
            let counts = Counts {
                ads: all.rows,
                cars,
            };
            Shortlist::new(all.basis.clone(), counts, entries, lexicon)
        };
        let few = Sort::ALL.iter().flat_map(|sort| [(*sort, 1), (*sort, 9)]);
        let few = few.map(|(sort, most)| (sort, most, &[5][..]));
        let all_of_them = [&[1, 7, 2, 300][..], &[64]];
        let all_of_them = all_of_them.map(|sizes| (Sort::LowEnd, usize::MAX, sizes));
        for (sort, most, sizes) in few.chain(all_of_them) {
            let expected = expected(sort);
            let wanted = Wanted {
                sort,
                most,
                chosen: &|_| true,
                since: None,
                gone: true,
                #[cfg(feature = "page")]
                behind: false,
            };
            let sizes = sizes.iter().copied().cycle();
            let ranked = rank_in(&input, &figures, &wanted, sizes).unwrap();
            assert_eq!(ranked.notes, all.notes);
            assert_eq!(ranked.rejects, all.rejects);
            let shown: Vec<_> = ranked.cars.iter().map(Shown::entry).collect();
            assert_eq!(shown.len(), most.min(cars));
            let list = Shortlist::new(ranked.basis, ranked.counts, shown, lexicon);
            if most > cars {
                assert!(json(&list) == json(&expected));
            } else {
                let text = |cars| serde_json::to_string(cars).unwrap();
                assert!(
                    text(&list.cars[..]) == text(&expected.cars[..most]),
                    "{sort:?}"
                );
            }
        }
    }
}
