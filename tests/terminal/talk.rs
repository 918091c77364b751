//! How much is said beside the result.

use super::run;

const LIST: [&str; 2] = ["shortlist", "samples/harbour-board.csv"];

fn said(more: &[&str]) -> (String, Vec<u8>) {
    let mut words = LIST.to_vec();
    words.extend(more);
    let ran = run(&words);
    assert!(ran.status.success());
    (String::from_utf8(ran.stderr).unwrap(), ran.stdout)
}

#[test]
fn quiet_says_nothing_and_verbose_more_and_the_result_is_the_same() {
    let (usual, list) = said(&[]);
    assert!(usual.contains("row left out"), "{usual}");
    let (quiet, same) = said(&["--quiet"]);
    assert_eq!((quiet.as_str(), &same), ("", &list));
    let (quiet, _) = said(&["-q"]);
    assert_eq!(quiet, "");
    let (verbose, same) = said(&["--verbose"]);
    assert_eq!(same, list);
    for what in [
        "harbour-board.csv: ASCII, comma; id 'Ad No', headline 'Heading'",
        "reading ads: 89 rows",
        "working out cars: 84 cars",
    ] {
        assert!(verbose.contains(what), "{what} is not in\n{verbose}");
    }
    // What is usually said is said, too.
    for line in usual.lines() {
        assert!(verbose.contains(line), "{line}");
    }
}

#[test]
fn why_there_is_no_result_is_said_even_to_the_quiet() {
    let ran = run(&["shortlist", "nowhere.csv", "--quiet"]);
    assert_eq!(ran.status.code(), Some(2));
    let said = String::from_utf8(ran.stderr).unwrap();
    assert!(
        said.starts_with("fixworth: nowhere.csv: no such file"),
        "{said}"
    );
}
