//! Order, choice, opening.

use serde_json::{Value, json};

use super::driver::{Browser, Scheme};
use super::{Page, assert_quiet, samples};

/// A figure of the rows that are shown, in the order they are shown.
fn shown(browser: &Browser, key: &str) -> Vec<Value> {
    let rows = browser.run(&format!(
        "return [...document.querySelectorAll('.car')].filter(c => c.offsetParent !== null)\
         .map(c => c.dataset.{key} ?? null)"
    ));
    rows.as_array().unwrap().clone()
}

fn numbers(values: &[Value]) -> Vec<f64> {
    let texts = values.iter().filter_map(Value::as_str);
    texts.map(|t| t.parse().unwrap()).collect()
}

#[test]
fn the_list_is_put_in_any_order_with_the_unknown_last() {
    let Some(browser) = Browser::start("order") else {
        return;
    };
    browser.look(1280, 900, Scheme::Light);
    browser.open(&samples().path());
    assert_eq!(
        numbers(&shown(&browser, "rank")),
        (1..=40).map(f64::from).collect::<Vec<_>>()
    );
    for (key, rising) in [
        ("margin", false),
        ("low", false),
        ("losing", true),
        ("rate", false),
        ("ask", true),
        ("hours", true),
        ("year", false),
        ("miles", true),
        ("rank", true),
    ] {
        browser.click(&format!("select[name=sort] option[value={key}]"));
        let values = shown(&browser, key);
        assert_eq!(values.len(), 40, "{key}");
        let known = values.iter().take_while(|v| !v.is_null()).count();
        assert!(
            values[known..].iter().all(Value::is_null),
            "{key}: {values:?}"
        );
        let known = numbers(&values[..known]);
        assert!(known.len() > 20, "{key}: {values:?}");
        let in_order = |pair: &[f64]| {
            if rising {
                pair[0] <= pair[1]
            } else {
                pair[0] >= pair[1]
            }
        };
        assert!(known.windows(2).all(in_order), "{key}: {known:?}");
    }
    assert_quiet(&browser, &samples().path());
}

#[test]
fn the_list_is_chosen_from() {
    let Some(browser) = Browser::start("choice") else {
        return;
    };
    browser.look(1280, 900, Scheme::Light);
    browser.open(&samples().path());
    let all: Vec<[Value; 6]> = {
        let keys = ["ask", "margin", "hours", "action", "skills", "place"];
        let columns = keys.map(|key| shown(&browser, key));
        (0..40)
            .map(|i| columns.clone().map(|c| c[i].clone()))
            .collect()
    };
    let number = |v: &Value| v.as_str().and_then(|t| t.parse::<f64>().ok());
    let counted = |browser: &Browser, what: &str, fits: &dyn Fn(&[Value; 6]) -> bool| {
        let expected = all.iter().filter(|row| fits(row)).count();
        assert!(expected < 40, "{what} chooses nothing");
        assert_eq!(shown(browser, "rank").len(), expected, "{what}");
        assert_eq!(
            browser.text("output[name=count]"),
            format!("{expected} of 40 shown")
        );
    };
    browser.write("input[name=ask]", "1500");
    let cheap = |row: &[Value; 6]| number(&row[0]).is_none_or(|ask| ask <= 1500.0);
    counted(&browser, "price", &cheap);
    browser.write("input[name=margin]", "1000");
    let earns = |row: &[Value; 6]| number(&row[1]).is_some_and(|m| m >= 1000.0);
    counted(&browser, "price and margin", &|row| {
        cheap(row) && earns(row)
    });
    browser.click("button[type=reset]");
    assert_eq!(shown(&browser, "rank").len(), 40);
    browser.write("input[name=hours]", "5");
    counted(&browser, "hours", &|row| {
        number(&row[2]).is_some_and(|h| h <= 5.0)
    });
    browser.click("button[type=reset]");
    browser.click("input[name=action][value=view]");
    counted(&browser, "to do", &|row| row[3] != "view");
    browser.click("button[type=reset]");
    browser.click("input[name=skill][value=engine]");
    counted(&browser, "skills", &|row| {
        !row[4].as_str().unwrap().split(' ').any(|s| s == "engine")
    });
    browser.click("button[type=reset]");
    let place = all
        .iter()
        .find_map(|row| row[5].as_str().filter(|p| !p.is_empty()))
        .unwrap();
    browser.keys("select[name=place]", place);
    counted(&browser, "place", &|row| row[5] == place);
    browser.click("button[type=reset]");
    browser.write("input[name=margin]", "900000");
    assert_eq!(shown(&browser, "rank"), Vec::<Value>::new());
    assert!(browser.text(".none").contains("Widen the choice"));
    assert_quiet(&browser, &samples().path());
}

