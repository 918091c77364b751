//! Which column of a file holds what, settled once by its header.

use std::str::FromStr;
use std::sync::Arc;

use super::error::IntakeError;
use super::warning::Warning;
use crate::lexicon::headers::{Field, HeaderMatch, HeaderUnit, Headers, key};
use crate::near::nearest;
use crate::units::{Currency, DistanceUnit};

/// The user's word for what a column is: `--column FIELD=HEADER`.
///
/// Given more than once for a field, the first whose header a file has counts
/// there, so that files of several sites can be read in one run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnOverride {
    /// What the column holds.
    pub field: Field,
    /// Its header; case, spaces and punctuation do not matter.
    pub header: String,
}

/// What is wrong with a `--column`.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ColumnOverrideError {
    /// No `=`.
    #[error("'{0}' has no '='; write FIELD=HEADER, for example text=Description")]
    NoEquals(String),
    /// Nothing after the `=`.
    #[error("'{0}=' names no header; write FIELD=HEADER, for example text=Description")]
    NoHeader(String),
    /// The field is none that an ad has.
    #[error("'{given}' is no field{}; the fields are: {}", suggestion(.nearest), all_fields())]
    UnknownField {
        /// What stands before the `=`.
        given: String,
        /// The field that is spelt nearly so.
        nearest: Option<Field>,
    },
}

fn suggestion(nearest: &Option<Field>) -> String {
    nearest.map_or(String::new(), |f| format!(", did you mean '{f}'?"))
}

fn all_fields() -> String {
    Field::ALL.map(Field::word).join(", ")
}

impl FromStr for ColumnOverride {
    type Err = ColumnOverrideError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (word, header) = text
            .split_once('=')
            .ok_or_else(|| ColumnOverrideError::NoEquals(text.to_owned()))?;
        let (word, header) = (word.trim(), header.trim());
        let field = Field::of_word(word).ok_or_else(|| ColumnOverrideError::UnknownField {
            given: word.to_owned(),
            nearest: nearest_field(word),
        })?;
        if header.is_empty() {
            return Err(ColumnOverrideError::NoHeader(word.to_owned()));
        }
        Ok(ColumnOverride {
            field,
            header: header.to_owned(),
        })
    }
}

fn nearest_field(word: &str) -> Option<Field> {
    nearest(word, Field::ALL.map(Field::word)).and_then(Field::of_word)
}

/// Where each field stands in a row.
#[derive(Debug, Default)]
pub(super) struct Columns {
    /// By [`Field::index`].
    at: [Option<usize>; Field::ALL.len()],
    pub distance_unit: Option<DistanceUnit>,
    pub currency: Option<Currency>,
}

impl Columns {
    pub fn of(&self, field: Field) -> Option<usize> {
        self.at[field.index()]
    }

    /// The columns that hold a field.
    pub fn used(&self) -> impl Iterator<Item = usize> {
        self.at.iter().flatten().copied()
    }

    /// Whether a row that stops after this many cells has all that matters:
    /// headline, text, price and distance, and does not stop with a headline
    /// or a text, whose rest may have got onto the next line.
    pub fn short_row_is_whole(&self, cells: usize) -> bool {
        let core = [Field::Headline, Field::Text, Field::Price, Field::Distance];
        let all_there = core.iter().all(|f| self.of(*f).is_none_or(|at| at < cells));
        let last_is_prose = [Field::Headline, Field::Text]
            .iter()
            .any(|f| self.of(*f).is_some_and(|at| at + 1 == cells));
        all_there && !last_is_prose
    }

    /// Settles the columns of a header. The user's word goes first, then the
    /// table; of two headers for a field the one higher in the table is taken.
    pub fn resolve(
        file: &Arc<str>,
        found: &[String],
        overrides: &[ColumnOverride],
        headers: &Headers,
        warnings: &mut Vec<Warning>,
    ) -> Result<Self, IntakeError> {
        let mut columns = Columns::default();
        let keys: Vec<String> = found.iter().map(|h| key(h)).collect();
        for wanted in overrides {
            let place = keys.iter().position(|k| *k == key(&wanted.header));
            if let (Some(at), None) = (place, columns.of(wanted.field)) {
                columns.name(file, wanted.field, at, found)?;
            }
        }
        columns.fill_from_table(file, found, headers, warnings);
        for wanted in overrides {
            columns.check_was_met(file, wanted, overrides, found, warnings)?;
        }
        let text = columns.of(Field::Text).or(columns.of(Field::Headline));
        if text.is_none() {
            return Err(IntakeError::NoTextColumn {
                file: file.to_string(),
                found: found.to_vec(),
                likely: None,
            });
        }
        if columns.of(Field::Price).is_none() {
            warnings.push(Warning::NoPriceColumn {
                file: Arc::clone(file),
                found: found.to_vec(),
            });
        }
        columns.find_units(found, headers);
        Ok(columns)
    }

