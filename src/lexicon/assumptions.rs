//! What the margin of a car hangs on, with the ends between which each may lie.

use std::str::FromStr;

use rust_decimal::Decimal;

use super::table::{LexiconError, Row, Sheet};
use crate::sensitivity::change::{Change, WORTH};

/// When an assumption is one for an ad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// For every ad.
    Always,
    /// Where the ad does not tell the fact.
    Open,
}

/// One end of an assumption.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bound {
    /// This value.
    Value(String),
    /// What it is now, times this.
    Factor(Decimal),
    /// The 10 % point of the estimate.
    Low,
    /// The 90 % point.
    High,
}

/// One row of `assumptions.csv`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumption {
    /// A key of the profile, a fact of the ad, `worth` or `job_hours`.
    pub key: String,
    /// For which ads.
    pub when: When,
    /// The low end.
    pub low: Bound,
    /// The high end.
    pub high: Bound,
    /// In words for people.
    pub words: String,
    /// Where the ends are from.
    pub source: String,
}

/// The table, in its order.
#[derive(Debug, Clone)]
pub struct Assumptions {
    rows: Vec<Assumption>,
}

impl Assumptions {
    /// Reads and checks `assumptions.csv`.
    ///
    /// # Errors
    /// An unknown key or one that stands twice, a value that its key cannot
    /// take.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows: Vec<Assumption> = Vec::new();
        for row in sheet.rows() {
            let key = row.required("assumption")?.to_owned();
            let when = match row.required("when")? {
                "always" => When::Always,
                "open" => When::Open,
                other => {
                    let problem = format!("'{other}' is neither always nor open");
                    return Err(row.error("when", problem));
                }
            };
            if rows.iter().any(|r| r.key == key) {
                let problem = format!("'{key}' stands twice; remove one");
                return Err(row.error("assumption", problem));
            }
            rows.push(Assumption {
                low: bound(&row, "low", &key)?,
                high: bound(&row, "high", &key)?,
                words: row.required("words")?.to_owned(),
                source: row.required("source")?.to_owned(),
                key,
                when,
            });
        }
        Ok(Assumptions { rows })
    }

    /// All rows.
    pub fn rows(&self) -> &[Assumption] {
        &self.rows
    }
}

fn bound(row: &Row<'_>, column: &str, key: &str) -> Result<Bound, LexiconError> {
    let text = row.required(column)?;
    // Only the worth has a range of its own.
    match text {
        "p10" if key == WORTH => return Ok(Bound::Low),
        "p90" if key == WORTH => return Ok(Bound::High),
        _ => {}
    }
    let factor = text
        .strip_prefix('x')
        .and_then(|f| Decimal::from_str(f).ok());
    let (bound, tried) = match factor {
        Some(factor) => (Bound::Factor(factor), factor.to_string()),
        None => (Bound::Value(text.to_owned()), text.to_owned()),
    };
    let wrong = |problem: String| row.error(column, problem);
    if factor.is_some_and(|f| f < Decimal::ZERO) {
        return Err(wrong(format!("'{text}' is negative; give x0 or more")));
    }
    match Change::of_assumption(key, &tried) {
        Ok(_) => Ok(bound),
        // The year times a factor is none of its values, but 1 times a price is.
        Err(error) => Err(wrong(error.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(row: &str) -> Result<Assumptions, LexiconError> {
        let text = format!("assumption,when,low,high,words,source\n{row}\n");
        Assumptions::read(&Sheet::parse("a.csv", &text)?)
    }

    #[test]
    fn bounds_are_values_factors_or_ends_of_the_range() {
        let table = read("worth,always,p10,p90,w,s\nhour_value,open,x0.5,30,h,s").unwrap();
        let [worth, hour] = table.rows() else {
            panic!("{table:?}");
        };
        assert_eq!((&worth.low, &worth.high), (&Bound::Low, &Bound::High));
        assert_eq!(hour.low, Bound::Factor(Decimal::new(5, 1)));
        assert_eq!(hour.high, Bound::Value("30".to_owned()));
        assert_eq!(hour.when, When::Open);
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place() {
        for (row, message) in [
            (
                "hour_vale,always,1,2,w,s",
                "a.csv, line 2, column 'low': no key 'hour_vale'; did you mean 'hour_value'?",
            ),
            (
                "loss_limit,always,0.1,2,w,s",
                "a.csv, line 2, column 'high': loss_limit: 2 is no chance; it must be between 0 and 1",
            ),
            (
                "title,sometimes,clean,junk,w,s",
                "a.csv, line 2, column 'when': 'sometimes' is neither always nor open",
            ),
            (
                "shop_rate,always,p10,90,w,s",
                "a.csv, line 2, column 'low': shop_rate: \"p10\" is not a number such as 45 or 2.5",
            ),
            (
                "ask,always,1,2,w,s\nask,always,1,2,w,s",
                "a.csv, line 3, column 'assumption': 'ask' stands twice; remove one",
            ),
        ] {
            assert_eq!(read(row).unwrap_err().to_string(), message);
        }
    }
}
