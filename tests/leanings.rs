//! What is read where no cue stands beside a part, and of words whose meaning
//! hangs on their neighbours. The sentences are invented.

use fixworth::intake::{Listing, ListingId, Origin};
use fixworth::lexicon::Lexicon;
use fixworth::lexicon::context::fixed_rows;
use fixworth::lexicon::context::network::{ONE, TOWERS, WIDTH};
use fixworth::lexicon::table::BUILT_IN;
use fixworth::reading::{AskBasis, Gearbox, Moves, Reader, Reading, Title, Vague};
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

/// A number of a network's row: which, and its hundredths.
type Number = (usize, i32);

fn vector(of: &str, name: &str, numbers: &[Number]) -> String {
    let all = (0..WIDTH).map(|i| {
        let told = numbers.iter().find(|(at, _)| *at == i);
        told.map_or(0, |(_, hundredths)| *hundredths).to_string()
    });
    let all = all.collect::<Vec<_>>().join(" ");
    // Words are shared by all towers.
    let vectors = if of == "word" { 1 } else { TOWERS };
    format!("{of},{name},{}\n", vec![all; vectors].join(" "))
}

/// A network in which the word `museum` sets off what these rows say, and nothing else
/// does anything.
fn museum(rows: &[(&str, &str, &[Number])]) -> String {
    let fixed = fixed_rows().map(|(of, name)| match (of.as_str(), name.as_str()) {
        ("layer 1", "here 0") => vector(&of, &name, &[(0, 100)]),
        _ => vector(&of, &name, &[]),
    });
    let museum = vector("word", "museum", &[(0, 100)]);
    let named = rows
        .iter()
        .map(|(of, name, numbers)| vector(of, name, numbers));
    let rows = fixed.chain([museum]).chain(named);
    [CONTEXT.to_owned()].into_iter().chain(rows).collect()
}

/// Said by no word.
const NOWHERE: &[Number] = &[(ONE, -1200)];
/// Said by the museum, and by no other word.
const AT_THE_MUSEUM: &[Number] = &[(0, 2200), (ONE, -1200)];
/// Whatever is said, this is it.
const SURELY: &[Number] = &[(ONE, 1500)];

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
    for (table, tried) in [
        ("leanings.csv", true),
        ("moves_leanings.csv", true),
        ("passing.csv", true),
        ("context.csv", false),
    ] {
        let (_, text) = BUILT_IN.iter().find(|(n, _)| *n == table).unwrap();
        let notes: Vec<_> = text.lines().take_while(|l| l.starts_with('#')).collect();
        assert!(notes.iter().any(|n| n.contains("Learnt by")), "{notes:#?}");
        let left_out = notes.iter().any(|n| n.contains("left out"));
        assert_eq!(left_out, tried, "{notes:#?}");
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
    let stands = "says,bad,2,,,,,\nsays,renewed,,,2,,,\nsays,sound,,,,2,,\n";
    with("passing.csv", &format!("{SECOND_LOOK}{stands}{rows}"))
}

