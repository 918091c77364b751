//! Files with a JSON object on each line.

use fixworth::intake::Item;

use crate::{bodies, read, rejects, try_read};

const ADS: &str = "\
{\"id\": 7312345678, \"title\": \"2003 Saab 9-3\", \"description\": \"bad clutch,\\n\\\"cheap\\\"\", \"price\": 900}\n\
\n\
{\"Odometer\":148000.0,\"ID\":\"b\",\"text\":\"no rust &amp; caf\\u00e9\",\"images\":[{\"a\":1}],\"sold\":false,\"price\":null}\n";

#[test]
fn each_object_is_an_ad_by_its_own_keys() {
    let intake = read(ADS);
    assert_eq!(
        bodies(&intake),
        ["bad clutch,\n\"cheap\"", "no rust & café"]
    );
    let [first, second] = &intake.listings[..] else {
        panic!("{intake:?}")
    };
    assert_eq!(
        (&*first.id.0, first.headline()),
        ("7312345678", "2003 Saab 9-3")
    );
    assert_eq!(first.price.as_deref(), Some("900"));
    assert_eq!((second.origin.line, &*second.id.0), (3, "b"));
    assert_eq!(second.distance.as_deref(), Some("148000.0"));
    assert_eq!(second.price, None);
    assert!(intake.warnings.is_empty() && intake.rejects.is_empty());
}

#[test]
fn a_file_says_the_same_however_it_is_cut() {
    let row = |n: u32| match n % 3 {
        0 => format!("{{\"id\":{n},\"title\":\"a {n}\"}}\n"),
        1 => format!("{{\"text\":\"b {n}\",\"headline\":\"h\",\"id\":{n}}}\n"),
        _ => format!("{{\"price\":{n},\"id\":{n},\"description\":\"c {n}\",\"title\":\"t\"}}\n"),
    };
    let rows: Vec<String> = (0..60).map(row).collect();
    let whole = read(rows.concat()).listings;
    let parts = rows.chunks(7).flat_map(|part| read(part.concat()).listings);
    for (a, b) in whole.iter().zip(parts) {
        assert_eq!((&a.id, &a.text, &a.price), (&b.id, &b.text, &b.price));
    }
    assert_eq!(whole.len(), 60);
}

#[test]
fn a_line_that_is_no_object_is_rejected_by_itself() {
    let deep = format!("{{\"id\":{}1{}}}", "[".repeat(5000), "]".repeat(5000));
    let long = format!("{{\"id\":4,\"text\":\"{}\"}}", "x".repeat(5 << 20));
    let cell = format!("{{\"id\":5,\"text\":\"{}\"}}", "x".repeat(2 << 20));
    let text = format!(
        "{{\"id\":1,\"text\":\"a\"\n[1]\n{{\"id\":2,\"text\":\"a\\u0000\"}}\n{deep}\n{long}\n{cell}\n\
         {{\"id\":3,\"text\":[\"a\"]}}\n{{\"id\":9,\"text\":\"fine\"}}"
    );
    let intake = read(text);
    assert_eq!(bodies(&intake), ["fine"]);
    assert_eq!(
        rejects(&intake),
        [
            (1, "not_object"),
            (2, "not_object"),
            (3, "zero_byte"),
            (4, "not_object"),
            (5, "too_long"),
            (6, "too_long"),
            (7, "no_text"),
        ]
    );
}

#[test]
fn other_letters_than_utf8_cost_their_line() {
    let mut bytes = b"\xEF\xBB\xBF{\"id\":1,\"text\":\"a\"}\n".to_vec();
    bytes.extend(b"{\"id\":2,\"text\":\"l\xE4uft\"}\n{\"id\":3,\"text\":\"b\"}\n");
    let intake = read(bytes);
    assert_eq!(bodies(&intake), ["a", "b"]);
    assert_eq!(rejects(&intake), [(2, "not_decodable")]);
}

#[test]
fn a_key_may_be_named_for_a_field() {
    let text = "{\"id\":1,\"words\":\"bad clutch\",\"cost\":500}\n{\"id\":2,\"text\":\"b\"}\n";
    let options = crate::options(&["text=Words", "price=cost"]);
    let stream = std::io::Cursor::new(text.as_bytes().to_vec());
    let reader = fixworth::intake::Reader::of_stream("a", stream, &options, crate::lexicon());
    let ads: Vec<_> = reader
        .map(|item| match item.unwrap() {
            Item::Listing(ad) => (ad.body().to_owned(), ad.price),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(
        ads,
        [
            ("bad clutch".to_owned(), Some("500".to_owned())),
            ("b".to_owned(), None)
        ]
    );
}

#[test]
fn json_of_another_form_is_told_for_what_it_is() {
    for text in ["[\n{\"id\": 1}\n]", "{\n  \"id\": 1,\n  \"text\": \"a\"\n}"] {
        let problem = try_read(text).unwrap_err().to_string();
        assert!(problem.contains("write one object a line"), "{problem}");
    }
}
