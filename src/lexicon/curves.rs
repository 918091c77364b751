//! What a sound car is worth by its class when nothing better is known.

use std::collections::BTreeMap;

use super::classes::Classes;
use super::table::{LexiconError, Row, Sheet};
use crate::units::{Miles, Money};

/// The row that serves every class without one of its own.
pub const ANY_CLASS: &str = "any";

/// One row of `worth.csv`: how the price of a class falls with age and distance.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Price when new.
    pub new_price: Money,
    /// Share of the price above the floor that is left after each year,
    /// above 0 and below 1.
    pub yearly_retention: f64,
    /// Distance that is usual in a year.
    pub usual_miles: Miles,
    /// Share of the price that each 10,000 miles beyond the usual take,
    /// 0 or more and below 1.
    pub effect_per_10k_miles: f64,
    /// What any car of the class that is sound and drives fetches, however old.
    pub sound_floor: Money,
}

impl Curve {
    /// Distance usual at an age.
    pub fn usual_at(&self, age: f64) -> f64 {
        f64::from(self.usual_miles.0) * age.max(0.0)
    }

    /// Price at an age in years and a distance beyond the usual in units of
    /// 10,000 miles. Above zero for every finite argument.
    pub fn price(&self, age: f64, beyond_usual_10k: f64) -> f64 {
        let floor = self.sound_floor.to_f64();
        let above = self.new_price.to_f64() - floor;
        let kept = self.yearly_retention.powf(age.max(0.0))
            * (1.0 - self.effect_per_10k_miles).powf(beyond_usual_10k);
        floor + above * kept
    }
}

/// The curves of `worth.csv`.
#[derive(Debug, Clone)]
pub struct Curves {
    any: Curve,
    by_class: BTreeMap<String, Curve>,
}

impl Curves {
    /// Reads and checks `worth.csv`.
    ///
    /// # Errors
    /// A class that `classes.csv` does not have or that stands twice, a missing
    /// row `any`, a value out of range.
    pub fn read(sheet: &Sheet, classes: &Classes) -> Result<Self, LexiconError> {
        let mut by_class = BTreeMap::new();
        for row in sheet.rows() {
            let class = row.required("class")?.to_owned();
            row.required("source")?;
            if class != ANY_CLASS && classes.find(&class).is_none() {
                let known: Vec<_> = classes.iter().map(|c| c.name.as_str()).collect();
                return Err(row.error(
                    "class",
                    format!(
                        "'{class}' is no class of classes.csv; give '{ANY_CLASS}' or one of: {}",
                        known.join(", ")
                    ),
                ));
            }
            if by_class.insert(class.clone(), read_curve(&row)?).is_some() {
                return Err(row.error("class", format!("'{class}' stands twice; remove one")));
            }
        }
        match by_class.remove(ANY_CLASS) {
            Some(any) => Ok(Curves { any, by_class }),
            None => Err(sheet.error(format!(
                "no row '{ANY_CLASS}', which serves the classes without a row; add it"
            ))),
        }
    }

    /// The curve of a class, and whether it is the class's own.
    pub fn of_class(&self, class: Option<&str>) -> (&Curve, bool) {
        match class.and_then(|c| self.by_class.get(c)) {
            Some(own) => (own, true),
            None => (&self.any, false),
        }
    }
}

fn read_curve(row: &Row<'_>) -> Result<Curve, LexiconError> {
    let new_price = Money::new(row.amount("new_price")?);
    let sound_floor = Money::new(row.amount("sound_floor")?);
    if sound_floor <= Money::ZERO || new_price <= sound_floor {
        return Err(row.error(
            "sound_floor",
            format!("must be above 0 and below new_price ({new_price})"),
        ));
    }
    let fraction = |column: &str, lowest_allowed: bool| {
        let value: f64 = row
            .parsed(column, "a number such as 0.87")?
            .ok_or_else(|| row.error(column, "is empty; give a fraction such as 0.87"))?;
        let inside = value < 1.0 && (value > 0.0 || (lowest_allowed && value == 0.0));
        inside.then_some(value).ok_or_else(|| {
            row.error(
                column,
                format!("{value} is out of range; give a fraction between 0 and 1"),
            )
        })
    };
    let usual: u32 = row
        .parsed("usual_miles", "a whole number of miles")?
        .filter(|miles| (1..=100_000).contains(miles))
        .ok_or_else(|| row.error("usual_miles", "give 1 to 100,000 miles a year"))?;
    Ok(Curve {
        new_price,
        yearly_retention: fraction("yearly_retention", false)?,
        usual_miles: Miles(usual),
        effect_per_10k_miles: fraction("effect_per_10k_miles", true)?,
        sound_floor,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    const HEADER: &str =
        "class,new_price,yearly_retention,usual_miles,effect_per_10k_miles,sound_floor,source\n";

    fn read(rows: &str) -> Result<Curves, LexiconError> {
        let classes = Lexicon::built_in()?.classes;
        Curves::read(
            &Sheet::parse("worth.csv", &format!("{HEADER}{rows}"))?,
            &classes,
        )
    }

    #[test]
    fn price_falls_with_age_and_distance_towards_the_floor() {
        let curves = read("any,20000,0.85,12000,0.04,500,from memory\n").unwrap();
        let (curve, own) = curves.of_class(Some("van"));
        assert!(!own);
        assert_eq!(curve.price(0.0, 0.0), 20_000.0);
        // 500 + 19,500 * 0.85^2
        assert!((curve.price(2.0, 0.0) - 14_588.75).abs() < 1e-6);
        assert!(curve.price(2.0, 1.0) < curve.price(2.0, 0.0));
        assert!(curve.price(80.0, 0.0) >= 500.0);
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place() {
        let error = |rows: &str| read(rows).unwrap_err().to_string();
        assert_eq!(
            error("any,20000,1.2,12000,0.04,500,from memory\n"),
            "worth.csv, line 2, column 'yearly_retention': 1.2 is out of range; \
             give a fraction between 0 and 1"
        );
        assert!(error("van,20000,0.8,12000,0.04,500,from memory\n").contains("no row 'any'"));
        assert!(error("any,400,0.8,12000,0.04,500,from memory\n").contains("below new_price"));
        assert!(
            error("boat,20000,0.8,12000,0.04,500,x\n")
                .contains("'boat' is no class of classes.csv")
        );
        let twice = "any,20000,0.8,12000,0.04,500,x\n".repeat(2);
        assert!(error(&twice).contains("line 3, column 'class': 'any' stands twice"));
    }
}
