//! Whole files that cannot be read, and several files.

use fixworth::intake::{IntakeError, Warning};

use crate::{Folder, bodies, read, read_files, try_read};

#[test]
fn what_is_missing_a_folder_or_empty_is_named() {
    let folder = Folder::new();
    let missing = folder.0.path().join("none.csv");
    let error = read_files(std::slice::from_ref(&missing), &[]).unwrap_err();
    assert!(matches!(error, IntakeError::NotFound { .. }), "{error}");
    assert!(
        error
            .to_string()
            .starts_with(&missing.display().to_string())
    );

    let error = read_files(&[folder.0.path().to_owned()], &[]).unwrap_err();
    assert!(matches!(error, IntakeError::Folder { .. }), "{error}");

    for empty in ["", "\n \r\n", "\u{feff}", "sep=;\n"] {
        let error = try_read(empty).unwrap_err();
        assert!(matches!(error, IntakeError::Empty { .. }), "{error}");
    }
}

#[test]
fn other_kinds_of_files_are_named_with_the_way_out() {
    let cases: [(&[u8], &str); 4] = [
        (
            b"PK\x03\x04rest",
            "spreadsheet (xlsx, ods) or a zip; open it and save the sheet as CSV",
        ),
        (b"%PDF-1.7", "a PDF; export the ads as CSV instead"),
        (
            b"<html><body>",
            "a web page or XML; export the ads as CSV instead",
        ),
        (
            b"\x01\x02\0\x03\0\0\0\x05\n\0\0",
            "no text but binary data; export the ads as CSV",
        ),
    ];
    for (bytes, words) in cases {
        let error = try_read(bytes).unwrap_err().to_string();
        assert!(
            error.starts_with("ads.csv: this is ") && error.contains(words),
            "{error}"
        );
    }
}

#[test]
fn a_header_alone_is_no_error_but_a_warning() {
    for bytes in ["text,price", "text,price\n\n\n"] {
        let intake = read(bytes);
        assert!(intake.listings.is_empty() && intake.rejects.is_empty());
        assert_eq!(
            intake.warnings,
            [Warning::HeaderOnly {
                file: "ads.csv".into()
            }]
        );
    }
}

#[test]
fn files_of_different_shape_are_read_in_order() {
    let folder = Folder::new();
    let a = folder.file("a.csv", "text,price\na,1\n");
    let b = folder.file("b.csv", b"Preis;Beschreibung\n2;f\xFCr Bastler\n");
    let intake = read_files(&[b.clone(), a], &[]).unwrap();
    assert_eq!(bodies(&intake), ["für Bastler", "a"]);
    assert_eq!(&*intake.listings[0].origin.file, &*b.display().to_string());
}

#[test]
fn one_bad_file_fails_the_run_with_its_name() {
    let folder = Folder::new();
    let good = folder.file("a.csv", "text,price\na,1\n");
    let bad = folder.file("b.csv", "colour\nred\n");
    let error = read_files(&[good, bad.clone()], &[]).unwrap_err();
    assert!(error.to_string().starts_with(&bad.display().to_string()));
}