    /// The columns as far as they can be settled, whatever is missing.
    pub fn found(found: &[String], overrides: &[ColumnOverride], headers: &Headers) -> Self {
        let mut columns = Columns::default();
        let file: Arc<str> = Arc::from("");
        let keys: Vec<String> = found.iter().map(|h| key(h)).collect();
        for wanted in overrides {
            let place = keys.iter().position(|k| *k == key(&wanted.header));
            if let (Some(at), None) = (place, columns.of(wanted.field)) {
                // Of a header named twice the first name counts here.
                let _ = columns.name(&file, wanted.field, at, found);
            }
        }
        columns.fill_from_table(&file, found, headers, &mut Vec::new());
        columns.find_units(found, headers);
        columns
    }

    fn name(
        &mut self,
        file: &Arc<str>,
        field: Field,
        at: usize,
        found: &[String],
    ) -> Result<(), IntakeError> {
        let holder = Field::ALL.into_iter().find(|f| self.of(*f) == Some(at));
        if let Some(first) = holder {
            return Err(IntakeError::OneColumnTwice {
                file: file.to_string(),
                header: found[at].clone(),
                first,
                second: field,
            });
        }
        self.at[field.index()] = Some(at);
        Ok(())
    }

    fn fill_from_table(
        &mut self,
        file: &Arc<str>,
        found: &[String],
        headers: &Headers,
        warnings: &mut Vec<Warning>,
    ) {
        let named = self.at;
        let mut ranked: Vec<(u64, usize, HeaderMatch)> = found
            .iter()
            .enumerate()
            .filter(|(at, _)| !named.contains(&Some(*at)))
            .filter_map(|(at, h)| headers.find(h).map(|m| (m.rank, at, m)))
            .filter(|(_, _, m)| named[m.field.index()].is_none())
            .collect();
        ranked.sort_by_key(|(rank, at, _)| (*rank, *at));
        for (_, at, HeaderMatch { field, .. }) in ranked {
            match self.at[field.index()] {
                None => self.at[field.index()] = Some(at),
                Some(used) => warnings.push(Warning::TwoColumns {
                    file: Arc::clone(file),
                    field,
                    used: found[used].clone(),
                    left: found[at].clone(),
                }),
            }
        }
    }

    /// A column that the user named must be there, or another that the user
    /// named for the same field; else a column from the table with a warning.
    fn check_was_met(
        &self,
        file: &Arc<str>,
        wanted: &ColumnOverride,
        overrides: &[ColumnOverride],
        found: &[String],
        warnings: &mut Vec<Warning>,
    ) -> Result<(), IntakeError> {
        let Some(at) = self.of(wanted.field) else {
            return Err(IntakeError::NoSuchColumn {
                file: file.to_string(),
                column: wanted.clone(),
                found: found.to_vec(),
            });
        };
        let used = &found[at];
        let was_named = overrides
            .iter()
            .any(|o| o.field == wanted.field && key(&o.header) == key(used));
        if !was_named {
            warnings.push(Warning::ColumnNotInFile {
                file: Arc::clone(file),
                column: wanted.clone(),
                used: used.clone(),
            });
        }
        Ok(())
    }

    fn find_units(&mut self, found: &[String], headers: &Headers) {
        let unit = |field| {
            self.of(field)
                .and_then(|at| headers.unit_of(field, &found[at]))
        };
        let (distance, price) = (unit(Field::Distance), unit(Field::Price));
        if let Some(HeaderUnit::Distance(unit)) = distance {
            self.distance_unit = Some(unit);
        }
        if let Some(HeaderUnit::Currency(currency)) = price {
            self.currency = Some(currency);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_override_is_read() {
        assert_eq!(
            " Text = What they say=x".parse(),
            Ok(ColumnOverride {
                field: Field::Text,
                header: "What they say=x".to_owned()
            })
        );
    }

    #[test]
    fn a_wrong_override_says_what_would_be_right() {
        let error = |text: &str| text.parse::<ColumnOverride>().unwrap_err().to_string();
        assert_eq!(
            error("text"),
            "'text' has no '='; write FIELD=HEADER, for example text=Description"
        );
        assert_eq!(
            error("text="),
            "'text=' names no header; write FIELD=HEADER, for example text=Description"
        );
        assert_eq!(
            error("prize=Cost"),
            "'prize' is no field, did you mean 'price'?; the fields are: id, headline, text, \
             price, distance, year, make, model, place, date, link"
        );
        assert!(error("colour=Farbe").starts_with("'colour' is no field; the fields are: id,"));
    }

    #[test]
    fn a_short_row_is_whole_when_only_extras_are_missing() {
        let mut columns = Columns::default();
        for (at, field) in [Field::Id, Field::Text, Field::Price, Field::Place]
            .into_iter()
            .enumerate()
        {
            columns.at[field.index()] = Some(at);
        }
        assert!(columns.short_row_is_whole(3));
        assert!(!columns.short_row_is_whole(2));
        assert!(!columns.short_row_is_whole(1));
    }
}
