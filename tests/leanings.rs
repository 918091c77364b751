//! What is read where no cue stands beside a part, and of words whose meaning
//! hangs on their neighbours. The sentences are invented.

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::lexicon::context::fixed_rows;
use fixworth::lexicon::context::network::WIDTH;
use fixworth::lexicon::passing::ANSWERS;
use fixworth::lexicon::table::BUILT_IN;
use fixworth::reading::{Moves, Reader, Reading, Vague};
use fixworth::units::DistanceUnit;

fn listing(text: &str) -> Listing {
    let origin = Origin {
        file: "ad".into(),
        line: 1,
    };
    Listing::new(ListingId("1".to_owned()), origin, "2004 Saab 9-3", text)
}

/// What is read of parts, as `code state`, by these tables.
fn claims(lexicon: &Lexicon, text: &str) -> Vec<String> {
    let ad = listing(text);
    let reading = Reader::new(lexicon, DistanceUnit::Miles).read(&ad);
    let told = reading.claims.iter();
    told.map(|c| format!("{} {}", lexicon.parts.code(c.part), c.says))
        .collect()
}

/// The tables with one of them in the place of the built-in one, and nothing said by
/// what stands where.
fn with(table: &str, text: &str) -> Lexicon {
    with_both(table, text, CONTEXT)
}

/// The same with this network.
fn with_both(table: &str, text: &str, context: &str) -> Lexicon {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join(table), text).unwrap();
    std::fs::write(dir.path().join("context.csv"), context).unwrap();
    Lexicon::from_dir(dir.path()).unwrap()
}

const CONTEXT: &str = "of,name,hundredths\n";

/// A network that gives one answer of everything, whatever stands around it.
fn always(answer: &str) -> String {
    let answers = ANSWERS.map(|(name, _)| if name == answer { "900" } else { "0" });
    let bias = format!(
        "{}{}",
        answers.join(" "),
        " 0".repeat(WIDTH - ANSWERS.len())
    );
    let none = vec!["0"; WIDTH].join(" ");
    let row = |(of, name): (String, String)| match (of.as_str(), name.as_str()) {
        ("answer", "bias") => format!("{of},{name},{bias}\n"),
        _ => format!("{of},{name},{none}\n"),
    };
    let rows: String = fixed_rows().map(row).collect();
    format!("{CONTEXT}{rows}")
}

const HEAD: &str = "near,word,bad,suspect,renewed,sound,nothing\n";

#[test]
fn weights_tell_the_state_of_a_part_that_no_cue_governs() {
    let text = "The alternator yodels.";
    let none = with("leanings.csv", HEAD);
    assert_eq!(claims(&none, text), [""; 0]);
    let one = with("leanings.csv", &format!("{HEAD}after,yodels,4,0,0,0,0\n"));
    assert_eq!(claims(&one, text), ["alternator bad"]);
    // A chance too small, or an answer of nothing, makes no claim.
    let weak = with("leanings.csv", &format!("{HEAD}after,yodels,0.5,0,0,0,0\n"));
    assert_eq!(claims(&weak, text), [""; 0]);
    let nothing = with("leanings.csv", &format!("{HEAD}after,yodels,4,0,0,0,9\n"));
    assert_eq!(claims(&nothing, text), [""; 0]);
}

#[test]
fn rules_go_before_weights() {
    let all_bad = with("leanings.csv", &format!("{HEAD}form,any,9,0,0,0,0\n"));
    assert_eq!(claims(&all_bad, "New alternator."), ["alternator renewed"]);
    assert_eq!(claims(&all_bad, "The alternator."), ["alternator bad"]);
    // A symptom is never renewed: it is gone.
    let renewed = with("leanings.csv", &format!("{HEAD}form,any,0,0,9,0,0\n"));
    assert_eq!(claims(&renewed, "The alternator."), ["alternator renewed"]);
}

#[test]
fn the_state_of_a_neighbour_and_of_the_next_sentence_count() {
    let next = with(
        "leanings.csv",
        &format!("{HEAD}cue_next,bad,4,0,0,0,0\nlater,renewed,0,0,4,0,0\n"),
    );
    assert_eq!(
        claims(&next, "The alternator. Dead, sadly."),
        ["alternator bad"]
    );
    assert_eq!(claims(&next, "The alternator. Text me."), [""; 0]);
}

