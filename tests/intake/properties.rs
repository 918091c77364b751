//! What holds for any rows and any bytes.

use std::io::Cursor;

use fixworth::intake::{Intake, Options, Reader};
use fixworth::lexicon::Lexicon;
use proptest::prelude::*;

use crate::{lexicon, options};

#[derive(Debug, Clone, Copy)]
enum Written {
    Utf8,
    Utf8Mark,
    Utf16Le,
    Utf16Be,
    Windows1252,
}

impl Written {
    fn bytes(self, text: &str) -> Vec<u8> {
        let marked = format!("\u{feff}{text}");
        match self {
            Written::Utf8 => text.as_bytes().to_vec(),
            Written::Utf8Mark => marked.into_bytes(),
            Written::Utf16Le => marked.encode_utf16().flat_map(u16::to_le_bytes).collect(),
            Written::Utf16Be => marked.encode_utf16().flat_map(u16::to_be_bytes).collect(),
            Written::Windows1252 => encoding_rs::WINDOWS_1252.encode(text).0.into_owned(),
        }
    }
}

fn written() -> impl Strategy<Value = Written> {
    prop::sample::select(vec![
        Written::Utf8,
        Written::Utf8Mark,
        Written::Utf16Le,
        Written::Utf16Be,
        Written::Windows1252,
    ])
}

/// Cells that the cleaning leaves as they are, with everything that makes CSV
/// hard in them. `é` and `ü` are followed by nothing that makes UTF-8 of them.
fn cell() -> impl Strategy<Value = String> {
    "([a-z,;|\"0-9éü]|[a-z]\n[a-z]| [a-z]){0,12}".prop_map(|s| s.trim().to_owned())
}

fn file(delimiter: u8, rows: &[[String; 3]]) -> String {
    let mut writer = csv::WriterBuilder::new()
        .delimiter(delimiter)
        .from_writer(Vec::new());
    writer.write_record(["id", "text", "price"]).unwrap();
    for (n, [text, price, _]) in rows.iter().enumerate() {
        writer
            .write_record([&format!("n{n}"), text, price])
            .unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

fn read(bytes: &[u8], options: &Options, lexicon: &Lexicon) -> Result<Intake, String> {
    let stream = Cursor::new(bytes.to_vec());
    let reader = Reader::of_stream("-", stream, options, lexicon);
    reader.collect::<Result<_, _>>().map_err(|e| e.to_string())
}

/// A file with several kinds of cells in it.
const GOOD: &str = "id;title;text;price\n\
    1;2004 Saab 9-3;\"needs a clutch;\nruns \"\"well\"\"\";500\n\
    2;2001 Volvo V70;für Bastler &amp; <b>mehr</b>;1.200 €\n\
    3;1999 Mazda 323;\"ok\";\n";

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn rows_come_back_equal_in_any_delimiter_and_encoding(
        delimiter in prop::sample::select(b",;\t|".to_vec()),
        written in written(),
        rows in prop::collection::vec([cell(), cell(), cell()], 1..12),
    ) {
        let rows: Vec<_> = rows.into_iter().filter(|r| !r[0].is_empty()).collect();
        prop_assume!(!rows.is_empty());
        let bytes = written.bytes(&file(delimiter, &rows));
        let intake = read(&bytes, &options(&[]), lexicon()).unwrap();
        prop_assert_eq!(&intake.rejects, &[]);
        let found: Vec<_> = intake.listings.iter()
            .map(|l| (l.id.0.clone(), l.body().to_owned(), l.price.clone().unwrap_or_default()))
            .collect();
        let wanted: Vec<_> = rows.iter().enumerate()
            .map(|(n, [text, price, _])| (format!("n{n}"), text.clone(), price.replace('\n', " ")))
            .collect();
        prop_assert_eq!(found, wanted);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..400), header: bool) {
        let mut all = if header { b"id,text,price\n".to_vec() } else { Vec::new() };
        all.extend(bytes);
        let _ = read(&all, &options(&[]), lexicon());
    }

    #[test]
    fn no_signs_of_csv_make_it_panic_or_lose_count(body in "([a-c]|\"|\"\"|,|\n|\r\n| |\t){0,60}") {
        let text = format!("id,text,price\n{body}\nz1,last,1\nz2,last,2\n");
        let intake = read(text.as_bytes(), &options(&[]), lexicon()).unwrap();
        let last: Vec<_> = intake.listings.iter().rev().take(2).map(|l| &*l.id.0).collect();
        prop_assert_eq!(last, ["z2", "z1"], "{:?}", text);
    }

    #[test]
    fn no_change_of_a_good_file_makes_it_panic(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0u8..3), 1..6),
    ) {
        let mut bytes = GOOD.as_bytes().to_vec();
        for (at, byte, how) in changes {
            let at = at.index(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => bytes.truncate(at.max(1)),
            }
        }
        let _ = read(&bytes, &options(&[]), lexicon());
    }

    /// A quote put anywhere in one row loses no other row.
    #[test]
    fn a_stray_quote_costs_its_own_row_at_most(row in 0usize..8, at in any::<prop::sample::Index>()) {
        let mut rows: Vec<String> = (0..8).map(|n| format!("n{n},\"words, {n}\",{n}00")).collect();
        let place = at.index(rows[row].len() + 1);
        rows[row].insert(place, '"');
        let text = format!("id,text,price\n{}\n", rows.join("\n"));
        let intake = read(text.as_bytes(), &options(&[]), lexicon()).unwrap();
        for n in (0..8).filter(|n| *n != row) {
            let id = format!("n{n}");
            let found = intake.listings.iter().find(|l| l.id.0 == id);
            let body = found.map(|l| l.body().to_owned());
            prop_assert_eq!(body, Some(format!("words, {n}")), "{}", text);
        }
    }
}
