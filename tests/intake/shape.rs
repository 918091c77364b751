//! Delimiters, encodings, line ends, markup.

use crate::{bodies, read, rejects};

fn utf16(text: &str, big: bool) -> Vec<u8> {
    let units = text.encode_utf16();
    units
        .flat_map(|u| {
            if big {
                u.to_be_bytes()
            } else {
                u.to_le_bytes()
            }
        })
        .collect()
}

#[test]
fn every_delimiter_is_found() {
    for d in [",", ";", "\t", "|"] {
        let file = ["id,title,text,price", "1,2004 Saab 9-3,runs well,500"].join("\n");
        let intake = read(file.replace(',', d));
        let listing = &intake.listings[0];
        assert_eq!(listing.id.0, "1", "{d:?}");
        assert_eq!(listing.text, "2004 Saab 9-3\nruns well");
        assert_eq!(listing.price.as_deref(), Some("500"));
        assert!(intake.rejects.is_empty());
    }
}

#[test]
fn every_encoding_is_found() {
    let text = "id;Beschreibung;Preis (€)\r\n1;Läuft nicht, für Bastler;500\r\n";
    let cp1252 = encoding_rs::WINDOWS_1252.encode(text).0.into_owned();
    for (name, bytes) in [
        ("utf-8", text.as_bytes().to_vec()),
        (
            "utf-8 with mark",
            [b"\xEF\xBB\xBF", text.as_bytes()].concat(),
        ),
        (
            "utf-16 le",
            [&b"\xFF\xFE"[..], &utf16(text, false)].concat(),
        ),
        ("utf-16 be", [&b"\xFE\xFF"[..], &utf16(text, true)].concat()),
        ("utf-16 le, no mark", utf16(text, false)),
        ("utf-16 be, no mark", utf16(text, true)),
        ("windows-1252", cp1252),
    ] {
        let intake = read(bytes);
        assert_eq!(bodies(&intake), ["Läuft nicht, für Bastler"], "{name}");
        assert_eq!(intake.listings[0].price.as_deref(), Some("500"), "{name}");
        assert_eq!(
            intake.listings[0].currency,
            Some(fixworth::units::Currency::Eur),
            "{name}"
        );
        assert_eq!(rejects(&intake), [], "{name}");
    }
}

#[test]
fn windows_1252_is_told_and_utf8_is_not() {
    let warned = |bytes: &[u8]| {
        let warnings = read(bytes).warnings;
        warnings
            .iter()
            .any(|w| w.to_string().contains("Windows-1252"))
    };
    assert!(warned(b"text,price\nf\xFCr Bastler,1\n"));
    assert!(!warned("text,price\nfür Bastler,1\n".as_bytes()));
}

#[test]
fn a_file_that_is_plain_for_long_is_decided_by_its_first_odd_row() {
    let plain = "runs and drives,500\n".repeat(20_000);
    let old = [b"text,price\n", plain.as_bytes(), b"f\xFCr Bastler,1\n"].concat();
    let new = format!("text,price\n{plain}für Bastler,1\n");
    for bytes in [old, new.into_bytes()] {
        let intake = read(bytes);
        assert_eq!(bodies(&intake), ["runs and drives", "für Bastler"]);
        assert_eq!(intake.repeated(), 19_999);
    }
}

#[test]
fn rows_of_utf8_in_a_windows_1252_file_are_read_too() {
    let joined = b"text,price\nf\xFCr A,1\nf\xFCr B,2\nf\xC3\xBCr C,3\n";
    assert_eq!(bodies(&read(joined)), ["für A", "für B", "für C"]);
}

#[test]
fn quoted_line_breaks_and_doubled_quotes_are_text() {
    let intake = read("text,price\r\n\"line one\r\n15\"\" wheels, new\",500\r\nnext,1\r\n");
    assert_eq!(bodies(&intake), ["line one\n15\" wheels, new", "next"]);
    let lines: Vec<u64> = intake.listings.iter().map(|l| l.origin.line).collect();
    assert_eq!(lines, [2, 4]);
}

#[test]
fn old_line_ends_blank_lines_and_a_line_naming_the_delimiter() {
    assert_eq!(bodies(&read("text,price\ra,1\rb,2\r")), ["a", "b"]);
    assert_eq!(
        bodies(&read("\n\ntext,price\n\n   \na,1\n\nb,2")),
        ["a", "b"]
    );
    let intake = read("sep=|\r\ntext|price\r\na; b, c|1\r\n");
    assert_eq!(bodies(&intake), ["a; b, c"]);
    assert_eq!(intake.listings[0].origin.line, 3);
}

#[test]
fn markup_is_resolved_in_every_cell() {
    let intake = read(
        "title,description,price,url\n\
         <b>2004 Saab</b><br>9-3,<p>needs a clutch</p><ul><li>&lt; 100k miles</ul>,&pound;500,\
         https://example.com/?a=1&copy=2\n",
    );
    let listing = &intake.listings[0];
    assert_eq!(listing.headline(), "2004 Saab 9-3");
    assert_eq!(listing.body(), "needs a clutch\n< 100k miles");
    assert_eq!(listing.price.as_deref(), Some("£500"));
    assert_eq!(
        listing.link.as_deref(),
        Some("https://example.com/?a=1&copy=2")
    );
}

#[test]
fn headline_or_text_alone_is_enough() {
    let intake = read("title,text\n2004 Saab 9-3,\n,runs well\n");
    let texts: Vec<&str> = intake.listings.iter().map(|l| &*l.text).collect();
    assert_eq!(texts, ["2004 Saab 9-3\n", "\nruns well"]);
    assert_eq!(
        read("title,price\n2004 Saab 9-3,1\n").listings[0].text,
        "2004 Saab 9-3\n"
    );
    assert_eq!(read("text\nruns, well\n").listings[0].text, "\nruns, well");
}

#[test]
fn every_field_is_kept_as_written() {
    let intake = read(
        "id,title,text,price,mileage,year,make,model,city,posted,link\n\
         A1,h,t,\"$1,850\",214k,'04,Saab,9-3,Springfield,2024-05-12,https://example.org/1\n\
         A2,h,t,,,,,,,,\n",
    );
    let full = &intake.listings[0];
    let cells = [
        &full.price,
        &full.distance,
        &full.year,
        &full.make,
        &full.model,
        &full.place,
        &full.date,
        &full.link,
    ];
    assert_eq!(
        cells.map(|c| c.as_deref().unwrap()),
        [
            "$1,850",
            "214k",
            "'04",
            "Saab",
            "9-3",
            "Springfield",
            "2024-05-12",
            "https://example.org/1"
        ]
    );
    let bare = &intake.listings[1];
    assert_eq!(
        (&bare.price, &bare.link, bare.distance_unit),
        (&None, &None, None)
    );
}
