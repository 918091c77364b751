//! What exports call their columns, in several languages.

use std::collections::HashMap;
use std::fmt;

use super::table::{LexiconError, Row, Sheet};
use crate::units::{Currency, DistanceUnit};

/// What a column of an export holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Field {
    /// The site's own number of the ad.
    Id,
    /// The headline.
    Headline,
    /// The text of the ad.
    Text,
    /// The price.
    Price,
    /// The distance on the car.
    Distance,
    /// The model year.
    Year,
    /// The make.
    Make,
    /// The model.
    Model,
    /// Town or region.
    Place,
    /// Date of the ad or of the export.
    Date,
    /// Link to the ad.
    Link,
}

impl Field {
    /// All fields in order.
    pub const ALL: [Field; 11] = [
        Field::Id,
        Field::Headline,
        Field::Text,
        Field::Price,
        Field::Distance,
        Field::Year,
        Field::Make,
        Field::Model,
        Field::Place,
        Field::Date,
        Field::Link,
    ];

    /// The word for it in the table and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Field::Id => "id",
            Field::Headline => "headline",
            Field::Text => "text",
            Field::Price => "price",
            Field::Distance => "distance",
            Field::Year => "year",
            Field::Make => "make",
            Field::Model => "model",
            Field::Place => "place",
            Field::Date => "date",
            Field::Link => "link",
        }
    }

    /// The field of a word, letter case aside.
    pub fn of_word(word: &str) -> Option<Self> {
        Field::ALL
            .into_iter()
            .find(|f| f.word().eq_ignore_ascii_case(word))
    }

    /// Position in [`Field::ALL`], for arrays that run beside it.
    pub const fn index(self) -> usize {
        self as usize
    }
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// A unit that a header names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeaderUnit {
    /// The distance column's unit.
    Distance(DistanceUnit),
    /// The price column's currency.
    Currency(Currency),
}

impl HeaderUnit {
    /// Whether a column of this field can be in this unit.
    fn suits(self, field: Field) -> bool {
        match self {
            HeaderUnit::Distance(_) => field == Field::Distance,
            HeaderUnit::Currency(_) => field == Field::Price,
        }
    }

    fn of_word(word: &str) -> Option<Self> {
        Some(match word {
            "km" => HeaderUnit::Distance(DistanceUnit::Km),
            "mi" => HeaderUnit::Distance(DistanceUnit::Miles),
            "USD" => HeaderUnit::Currency(Currency::Usd),
            "CAD" => HeaderUnit::Currency(Currency::Cad),
            "GBP" => HeaderUnit::Currency(Currency::Gbp),
            "EUR" => HeaderUnit::Currency(Currency::Eur),
            "AUD" => HeaderUnit::Currency(Currency::Aud),
            "NZD" => HeaderUnit::Currency(Currency::Nzd),
            _ => return None,
        })
    }
}

/// What a header turned out to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeaderMatch {
    /// The field of its column.
    pub field: Field,
    /// The unit it names.
    pub unit: Option<HeaderUnit>,
    /// Line in the table: of two headers for one field the lower is better.
    pub rank: u64,
}

/// The table `headers.csv`.
///
/// A row whose field is `unit` gives a word that may stand before or after the
/// header of a price or distance column (`price_gbp`, `Preis in EUR`); its unit
/// may be empty where the word says nothing for certain (`price ($)`).
#[derive(Debug)]
pub struct Headers {
    by_key: HashMap<String, HeaderMatch>,
    units: HashMap<String, Option<HeaderUnit>>,
}

