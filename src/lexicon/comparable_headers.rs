//! Under which headers the columns of a comparables file stand.

use std::collections::BTreeMap;

use super::table::{LexiconError, Sheet};
use crate::units::DistanceUnit;

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

/// The headers of `comparable_headers.csv`.
#[derive(Debug, Clone)]
pub struct ComparableHeaders {
    by_name: BTreeMap<String, (ComparableField, Option<DistanceUnit>)>,
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
            let unit = match row.text("unit")? {
                "" => None,
                "miles" => Some(DistanceUnit::Miles),
                "km" => Some(DistanceUnit::Km),
                other => {
                    return Err(row.error("unit", format!("'{other}' is neither miles nor km")));
                }
            };
            if by_name.insert(bare(header), (*field, unit)).is_some() {
                return Err(row.error("header", format!("'{header}' stands twice; remove one")));
            }
        }
        Ok(ComparableHeaders { by_name })
    }

    /// The field a header stands for, and the unit it names.
    pub fn find(&self, header: &str) -> Option<(ComparableField, Option<DistanceUnit>)> {
        self.by_name.get(&bare(header)).copied()
    }
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
        let km = Some((ComparableField::Distance, Some(DistanceUnit::Km)));
        assert_eq!(headers.find("Odometer (km)"), km);
        assert_eq!(
            headers.find("MODEL_YEAR"),
            Some((ComparableField::Year, None))
        );
        assert_eq!(headers.find("colour"), None);
    }

    #[test]
    fn an_unknown_field_is_named_with_its_place() {
        let sheet = Sheet::parse("h.csv", "header,field,unit,note\ncolour,paint,,\n").unwrap();
        let error = ComparableHeaders::read(&sheet).unwrap_err().to_string();
        assert!(error.starts_with("h.csv, line 2, column 'field': 'paint' is not one of: year"));
    }
}
