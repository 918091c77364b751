//! The command line from outside: exit codes, one clear line for each mistake,
//! and results that do not change.

mod program;

use std::process::Stdio;

use program::{Folder, Ran};

const ADS: &str = "\
id,title,description,price,date
1,2003 Toyota Corolla,\"Runs and drives, 148000 miles, clean title. Head gasket is leaking.\",900,2016-05-03
2,2005 Mazda 3,\"Needs work. As is. 555-0114 or joe@example.com\",1500 obo,2016-05-01
3,1999 Saab 9-3,\"Clutch slips, drives, 160k miles. Clean title in hand. 5 speed.\",800 firm,2016-04-30
4,Wheels off a Subaru,\"Set of four wheels with tires\",200,2016-05-02
";

fn ads() -> Folder {
    Folder::new().with("ads.csv", ADS)
}

#[test]
fn a_missing_file_is_named_with_the_nearest_there_is() {
    ads().fails(
        &["shortlist", "asd.csv"],
        "asd.csv: no such file; did you mean 'ads.csv'?",
    );
    ads().fails(
        &["read", "elsewhere.txt"],
        "elsewhere.txt: no such file; check the name and the folder",
    );
}

#[test]
fn a_folder_in_place_of_a_file() {
    Folder::new().with("folder/ads.csv", ADS).fails(
        &["read", "folder"],
        "folder: is a folder; name the CSV files in it",
    );
}

#[test]
fn an_empty_file() {
    Folder::new().with("ads.csv", "").fails(
        &["shortlist", "ads.csv"],
        "ads.csv: is empty; a row of column names and a row for each ad are needed",
    );
}

#[test]
fn a_binary_file() {
    let bytes: Vec<u8> = (0..4096u32).map(|i| (i * i % 251) as u8).collect();
    Folder::new().with("ads.csv", bytes).fails(
        &["read", "ads.csv"],
        "ads.csv: this is no text but binary data; export the ads as CSV",
    );
}

#[test]
fn a_header_alone_gives_an_empty_list() {
    let folder = Folder::new().with("ads.csv", "id,title,description,price\n");
    let ran = folder.run(&["read", "ads.csv"]).ok();
    assert_eq!(ran.out, "");
    assert!(ran.err.contains("ads.csv"), "{}", ran.err);
    let ran = folder.run(&["shortlist", "ads.csv"]).ok();
    assert_eq!(ran.out, "0 of 0 ads: there is nothing to rank\n");
    assert!(!ran.err.contains("ages are counted"), "{}", ran.err);
}

#[test]
fn unknown_words_are_named_with_the_nearest_there_is() {
    let folder = ads();
    folder.fails(
        &["shortlist", "ads.csv", "--fromat", "csv"],
        "no option '--fromat'; did you mean '--format'?",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--tpo", "3"],
        "no option '--tpo'; did you mean '--top'?",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--nope"],
        "no option '--nope'; 'fixworth --help' lists what there is",
    );
    folder.fails(
        &["shortlst", "ads.csv"],
        "no command 'shortlst'; did you mean 'shortlist'?",
    );
    folder.fails(&[], "no command given; 'fixworth --help' lists them");
    folder.fails(
        &["read", "ads.csv", "--format", "xml"],
        "--format: 'xml' is not known; use one of jsonl, json, csv",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--sort", "price"],
        "--sort: 'price' is not known; use one of margin, margin-per-hour, low-end, ceiling",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--as-of", "soon"],
        "--as-of: 'soon' does not do; give a year such as 2016 or a date such as 2016-05-03",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--max-price", "cheap"],
        "--max-price: 'cheap' does not do; give an amount such as 1500",
    );
    folder.fails(
        &["shortlist"],
        "missing: FILE...; see 'fixworth shortlist --help'",
    );
    folder.fails(
        &["read", "ads.csv", "--column", "prise=Cost"],
        "--column: 'prise=Cost' does not do; 'prise' is no field, \
         did you mean 'price'?; the fields are: id, headline, text, price, distance, year, make, \
         model, place, date, link",
    );
    folder.fails(
        &["explain", "11", "ads.csv"],
        "no ad has the id '11'; did you mean '1'?",
    );
}