impl Headers {
    /// Reads and checks `headers.csv`.
    ///
    /// # Errors
    /// An unknown field or unit, a unit that its field cannot have, a header
    /// that stands twice once case, spaces and punctuation are put aside.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut headers = Headers {
            by_key: HashMap::new(),
            units: HashMap::new(),
        };
        for row in sheet.rows() {
            let header = row.required("header")?;
            let key = key(header);
            if key.is_empty() {
                return Err(row.error("header", format!("'{header}' has no letter or digit")));
            }
            let unit = unit_cell(&row)?;
            let word = row.required("field")?;
            let again = if word == "unit" {
                headers.units.insert(key, unit).is_some()
            } else {
                let field = field_cell(&row, word)?;
                if unit.is_some_and(|u| !u.suits(field)) {
                    return Err(row.error("unit", format!("a {field} column has no such unit")));
                }
                let rank = row.line();
                let found = HeaderMatch { field, unit, rank };
                headers.by_key.insert(key, found).is_some()
            };
            if again {
                return Err(row.error("header", format!("'{header}' stands twice; remove one")));
            }
        }
        Ok(headers)
    }

    /// How many headers are known, the words of units not counted.
    pub fn len(&self) -> usize {
        self.by_key.len()
    }

    /// Whether no header is known.
    pub fn is_empty(&self) -> bool {
        self.by_key.is_empty()
    }

    /// All headers with their fields, letter case and punctuation put aside.
    pub(crate) fn known(&self) -> impl Iterator<Item = (&str, Field)> {
        self.by_key.iter().map(|(key, m)| (key.as_str(), m.field))
    }

    /// What a column of this header holds; case, spaces and punctuation are
    /// put aside, and a unit before or after the name is understood.
    pub fn find(&self, header: &str) -> Option<HeaderMatch> {
        if let Some(found) = self.by_key.get(&key(header)) {
            return Some(*found);
        }
        self.splits(header).find_map(|(name, unit)| {
            let found = self.by_key.get(&name)?;
            let takes_unit = matches!(found.field, Field::Price | Field::Distance);
            (takes_unit && unit.is_none_or(|u| u.suits(found.field))).then_some(HeaderMatch {
                unit: unit.or(found.unit),
                ..*found
            })
        })
    }

    /// The unit that a header names for a field, where the user has said that
    /// the column holds this field.
    pub fn unit_of(&self, field: Field, header: &str) -> Option<HeaderUnit> {
        let known = self.find(header).filter(|m| m.field == field);
        known
            .and_then(|m| m.unit)
            .or_else(|| self.units.get(&key(header)).copied().flatten())
            .or_else(|| self.splits(header).find_map(|(_, unit)| unit))
            .filter(|u| u.suits(field))
    }

    /// The ways to read a header as a name with a unit word before or after,
    /// the longest unit first.
    fn splits(&self, header: &str) -> impl Iterator<Item = (String, Option<HeaderUnit>)> {
        let words = words(header);
        let mut found = Vec::new();
        // A unit has two words at most: `in EUR`.
        for len in [2, 1] {
            if words.len() <= len {
                continue;
            }
            let (front, back) = words.split_at(words.len() - len);
            if let Some(unit) = self.units.get(&back.concat()) {
                found.push((front.concat(), *unit));
            }
            let (front, back) = words.split_at(len);
            if let Some(unit) = self.units.get(&front.concat()) {
                found.push((back.concat(), *unit));
            }
        }
        found.into_iter()
    }
}

fn field_cell(row: &Row<'_>, word: &str) -> Result<Field, LexiconError> {
    Field::of_word(word).ok_or_else(|| {
        let known: Vec<_> = Field::ALL.iter().map(|f| f.word()).collect();
        row.error(
            "field",
            format!("'{word}' is none of: {}, unit", known.join(", ")),
        )
    })
}

fn unit_cell(row: &Row<'_>) -> Result<Option<HeaderUnit>, LexiconError> {
    match row.text("unit")? {
        "" => Ok(None),
        word => HeaderUnit::of_word(word).map(Some).ok_or_else(|| {
            row.error(
                "unit",
                format!("'{word}' is none of: km, mi, USD, CAD, GBP, EUR, AUD, NZD"),
            )
        }),
    }
}

/// The letters and digits of a header in lower case, with signs of money.
/// Two headers of the same key are the same header.
pub fn key(header: &str) -> String {
    words(header).concat()
}

