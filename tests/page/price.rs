//! The figures that the page works out for a price are those of the program.

use fixworth::cli::args::{Args, Command};
use fixworth::cli::config::{FigureConfig, InputConfig};
use fixworth::cli::{batch, pipeline};
use fixworth::margin::{Appraisal, AtPrice, Limits};
use fixworth::units::Money;
use serde_json::json;

use super::driver::{Browser, Scheme};
use super::{SAMPLES, assert_quiet, samples};

/// The appraisals of the samples in ranked order, as the program works them
/// out, and the user's limits.
fn appraisals() -> (Vec<Appraisal>, Limits) {
    let words = ["fixworth", "shortlist"].iter().chain(SAMPLES);
    let Command::Shortlist(mut args) = Args::parse_from_words(words).unwrap().command else {
        panic!("another command");
    };
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    for path in args.input.files.iter_mut().chain([
        args.figures.profile.as_mut().unwrap(),
        args.figures.comparables.as_mut().unwrap(),
    ]) {
        *path = root.join(&path);
    }
    let mut input = InputConfig::resolve(args.input).unwrap();
    let figures = FigureConfig::resolve(args.figures, &mut input.lexicon).unwrap();
    let profile = &figures.profile;
    let limits = Limits::new(profile.wanted_margin, profile.loss_limit.value());
    let batch = batch::read(&input, profile.distance_unit).unwrap();
    let cars = pipeline::appraise(batch, &figures, &input.lexicon, args.sort).unwrap();
    (cars.appraisals, limits)
}

#[test]
fn any_price_gives_what_the_program_gives() {
    let Some(browser) = Browser::start("price") else {
        return;
    };
    let (appraisals, limits) = appraisals();
    browser.look(1280, 900, Scheme::Light);
    browser.open(&samples().path());
    let mut standings = std::collections::BTreeSet::new();
    for rank in [1, 2, 9, 20, 33, 40] {
        let car = format!("#car-{rank}");
        browser.click(&format!("{car} > details > summary"));
        let id = browser.run(&format!(
            "return document.querySelector('{car} .facts').textContent.match(/ad (\\S+),/)[1]"
        ));
        let appraisal = appraisals
            .iter()
            .find(|a| a.reading.id.0 == id.as_str().unwrap());
        let appraisal = appraisal.unwrap();
        let spread = appraisal.spread().unwrap();
        let ceiling = appraisal.ceiling.unwrap().to_f64() as i64;
        for price in [0, 1, 437, 1_250, ceiling, ceiling + 1, 4_999, 20_000] {
            browser.write(&format!("{car} .price > label input"), &price.to_string());
            let at = AtPrice::of(&spread, &limits, Money::whole(price));
            let losing = spread
                .points()
                .iter()
                .filter(|p| **p < price as f64)
                .count();
            assert_eq!(losing, (at.loss.value() * 200.0).round() as usize);
            let text = |name: &str| browser.text(&format!("{car} .outcome .{name}"));
            let place = format!("{id}, {price}");
            assert_eq!(text("mean"), format!("${}", at.margin.likely), "{place}");
            let range = format!("{} and {}", at.margin.low, at.margin.high);
            assert_eq!(text("range"), range, "{place}");
            assert_eq!(
                text("loss"),
                format!("in {losing} of 200 outcomes"),
                "{place}"
            );
            assert_eq!(text("standing"), at.standing.words(), "{place}");
            standings.insert(at.standing.words());
            // Ten points stand behind each dot.
            let hollow = browser.run(&format!(
                "return document.querySelector('{car} .lost').getAttribute('d').split('M').length - 1"
            ));
            let hollow = hollow.as_u64().unwrap() as usize;
            assert!(
                hollow.abs_diff((losing + 5) / 10) <= 1,
                "{hollow} of {losing}, {place}"
            );
        }
        browser.click(&format!("{car} > details > summary"));
    }
    assert!(standings.len() >= 2, "{standings:?}");
    assert_quiet(&browser, &samples().path());
}

#[test]
fn without_the_script_the_page_says_the_same_of_its_first_price() {
    let (appraisals, limits) = appraisals();
    let text = samples().text();
    let mut compared = 0;
    for a in &appraisals {
        let (Some(spread), Some(price)) = (a.spread(), a.expected_price) else {
            continue;
        };
        let Some((_, car)) = text.split_once(&format!(">ad {},", a.reading.id)) else {
            continue;
        };
        let at = AtPrice::of(&spread, &limits, price.rounded());
        let mean = format!("<dd class=mean>${}</div>", at.margin.likely);
        let standing = format!("<dd class=standing>{}</div>", at.standing.words());
        let own = car.split("<li class=car ").next().unwrap();
        assert!(
            own.contains(&mean) && own.contains(&standing),
            "{}",
            a.reading.id
        );
        compared += 1;
    }
    assert!(compared >= 30, "{compared}");
}

#[test]
fn the_slider_and_the_field_move_together() {
    let Some(browser) = Browser::start("slider") else {
        return;
    };
    browser.look(360, 740, Scheme::Dark);
    browser.open(&samples().path());
    browser.click("#car-2 > details > summary");
    let field = "document.querySelector('#car-2 .price > label input').value";
    let before = browser.run(&format!("return {field}"));
    // Right and End, as on a keyboard.
    browser.keys("#car-2 input[type=range]", "\u{e014}");
    assert_ne!(browser.run(&format!("return {field}")), before);
    browser.keys("#car-2 input[type=range]", "\u{e010}");
    let end = browser.run("return document.querySelector('#car-2 .price').dataset.end");
    assert_eq!(browser.run(&format!("return {field}")), end);
    let told = browser.run(
        "return document.querySelector('#car-2 input[type=range]').getAttribute('aria-valuetext')",
    );
    assert!(
        told.as_str().unwrap().contains("earns too little"),
        "{told}"
    );
    browser.write("#car-2 .price > label input", "700");
    let slider = "return document.querySelector('#car-2 input[type=range]').value";
    assert_eq!(browser.run(slider), json!("700"));
    // The line of the price stands where the slider's knob does.
    let apart = browser.run(
        "const [s, l] = ['input[type=range]', 'line.price'].map(q => \
         document.querySelector('#car-2 ' + q).getBoundingClientRect()); \
         const end = Number(document.querySelector('#car-2 .price').dataset.end); \
         const knob = s.left + 13 + (s.width - 26) * 700 / end; \
         return Math.abs(knob - (l.left + l.width / 2))",
    );
    assert!(apart.as_f64().unwrap() < 4.0, "{apart}");
}
