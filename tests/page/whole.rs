//! The page as a whole: what it may do, how large it is, who can use it, and
//! what comes out of the printer.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

use super::driver::{Browser, Scheme};
use super::{Page, SAMPLES, assert_quiet, samples};

#[test]
fn the_policy_forbids_all_but_the_pages_own_style_and_script() {
    let text = samples().text();
    let (_, policy) = text
        .split_once("Content-Security-Policy\" content=\"")
        .unwrap();
    let policy = policy.split('"').next().unwrap().replace("&#39;", "'");
    let rules: Vec<_> = policy.split("; ").collect();
    assert_eq!(rules[0], "default-src 'none'");
    assert!(!policy.contains("unsafe") && !policy.contains("http") && !policy.contains('*'));
    assert!(rules.contains(&"base-uri 'none'") && rules.contains(&"form-action 'none'"));
    let hashes: Vec<_> = rules.iter().filter(|r| r.contains("'sha256-")).collect();
    assert_eq!(hashes.len(), 2, "{policy}");
    // Nothing that would be fetched.
    for fetched in [" src=", "url(http", "@import", "<link", "<iframe", "srcset"] {
        assert!(!text.contains(fetched), "{fetched}");
    }
}

#[test]
fn three_hundred_cars_stay_small() {
    // The samples have 194 ads; the boards again, each ad of its own place and
    // year, make three hundred cars.
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let board = std::fs::read_to_string(root.join("samples/harbour-board.csv")).unwrap();
    let mut ads = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(board.as_bytes());
    let mut csv = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(Vec::new());
    csv.write_record(ads.headers().unwrap()).unwrap();
    for (i, row) in ads.records().map(Result::unwrap).enumerate() {
        for again in 0..3 {
            let mut row: Vec<String> = row.iter().map(str::to_owned).collect();
            row[0] = format!("{i}-{again}");
            if let [_, _, _, _, miles, year, town, _, link] = row.as_mut_slice() {
                *miles = format!("{}", 60_000 + 977 * (i * 3 + again));
                *year = format!("{}", 2001 + (i + 4 * again) % 14);
                *town = format!("Place {again} {i}");
                *link = format!("https://board.example.org/{i}/{again}");
            }
            csv.write_record(&row).unwrap();
        }
    }
    let csv = String::from_utf8(csv.into_inner().unwrap()).unwrap();
    let sample = |name: &str| root.join("samples").join(name).display().to_string();
    let (comparables, profile) = (sample("comparables.csv"), sample("profile.toml"));
    let page = Page::of_ads(
        &csv,
        &[
            "--comparables",
            &comparables,
            "--profile",
            &profile,
            "samples/valley-swap.csv",
            "samples/depot-list.csv",
            "--top",
            "300",
        ],
    );
    let text = page.text();
    let cars = text.matches("<li class=car ").count();
    assert!(cars >= 250, "{cars} cars");
    if let Some(to) = std::env::var_os("LOOK") {
        std::fs::write(Path::new(&to).join("three-hundred.html"), &text).unwrap();
    }
    let per_car = text.len() / cars;
    assert!(per_car * 300 < 3_000_000, "{per_car} bytes a car");
}

#[test]
fn everybody_can_use_it() {
    let Some(axe) = axe() else {
        eprintln!("accessibility: skipped, axe-core is not in target/ (.ci/run fetches it)");
        return;
    };
    let Some(browser) = Browser::start("accessibility") else {
        return;
    };
    let page = samples();
    for (width, scheme) in [
        (360, Scheme::Light),
        (360, Scheme::Dark),
        (1280, Scheme::Light),
        (1280, Scheme::Dark),
    ] {
        browser.look(width, 900, scheme);
        browser.open(&page.path());
        for rank in [2, 9] {
            browser.click(&format!("#car-{rank} > details > summary"));
        }
        browser.run("document.querySelectorAll('.open .how').forEach(d => { d.open = true })");
        browser.run(&axe);
        let found = browser.wait_for(
            "return axe.run(document, {resultTypes: ['violations'], runOnly: {type: 'tag', \
             values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}})\
             .then(r => r.violations.map(v => v.id + ': ' + v.help + ' ' + \
             v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + ' ' + (n.any[0]?.message ?? '')).join(' | ')))",
        );
        assert_eq!(
            found,
            Value::Array(Vec::new()),
            "{width} {scheme:?}: {found:#}"
        );
    }
}

/// The checks of axe-core, which `.ci/run` fetches from the npm registry.
fn axe() -> Option<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/axe-core/package/axe.min.js");
    std::fs::read_to_string(path).ok()
}

#[test]
fn what_is_open_is_printed_and_controls_are_not() {
    let Some(browser) = Browser::start("printing") else {
        return;
    };
    let page = Page::of(&[SAMPLES, &["--top", "5"]].concat());
    browser.look(1280, 900, Scheme::Dark);
    browser.open(&page.path());
    let closed = words(&browser.print());
    browser.open_all();
    let opened = browser.print();
    assert!(opened.starts_with(b"%PDF"));
    let opened = words(&opened);
    assert_quiet(&browser, &page.path());
    let (Some(closed), Some(opened)) = (closed, opened) else {
        eprintln!("printing: the words of the PDF are not looked at, no pdftotext here");
        return;
    };
    assert!(closed.contains("pays even at the low end"));
    assert!(!closed.contains("What the ad says"));
    assert!(opened.contains("What the ad says") && opened.contains("Worth against distance"));
    assert!(!opened.contains("Show all again"));
}

/// The words of a PDF.
fn words(pdf: &[u8]) -> Option<String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("page.pdf");
    std::fs::write(&path, pdf).unwrap();
    let out = Command::new("pdftotext")
        .arg(&path)
        .arg("-")
        .output()
        .ok()?;
    Some(String::from_utf8(out.stdout).unwrap())
}