#[test]
fn a_table_of_the_lexicon_that_is_wrong_is_named_with_its_place() {
    let head = "code,share,fixed,words,question,source\n";
    let folder = ads()
        .with("code/unknowns.csv", format!("{head}need_work,0,0,w,q,s\n"))
        .with(
            "twice/phrases.csv",
            "phrase,code,says\nclutch,clutch,noun\nclutch,clutch,noun\n",
        )
        .with("part/phrases.csv", "phrase,code,says\nclutch,clutsh,noun\n")
        .with("name/phrase.csv", "a,b\n")
        .with("give/give.csv", "basis,give,opening,source\nplain,-1,1,s\n");
    folder.fails(
        &["read", "ads.csv", "--lexicon", "code"],
        "code/unknowns.csv, line 2, column 'code': 'need_work' is unknown; \
         did you mean 'needs_work'?",
    );
    folder.fails(
        &["read", "ads.csv", "--lexicon", "give"],
        "give/give.csv, line 2, column 'give': -1 is negative; it must be 0 or more",
    );
    folder.fails(
        &["read", "ads.csv", "--lexicon", "twice"],
        "twice/phrases.csv, line 3, column 'phrase': 'clutch' stands twice; remove one",
    );
    folder.fails(
        &["read", "ads.csv", "--lexicon", "part"],
        "part/phrases.csv, line 2, column 'code': 'clutsh' is no code of parts.csv; \
         did you mean 'clutch'?",
    );
    let ran = folder.run(&["read", "ads.csv", "--lexicon", "name"]);
    assert_eq!(
        (ran.code, ran.err.lines().count()),
        (Some(2), 1),
        "{}",
        ran.err
    );
    assert!(
        ran.err
            .starts_with("fixworth: name/phrase.csv: no table of the lexicon"),
        "{}",
        ran.err
    );
    let ran = folder.run(&["read", "ads.csv", "--lexicon", "nowhere"]);
    assert_eq!(
        (ran.code, ran.err.lines().count()),
        (Some(2), 1),
        "{}",
        ran.err
    );
}

#[test]
fn a_profile_that_is_wrong_is_named_with_its_place() {
    let folder = ads()
        .with("rate.toml", "currency = \"USD\"\nhour_value = -5\n")
        .with("key.toml", "hour_valeu = 5\n");
    let ran = folder.run(&["shortlist", "ads.csv", "--profile", "rate.toml"]);
    assert_eq!(
        (ran.code, ran.err.lines().count()),
        (Some(2), 1),
        "{}",
        ran.err
    );
    assert!(
        ran.err
            .starts_with("fixworth: rate.toml, line 2, hour_value: "),
        "{}",
        ran.err
    );
    folder.fails(
        &["shortlist", "ads.csv", "--profile", "key.toml"],
        "key.toml, line 1: no key 'hour_valeu'; did you mean 'hour_value'?",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--profile", "ky.toml"],
        "ky.toml: no such file; did you mean 'key.toml'?",
    );
}

