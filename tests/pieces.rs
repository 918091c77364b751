//! Sayings put together from their pieces, each with each: what one piece does
//! to another must not hang on which two they are.

mod ad;

use ad::{claims, read_ad};

/// What an ad says, `code:state` each.
fn told(text: &str) -> String {
    let claims = claims(&read_ad("2006 Toyota Sienna", text));
    let words: Vec<_> = claims
        .iter()
        .map(|(code, says)| format!("{code}:{}", says.word()))
        .collect();
    words.join(" ")
}

/// Every first piece with every second.
fn each<'p>(
    firsts: &'p [&str],
    seconds: &'p [&str],
    join: impl Fn(&str, &str) -> String + Copy,
) -> impl Iterator<Item = String> {
    let of = move |first: &'p &str| seconds.iter().map(move |second| join(first, second));
    firsts.iter().flat_map(of)
}

/// Every beginning with every end.
fn ended<'p>(firsts: &'p [&str], ends: &'p [&str]) -> impl Iterator<Item = String> {
    each(firsts, ends, |first, end| format!("{first}{end}"))
}

/// Reads all texts and tells which do not say what they should.
fn all_say(texts: impl IntoIterator<Item = String>, expected: &str) {
    let wrong: Vec<String> = texts
        .into_iter()
        .filter_map(|text| {
            let told = told(&text);
            (told != expected).then(|| format!("{text} => {told}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn work_that_is_still_to_come_was_not_done() {
    let when = [
        "must be",
        "needs to be",
        "has to be",
        "should be",
        "ought to be",
        "is to be",
        "will have to be",
        "is due to be",
        "will need to be",
        "wants to be",
        "had better be",
        "could do with being",
        "would need to be",
        "still has to be",
        "must soon be",
        "really should be",
    ];
    let done = [
        "renewed",
        "replaced",
        "changed",
        "repaired",
        "redone",
        "swapped",
        "swapped out",
        "overhauled",
        "rebuilt",
        "refurbished",
        "seen to",
        "sorted",
        "attended to",
        "addressed",
        "put right",
        "exchanged",
        "mended",
        "taken care of",
        "dealt with",
        "remedied",
    ];
    for (part, code) in [("alternator", "alternator"), ("exhaust", "muffler")] {
        let texts = each(&when, &done, |when, done| {
            format!("The {part} {when} {done}.")
        });
        all_say(texts, &format!("{code}:bad"));
        let texts = done.iter().map(|done| format!("The {part} was {done}."));
        all_say(texts, &format!("{code}:renewed"));
    }
    all_say(
        ["The alternator had to be replaced.".to_owned()],
        "alternator:renewed",
    );
}

#[test]
fn what_is_asked_after_and_is_not_there_is_not_there() {
    let faults = [
        ("Oil leak", "oil_leak"),
        ("Smoke", "smoke"),
        ("Engine knock", "engine_knock"),
        ("Clutch slip", "slips"),
        ("Vibration", "vibration"),
        ("Overheating", "overheats"),
        ("Coolant leaks", "coolant_leak"),
    ];
    let answers = [
        ": none",
        "? None.",
        "? No.",
        "? Nope",
        " - none",
        "? Not a bit.",
        ": none that I know of",
        "? Not that I can see.",
    ];
    for (fault, code) in faults {
        let texts = answers.iter().map(|answer| format!("{fault}{answer}"));
        all_say(texts, &format!("{code}:sound"));
    }
}

#[test]
fn what_a_heading_denies_may_be_denied_once_more() {
    let faults = [
        ("smoke", "smoke"),
        ("use oil", "burns_oil"),
        ("lose coolant", "coolant_leak"),
        ("pull to either side", "pulls"),
    ];
    for (fault, code) in faults {
        for heading in ["What it does not do: ", "What it doesn't do: ", ""] {
            for own in ["it doesn't ", "it does not ", "doesn't "] {
                let text = format!("{heading}{own}{fault}.");
                all_say([text], &format!("{code}:sound"));
            }
        }
    }
}

#[test]
fn what_was_meant_to_be_done_or_has_to_be_was_not_done() {
    let intents = [
        "I was going to",
        "I meant to",
        "I planned to",
        "I keep meaning to",
        "You'll want to",
        "You might want to",
        "I haven't had time to",
        "I can't afford to",
        "It's time to",
        "Be prepared to",
        "I am not going to",
        "I never got around to",
        "You can",
        "I'll",
    ];
    let deeds = [
        "replace the #",
        "fix the #",
        "change the #",
        "rebuild the #",
        "put in a new #",
        "put a # in it",
        "install a new #",
        "swap the #",
        "redo the #",
        "get a new #",
        "sort the #",
    ];
    for (part, code) in [("water pump", "water_pump"), ("clutch", "clutch")] {
        let texts = each(&intents, &deeds, |intent, deed| {
            format!("{intent} {}.", deed.replace('#', part))
        });
        all_say(texts, &format!("{code}:bad"));
    }
}

#[test]
fn work_that_a_part_needs_does_not_praise_it() {
    let needs = [
        "Needs # work.",
        "Needs some # work.",
        "It needs # work and is cheap.",
        "Will need # work soon.",
        "Could use a bit of # work",
    ];
    for part in ["starter", "carburetor", "headliner", "dash", "radiator"] {
        let texts = needs.iter().map(|text| text.replace('#', part));
        all_say(texts, &format!("{part}:bad"));
    }
    let works = told("The lights and radio work.");
    assert!(works.contains("radio:sound"), "{works}");
}

#[test]
fn what_is_wrong_with_other_things_is_no_fault_of_the_car() {
    let things = [
        "My lawnmower",
        "The boat",
        "Our washing machine",
        "My wife's phone",
        "Our garage",
        "My camper",
    ];
    let faults = [
        "is leaking",
        "broke down",
        "needs a new battery",
        "has a bad carburetor",
        "won't start",
        "quit on us",
        "threw a rod",
    ];
    all_say(
        each(&things, &faults, |thing, fault| {
            format!("{thing} {fault}, so I need the money.")
        }),
        "",
    );
    // What the car has of it, and what is told behind it, stays.
    let own = "The computer is bad. My boat is dead and needs a motor, the car needs a starter.";
    assert_eq!(told(own), "ecu:bad starter:bad");
}

#[test]
fn words_that_only_look_like_parts() {
    let sayings = [
        "I'm a big fan of these old cars.",
        "Bad timing for us but it must go.",
        "My wife broke her leg and can't drive it.",
        "Got hit with a big tax bill.",
        "There is a leak in my basement.",
        "She hit the roof when I bought another one.",
        "The heat this summer has been awful.",
        "Used for a market stall.",
        "A short window for viewing.",
        "Just past the servo on the left.",
        "Need to sell to pay for a new engine in the boat.",
        "I am looking for a Silverado with a blown motor.",
    ];
    all_say(sayings.map(str::to_owned), "");
}

#[test]
fn what_was_in_order_and_is_so_no_longer_is_bad() {
    let praise = [
        "The radio works",
        "The radio was fine",
        "The radio worked last year",
    ];
    let ends = [
        ", it quit this morning.",
        ", now dead.",
        ", then it stopped working.",
        " but not any more.",
        ", scratch that, quit yesterday.",
        ". Correction: it stopped working.",
        ", it doesn't any more.",
    ];
    all_say(ended(&praise, &ends), "radio:bad");
    let others = [
        ", never quit on me.",
        ", not perfect.",
        ", selling because I quit my job.",
        " now, was dead before.",
        ". Stopped driving it last week.",
        ", it stopped raining.",
    ];
    let kept = ended(&["The radio works"], &others);
    all_say(kept, "radio:sound");
}

#[test]
fn what_broke_once_or_is_said_to_and_works_is_in_order() {
    let told = [
        "The last owner said the radio was bad",
        "A mechanic told me the radio was going",
        "The radio was dead",
    ];
    let ends = [
        " but it works fine.",
        ", it isn't.",
        " but it is good.",
        ", works fine for me.",
        ", not true.",
    ];
    all_say(ended(&told, &ends), "radio:sound");
    let others = [
        " but it runs great.",
        " but the rest is good.",
        ", good otherwise.",
        ". It is a good car.",
        " and it isn't cheap.",
    ];
    let kept = ended(&["The radio was bad"], &others);
    all_say(kept, "radio:bad");
}

#[test]
fn symptoms_are_told_in_the_past_too_and_may_be_over() {
    let over = [
        " but not any more.",
        " but it hasn't since.",
        ", stopped after a tune up.",
        " but that is cured.",
        ", never came back.",
    ];
    let was = ended(&["It overheated"], &over);
    let wrong: Vec<_> = was.filter(|t| told(t).contains("bad")).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    // It has not started since.
    let never = "It wouldn't start last week and hasn't since.";
    assert_eq!(told(never), "no_start:bad");
    assert_eq!(told("The diff whined."), told("The diff whines."));
    assert_eq!(told("The belt squealed."), told("The belt squeals."));
    assert_eq!(told("The exhaust rattled."), told("The exhaust rattles."));
}

#[test]
fn what_is_said_of_one_part_is_said_of_another_likewise() {
    for (text, expected) in [
        (
            "The radio works, so does the heater.",
            "heater_blower:sound radio:sound",
        ),
        (
            "The radio is new, as is the starter.",
            "radio:renewed starter:renewed",
        ),
        (
            "The radio doesn't work, neither does the heater.",
            "heater_blower:bad radio:bad",
        ),
        ("No working radio or wipers.", "radio:bad wiper:bad"),
        (
            "Needs a radio or a starter.",
            "radio:suspect starter:suspect",
        ),
    ] {
        let mut claims: Vec<_> = told(text).split(' ').map(str::to_owned).collect();
        claims.sort();
        assert_eq!(claims.join(" "), expected, "{text}");
    }
}

#[test]
fn what_is_asked_and_denied_is_the_other_way_round() {
    let works = [
        "Does the radio work? No.",
        "Radio work? Nope.",
        "Is the radio any good? No.",
        "Does the radio work? It doesn't.",
    ];
    all_say(works.map(str::to_owned), "radio:bad");
    let fails = [
        "Is the radio bad? No.",
        "Problems with the radio? None.",
        "Radio issues? No.",
        "Does the radio need work? No.",
    ];
    all_say(fails.map(str::to_owned), "radio:sound");
    all_say(["Has the radio been replaced? No.".to_owned()], "");
}

const FOUR: [&str; 4] = ["radio", "starter", "alternator", "clutch"];

fn of_each(parts: &[&str], texts: &[&str], expected: &str) {
    for part in parts {
        let code = part.replace(' ', "_");
        let with = |text: &&str| text.replace('_', part);
        all_say(texts.iter().map(with), &expected.replace('_', &code));
    }
}

#[test]
fn what_would_be_told_if_it_were_so_is_not_so() {
    let texts = [
        "If it needed a _ I would tell you.",
        "If the _ was bad I'd say so.",
        "I would mention it if the _ was bad.",
        "If the _ was going out I would have put it in the ad.",
    ];
    of_each(&FOUR, &texts, "_:sound");
    // What stands behind the condition is told.
    of_each(
        &FOUR,
        &["If anything else was wrong I would tell you, it needs a _."],
        "_:bad",
    );
}

#[test]
fn what_was_renewed_long_ago_is_due_again() {
    let texts = [
        "The _ was done 90k ago so it's due.",
        "The _ was replaced in 2009, due for a new one.",
        "New _ nine years ago and now it needs replacing again.",
    ];
    of_each(&FOUR, &texts, "_:bad");
    let texts = ["The _ was done 9k ago so it's not due."];
    of_each(&FOUR, &texts, "_:renewed");
    let texts = ["New _, radiator is due."];
    of_each(&FOUR, &texts, "_:renewed radiator:bad");
}

#[test]
#[should_panic(expected = "renewed")]
fn a_text_that_says_something_else_is_told_of() {
    of_each(&FOUR, &["New _."], "_:bad");
}

#[test]
fn one_of_two_is_doubted_with_the_other() {
    let texts = [
        "Radiator or water pump, not sure which.",
        "Radiator or water pump, can't tell which.",
        "Radiator? Water pump? Not sure which.",
        "It is either the radiator or the water pump.",
    ];
    all_say(
        texts.map(str::to_owned),
        "radiator:suspect water_pump:suspect",
    );
}

#[test]
fn a_spare_is_for_a_part_that_is_at_fault() {
    let texts = [
        "I have a new _ for it, the one on it is broken.",
        "Comes with a new _, the old one is shot.",
        "I have a new _ in the trunk. It still has to be put in.",
    ];
    of_each(&FOUR, &texts, "_:spare _:bad");
    of_each(&FOUR, &["I have a new _ in the trunk."], "_:spare");
}

#[test]
fn what_others_said_gives_way_to_what_is_so() {
    let texts = [
        "I was told the _ was bad but it works.",
        "Some guy swore the _ was shot. It works.",
        "You would think the _ is shot, but no.",
    ];
    of_each(&FOUR, &texts, "_:sound");
    of_each(&FOUR, &["I was told the _ is bad."], "_:suspect");
}

#[test]
fn a_new_one_stands_for_what_broke_some_sentences_before() {
    let texts = [
        "The _ went bad in town. Got towed home. My brother put a new one in.",
        "The _ quit. We had it towed. A shop fitted a new one.",
    ];
    of_each(&["alternator", "clutch"], &texts, "_:renewed");
}

#[test]
fn a_part_that_stops_is_no_engine_that_does() {
    let texts = [
        "The _ died on the way home.",
        "The _ died at a stop light.",
        "_ stone dead.",
    ];
    of_each(&["radio", "alternator"], &texts, "_:bad");
    all_say(["It died at a stop light.".to_owned()], "stalls:bad");
}

#[test]
fn a_part_alone_behind_what_it_causes_is_at_fault() {
    all_say(
        [
            "Clunk over bumps, ball joint.".to_owned(),
            "It has a clunk up front - ball joint".to_owned(),
        ],
        "clunk:bad ball_joint:bad",
    );
    // No usual cause of it.
    all_say(["Clunk over bumps, radio.".to_owned()], "clunk:bad");
}

#[test]
fn an_answer_may_stand_on_the_next_line() {
    of_each(
        &FOUR,
        &["Does the _ work?\nNo", "Does the _ work?\nNot right now"],
        "_:bad",
    );
    of_each(&FOUR, &["Does the _ work?\nYes"], "_:sound");
    all_say(["Check engine light? Yes".to_owned()], "engine_light:bad");
    all_say(["Check engine light?\nNo".to_owned()], "engine_light:sound");
    all_say(
        ["What's wrong with it? Radio. What's new? Clutch, battery.".to_owned()],
        "radio:bad clutch:renewed battery:renewed",
    );
}

#[test]
fn a_fault_that_is_denied_is_not_there_whatever_part_it_is_of() {
    let texts = [
        "The _ isn't cracked.",
        "The _ is not torn.",
        "_ not chipped.",
        "The _ isn't sagging.",
        "The _ doesn't buzz at all.",
        "The _ doesn't need anything.",
        "The _ isn't due yet.",
    ];
    of_each(
        &[
            "radio",
            "starter",
            "clutch",
            "radiator",
            "headliner",
            "dash",
        ],
        &texts,
        "_:sound",
    );
    // What it cannot do is a fault.
    of_each(&["tailgate"], &["The _ won't stay shut."], "_:bad");
}

#[test]
fn all_of_a_list_works_whatever_stands_in_it() {
    let texts = [
        "Power windows, locks and mirrors all work.",
        "Power windows, locks, cruise, mirrors all work great.",
    ];
    for text in texts {
        let mut claims: Vec<_> = told(text).split(' ').map(str::to_owned).collect();
        claims.sort();
        let expected = "door_lock:sound mirror:sound window_motor:sound";
        assert_eq!(claims.join(" "), expected, "{text}");
    }
    all_say(
        ["5 speed, heat and radio all work.".to_owned()],
        "radio:sound heater_blower:sound",
    );
}
