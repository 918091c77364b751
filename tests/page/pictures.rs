//! The pictures of the README, which may not grow old; and pictures to look at:
//! `LOOK=folder cargo test --test page pictures` writes
//! the page as a telephone and a desk show it, light and dark, and as paper.

use std::path::Path;

use sha2::{Digest as _, Sha256};

use super::driver::{Browser, Scheme};
use super::samples;

/// How well the pictures are kept, of 100: they are to stay small.
const QUALITY: u8 = 72;

/// The page that the pictures of the README show is the page of today.
/// `GOLDEN=write cargo test --test page` takes them anew.
#[test]
fn the_pictures_of_the_readme_are_of_this_page() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/page");
    let digest = Sha256::digest(samples().text().as_bytes());
    let now: String = digest.iter().map(|b| format!("{b:02x}")).collect();
    let Some(browser) = Browser::start("pictures of the README") else {
        return;
    };
    if std::env::var_os("GOLDEN").is_some_and(|v| v == "write") {
        std::fs::create_dir_all(&golden).unwrap();
        let take = |name: &str| {
            std::fs::write(golden.join(name), browser.picture(Some(QUALITY))).unwrap();
        };
        browser.look(1120, 760, Scheme::Light);
        browser.open(&samples().path());
        take("desk.webp");
        browser.look(360, 720, Scheme::Light);
        browser.open(&samples().path());
        let car = "#car-4";
        browser.click(&format!("{car} > details > summary"));
        let to = |what: &str| {
            let there = format!("document.querySelector('{car} {what}').scrollIntoView()");
            browser.run(&there);
        };
        browser.write(&format!("{car} .price > label input"), "3000");
        to("summary");
        take("price.webp");
        browser.look(360, 720, Scheme::Dark);
        to(".sum");
        take("text.webp");
        std::fs::write(golden.join("page.sha256"), format!("{now}\n")).unwrap();
    }
    let of_pictures = std::fs::read_to_string(golden.join("page.sha256")).unwrap();
    assert_eq!(
        of_pictures.trim(),
        now,
        "the pictures in tests/golden/page are of another page; look at the page, then \
         GOLDEN=write cargo test --test page takes them anew"
    );
    let files = std::fs::read_dir(&golden).unwrap();
    let bytes: u64 = files.map(|f| f.unwrap().metadata().unwrap().len()).sum();
    assert!(bytes < 300_000, "{bytes} bytes of pictures");
}

#[test]
fn pictures_for_the_eye() {
    let Some(folder) = std::env::var_os("LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).unwrap();
    let Some(browser) = Browser::start("pictures") else {
        return;
    };
    let ranks = std::env::var("RANKS").unwrap_or_else(|_| "2,4".to_owned());
    for (width, height) in [(360, 740), (1280, 900)] {
        for scheme in [Scheme::Light, Scheme::Dark] {
            browser.look(width, height, scheme);
            browser.open(&samples().path());
            let name = |what: &str| folder.join(format!("{what}-{width}-{scheme:?}.png"));
            std::fs::write(name("list"), browser.picture(None)).unwrap();
            for rank in ranks.split(',') {
                let car = format!("#car-{rank}");
                browser.click(&format!("{car} > details > summary"));
                let high = browser.run(&format!(
                    "const r = document.querySelector('{car}'); window.scrollTo(0, 0); \
                     return Math.ceil(r.getBoundingClientRect().height) + 20"
                ));
                let high = high.as_u64().unwrap() as u32;
                // In pieces: a picture that is too high is seen too small.
                let piece = if width < 600 { 1_300 } else { 1_500 };
                browser.look(width, piece.min(high), scheme);
                for at in 0..high.div_ceil(piece) {
                    browser.run(&format!(
                        "document.querySelector('{car}').scrollIntoView(); \
                         window.scrollBy(0, {})",
                        at * piece
                    ));
                    let name = name(&format!("car{rank}-{at}"));
                    std::fs::write(name, browser.picture(None)).unwrap();
                }
                browser.look(width, height, scheme);
                browser.click(&format!("{car} > details > summary"));
            }
        }
    }
    browser.click("#car-2 > details > summary");
    std::fs::write(folder.join("page.pdf"), browser.print()).unwrap();
}
