//! A comparables file: what is read, what is left out, what serves instead.

use std::path::Path;

use fixworth::lexicon::Lexicon;
use fixworth::units::{DistanceUnit, Miles, ModelYear, Money};
use fixworth::worth::{
    Basis, ComparablesError, ComparablesFile, Named, Origin, PriceBasis, ReadOptions, SaleDate,
    WorthWarning,
};

fn read(text: &str) -> Result<ComparablesFile, ComparablesError> {
    let lexicon = Lexicon::built_in().unwrap();
    let names = |make: &str, model: &str| Named {
        make: if make == "VW" { "Volkswagen" } else { make }.to_owned(),
        model: model.to_owned(),
        class: (model == "Golf").then(|| "compact".to_owned()),
    };
    let options = ReadOptions {
        headers: &lexicon.comparable_headers,
        distance_unit: DistanceUnit::Miles,
        names: &names,
    };
    ComparablesFile::parse(Path::new("sold.csv"), text.as_bytes(), &options)
}

#[test]
fn rows_are_read_whatever_the_headers_capitals_and_separator() {
    let file = read(
        "\u{feff}Model Year;MAKE;model;Odometer (km);Sale Price;Date Sold;colour\n\
         2009;VW;Golf;214000;$4,200;2023-04-02;red\n",
    )
    .unwrap();
    assert_eq!(file.problems, []);
    let car = &file.rows[0];
    assert_eq!(
        (car.make.as_str(), car.model.as_str()),
        ("Volkswagen", "Golf")
    );
    assert_eq!(car.class.as_deref(), Some("compact"));
    assert_eq!(
        (car.year, car.dated),
        (ModelYear(2009), SaleDate::find_in("2023-04"))
    );
    assert_eq!(
        (car.miles, car.price),
        (Some(Miles(132_973)), Money::whole(4200))
    );
}

#[test]
fn bad_rows_are_told_with_their_line_and_the_good_ones_kept() {
    let file = read(
        "year,make,model,miles,price,date\n\
         2006,Kia,Rio,120000,2500,2023-01-05\n\
         oh-six,Kia,Rio,120000,2500,2023-01-05\n\
         \n\
         2006,Kia,Rio,120000,call,\n\
         2006,,Rio,120000,2500,\n\
         2007,Kia,Rio,many,2700,last week\n\
         2008,Kia\n",
    )
    .unwrap();
    let told: Vec<_> = file.problems.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "line 3, year: 'oh-six' is no model year; give four digits such as 2008; row left out",
            "line 5, price: 'call' is no price; give an amount such as 4500; row left out",
            "line 6, make: is empty; give a value; row left out",
            "line 7, distance: 'many' is no distance; give a number such as 120000, \
             or leave it empty; cell left out",
            "line 7, date: 'last week' has no year of four digits; \
             write dates like 2024-05-31; cell left out",
            "line 8, price: is empty; give a value; row left out",
        ]
    );
    assert_eq!(file.rows.len(), 2);
    assert_eq!((file.rows[1].miles, file.rows[1].dated), (None, None));
}

#[test]
fn a_missing_column_is_an_error_that_names_it() {
    let error = read("year,make,model,miles\n2006,Kia,Rio,120000\n").unwrap_err();
    assert_eq!(
        error.to_string(),
        "sold.csv: no column for 'price'; its columns are: year, make, model, miles. \
         Rename one, or add its header to comparable_headers.csv"
    );
    let twice = read("year,make,price,ask\n").unwrap_err().to_string();
    assert!(
        twice.contains("two columns for 'price': 'price' and 'ask'"),
        "{twice}"
    );
}

#[test]
fn prices_are_asked_or_sold_as_the_row_the_header_or_two_columns_say() {
    let bases = |text: &str| -> Vec<(Money, PriceBasis)> {
        let file = read(text).unwrap();
        assert_eq!(file.problems, [], "{text}");
        file.rows.iter().map(|c| (c.price, c.basis)).collect()
    };
    let (asked, sold) = (PriceBasis::Asked, PriceBasis::Sold);
    let money = Money::whole;
    assert_eq!(
        bases("year,make,price,basis\n2006,Kia,2500,asked\n2007,Kia,2700,Sold\n2008,Kia,3000,\n"),
        [
            (money(2500), asked),
            (money(2700), sold),
            (money(3000), sold)
        ]
    );
    assert_eq!(
        bases("year,make,asking price\n2006,Kia,2500\n"),
        [(money(2500), asked)]
    );
    for header in ["asking price,sold price", "sold price,asking price"] {
        let cells = if header.starts_with("asking") {
            ["3000,2600", "3100,"]
        } else {
            ["2600,3000", ",3100"]
        };
        let text = format!(
            "year,make,{header}\n2006,Kia,{}\n2007,Kia,{}\n",
            cells[0], cells[1]
        );
        assert_eq!(bases(&text), [(money(2600), sold), (money(3100), asked)]);
    }
    let odd = read("year,make,price,basis\n2006,Kia,2500,hoped\n").unwrap();
    assert_eq!(
        odd.problems[0].to_string(),
        "line 2, basis: 'hoped' is neither 'sold' nor 'asked'; give one of them; row left out"
    );
}

#[test]
fn an_empty_file_is_an_error_and_no_crash() {
    assert!(matches!(
        read("").unwrap_err(),
        ComparablesError::Empty { .. }
    ));
}

#[test]
fn two_rows_are_too_few_and_the_batch_or_the_curve_serves_with_a_warning() {
    let small = read("year,make,price\n2006,Kia,2500\n2007,Kia,2700\n").unwrap();
    let batch = vec![small.rows[0].clone(); 6];

    let basis = Basis::choose(Some(&small), &batch);
    assert_eq!((basis.rows.len(), basis.origin), (6, Origin::Batch));
    assert_eq!(
        basis.warning.unwrap().to_string(),
        "sold.csv: only 2 rows can be used and at least 5 are needed; \
         the 6 sound cars of this batch are used instead. Add rows to the file"
    );

    let basis = Basis::choose(Some(&small), &batch[..3]);
    assert!(basis.rows.is_empty());
    let warning = basis.warning.unwrap();
    assert!(matches!(
        warning,
        WorthWarning::FileTooSmallCurveUsed { usable: 2, .. }
    ));
    assert!(warning.to_string().contains("rough curve of worth.csv"));
}

#[test]
fn a_file_with_enough_rows_goes_before_the_batch() {
    let rows = "2006,Kia,2500\n".repeat(5);
    let file = read(&format!("year,make,price\n{rows}")).unwrap();
    let batch = vec![file.rows[0].clone(); 40];
    let basis = Basis::choose(Some(&file), &batch);
    assert_eq!(
        (basis.rows.len(), basis.origin, basis.warning),
        (5, Origin::File, None)
    );
    let basis = Basis::choose(None, &batch);
    assert_eq!(
        (basis.rows.len(), basis.origin, basis.warning),
        (40, Origin::Batch, None)
    );
    let basis = Basis::choose(None, &batch[..4]);
    assert_eq!(
        basis.warning,
        Some(WorthWarning::NothingToCompare { batch: 4 })
    );
}
