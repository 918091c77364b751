//! A misspelt word is answered with the word that was meant, and exit code 2.

use super::run;

const ADS: &str = "samples/harbour-board.csv";

#[test]
fn a_misspelt_word_is_answered_with_the_right_one() {
    let dir = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| {
        let path = dir.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let profile = file("mine.toml", "hour_valu = 20\n");
    let skill = file("skill.toml", "skills = [\"brakez\"]\n");
    let check = file("check.csv", "id,check,outcome\n40116,clutch_bit,bad\n");
    let code = file("code.csv", "id,code,outcome\n40116,cluch,bad\n");
    let book = "id,date,what,code,amount,note\n40116,2026-02-23,part,cluch,80,\n";
    let book = file("book.csv", book);
    for (words, meant) in [
        (&["shortlst", ADS][..], "'shortlist'"),
        (&["shortlist", ADS, "--formt", "csv"], "'--format'"),
        (&["shortlist", ADS, "--quit"], "'--quiet'"),
        (&["shortlist", ADS, "--format", "cvs"], "'csv'"),
        (&["shortlist", ADS, "--sort", "margn"], "'margin'"),
        (&["shortlist", ADS, "--actions", "vew"], "'view'"),
        (&["shortlist", ADS, "--column", "prize=Cost"], "'price'"),
        (&["shortlist", ADS, "--column", "make=Mileag"], "'Mileage'"),
        (&["shortlist", ADS, "--profile", &profile], "'hour_value'"),
        (&["shortlist", ADS, "--profile", &skill], "'brakes'"),
        (&["shortlist", "samples/harbor-board.csv"], ADS),
        (&["shortlist", ADS, "--lexicon", "lexikon"], "'lexicon'"),
        (
            &[
                "shortlist",
                ADS,
                "--seen",
                "samples/harbour-bord.csv=2026-01-01",
            ],
            ADS,
        ),
        (&["explain", "40161", ADS], "'40116'"),
        (
            &["explain", "40116", ADS, "--what-if", "cluch=bad"],
            "'clutch'",
        ),
        (
            &["explain", "40116", ADS, "--what-if", "wroth=4000"],
            "'worth'",
        ),
        (
            &["decide", "40116", ADS, "--findings", &check],
            "'clutch_bite'",
        ),
        (&["decide", "40116", ADS, "--findings", &code], "'clutch'"),
        (&["ledger", &book, ADS], "'clutch'"),
        (&["lexicon", "chek"], "'check'"),
    ] {
        let ran = run(words);
        let said = String::from_utf8(ran.stderr).unwrap();
        assert_eq!(ran.status.code(), Some(2), "{words:?}: {said}");
        assert_eq!(said.lines().count(), 1, "{words:?}: {said}");
        let asks = said.contains("did you mean") && said.contains(meant);
        assert!(asks, "{words:?}: {said}");
        assert!(ran.stdout.is_empty(), "{words:?}");
    }
}

#[test]
fn a_word_unlike_any_is_answered_with_where_to_look() {
    let dir = tempfile::tempdir().unwrap();
    let profile = dir.path().join("mine.toml");
    std::fs::write(&profile, "moon_phase = 3\n").unwrap();
    let profile = profile.to_str().unwrap();
    for (words, where_to) in [
        (&["xyzzy"][..], "'fixworth --help'"),
        (
            &["shortlist", ADS, "--profile", profile],
            "'fixworth profile'",
        ),
        (&["explain", "xyzzy", ADS], "the shortlist shows the ids"),
        (&["shortlist"], "'fixworth shortlist --help'"),
        (
            &["shortlist", ADS, "--new", "--since", "2026-01-01"],
            "leave one out",
        ),
        (&["shortlist", ADS, "-q", "-v"], "leave one out"),
    ] {
        let ran = run(words);
        let said = String::from_utf8(ran.stderr).unwrap();
        assert_eq!(ran.status.code(), Some(2), "{words:?}: {said}");
        assert_eq!(said.lines().count(), 1, "{words:?}: {said}");
        assert!(said.contains(where_to), "{words:?}: {said}");
        assert!(!said.contains("did you mean"), "{words:?}: {said}");
    }
}
