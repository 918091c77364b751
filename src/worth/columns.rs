//! The columns of a comparables file, resolved once against its header.

use std::path::Path;

use super::comparables::ComparablesError;
use super::estimate::PriceBasis;
use crate::lexicon::comparable_headers::{ComparableField, ComparableHeaders};
use crate::units::DistanceUnit;

/// A column of prices, and what its header says they are.
#[derive(Debug, Clone, Copy)]
struct PriceColumn {
    at: usize,
    basis: Option<PriceBasis>,
}

/// Columns by field.
#[derive(Debug)]
pub(super) struct Columns {
    at: [Option<usize>; ComparableField::ALL.len()],
    distance_unit: Option<DistanceUnit>,
    /// The price paid, or the only price there is; then the price asked where
    /// both have a column.
    prices: [Option<PriceColumn>; 2],
}

impl Columns {
    pub fn of_header(
        path: &Path,
        header: &csv::ByteRecord,
        known: &ComparableHeaders,
    ) -> Result<Self, ComparablesError> {
        let names: Vec<_> = header.iter().map(String::from_utf8_lossy).collect();
        let mut columns = Columns {
            at: [None; ComparableField::ALL.len()],
            distance_unit: None,
            prices: [None; 2],
        };
        for (i, name) in names.iter().enumerate() {
            let Some((field, unit)) = known.find(name) else {
                continue;
            };
            let place = &mut columns.at[field as usize];
            let first = place.replace(i);
            let both = field == ComparableField::Price && columns.add_price(i, unit.price);
            if let (Some(first), false) = (first, both) {
                return Err(ComparablesError::TwoColumns {
                    path: path.to_owned(),
                    field: field.word(),
                    first: names[first].to_string(),
                    second: name.to_string(),
                });
            }
            columns.distance_unit = columns.distance_unit.or(unit.distance);
        }
        let needed = [
            ComparableField::Year,
            ComparableField::Make,
            ComparableField::Price,
        ];
        match needed.iter().find(|f| columns.at[**f as usize].is_none()) {
            None => Ok(columns),
            Some(field) => Err(ComparablesError::NoColumn {
                path: path.to_owned(),
                missing: field.word(),
                found: names.join(", "),
            }),
        }
    }

    /// Takes a column of prices; false where there is one already that does not
    /// go with it: only one of prices paid beside one of prices asked does.
    fn add_price(&mut self, at: usize, basis: Option<PriceBasis>) -> bool {
        let new = PriceColumn { at, basis };
        match (self.prices, basis) {
            ([None, _], _) => self.prices[0] = Some(new),
            ([Some(one), None], Some(PriceBasis::Asked)) if one.basis == Some(PriceBasis::Sold) => {
                self.prices[1] = Some(new);
            }
            ([Some(one), None], Some(PriceBasis::Sold)) if one.basis == Some(PriceBasis::Asked) => {
                self.prices = [Some(new), Some(one)];
            }
            _ => return false,
        }
        true
    }
}

/// One row, whose cells are asked for by field.
pub(super) struct Cells<'a> {
    columns: &'a Columns,
    record: &'a csv::ByteRecord,
}

impl<'a> Cells<'a> {
    pub fn new(columns: &'a Columns, record: &'a csv::ByteRecord) -> Self {
        Cells { columns, record }
    }

    pub fn text(&self, field: ComparableField) -> String {
        self.columns.at[field as usize]
            .map(|i| self.at(i))
            .unwrap_or_default()
    }

    pub fn some(&self, field: ComparableField) -> Option<String> {
        Some(self.text(field)).filter(|t| !t.is_empty())
    }

    /// The price, and what its header says that it is. Where there are two, the
    /// price paid if the row has it.
    pub fn price(&self) -> (String, Option<PriceBasis>) {
        let prices = self.columns.prices.iter().flatten();
        let mut cells = prices.map(|column| (self.at(column.at), column.basis));
        let first = cells.next().unwrap_or_default();
        if first.0.is_empty() {
            cells.next().unwrap_or(first)
        } else {
            first
        }
    }

    /// The unit that the header of the distances names.
    pub fn distance_unit(&self) -> Option<DistanceUnit> {
        self.columns.distance_unit
    }

    fn at(&self, column: usize) -> String {
        let cell = self.record.get(column).unwrap_or_default();
        String::from_utf8_lossy(cell).trim().to_owned()
    }
}
