//! Findings weighed, and what to do.

use super::{Folder, golden};

const FINDINGS: &str = "\
id,check,code,outcome,note,cost,spare\n\
11,bubbles,,bad,steady stream,,\n\
11,owner,,good,,,\n\
11,tread,tire,bad,front pair,80,\n\
11,,thermostat,,,,yes\n\
13,frame,,bad,holes,,\n\
13,drive_ok,,bad,,,\n";

fn folder() -> Folder {
    let folder = Folder::with_ads();
    folder.write("findings.csv", FINDINGS);
    folder
}

/// The figure of a column of the decision: by the ad, or now.
fn figure(page: &str, label: &str, column: usize) -> i64 {
    let line = page.lines().find(|l| l.starts_with(label)).unwrap();
    let cell = line[label.len()..].split_whitespace().nth(column).unwrap();
    cell.replace(',', "").parse().unwrap()
}

#[test]
fn the_decision_on_a_narrow_terminal() {
    let page = folder().page("decide 11 13 ads.csv --findings findings.csv --width 50");
    golden("decide.txt", &page);
    for line in page.lines() {
        assert!(line.chars().count() <= 50, "{line}");
    }
}

#[test]
fn the_first_line_says_what_to_do() {
    let folder = folder();
    // Someone who does not mind a risk.
    folder.write("bold.toml", "loss_limit = 0.6\nwanted_margin = 300\n");
    for (id, findings, starts) in [
        (
            "13",
            "13,frame,bad\n13,gears,bad\n13,block,bad\n",
            "WALK AWAY",
        ),
        ("11", "11,owner,good\n11,drive_ok,good\n", "OFFER UP TO $"),
        ("11", "11,title,junk\n", "WALK AWAY"),
    ] {
        folder.write("f.csv", &format!("id,check,outcome\n{findings}"));
        let page = folder.page(&format!(
            "decide {id} ads.csv --findings f.csv --profile bold.toml"
        ));
        assert!(page.starts_with(starts), "{findings}\n{page}");
    }
}

#[test]
fn nothing_found_changes_nothing() {
    let folder = folder();
    let page = folder.page("decide 11 ads.csv");
    for label in ["fix bill", "worth", "margin", "pay up to"] {
        assert_eq!(figure(&page, label, 0), figure(&page, label, 1), "{label}");
    }
    assert!(!page.contains("Found"), "{page}");
}

#[test]
fn the_shortlist_counts_what_was_found_as_the_decision_does() {
    let folder = folder();
    let page = folder.page("decide 13 ads.csv --findings findings.csv");
    let list = folder.page("shortlist ads.csv --findings findings.csv --format csv");
    let mut reader = csv::Reader::from_reader(list.as_bytes());
    let head = reader.headers().unwrap().clone();
    let column = |name| head.iter().position(|h| h == name).unwrap();
    let row = reader.records().map(Result::unwrap);
    let row = row.into_iter().find(|r| &r[column("id")] == "13").unwrap();
    assert_eq!(
        row[column("ceiling")].parse::<i64>().unwrap(),
        figure(&page, "pay up to", 1)
    );
    assert!(row[column("faults")].contains("rust frame"), "{row:?}");
}

#[test]
fn a_fault_that_is_found_costs_and_one_that_is_ruled_out_saves() {
    let folder = folder();
    let ceiling = |findings: &str| {
        folder.write("f.csv", &format!("id,check,code,outcome,cost\n{findings}"));
        figure(
            &folder.page("decide 13 ads.csv --findings f.csv"),
            "pay up to",
            1,
        )
    };
    let told = ceiling("");
    assert!(ceiling("13,,clutch,bad,\n") < told);
    assert!(ceiling("13,,catalytic_converter,good,\n") > told);
    // One's own figure takes the place of the table's.
    let cheap = ceiling("13,,catalytic_converter,bad,20\n");
    let dear = ceiling("13,,catalytic_converter,bad,900\n");
    assert!(cheap > told && told > dear, "{cheap} {told} {dear}");
    assert_eq!(cheap - dear, 880);
}

#[test]
fn a_check_that_can_err_weighs_less_than_what_was_seen() {
    let folder = folder();
    let ceiling = |findings: &str| {
        folder.write("f.csv", &format!("id,check,code,outcome\n{findings}"));
        figure(
            &folder.page("decide 13 ads.csv --findings f.csv"),
            "pay up to",
            1,
        )
    };
    let (told, heard, seen) = (
        ceiling(""),
        ceiling("13,linkage,,bad\n"),
        ceiling("13,,tie_rod,bad\n"),
    );
    assert!(seen < heard && heard < told, "{seen} {heard} {told}");
}

#[test]
fn a_part_that_lies_in_the_boot_is_not_bought() {
    let folder = folder();
    let bill = |findings: &str| {
        folder.write("f.csv", &format!("id,code,outcome,spare\n{findings}"));
        figure(
            &folder.page("decide 13 ads.csv --findings f.csv"),
            "fix bill",
            1,
        )
    };
    assert!(bill("13,catalytic_converter,,yes\n") < bill(""));
}

#[test]
fn the_sheet_filled_in_is_a_findings_file() {
    let folder = folder();
    let form = folder.page("sheet 11 ads.csv --format csv");
    let mut reader = csv::Reader::from_reader(form.as_bytes());
    let head = reader.headers().unwrap().clone();
    let column = |name| head.iter().position(|h| h == name).unwrap();
    let mut filled = csv::Writer::from_writer(Vec::new());
    filled.write_record(&head).unwrap();
    for row in reader.records().map(Result::unwrap) {
        let mut cells: Vec<String> = row.iter().map(str::to_owned).collect();
        let (outcome, note) = match &row[column("check")] {
            "bubbles" => ("bad", "seen"),
            "owner" => ("good", ""),
            "ask" => ("750", ""),
            _ => ("", ""),
        };
        cells[column("outcome")] = outcome.to_owned();
        cells[column("note")] = note.to_owned();
        filled.write_record(&cells).unwrap();
    }
    let filled = String::from_utf8(filled.into_inner().unwrap()).unwrap();
    folder.write("filled.csv", &filled);
    folder.write(
        "f.csv",
        "id,check,outcome,note\n11,ask,750,\n11,owner,good,\n11,bubbles,bad,seen\n",
    );
    let by_form = folder.page("decide 11 ads.csv --findings filled.csv");
    let by_hand = folder.page("decide 11 ads.csv --findings f.csv");
    assert_eq!(by_form, by_hand);
    assert!(by_form.contains("asks $750"), "{by_form}");
    // A form that nobody filled in says nothing.
    folder.write("empty.csv", &form);
    let empty = folder.page("decide 11 ads.csv --findings empty.csv");
    assert_eq!(empty, folder.page("decide 11 ads.csv"));
}

#[test]
fn mistakes_in_findings_are_named_with_their_place() {
    let folder = folder();
    folder.write("f.csv", "id,check,outcome\n11,tred,bad\n");
    let (code, out, err) = folder.run("decide 11 ads.csv --findings f.csv");
    assert_eq!((code, out.as_str()), (Some(2), ""));
    assert_eq!(
        err,
        "fixworth: f.csv, line 2, column 'check': 'tred' is no check of checks.csv and no code \
         of parts.csv; did you mean 'tread'?\n"
    );
    folder.write("f.csv", "id,check,outcome\n77,tread,bad\n");
    let (code, _, err) = folder.run("shortlist ads.csv --findings f.csv");
    assert_eq!(code, Some(0));
    assert!(
        err.contains("findings, line 2: no ad has the id '77'; the shortlist shows the ids"),
        "{err}"
    );
}