#[test]
fn the_tables_say_how_they_were_made() {
    for table in [
        "leanings.csv",
        "moves_leanings.csv",
        "passing.csv",
        "context.csv",
    ] {
        let (_, text) = BUILT_IN.iter().find(|(n, _)| *n == table).unwrap();
        let notes: Vec<_> = text.lines().take_while(|l| l.starts_with('#')).collect();
        assert!(notes.iter().any(|n| n.contains("Learnt by")), "{notes:#?}");
        assert!(notes.iter().any(|n| n.contains("left out")), "{notes:#?}");
    }
}

/// An ad that tells of much else.
fn among_talk(text: &str) -> String {
    let talk = "We moved here from the coast and my aunt keeps bees behind the barn. ";
    format!("{}{text}", talk.repeat(3))
}

const SECOND_LOOK: &str = "near,word,bad,suspect,renewed,sound,spare,passing\n";

/// Tables whose second look weighs this alone: the rows, and that what a rule says
/// mostly stands.
fn looking_again(rows: &str) -> Lexicon {
    hearing_again(rows, CONTEXT)
}

/// The same with this network.
fn hearing_again(rows: &str, context: &str) -> Lexicon {
    let stands = "says,bad,2,,,,,\nsays,renewed,,,2,,,\nsays,sound,,,,2,,\n";
    with_both(
        "passing.csv",
        &format!("{SECOND_LOOK}{stands}{rows}"),
        context,
    )
}

#[test]
fn what_is_likely_said_in_passing_is_left_out() {
    let bald = ["tire bad"];
    let none = with("passing.csv", SECOND_LOOK);
    // What stands around one saying takes nothing from another.
    let story = among_talk("The museum has a cracked windshield. Bald tires.");
    assert_eq!(claims(&none, &story), ["windshield bad", "tire bad"]);
    let museum = looking_again("before,museum,,,,,,5\n");
    assert_eq!(claims(&museum, &story), bald);
    // By the part and what is said of it; not where it is hardly likelier.
    let tires = looking_again("part_says,tire bad,,,,,,5\n");
    assert_eq!(claims(&tires, &story), ["windshield bad"]);
    assert_eq!(claims(&tires, &among_talk("New tires.")), ["tire renewed"]);
    let weak = looking_again("part_says,tire bad,,,,,,1.5\n");
    assert_eq!(claims(&weak, &among_talk("Bald tires.")), bald);
    // Who writes little means it.
    assert_eq!(claims(&tires, "Bald tires."), bald);
}

#[test]
fn what_stands_where_is_asked_of_what_single_traits_leave_open() {
    let text = among_talk("The museum has a cracked windshield.");
    let passing = hearing_again("", &always("passing"));
    assert_eq!(claims(&passing, &text), [""; 0]);
    let renewed = hearing_again("", &always("renewed"));
    assert_eq!(claims(&renewed, &text), ["windshield renewed"]);
    // Not where they leave no doubt.
    let sure = hearing_again("before,museum,4,,,,,\n", &always("passing"));
    assert_eq!(claims(&sure, &text), ["windshield bad"]);
    // Of parts that no rule tells of, it is asked beside leanings.csv.
    let text = "The alternator yodels.";
    let weak = format!("{HEAD}after,yodels,0.5,0,0,0,0\n");
    let alone = with_both("leanings.csv", &weak, CONTEXT);
    assert_eq!(claims(&alone, text), [""; 0]);
    let both = with_both("leanings.csv", &weak, &always("bad"));
    assert_eq!(claims(&both, text), ["alternator bad"]);
}

#[test]
fn vague_words_count_where_they_are_meant_so() {
    let vague = |lexicon: &Lexicon| {
        let ad = listing(&among_talk("Sold as is."));
        let reading = Reader::new(lexicon, DistanceUnit::Miles).read(&ad);
        reading.vague.iter().map(|(v, _)| *v).collect::<Vec<_>>()
    };
    assert_eq!(vague(&Lexicon::built_in().unwrap()), [Vague::AsIs]);
    let told = with_both("leanings.csv", HEAD, &always("bad"));
    assert_eq!(vague(&told), [Vague::AsIs]);
    let not_meant = with_both("leanings.csv", HEAD, &always("passing"));
    assert_eq!(vague(&not_meant), []);
    let ad = listing(&among_talk("Sold as is."));
    let trace = Reader::new(&not_meant, DistanceUnit::Miles).trace(&ad);
    let sign = trace.signs.iter().find(|s| s.means == "vague as_is");
    assert!(sign.is_some_and(|s| s.meant.is_some_and(|m| m < 0.01)));
}