/// The rules, and this network, but no second look.
fn hearing(rows: &[(&str, &str, &[Number])]) -> Lexicon {
    with_both("passing.csv", SECOND_LOOK, &museum(rows))
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
fn what_is_heard_of_the_whole_ad_is_weighed_with_what_the_rules_say() {
    let text = among_talk("The museum has a cracked windshield.");
    let nothing = hearing(&[]);
    assert_eq!(claims(&nothing, &text), ["windshield bad"]);
    // Where no word says it, it is left out; where one does, it stands.
    let nowhere = hearing(&[("part", "windshield", NOWHERE)]);
    assert_eq!(claims(&nowhere, &text), [""; 0]);
    let here = hearing(&[("part", "windshield", AT_THE_MUSEUM)]);
    assert_eq!(claims(&here, &text), ["windshield bad"]);
    // What no rule says is added, in the state that is heard.
    let alternator: &[(&str, &str, &[Number])] = &[
        ("part", "alternator", AT_THE_MUSEUM),
        ("said", "alternator sound", SURELY),
    ];
    let told = claims(&hearing(alternator), &text);
    assert_eq!(told, ["windshield bad", "alternator sound"]);
    let talk = among_talk("The market has a cracked windshield.");
    assert_eq!(claims(&hearing(alternator), &talk), ["windshield bad"]);
    // Another state than the rules found takes its place.
    let renewed = hearing(&[
        ("part", "windshield", AT_THE_MUSEUM),
        ("said", "windshield renewed", SURELY),
    ]);
    assert_eq!(claims(&renewed, &text), ["windshield renewed"]);
    // Who writes little means what stands there.
    let brief = "The museum has a cracked windshield.";
    assert_eq!(claims(&nowhere, brief), ["windshield bad"]);
    assert_eq!(claims(&hearing(alternator), brief), ["windshield bad"]);
}

#[test]
fn what_is_denied_is_no_fault_and_a_symptom_is_never_renewed() {
    let text = among_talk("The frame has no rust. The museum is closed.");
    let denied = claims(&hearing(&[]), &text);
    assert_eq!(denied, ["rust_frame sound"]);
    let bad = hearing(&[
        ("part", "rust_frame", AT_THE_MUSEUM),
        ("said", "rust_frame bad", SURELY),
    ]);
    assert!(!claims(&bad, &text).contains(&"rust_frame bad".to_owned()));
    let renewed = hearing(&[
        ("part", "oil_leak", AT_THE_MUSEUM),
        ("said", "oil_leak renewed", SURELY),
    ]);
    assert_eq!(claims(&renewed, &text), denied);
}

#[test]
fn what_is_heard_tells_where_and_why() {
    let lexicon = hearing(&[
        ("part", "alternator", AT_THE_MUSEUM),
        ("said", "alternator bad", SURELY),
        ("part", "windshield", NOWHERE),
    ]);
    let ad = listing(&among_talk("The museum has a cracked windshield."));
    let trace = Reader::new(&lexicon, DistanceUnit::Miles).trace(&ad);
    let evidence = &trace.reading.claims[0].evidence[0];
    assert_eq!(&ad.text[evidence.range.clone()], "museum");
    assert!(
        evidence.rule.contains("all words of the ad"),
        "{evidence:?}"
    );
    let [out, added] = &trace.sayings[..] else {
        panic!("{:?}", trace.sayings);
    };
    assert!(out.dropped.as_ref().is_some_and(|d| d.contains("against")));
    assert_eq!((added.code.as_str(), &added.dropped), ("alternator", &None));
    let did: Vec<_> = trace.turns.iter().flat_map(|t| &t.did).collect();
    let says = |words: &str| did.iter().any(|d| d.contains(words));
    assert!(says("says alternator bad, by all words"), "{did:?}");
    assert!(says("(bad) is likely not told of the car"), "{did:?}");
}

#[test]
fn vague_words_are_weighed_with_what_is_heard() {
    let vague = |lexicon: &Lexicon| {
        let ad = listing(&among_talk("Sold as is by the museum."));
        let reading = Reader::new(lexicon, DistanceUnit::Miles).read(&ad);
        reading.vague.iter().map(|(v, _)| *v).collect::<Vec<_>>()
    };
    assert_eq!(vague(&hearing(&[])), [Vague::AsIs]);
    let said = hearing(&[("vague", "as_is", AT_THE_MUSEUM)]);
    assert_eq!(vague(&said), [Vague::AsIs]);
    let more = hearing(&[("vague", "stale", AT_THE_MUSEUM)]);
    assert_eq!(vague(&more), [Vague::Stale, Vague::AsIs]);
    let not_meant = hearing(&[("vague", "as_is", NOWHERE)]);
    assert_eq!(vague(&not_meant), []);
    let ad = listing(&among_talk("Sold as is by the museum."));
    let trace = Reader::new(&not_meant, DistanceUnit::Miles).trace(&ad);
    let sign = trace.signs.iter().find(|s| s.means == "vague as_is");
    assert!(sign.is_some_and(|s| s.meant.is_some_and(|m| m < 0.01)));
}

#[test]
fn how_the_car_moves_is_weighed_with_what_is_heard() {
    let moves = |lexicon: &Lexicon, text: &str| {
        let ad = listing(&among_talk(text));
        let reading = Reader::new(lexicon, DistanceUnit::Miles).read(&ad);
        (reading.moves, reading.moves_as_read())
    };
    let told = "It runs and drives. The museum is closed.";
    let dead = hearing(&[
        ("field", "moves no_start", AT_THE_MUSEUM),
        ("field", "moves drives", NOWHERE),
    ]);
    assert_eq!(moves(&hearing(&[]), told).1, Moves::Drives);
    // The rules still tell what the ad says in so many words.
    assert_eq!(moves(&dead, told), (Moves::Drives, Moves::NoStart));
    assert_eq!(moves(&dead, "It runs and drives.").1, Moves::Drives);
    assert_eq!(moves(&dead, "The museum has it.").1, Moves::NoStart);
}

#[test]
fn plain_fields_are_weighed_with_what_is_heard() {
    let reading = |rows: &[(&str, &str, &[Number])], text: &str| {
        let ad = listing(&among_talk(text));
        Reader::new(&hearing(rows), DistanceUnit::Miles).read(&ad)
    };
    let told = "A stick shift, clean title, $900 firm. The museum is closed.";
    let nothing = reading(&[], told);
    let left = (nothing.gearbox, nothing.title, nothing.ask_basis);
    assert_eq!(left, (Gearbox::Manual, Title::Clean, AskBasis::Firm));
    // What is left open is told by what is heard, and by nothing that is as good as unsaid.
    let heard = [
        ("field", "gearbox cvt", AT_THE_MUSEUM),
        ("field", "title lien", AT_THE_MUSEUM),
        ("field", "ask_basis negotiable", AT_THE_MUSEUM),
    ];
    let open = reading(&heard, "The museum asks $900.");
    let values = (open.gearbox, open.title, open.ask_basis);
    assert_eq!(values, (Gearbox::Cvt, Title::Lien, AskBasis::Negotiable));
    let rule = open.fields.iter().find(|(key, _)| *key == "title");
    assert!(rule.is_some_and(|(_, e)| e.rule.contains("all words of the ad")));
    let elsewhere = reading(&heard, "The market asks $900.");
    let values = (elsewhere.gearbox, elsewhere.title, elsewhere.ask_basis);
    assert_eq!(
        values,
        (Gearbox::Unstated, Title::Unstated, AskBasis::Plain)
    );
    // What the rules tell stands where the ad is heard to say that too.
    let both = [
        ("field", "gearbox cvt", AT_THE_MUSEUM),
        ("field", "gearbox manual", AT_THE_MUSEUM),
    ];
    assert_eq!(reading(&both, told).gearbox, Gearbox::Manual);
    // Where there is no price, nothing is said of how it is meant.
    let none = reading(&heard, "Make the museum an offer.");
    assert_eq!(none.ask_basis, AskBasis::None);
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
