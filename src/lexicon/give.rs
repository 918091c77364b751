//! What sellers give: the usual way from the ask to the price paid.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::table::{LexiconError, Row, Sheet};
use crate::reading::AskBasis;

/// One row of `give.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GiveRow {
    /// Share of the ask that usually comes off, 0 to 1.
    pub give: Decimal,
    /// First offer as a share of the ask (of the ceiling where there is none),
    /// 0 to 1.
    pub opening: Decimal,
    /// Where the figures are from.
    pub source: String,
}

/// The table: one row for each way a price can be meant.
#[derive(Debug)]
pub struct Give {
    rows: HashMap<AskBasis, GiveRow>,
    nothing: GiveRow,
}

impl Give {
    /// Reads and checks `give.csv`.
    ///
    /// # Errors
    /// An unknown basis, one that stands twice or is missing, a share that is
    /// not 0 to 1.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows = HashMap::new();
        let mut last = None;
        for row in sheet.rows() {
            let word = row.required("basis")?;
            let basis = AskBasis::of_word(word).ok_or_else(|| {
                let known: Vec<_> = AskBasis::ALL.iter().map(|b| b.word()).collect();
                row.error(
                    "basis",
                    format!("'{word}' is unknown; use one of {}", known.join(", ")),
                )
            })?;
            let value = GiveRow {
                give: share(&row, "give")?,
                opening: share(&row, "opening")?,
                source: row.required("source")?.to_owned(),
            };
            if rows.insert(basis, value).is_some() {
                return Err(row.error("basis", format!("'{word}' stands twice; remove one")));
            }
            last = Some(row);
        }
        for basis in AskBasis::ALL {
            if let (false, Some(row)) = (rows.contains_key(basis), last) {
                return Err(row.error("basis", format!("no row for '{basis}'; add one")));
            }
        }
        Ok(Give {
            rows,
            nothing: GiveRow {
                give: Decimal::ZERO,
                opening: Decimal::ONE,
                source: "the table is empty".to_owned(),
            },
        })
    }

    /// The row for a basis. A table without any row gives nothing.
    pub fn get(&self, basis: AskBasis) -> &GiveRow {
        self.rows.get(&basis).unwrap_or(&self.nothing)
    }
}

/// A share of 0 to 1.
pub(super) fn share(row: &Row<'_>, column: &str) -> Result<Decimal, LexiconError> {
    let value = row.amount(column)?;
    if value > Decimal::ONE {
        return Err(row.error(
            column,
            format!("{value} is more than the whole; give a share of 0 to 1"),
        ));
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(rows: &str) -> Result<Give, LexiconError> {
        let text = format!("basis,give,opening,source\n{rows}");
        Give::read(&Sheet::parse("give.csv", &text)?)
    }

    #[test]
    fn a_missing_basis_is_named() {
        let error = read("plain,0.1,0.8,s\n").unwrap_err().to_string();
        assert_eq!(
            error,
            "give.csv, line 2, column 'basis': no row for 'negotiable'; add one"
        );
    }

    #[test]
    fn a_share_above_the_whole_is_refused_with_its_place() {
        let error = read("plain,7,0.8,s\n").unwrap_err().to_string();
        assert_eq!(
            error,
            "give.csv, line 2, column 'give': 7 is more than the whole; give a share of 0 to 1"
        );
    }

    #[test]
    fn a_basis_that_stands_twice_is_refused() {
        let error = read("plain,0,1,s\nplain,0,1,s\n").unwrap_err().to_string();
        assert!(error.contains("line 3") && error.contains("stands twice"));
    }
}
