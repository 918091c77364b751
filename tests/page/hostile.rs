//! Words of others stay words.

use serde_json::json;

use super::driver::{Browser, Scheme};
use super::{Page, assert_quiet};

/// Ads that try what they can.
fn ads() -> String {
    let long = "A".repeat(100_000);
    let rows = [
        (
            "1",
            "2009 Toyota Corolla</title><script>window.hit=1</script>",
            "clutch slips <img src=x onerror='window.hit=2'> --> ]]> </p></section></details></li>",
        ),
        (
            "2",
            "2008 Mazda Mazda3 \u{202e}gnp.exe",
            "120,000 miles, drives, \u{2066}bad clutch\u{2069} \u{1b}[2J {{ 7*7 }} {% raw %}",
        ),
        (
            "3",
            "2007 Saab 9-3 &lt;script&gt;window.hit=3&lt;/script&gt;",
            "brakes bad '\"><svg onload=window.hit=4> javascript:window.hit=5",
        ),
        ("4", "2006 Volvo S40", long.as_str()),
        (
            "5",
            "2005 Kia Rio",
            "needs a clutch, call 202-555-0123 or write to tove@ossick.example, drives, 150,000 miles",
        ),
    ];
    let mut csv = "id,title,description,price,town,link\n".to_owned();
    for (id, title, text) in rows {
        let cell = |t: &str| format!("\"{}\"", t.replace('"', "\"\""));
        csv.push_str(&format!(
            "{id},{},{},1500,{},{}\n",
            cell(title),
            cell(text),
            cell("\"><script>window.hit=6</script>"),
            if id == "1" {
                "javascript:window.hit=7"
            } else {
                "https://board.example.org/5?a=\"><b>"
            }
        ));
    }
    csv
}

#[test]
fn words_of_others_stay_words() {
    let page = Page::of_ads(&ads(), &[]);
    let text = page.text();
    assert!(
        !text.contains("<script>window"),
        "markup of an ad is in the page"
    );
    assert!(!text.contains(['\u{202e}', '\u{2066}', '\u{1b}']));
    assert!(!text.contains("href=\"javascript"));
    assert!(!text.contains(&"A".repeat(20_000)));
    assert!(text.len() < 300_000, "{}", text.len());
    let Some(browser) = Browser::start("hostile") else {
        return;
    };
    browser.look(360, 740, Scheme::Light);
    browser.open(&page.path());
    browser.open_all();
    assert_eq!(browser.run("return window.hit ?? null"), json!(null));
    assert_eq!(browser.run("return document.scripts.length"), json!(1));
    assert_eq!(browser.run("return document.images.length"), json!(0));
    assert_eq!(
        browser.run("return document.querySelectorAll('.car').length"),
        json!(5)
    );
    assert_eq!(
        browser.run("return document.documentElement.scrollWidth"),
        json!(360)
    );
    let said = browser.run("return document.querySelector('main').textContent");
    // What is no tag of a page stays as it was written.
    let said = said.as_str().unwrap();
    assert!(said.contains("{{ 7*7 }} {% raw %}"), "{said}");
    assert_quiet(&browser, &page.path());
}

#[test]
fn contacts_are_masked_unless_they_are_asked_for() {
    let masked = Page::of_ads(&ads(), &[]).text();
    assert!(!masked.contains("202-555-0123") && !masked.contains("tove@"));
    assert!(
        masked.contains("call [phone] or write to [mail]"),
        "no mask in the page"
    );
    let kept = Page::of_ads(&ads(), &["--keep-contacts"]).text();
    assert!(kept.contains("202-555-0123") && kept.contains("tove@ossick.example"));
}