#[test]
fn the_way_to_places_counts_where_it_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let profile = folder.path().join("mine.toml");
    let places = "distances_to = { \"Saltbriar\" = 9, \"Marlock\" = 40 }\n";
    std::fs::write(&profile, places).unwrap();
    let csv = "id,title,text,price,town\n\
         1,2009 Toyota Corolla,\"131,000 miles, drives, clutch slips\",1900,Saltbriar\n\
         2,2009 Mazda Mazda3,\"121,000 miles, drives, clutch slips\",1900,Marlock\n\
         3,2008 Volvo S40,\"111,000 miles, drives, clutch slips\",1900,Kettlebarrow\n";
    let page = Page::of_ads(csv, &["--profile", &profile.display().to_string()]);
    // 2 x 9 miles at 0.50, as in the profile's default.
    let text = page.text();
    for trip in ["over 9 miles at 0.50", "over 40 miles", "over 30 miles"] {
        assert!(text.contains(trip), "{trip}");
    }
    assert!(
        !samples().text().contains("name=\"away\""),
        "nothing is told there"
    );
    let Some(browser) = Browser::start("away") else {
        return;
    };
    browser.look(1280, 900, Scheme::Light);
    browser.open(&page.path());
    browser.click("select[name=sort] option[value=away]");
    let away = shown(&browser, "away");
    assert_eq!(away, [json!("9"), json!("40"), Value::Null]);
    browser.write("input[name=away]", "20");
    assert_eq!(shown(&browser, "place"), [json!("Saltbriar")]);
    assert_quiet(&browser, &page.path());
}

#[test]
fn a_car_opens_by_hand_and_by_keys() {
    let Some(browser) = Browser::start("opening") else {
        return;
    };
    browser.look(360, 740, Scheme::Light);
    browser.open(&samples().path());
    let open = || browser.run("return document.querySelectorAll('.car > details[open]').length");
    assert_eq!(open(), json!(0));
    browser.click("#car-2 > details > summary");
    assert_eq!(open(), json!(1));
    let text = browser.text("#car-2 .open");
    for head in [
        "What the price makes of it",
        "In figures",
        "The sum, from worth to margin",
        "What the ad says",
        "Worth against distance",
    ] {
        assert!(text.contains(head), "{head} is not in\n{text}");
    }
    // Where there is nothing to ask, nothing stands.
    let asking = browser.run("return document.querySelectorAll('.car section.ask h3').length");
    assert!(asking.as_u64() > Some(0), "{asking}");
    // Enter opens what Tab has come to.
    browser.keys("#car-3 > details > summary", "\u{e007}");
    assert_eq!(open(), json!(2));
    browser.click("#car-3 > details > summary");
    assert_eq!(open(), json!(1));
    // On a telephone the choice is folded away.
    browser.click(".wish > summary");
    browser.write("input[name=ask]", "1000");
    browser.click("button[name=open]");
    let shown = shown(&browser, "rank").len();
    assert_eq!(open(), json!(shown + 1), "and the one that was open");
    browser.click("button[name=close]");
    assert_eq!(open(), json!(0));
    assert_quiet(&browser, &samples().path());
}

#[test]
fn nothing_is_wider_than_the_screen() {
    let Some(browser) = Browser::start("width") else {
        return;
    };
    for width in [320, 360, 768, 1280] {
        browser.look(width, 800, Scheme::Light);
        browser.open(&samples().path());
        browser.open_all();
        let wide = browser.run("return document.documentElement.scrollWidth");
        assert_eq!(wide, json!(width));
    }
}