#[test]
fn what_likely_says_another_thing_is_put_right() {
    let text = among_talk("The museum has a cracked windshield.");
    let plain = looking_again("");
    assert_eq!(claims(&plain, &text), ["windshield bad"]);
    let glazed = looking_again("before,museum,,,5,,,\n");
    assert_eq!(claims(&glazed, &text), ["windshield renewed"]);
    // A symptom is never renewed: it is gone.
    let gone = looking_again("part_says,oil_leak bad,,,5,,,\n");
    let text = among_talk("The museum says that it leaks oil.");
    assert_eq!(claims(&plain, &text), ["oil_leak bad"]);
    assert_eq!(claims(&gone, &text), ["oil_leak sound"]);
}

#[test]
fn a_word_means_another_part_beside_other_parts() {
    let built_in = Lexicon::built_in().unwrap();
    for (text, right) in [
        ("New calipers, pads and hoses.", "brake_line renewed"),
        ("New radiator and hoses.", "coolant_hose renewed"),
        ("Needs a timing belt and pump.", "water_pump bad"),
        ("Needs a fuel filter and pump.", "fuel_pump bad"),
        ("New plugs, wires, cap and rotor.", "tune_up renewed"),
    ] {
        let told = claims(&built_in, text);
        assert!(told.iter().any(|c| c == right), "{text}: {told:?}");
    }
    let told = claims(&built_in, "New rotor, plugs and wires.");
    assert!(
        !told.iter().any(|c| c.starts_with("brake_rotor")),
        "{told:?}"
    );
    // Alone such a word says nothing.
    assert_eq!(claims(&built_in, "Needs a gasket."), [""; 0]);
}

#[test]
fn equipment_counts_only_where_something_is_said_right_behind_it() {
    let built_in = Lexicon::built_in().unwrap();
    assert_eq!(claims(&built_in, "V6, 5 speed, AWD, 171k."), [""; 0]);
    let told = claims(&built_in, "The five speed is strong. AWD works.");
    assert_eq!(told, ["transmission sound", "transfer_case sound"]);
    let told = claims(&built_in, "Needs tires, 5 speed, 4x4.");
    assert_eq!(told, ["tire bad"]);
}

#[test]
fn marks_out_of_ten_are_read_whatever_the_figure() {
    let built_in = Lexicon::built_in().unwrap();
    let told = claims(&built_in, "Interior 8/10, paint 2/10.");
    assert_eq!(told, ["interior sound", "paint bad"]);
}

/// What is read by this table of words.
fn by_words(rows: &str, text: &str) -> Reading {
    let head = "word,drives,runs_only,no_start,unstated\n";
    let lexicon = with("moves_leanings.csv", &format!("{head}{rows}"));
    let origin = Origin {
        file: "ad".into(),
        line: 1,
    };
    let ad = Listing::new(ListingId("1".to_owned()), origin, "2004 Saab 9-3", text);
    Reader::new(&lexicon, DistanceUnit::Miles).read(&ad)
}

/// Whether the car moves, by this table of words.
fn moves(rows: &str, text: &str) -> Moves {
    by_words(rows, text).moves_as_read()
}

#[test]
fn words_tell_whether_a_car_moves_that_nothing_says_it_of() {
    let rows = "waltzes,2,0,0,0\nto church,2,0,0,0\n";
    assert_eq!(moves(rows, "It waltzes to church."), Moves::Drives);
    // Not one word alone, and not where too little speaks for it.
    assert_eq!(moves(rows, "It waltzes."), Moves::Unstated);
    assert_eq!(moves("*,0,0,0,9\n", "It waltzes."), Moves::Unstated);
    // Sayings of moving are left to the rules, whatever they make of them.
    let test = "test,9,0,0,0\ndrives,9,0,0,0\n";
    assert_eq!(moves(test, "No test drives."), Moves::Unstated);
    let stays = "no,9,0,0,0\nrun,9,0,0,0\nhills,9,0,0,0\n";
    let told = by_words(stays, "Does not run. No hills.");
    assert_eq!((told.moves, told.likely_moves), (Moves::NoStart, None));
    // What is likely is kept apart from what is told, and its evidence says so.
    let likely = by_words(rows, "It waltzes to church.");
    assert_eq!(likely.moves, Moves::Unstated);
    assert_eq!(likely.likely_moves, Some(Moves::Drives));
    let (_, evidence) = likely.fields.iter().find(|(k, _)| *k == "moves").unwrap();
    assert!(
        evidence.rule.contains("likely by all the words"),
        "{evidence:?}"
    );
}
