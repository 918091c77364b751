//! What makes a seller take less.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::repairs::share;
use super::table::{LexiconError, Sheet};

/// What shows that a seller waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    PriceFallen,
    DaysListed,
}

/// One row of `patience.csv`.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    sign: Sign,
    from: f64,
    less: Decimal,
}

/// How long and how a seller has waited.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Waited {
    /// By which share of what was asked first the price has fallen.
    pub fallen: f64,
    /// Days since it was first seen.
    pub days: f64,
}

/// All rows.
#[derive(Debug)]
pub struct Patience {
    rows: Vec<Row>,
}

impl Patience {
    /// Reads and checks `patience.csv`.
    ///
    /// # Errors
    /// An unknown sign, rows of a sign out of order, a share over 1.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows: Vec<Row> = Vec::new();
        for row in sheet.rows() {
            let sign = match row.required("sign")? {
                "price_fallen" => Sign::PriceFallen,
                "days_listed" => Sign::DaysListed,
                other => {
                    let problem = format!("'{other}' is none of: price_fallen, days_listed");
                    return Err(row.error("sign", problem));
                }
            };
            row.required("from")?;
            row.required("less")?;
            row.required("source")?;
            let from = row.amount("from")?.to_f64().unwrap_or_default();
            if rows.iter().any(|r| r.sign == sign && r.from >= from) {
                return Err(row.error("from", "rows of one sign go from low to high"));
            }
            rows.push(Row {
                sign,
                from,
                less: share(&row, "less")?,
            });
        }
        Ok(Patience { rows })
    }

    /// How much lower the first offer begins, as a share of the ask.
    pub fn less(&self, waited: Waited) -> Decimal {
        let of = |sign: Sign, value: f64| {
            let met = self
                .rows
                .iter()
                .rfind(|r| r.sign == sign && value >= r.from);
            met.map_or(Decimal::ZERO, |r| r.less)
        };
        of(Sign::PriceFallen, waited.fallen) + of(Sign::DaysListed, waited.days)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_row_that_holds_counts_and_signs_add_up() {
        let rows = "sign,from,less,source\nprice_fallen,0.05,0.03,x\nprice_fallen,0.2,0.05,x\n\
                    days_listed,30,0.04,x\n";
        let patience = Patience::read(&Sheet::parse("patience.csv", rows).unwrap()).unwrap();
        let less = |fallen, days| patience.less(Waited { fallen, days }).to_string();
        assert_eq!(less(0.0, 29.0), "0");
        assert_eq!(less(0.1, 0.0), "0.03");
        assert_eq!(less(0.3, 30.0), "0.09");
    }

    #[test]
    fn rows_out_of_order_are_named() {
        let rows = "sign,from,less,source\ndays_listed,30,0.04,x\ndays_listed,20,0.04,x\n";
        let error = Patience::read(&Sheet::parse("patience.csv", rows).unwrap()).unwrap_err();
        assert!(error.to_string().contains("line 3"), "{error}");
    }
}
