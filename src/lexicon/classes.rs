//! Vehicle classes: how parts, hours and weight differ from a midsize car.

use rust_decimal::Decimal;

use super::table::{LexiconError, Row, Sheet};

/// The class that `repairs.csv` is written for; its factors are 1.
pub const REFERENCE_CLASS: &str = "midsize";

/// One row of `classes.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// The class, as `models.csv` names it.
    pub name: String,
    /// Price of parts against the midsize class. Above 0.
    pub parts_factor: Decimal,
    /// Hours against the midsize class. Above 0.
    pub hours_factor: Decimal,
    /// Curb weight in pounds.
    pub curb_weight_lb: Decimal,
    /// Where the figures are from.
    pub source: String,
}

/// All classes.
#[derive(Debug)]
pub struct Classes {
    rows: Vec<Class>,
    reference: usize,
}

impl Classes {
    /// Reads and checks `classes.csv`.
    ///
    /// # Errors
    /// A class twice, a factor or weight that is empty or 0, no midsize class.
    pub fn read(sheet: &Sheet) -> Result<Self, LexiconError> {
        let mut rows: Vec<Class> = Vec::new();
        for row in sheet.rows() {
            let name = row.required("class")?;
            if rows.iter().any(|c| c.name == name) {
                return Err(row.error("class", format!("'{name}' stands twice; remove one")));
            }
            rows.push(Class {
                name: name.to_owned(),
                parts_factor: above_zero(&row, "parts_factor")?,
                hours_factor: above_zero(&row, "hours_factor")?,
                curb_weight_lb: above_zero(&row, "curb_weight_lb")?,
                source: row.required("source")?.to_owned(),
            });
        }
        let reference = rows
            .iter()
            .position(|c| c.name == REFERENCE_CLASS)
            .ok_or_else(|| {
                sheet.error(format!(
                    "no class '{REFERENCE_CLASS}', which stands for every unknown one; add its row"
                ))
            })?;
        Ok(Classes { rows, reference })
    }

    /// The class of this name.
    pub fn find(&self, name: &str) -> Option<&Class> {
        self.rows.iter().find(|c| c.name == name)
    }

    /// The class taken where none is known.
    pub fn reference(&self) -> &Class {
        &self.rows[self.reference]
    }

    /// All classes in table order.
    pub fn iter(&self) -> impl Iterator<Item = &Class> {
        self.rows.iter()
    }
}

fn above_zero(row: &Row<'_>, column: &str) -> Result<Decimal, LexiconError> {
    row.required(column)?;
    match row.amount(column)? {
        d if d.is_zero() => Err(row.error(column, "is 0; give a number above 0")),
        d => Ok(d),
    }
}
