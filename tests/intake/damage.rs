//! Rows that are no listing are counted and kept, and cost no other row.

use std::io::{Cursor, Read, repeat};

use fixworth::intake::{Intake, Item, MAX_CELL, MAX_ROW, Options, Reader, Reason, write_rejects};

use crate::{Folder, bodies, lexicon, read, rejects};

#[test]
fn extra_cells_are_kept_when_empty_and_rejected_when_not() {
    let intake = read("id,text,price\n1,a,1,,\n2,b,2,x\n3,c,3\n");
    assert_eq!(bodies(&intake), ["a", "c"]);
    assert_eq!(
        intake.rejects[0].reason,
        Reason::TooManyCells {
            found: 4,
            expected: 3
        }
    );
}

#[test]
fn missing_cells_are_forgiven_only_where_nothing_that_matters_is_missing() {
    let intake = read("id,text,price,city,link\n1,a,1\n2,b\n3,c,3,Springfield\n4\n");
    assert_eq!(bodies(&intake), ["a", "c"]);
    assert_eq!(
        rejects(&intake),
        [(3, "too_few_cells"), (5, "too_few_cells")]
    );
}

#[test]
fn a_row_broken_in_its_unquoted_text_is_rejected_in_both_halves() {
    let intake = read("id,price,text,city\n1,5,needs\nwork,Springfield\n2,6,ok,Springfield\n");
    assert_eq!(
        rejects(&intake),
        [(2, "too_few_cells"), (3, "too_few_cells")]
    );
    assert_eq!(bodies(&intake), ["ok"]);
}

#[test]
fn empty_rows_and_rows_without_words_are_told_apart() {
    let intake = read("id,title,text,price\n,,,\n5,,<br>,100\n6,,ok,\n");
    assert_eq!(rejects(&intake), [(2, "empty"), (3, "no_text")]);
    assert_eq!(bodies(&intake), ["ok"]);
}

#[test]
fn a_header_in_the_middle_is_no_ad() {
    let one = "\u{feff}id,text,price\n1,a,1\n";
    let intake = read(format!("{one}{}", one.replace("1,a,1", "2,b,2")));
    assert_eq!(bodies(&intake), ["a", "b"]);
    assert_eq!(rejects(&intake), [(3, "header_again")]);
}

#[test]
fn damage_is_judged_row_by_row() {
    let mut bytes = "id,text,price,other\n1,für,1,x\n".as_bytes().to_vec();
    bytes.extend(b"2,f\xFCr,2,x\n");
    bytes.extend(b"3,ze\0ro,3,x\n");
    bytes.extend(b"4,sur\xED\xA0\x80rogate,4,x\n");
    bytes.extend(b"5,unused,5,\xFF\0\n");
    bytes.extend("6,fünf,6,x\n7,größer,7,x\n".as_bytes());
    let intake = read(bytes);
    assert_eq!(bodies(&intake), ["für", "unused", "fünf", "größer"]);
    assert_eq!(
        rejects(&intake),
        [(3, "not_decodable"), (4, "zero_byte"), (5, "not_decodable")]
    );
}

#[test]
fn a_lone_surrogate_in_utf16_costs_its_row() {
    let units = |text: &str| {
        text.encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect::<Vec<_>>()
    };
    let mut bytes = units("\u{feff}text,price\na");
    bytes.extend(0xDC00_u16.to_le_bytes());
    bytes.extend(units("b,1\nok 🚗,2\n"));
    let intake = read(bytes);
    assert_eq!(rejects(&intake), [(2, "not_decodable")]);
    assert_eq!(bodies(&intake), ["ok 🚗"]);
}

#[test]
fn long_cells_and_rows_are_rejected() {
    let fits = "x".repeat(MAX_CELL);
    let intake = read(format!(
        "text,price\n{fits},1\n{fits}x,2\n\"{fits}\",3\nok,4\n"
    ));
    assert_eq!(rejects(&intake), [(3, "too_long")]);
    assert_eq!(intake.listings.len(), 3);
    assert_eq!(intake.rejects[0].raw.len(), 200);

    let many = ",x".repeat(MAX_ROW / 2);
    let intake = read(format!("text,price\na,1{many}\nok,4\n"));
    assert_eq!(rejects(&intake), [(2, "too_long")]);
    assert_eq!(bodies(&intake), ["ok"]);
}

#[test]
fn a_quoted_cell_beyond_the_limit_is_rejected_and_the_rows_after_it_are_read() {
    let text = "no rust at all\n".repeat(MAX_CELL / 10);
    let intake = read(format!("id,text,price\n1,\"{text}\",1\n2,ok,2\n"));
    assert_eq!(intake.listings.last().unwrap().body(), "ok");
    assert_eq!(intake.listings.len(), 1);
    assert_eq!(rejects(&intake)[0], (2, "unclosed_quote"));
}

#[test]
fn a_line_of_two_hundred_megabytes_is_passed_over() {
    let stream = Cursor::new(&b"text,price\na,1\n"[..])
        .chain(repeat(b'x').take(200 << 20))
        .chain(Cursor::new(&b"\nb,2\n"[..]));
    let options = Options::default();
    let reader = Reader::of_stream("-", stream, &options, lexicon());
    let intake: Intake = reader.collect::<Result<_, _>>().unwrap();
    assert_eq!(bodies(&intake), ["a", "b"]);
    assert_eq!(rejects(&intake), [(3, "too_long")]);
    assert_eq!(intake.rejects[0].raw, "x".repeat(200));
    assert_eq!(intake.listings[1].origin.line, 4);
}

#[test]
fn items_come_in_the_order_of_the_file() {
    let options = Options::default();
    let stream = Cursor::new("text,price\na,1\nb\nc,3\nc,3\n");
    let order: Vec<String> = Reader::of_stream("-", stream, &options, lexicon())
        .map(|item| match item.unwrap() {
            Item::Listing(l) => l.body().to_owned(),
            Item::Reject(r) => r.reason.word().to_owned(),
            Item::Repeat(r) => format!("again {}", r.listing),
            Item::Warning(w) => w.to_string(),
        })
        .collect();
    assert_eq!(
        order,
        [
            "a",
            "too_few_cells",
            "c",
            "-: 1 rows are exact repeats of rows read before and were left out"
        ]
    );
}

#[test]
fn the_list_of_rejects_is_a_csv_that_no_spreadsheet_runs() {
    let intake = read("id,text,price\n=1+1,\"a\" b,c,d\n2,ok,2\n1\n");
    let folder = Folder::new();
    let path = folder.file("rejects.csv", "");
    write_rejects(&path, &intake.rejects).unwrap();
    let mut reader = csv::Reader::from_path(&path).unwrap();
    let header = reader.headers().unwrap().clone();
    assert_eq!(
        &header,
        &["file", "line", "reason", "what_to_do", "raw"][..]
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(&rows[0][2], "stray_quote");
    assert_eq!(&rows[0][4], "'=1+1,\"a\" b,c,d");
    assert_eq!(
        &rows[1],
        &[
            "ads.csv",
            "4",
            "too_few_cells",
            "1 cells where the header has 3; join a row that was broken over lines, or put \
             quotes round its text",
            "1"
        ][..]
    );
}

#[test]
fn rejects_that_cannot_be_written_are_an_error_with_the_path() {
    let folder = Folder::new();
    let path = folder.0.path().join("missing").join("rejects.csv");
    let error = write_rejects(&path, &[]).unwrap_err().to_string();
    assert!(error.starts_with(&path.display().to_string()), "{error}");
}
