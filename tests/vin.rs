//! Identification numbers: the check digit and the model year agree with an
//! independent reader, and with the specimens published with the rule.
//!
//! The table was made with the Python package vininfo 1.11.0 by
//! `tests/oracles/vin_table.py`; the rule is 49 CFR 565.15.

use fixworth::reading::vin::{check_digit, is_sound, is_vin, model_years};

/// The last model year that the table knows of.
const LAST: u16 = 2026;

fn table() -> Vec<csv::StringRecord> {
    csv::Reader::from_path("tests/data/vin_table.csv")
        .expect("the table is there")
        .records()
        .collect::<Result<_, _>>()
        .expect("the table is sound")
}

#[test]
fn check_digits_agree_with_an_independent_reader() {
    let rows = table();
    assert!(rows.len() >= 300, "{} rows", rows.len());
    let sound = rows.iter().filter(|r| &r[1] == "yes").count();
    assert!(sound >= 150 && rows.len() - sound >= 100, "{sound} sound");
    let differ: Vec<&str> = rows
        .iter()
        .filter(|r| is_sound(&r[0]) != (&r[1] == "yes"))
        .map(|r| &r[0])
        .collect();
    assert!(differ.is_empty(), "{differ:?}");
}

#[test]
fn model_years_agree_with_an_independent_reader() {
    let differ: Vec<String> = table()
        .iter()
        .filter_map(|r| {
            let mut ours: Vec<u16> = model_years(&r[0])
                .iter()
                .map(|y| y.0)
                .filter(|y| *y <= LAST)
                .collect();
            ours.sort_unstable();
            let theirs: Vec<u16> = r[2].split(' ').flat_map(str::parse).collect();
            (ours != theirs).then(|| format!("{}: {ours:?}, not {theirs:?}", &r[0]))
        })
        .collect();
    assert!(differ.is_empty(), "{differ:#?}");
}

#[test]
fn published_specimens_hold() {
    // Both are widely published with the method of 49 CFR 565.15(c).
    assert_eq!(check_digit("1M8GDM9AXKP042788"), Some('X'));
    assert_eq!(check_digit("11111111111111111"), Some('1'));
    for vin in [
        "1M8GDM9AXKP042788",
        "1m8gdm9axkp042788",
        "11111111111111111",
    ] {
        assert!(is_sound(vin), "{vin}");
    }
}

#[test]
fn one_wrong_character_is_found_out() {
    let good = "1M8GDM9AXKP042788";
    for at in (0..17).filter(|at| *at != 8) {
        // The value changes by 1 to 9 and no weight is a multiple of 11, so
        // the sum is never the same again.
        let mut bad: Vec<char> = good.chars().collect();
        bad[at] = match bad[at] {
            'A' => 'B',
            '0' => '1',
            '1'..='9' => '0',
            _ => 'A',
        };
        let bad: String = bad.into_iter().collect();
        assert!(!is_sound(&bad), "{bad}");
    }
}

#[test]
fn the_seventh_character_tells_the_thirty_years_apart() {
    // 49 CFR 565.15(d)(1): a digit before model year 2010, a letter from then.
    assert_eq!(model_years("1G1ZH57B28F204417")[0].0, 2008);
    assert_eq!(model_years("1G1ZH5EB28F204417")[0].0, 2038);
    assert_eq!(model_years("1G1ZH5EBXAF204417")[0].0, 2010);
    assert!(model_years("1G1ZH57B2UF204417").is_empty());
}

#[test]
fn other_words_of_seventeen_characters_are_no_numbers() {
    for word in [
        "1M8GDM9AXKP04278",
        "1M8GDM9AXKP0427888",
        "IM8GDM9AXKP042788",
        "1M8GDM9AXKPO42788",
        "12345678901234567",
        "transmissionfluid",
    ] {
        assert!(!is_vin(word), "{word}");
    }
    assert!(is_vin("wvwma63b1we317702"));
}