#[test]
fn two_comparables_are_too_few_and_the_run_goes_on() {
    let folder = ads().with(
        "sold.csv",
        "year,make,model,miles,price\n2003,Toyota,Corolla,140000,2900\n2004,Toyota,Corolla,120000,3300\n",
    );
    let ran = folder
        .run(&["shortlist", "ads.csv", "--comparables", "sold.csv"])
        .ok();
    assert!(
        ran.err.contains("sold.csv: only 2 rows can be used"),
        "{}",
        ran.err
    );
    let folder = folder.with("odd.csv", "a,b\n1,2\n");
    let ran = folder.run(&["shortlist", "ads.csv", "--comparables", "odd.csv"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
}

#[test]
fn a_file_of_comparables_that_is_none_is_told_for_what_it_is() {
    let folder = ads()
        .with("empty.csv", "")
        .with("folder/sold.csv", "year,make,price\n")
        .with("sold.xlsx", b"PK\x03\x04rest")
        .with("bytes.csv", [0u8, 1, 2, 3, 0, 0, 255]);
    let given = |name| folder.run(&["shortlist", "ads.csv", "--comparables", name]);
    for (name, says) in [
        ("empty.csv", "empty.csv: is empty; "),
        ("folder", "folder: is a folder; "),
        ("sold.xlsx", "sold.xlsx: this is a spreadsheet"),
        ("bytes.csv", "bytes.csv: this is no text but binary data"),
    ] {
        let ran = given(name);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{name}");
        assert!(
            ran.err.starts_with(&format!("fixworth: {says}")),
            "{}",
            ran.err
        );
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    }
    // A spreadsheet's own text export is UTF-16.
    let rows: String = (0..6)
        .map(|i| {
            format!(
                "200{i},Toyota,Corolla,{},{}\n",
                150_000 - i * 9000,
                2500 + i * 300
            )
        })
        .collect();
    let table = format!("\u{feff}year,make,model,miles,price\n{rows}");
    let wide: Vec<u8> = table.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let folder = ads().with("sold.csv", wide);
    let ran = folder.run(&["shortlist", "ads.csv", "--comparables", "sold.csv"]);
    assert!(!ran.ok().err.contains("sold.csv"));
}

#[test]
fn no_result_is_written_over_what_was_read() {
    let folder = ads().with("mine.toml", "hour_value = 5\n");
    folder.fails(
        &["read", "ads.csv", "--out", "./ads.csv"],
        "--out: './ads.csv' is read by this run and would be lost; name another file",
    );
    folder.fails(
        &["shortlist", "ads.csv", "--rejects", "ads.csv"],
        "--rejects: 'ads.csv' is read by this run and would be lost; name another file",
    );
    let over = [
        "shortlist",
        "ads.csv",
        "--profile",
        "mine.toml",
        "--out",
        "mine.toml",
    ];
    folder.fails(
        &over,
        "--out: 'mine.toml' is read by this run and would be lost; name another file",
    );
    let twice = ["read", "ads.csv", "--out", "o", "--rejects", "o"];
    folder.fails(
        &twice,
        "--rejects: 'o' is the file of --out too; name another file",
    );
    assert_eq!(
        std::fs::read_to_string(folder.path("ads.csv")).unwrap(),
        ADS
    );
}

#[test]
fn the_highest_price_may_be_typed_as_the_list_prints_it() {
    let ran = ads().run(&[
        "shortlist",
        "ads.csv",
        "--max-price",
        "$1,000",
        "--format",
        "csv",
    ]);
    let ran = ran.ok();
    let ids: Vec<_> = ran
        .out
        .lines()
        .skip(1)
        .filter_map(|l| l.split(',').nth(1))
        .collect();
    assert!(ids.contains(&"1") && !ids.contains(&"2"), "{ids:?}");
}

#[test]
fn rejected_rows_are_told_and_strict_makes_them_an_error() {
    let folder = Folder::new().with("ads.csv", format!("{ADS}5,one,two,three,four,five,six\n"));
    let ran = folder.run(&["read", "ads.csv"]).ok();
    assert_eq!(ran.out.lines().count(), 4);
    assert!(
        ran.err
            .starts_with("fixworth: row left out: ads.csv, line 6: "),
        "{}",
        ran.err
    );
    let ran = folder.run(&["read", "ads.csv", "--strict", "--rejects", "bad.csv"]);
    assert_eq!(ran.code, Some(1));
    assert_eq!(ran.out.lines().count(), 4);
    let bad = std::fs::read_to_string(folder.path("bad.csv")).unwrap();
    assert_eq!(bad.lines().count(), 2, "{bad}");
    assert_eq!(ads().run(&["read", "ads.csv", "--strict"]).code, Some(0));
}

#[test]
fn the_year_of_ages_is_told_unless_it_was_given() {
    let ran = ads().run(&["shortlist", "ads.csv"]).ok();
    assert!(
        ran.err.contains(
            "fixworth: ages are counted to 2016, the newest date of the ads; --as-of YEAR sets it"
        ),
        "{}",
        ran.err
    );
    let ran = ads().run(&["shortlist", "ads.csv", "--as-of", "2018"]).ok();
    assert!(!ran.err.contains("ages"), "{}", ran.err);
    assert!(ran.out.contains("ages as of 2018"), "{}", ran.out);
}

#[test]
fn readings_come_in_the_order_of_the_rows() {
    let ran = ads().run(&["read", "ads.csv"]).ok();
    let ids: Vec<_> = ran
        .out
        .lines()
        .map(|l| {
            let row: serde_json::Value = serde_json::from_str(l).unwrap();
            row["id"].as_str().unwrap().to_owned()
        })
        .collect();
    assert_eq!(ids, ["1", "2", "3", "4"]);
}

#[test]
fn threads_do_not_change_the_result() {
    for args in [
        &["shortlist", "ads.csv", "--format", "json"][..],
        &["read", "ads.csv"][..],
        &["explain", "1", "ads.csv"][..],
    ] {
        let folder = ads();
        let with = |threads: &str| {
            let mut command = folder.command(args);
            let ran = Ran::of(&command.env("RAYON_NUM_THREADS", threads).output().unwrap());
            ran.ok().out
        };
        assert_eq!(with("1"), with("4"), "{args:?}");
    }
}

#[test]
fn the_choice_of_ads_is_kept() {
    let list = |more: &[&str]| -> serde_json::Value {
        let args = [&["shortlist", "ads.csv", "--format", "json"], more].concat();
        serde_json::from_str(&ads().run(&args).ok().out).unwrap()
    };
    let ids = |list: &serde_json::Value| -> Vec<String> {
        let cars = list["cars"].as_array().unwrap();
        cars.iter()
            .map(|c| c["id"].as_str().unwrap().to_owned())
            .collect()
    };
    let all = list(&[]);
    assert_eq!(ids(&all).len(), 4);
    assert_eq!(ids(&all).last().map(String::as_str), Some("4"));
    assert_eq!(ids(&list(&["--top", "2"])), ids(&all)[..2]);
    let cheap = list(&["--max-price", "900"]);
    assert!(!ids(&cheap).contains(&"2".to_owned()));
    assert_eq!(cheap["ads"], 4);
    for car in list(&["--actions", "skip"])["cars"].as_array().unwrap() {
        assert_eq!(car["action"], "skip");
    }
    for car in list(&["--min-margin", "-100"])["cars"].as_array().unwrap() {
        assert!(car["margin"]["likely"].as_f64().unwrap() >= -100.0);
    }
}

#[test]
fn an_output_file_appears_whole_and_standard_output_stays_empty() {
    let folder = ads();
    let to_stdout = folder
        .run(&["shortlist", "ads.csv", "--format", "csv"])
        .ok()
        .out;
    let ran = folder
        .run(&[
            "shortlist",
            "ads.csv",
            "--format",
            "csv",
            "--out",
            "list.csv",
        ])
        .ok();
    assert_eq!(ran.out, "");
    assert_eq!(
        std::fs::read_to_string(folder.path("list.csv")).unwrap(),
        to_stdout
    );
    let ran = folder.run(&["read", "ads.csv", "--out", "no/such/list.csv"]);
    assert_eq!(ran.code, Some(2));
    assert!(
        ran.err
            .starts_with("fixworth: no/such/list.csv: cannot be written: "),
        "{}",
        ran.err
    );
}

#[test]
fn contacts_are_masked_where_people_share() {
    let folder = ads();
    for args in [
        &["shortlist", "ads.csv"][..],
        &["shortlist", "ads.csv", "--format", "csv"],
        &["shortlist", "ads.csv", "--format", "markdown"],
        &["explain", "2", "ads.csv"],
        &["read", "ads.csv", "--format", "csv", "--with-text"],
    ] {
        let out = folder.run(args).ok().out;
        assert!(!out.contains("555-0114"), "{args:?}\n{out}");
        assert!(!out.contains("joe@example.com"), "{args:?}\n{out}");
    }
}

#[test]
fn hostile_text_reaches_no_terminal_and_no_spreadsheet() {
    let folder = Folder::new().with(
        "ads.csv",
        "id,title,description,price\n\
         =7,=HYPERLINK(1) 2004 Saab 9-3\u{1b}]0;x\u{7},\u{1b}[2Jruns \u{9b}31m \u{202e}rust,500\n",
    );
    for args in [
        &["shortlist", "ads.csv"][..],
        &["shortlist", "ads.csv", "--format", "csv"],
        &["shortlist", "ads.csv", "--format", "json"],
        &["shortlist", "ads.csv", "--format", "markdown"],
        &["read", "ads.csv", "--with-text"],
        &["read", "ads.csv", "--with-text", "--format", "csv"],
        &["explain", "=7", "ads.csv"],
    ] {
        let ran = folder.run(args).ok();
        let acts = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
        assert!(!ran.out.contains(acts), "{args:?}\n{:?}", ran.out);
        assert!(!ran.err.contains(acts), "{args:?}\n{:?}", ran.err);
        if args.contains(&"csv") {
            assert!(
                !ran.out.contains(",=") && !ran.out.contains("\n="),
                "{}",
                ran.out
            );
        }
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let folder = ads();
    let mut child = folder
        .command(&["read", "ads.csv"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{err}");
    assert!(!err.contains("cannot be written"), "{err}");
}

#[test]
fn the_printed_profile_is_the_default() {
    let folder = ads();
    let profile = folder.run(&["profile"]).ok().out;
    let folder = folder.with("mine.toml", &profile);
    let with = folder
        .run(&["shortlist", "ads.csv", "--profile", "mine.toml"])
        .ok();
    let without = folder.run(&["shortlist", "ads.csv"]).ok();
    assert_eq!(with.out, without.out);
}

#[test]
fn help_and_version_are_no_errors() {
    for args in [&["--help"][..], &["shortlist", "--help"], &["--version"]] {
        let ran = ads().run(args).ok();
        assert!(!ran.out.is_empty() && ran.err.is_empty(), "{args:?}");
    }
}

#[test]
fn a_file_that_is_there_is_written_over_only_by_force() {
    let folder = ads().with("mine.txt", "a year of notes");
    let mine = || std::fs::read_to_string(folder.path("mine.txt")).unwrap();
    for (words, option) in [
        (
            &["shortlist", "ads.csv", "--out", "mine.txt"][..],
            "--force",
        ),
        (&["read", "ads.csv", "--out", "mine.txt"][..], "--force"),
        (&["read", "ads.csv", "--rejects", "mine.txt"][..], "--force"),
        (&["profile", "--out", "mine.txt"][..], "--force"),
    ] {
        let ran = folder.run(words);
        assert_eq!(ran.code, Some(2), "{words:?}");
        assert!(
            ran.err.contains("is there already") && ran.err.contains(option),
            "{}",
            ran.err
        );
        assert_eq!(mine(), "a year of notes");
    }
    let ran = folder.run(&["profile", "--out", "mine.txt", "--force"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(mine().contains("hour_value"));
}
