//! Under which headers the columns of a comparables file stand.

use std::collections::BTreeMap;

use super::table::{LexiconError, Sheet};
use crate::units::DistanceUnit;
use crate::worth::PriceBasis;

/// A column of a comparables file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ComparableField {
    /// Model year.
    Year,
    /// Make.
    Make,
    /// Model.
    Model,
    /// Distance on the car.
    Distance,
    /// Price paid or asked.
    Price,
    /// Which of the two.
    Basis,
    /// Day of the sale or of the ad.
    Date,
    /// Body style.
    Body,
    /// Engine.
    Engine,
}

impl ComparableField {
    /// All fields, with the words of `comparable_headers.csv`.
    pub const ALL: &'static [(ComparableField, &'static str)] = &[
        (ComparableField::Year, "year"),
        (ComparableField::Make, "make"),
        (ComparableField::Model, "model"),
        (ComparableField::Distance, "distance"),
        (ComparableField::Price, "price"),
        (ComparableField::Basis, "basis"),
        (ComparableField::Date, "date"),
        (ComparableField::Body, "body"),
        (ComparableField::Engine, "engine"),
    ];

    /// Its word in tables and messages.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(field, _)| *field == self)
            .map_or("", |(_, word)| word)
    }
}

/// What a header says of all cells below it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct HeaderUnit {
    /// The unit of a distance column.
    pub distance: Option<DistanceUnit>,
    /// What the prices of a price column are.
    pub price: Option<PriceBasis>,
}

/// The headers of `comparable_headers.csv`.
#[derive(Debug, Clone)]
pub struct ComparableHeaders {
    by_name: BTreeMap<String, (ComparableField, HeaderUnit)>,
}

impl ComparableHeaders {
    /// Reads and checks `comparable_headers.csv`.
    ///
    /// # Errors
    /// An unknown field or unit, a header that stands twice.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut by_name = BTreeMap::new();
        for row in sheet.rows() {
            let header = row.required("header")?;
            let word = row.required("field")?;
            let field = ComparableField::ALL.iter().find(|(_, w)| *w == word);
            let Some((field, _)) = field else {
                let known: Vec<_> = ComparableField::ALL.iter().map(|(_, w)| *w).collect();
                return Err(row.error(
                    "field",
                    format!("'{word}' is not one of: {}", known.join(", ")),
                ));
            };
            let unit = header_unit(*field, row.text("unit")?)
                .map_err(|problem| row.error("unit", problem))?;
            if by_name.insert(bare(header), (*field, unit)).is_some() {
                return Err(row.error("header", format!("'{header}' stands twice; remove one")));
            }
        }
        Ok(ComparableHeaders { by_name })
    }

    /// The field a header stands for, and the unit it names.
    pub fn find(&self, header: &str) -> Option<(ComparableField, HeaderUnit)> {
        self.by_name.get(&bare(header)).copied()
    }
}

fn header_unit(field: ComparableField, word: &str) -> Result<HeaderUnit, String> {
    let mut unit = HeaderUnit::default();
    match (field, word) {
        (_, "") => {}
        (ComparableField::Distance, "miles") => unit.distance = Some(DistanceUnit::Miles),
        (ComparableField::Distance, "km") => unit.distance = Some(DistanceUnit::Km),
        (ComparableField::Price, word) => {
            let basis = PriceBasis::of_word(word);
            unit.price = Some(basis.ok_or_else(|| format!("'{word}' is neither sold nor asked"))?);
        }
        (ComparableField::Distance, other) => {
            return Err(format!("'{other}' is neither miles nor km"));
        }
        (_, other) => {
            return Err(format!(
                "'{other}' says nothing here; only distances and prices have a unit"
            ));
        }
    }
    Ok(unit)
}

/// A header without capitals, spaces and signs.
fn bare(header: &str) -> String {
    header
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_match_whatever_their_capitals_and_signs() {
        let text = "header,field,unit,note\nodometer km,distance,km,\nmodel year,year,,\n";
        let headers = ComparableHeaders::read(&Sheet::parse("h.csv", text).unwrap()).unwrap();
        let (field, unit) = headers.find("Odometer (km)").unwrap();
        assert_eq!(field, ComparableField::Distance);
        assert_eq!(unit.distance, Some(DistanceUnit::Km));
        assert_eq!(
            headers.find("MODEL_YEAR"),
            Some((ComparableField::Year, HeaderUnit::default()))
        );
        assert_eq!(headers.find("colour"), None);
    }

    #[test]
    fn an_unknown_field_is_named_with_its_place() {
        let sheet = Sheet::parse("h.csv", "header,field,unit,note\ncolour,paint,,\n").unwrap();
        let error = ComparableHeaders::read(&sheet).unwrap_err().to_string();
        assert!(error.starts_with("h.csv, line 2, column 'field': 'paint' is not one of: year"));
    }

    #[test]
    fn a_price_header_may_say_what_the_prices_are_and_nothing_else() {
        let read = |row: &str| {
            let text = format!("header,field,unit,note\n{row}\n");
            ComparableHeaders::read(&Sheet::parse("h.csv", &text).unwrap())
        };
        let headers = read("asking price,price,asked,").unwrap();
        let (_, unit) = headers.find("Asking Price").unwrap();
        assert_eq!(unit.price, Some(PriceBasis::Asked));
        for (row, problem) in [
            ("ask,price,miles,", "'miles' is neither sold nor asked"),
            ("km,distance,sold,", "'sold' is neither miles nor km"),
            ("make,make,km,", "only distances and prices have a unit"),
        ] {
            let error = read(row).unwrap_err().to_string();
            assert!(error.contains(problem), "{error}");
        }
    }
}
