//! The pages as a whole, and what holds of them.

use super::{Folder, LEXICON, golden};

#[test]
fn the_call_in_its_three_forms() {
    let folder = Folder::with_ads();
    golden("call.txt", &folder.page("call 11 ads.csv --width 60"));
    golden("call.md", &folder.page("call 12 ads.csv --format markdown"));
    golden("call.html", &folder.page("call 12 ads.csv --format html"));
}

#[test]
fn the_sheet_in_its_three_forms() {
    let folder = Folder::with_ads();
    golden("sheet.md", &folder.page("sheet 11 ads.csv"));
    golden(
        "sheet.html",
        &folder.page("sheet 11 12 ads.csv --format html"),
    );
    golden("sheet.csv", &folder.page("sheet 13 ads.csv --format csv"));
}

#[test]
fn questions_come_in_the_order_of_what_hangs_on_them() {
    let page = Folder::with_ads().page("call 12 ads.csv --width 100");
    let ceiling = |line: &str| -> Option<i64> {
        let after = line.split("pay up to $").nth(1);
        match after {
            Some(text) => text
                .split(',')
                .take_while(|t| !t.contains(' '))
                .count()
                .ge(&0)
                .then(|| {
                    let digits: String = text
                        .chars()
                        .take_while(|c| c.is_ascii_digit() || *c == ',')
                        .filter(char::is_ascii_digit)
                        .collect();
                    digits.parse().unwrap()
                }),
            None => line.contains("walk away").then_some(0),
        }
    };
    let mut stakes = Vec::new();
    let mut good = None;
    for line in page.lines().map(str::trim) {
        if line.starts_with("good (") {
            good = ceiling(line);
        }
        if line.starts_with("bad (") {
            stakes.push(good.zip(ceiling(line)).map_or(0, |(g, b)| (g - b).abs()));
        }
    }
    assert!(stakes.len() >= 4, "{page}");
    assert!(
        stakes.windows(2).all(|w| w[0] >= w[1]),
        "{stakes:?}\n{page}"
    );
}

#[test]
fn an_answer_means_what_the_ad_would_mean_if_it_said_so() {
    let folder = Folder::with_ads();
    let page = folder.page("call 11 ads.csv --width 100");
    let said = super::ADS.replace("New battery.", "New battery. Clean title.");
    folder.write("said.csv", &said);
    let told = folder.page("call 11 said.csv --width 100");
    let ceiling = told
        .split("pay no more than $")
        .nth(1)
        .and_then(|t| t.split(';').next())
        .unwrap();
    let answer = format!("good (clean, in own name, in hand): pay up to ${ceiling}, ");
    assert!(page.contains(&answer), "{answer}\n{page}");
}

#[test]
fn the_sheet_asks_for_what_the_ad_tells_and_leaves_out_what_cannot_be_done() {
    let folder = Folder::with_ads();
    let hot = folder.page("sheet 11 ads.csv");
    let bubbles = hot.lines().find(|l| l.contains("Bubbles in the tank"));
    assert!(bubbles.unwrap().contains("*Ad: overheats"), "{hot}");
    assert!(hot.contains("**Clutch**") && !hot.contains("Automatic's fluid"));
    // A car that does not start is not driven, and a trailer is packed.
    let dead = folder.page("sheet 12 ads.csv");
    assert!(!dead.contains("## Drive\n") && hot.contains("## Drive\n"));
    assert!(dead.contains("trailer with straps") && !hot.contains("trailer with straps"));
    assert!(dead.contains("**Turns by hand**") && !hot.contains("**Turns by hand**"));
}

#[test]
fn the_sheet_goes_through_the_stages_in_the_order_of_doing() {
    let page = Folder::with_ads().page("sheet 13 ads.csv");
    let heads: Vec<_> = page.lines().filter_map(|l| l.strip_prefix("## ")).collect();
    assert_eq!(
        heads,
        [
            "Bring",
            "Papers and numbers",
            "Cold, before it is started",
            "Under the hood",
            "Started, standing",
            "Inside",
            "Drive",
            "Underneath",
            "After the drive"
        ]
    );
}

#[test]
fn each_danger_has_its_caution_on_the_sheet() {
    let page = Folder::with_ads().page("sheet 11 ads.csv");
    for caution in [
        "never under a car held by a jack alone",
        "Never open a hot radiator",
        "away from belts and fan",
        "airbag parts",
        "no flame, no smoking",
        "legal and insured",
        "differ by state and country",
    ] {
        assert!(page.contains(caution), "{caution}");
    }
}

#[test]
fn every_limit_names_its_standard() {
    for check in LEXICON.checks.rows() {
        if check.limit.is_some() {
            assert!(
                check.source.contains("CFR"),
                "{}: {}",
                check.check,
                check.source
            );
        }
        assert!(!check.source.is_empty());
    }
    let tread = LEXICON.checks.find("tread").unwrap();
    assert_eq!(tread.limit.as_deref(), Some("tread at least 2/32 in"));
}

#[test]
fn a_file_that_is_there_is_written_over_only_by_force() {
    let folder = Folder::with_ads();
    folder.write("mine.csv", "my own work");
    for command in ["call 11", "sheet 11", "decide 11"] {
        let (code, out, err) = folder.run(&format!("{command} ads.csv --out mine.csv"));
        assert_eq!((code, out.as_str()), (Some(2), ""), "{command}");
        assert_eq!(
            err,
            "fixworth: mine.csv: is there already; name another file, or give --force to write \
             over it\n"
        );
        let kept = std::fs::read_to_string(folder.path("mine.csv")).unwrap();
        assert_eq!(kept, "my own work");
    }
    folder.page("sheet 11 ads.csv --format csv --out mine.csv --force");
    let new = std::fs::read_to_string(folder.path("mine.csv")).unwrap();
    assert!(new.starts_with("id,car,stage,check,"), "{new}");
}

#[test]
fn what_is_no_ad_is_said_in_one_line() {
    let folder = Folder::with_ads();
    for (line, message) in [
        (
            "call 99 ads.csv",
            "no ad has the id '99'; the shortlist shows the ids",
        ),
        (
            "sheet 11 12",
            "no file of ads after '11 12'; give the ids first, then the files",
        ),
        (
            "sheet 11 asd.csv",
            "asd.csv: no such file; did you mean 'ads.csv'?",
        ),
    ] {
        let (code, out, err) = folder.run(line);
        assert_eq!((code, out.as_str()), (Some(2), ""), "{line}");
        assert_eq!(err, format!("fixworth: {message}\n"));
    }
}