/// The words of a header in lower case: `priceGBP` has two, as `price_gbp`
/// has. `€` and `£` are words of their own; `$` ends the word before it
/// (`US$`).
fn words(header: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut after_small = false;
    for c in header.chars() {
        let alone = matches!(c, '€' | '£');
        if alone || (after_small && c.is_uppercase()) || !(c.is_alphanumeric() || c == '$') {
            words.push(String::new());
        }
        after_small = c.is_lowercase();
        if (alone || c == '$' || c.is_alphanumeric())
            && let Some(word) = words.last_mut()
        {
            word.extend(c.to_lowercase());
        }
        if alone || c == '$' {
            words.push(String::new());
        }
    }
    words.retain(|w| !w.is_empty());
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    fn headers() -> Headers {
        Lexicon::built_in().unwrap().headers
    }

    fn found(header: &str) -> (Field, Option<HeaderUnit>) {
        let m = headers().find(header).unwrap_or_else(|| panic!("{header}"));
        (m.field, m.unit)
    }

    #[test]
    fn many_spellings_are_known() {
        assert!(headers().len() >= 150, "{}", headers().len());
    }

    #[test]
    fn case_spaces_and_punctuation_do_not_matter() {
        for header in [
            "Asking Price",
            "asking_price",
            " ASKING-PRICE: ",
            "askingPrice",
        ] {
            assert_eq!(found(header), (Field::Price, None), "{header}");
        }
    }

    #[test]
    fn title_is_the_headline_and_the_long_words_are_the_text() {
        assert_eq!(found("title").0, Field::Headline);
        for header in [
            "description",
            "body",
            "details",
            "text",
            "Beschreibung",
            "opis",
        ] {
            assert_eq!(found(header).0, Field::Text, "{header}");
        }
    }

    #[test]
    fn units_are_read_from_headers() {
        let km = Some(HeaderUnit::Distance(DistanceUnit::Km));
        let miles = Some(HeaderUnit::Distance(DistanceUnit::Miles));
        let eur = Some(HeaderUnit::Currency(Currency::Eur));
        let gbp = Some(HeaderUnit::Currency(Currency::Gbp));
        for (header, field, unit) in [
            ("Kilometer", Field::Distance, km),
            ("mileage (km)", Field::Distance, km),
            ("Laufleistung in km", Field::Distance, km),
            ("odometer_miles", Field::Distance, miles),
            ("km", Field::Distance, km),
            ("price_gbp", Field::Price, gbp),
            ("priceGBP", Field::Price, gbp),
            ("price (EUR)", Field::Price, eur),
            ("Preis in €", Field::Price, eur),
            ("EUR price", Field::Price, eur),
            ("Prix€", Field::Price, eur),
            ("price ($)", Field::Price, None),
            (
                "Price US$",
                Field::Price,
                Some(HeaderUnit::Currency(Currency::Usd)),
            ),
        ] {
            assert_eq!(found(header), (field, unit), "{header}");
        }
    }

    #[test]
    fn unknown_headers_and_impossible_units_match_nothing() {
        for header in [
            "colour",
            "",
            "--",
            "price (km)",
            "location km",
            "title status",
        ] {
            assert_eq!(headers().find(header), None, "{header}");
        }
    }

    #[test]
    fn a_unit_is_found_in_a_header_that_the_user_named() {
        let eur = Some(HeaderUnit::Currency(Currency::Eur));
        assert_eq!(headers().unit_of(Field::Price, "Was es kostet, EUR"), eur);
        assert_eq!(headers().unit_of(Field::Price, "EUR"), eur);
        assert_eq!(
            headers().unit_of(Field::Distance, "Was es kostet, EUR"),
            None
        );
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place() {
        let wrong = |text: &str| {
            let sheet = Sheet::parse("headers.csv", text).unwrap();
            Headers::read(&sheet).unwrap_err().to_string()
        };
        assert_eq!(
            wrong("field,header,unit\nprice,Ask,\nprice,a-s-k,\n"),
            "headers.csv, line 3, column 'header': 'a-s-k' stands twice; remove one"
        );
        assert!(wrong("field,header,unit\ncolour,x,\n").contains("'colour' is none of: id,"));
        assert!(wrong("field,header,unit\nprice,x,km\n").contains("price column has no such unit"));
        assert!(wrong("field,header,unit\nprice,x,yen\n").contains("'yen' is none of"));
    }
}
