//! Which column is what.

use fixworth::intake::Warning;
use fixworth::lexicon::headers::Field;
use fixworth::units::{Currency, DistanceUnit};

use crate::{Folder, bodies, read, read_files, try_read};

#[test]
fn headers_of_several_languages_are_known() {
    for header in [
        "Title,Description,Asking Price,Odometer",
        "Titel,Beschreibung,Preis,Kilometerstand",
        "Titre,Descriptif,Prix,Kilométrage",
        "Título,Descripción,Precio,Kilómetros",
        "Kop,Omschrijving,Vraagprijs,Tellerstand",
        "Tytuł,Opis,Cena,Przebieg",
    ] {
        let listing = read(format!("{header}\nh,t,1,2\n")).listings.remove(0);
        assert_eq!(listing.text, "h\nt", "{header}");
        assert_eq!(listing.price.as_deref(), Some("1"), "{header}");
        assert_eq!(listing.distance.as_deref(), Some("2"), "{header}");
    }
}

#[test]
fn units_come_from_headers_only() {
    let units = |header: &str| {
        let listing = read(format!("text,{header}\nt,1,2\n")).listings.remove(0);
        (listing.currency, listing.distance_unit)
    };
    assert_eq!(
        units("price_gbp,Kilometer"),
        (Some(Currency::Gbp), Some(DistanceUnit::Km))
    );
    assert_eq!(
        units("price (EUR),miles"),
        (Some(Currency::Eur), Some(DistanceUnit::Miles))
    );
    assert_eq!(units("price,mileage"), (None, None));
}

#[test]
fn a_named_column_goes_before_what_the_table_says() {
    let folder = Folder::new();
    let path = folder.file("a.csv", "text,Blurb,cost in EUR\nnot this,this,5\n");
    let intake = read_files(&[path], &["text=blurb", "price=Cost in EUR"]).unwrap();
    assert_eq!(bodies(&intake), ["this"]);
    assert_eq!(intake.listings[0].currency, Some(Currency::Eur));
}

#[test]
fn one_of_several_named_columns_is_enough_for_a_file() {
    let folder = Folder::new();
    let a = folder.file("a.csv", "Blurb,price\na,1\n");
    let b = folder.file("b.csv", "Words,price\nb,1\n");
    let intake = read_files(&[a, b], &["text=Blurb", "text=Words"]).unwrap();
    assert_eq!(bodies(&intake), ["a", "b"]);
    assert_eq!(intake.warnings, []);
}

#[test]
fn a_named_column_that_is_missing_fails_or_warns() {
    let folder = Folder::new();
    let path = folder.file("a.csv", "text,Cosst\na,1\n");
    let error = read_files(std::slice::from_ref(&path), &["price=Cost"]).unwrap_err();
    assert_eq!(
        error.to_string(),
        format!(
            "{}: no column 'Cost' for price; did you mean 'Cosst'? its columns are: text, Cosst",
            path.display()
        )
    );
    let intake = read_files(&[path], &["text=Words"]).unwrap();
    let missing =
        |w: &Warning| matches!(w, Warning::ColumnNotInFile { used, .. } if used == "text");
    assert!(intake.warnings.iter().any(missing), "{:?}", intake.warnings);
}

#[test]
fn one_column_cannot_be_two_things() {
    let folder = Folder::new();
    let path = folder.file("a.csv", "text,x\na,1\n");
    let error = read_files(&[path], &["price=x", "year=x"]).unwrap_err();
    assert!(
        error
            .to_string()
            .contains("column 'x' cannot be both price and year")
    );
}

#[test]
fn without_a_text_column_the_headers_are_shown_harmless() {
    let error = try_read("colour;wh\x1beels\nred;4\n").unwrap_err();
    assert_eq!(
        error.to_string(),
        "ads.csv: no column with the text or the headline of the ads; its columns are: colour, \
         wh\u{fffd}eels; name the right one with --column text=HEADER (a file of known prices is \
         given with --comparables)"
    );
}

#[test]
fn two_columns_for_one_field_take_the_better_and_say_so() {
    let intake = read("notes,description,price\nsmall,large,1\n");
    assert_eq!(bodies(&intake), ["large"]);
    assert_eq!(
        intake.warnings,
        [Warning::TwoColumns {
            file: "ads.csv".into(),
            field: Field::Text,
            used: "description".into(),
            left: "notes".into(),
        }]
    );
}

#[test]
fn a_file_without_prices_is_told() {
    let warnings = read("text,colour\na,red\n").warnings;
    assert_eq!(warnings.len(), 1);
    assert_eq!(
        warnings[0].to_string(),
        "ads.csv: no price column, so prices are read from the text; if one of these holds the \
         price, say --column price=HEADER: text, colour"
    );
}
