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
