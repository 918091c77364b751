//! What a dismantled car yields piece by piece, and what a scrap yard takes off
//! for what is not on a car.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::classes::Classes;
use super::parts::{PartId, Parts};
use super::repairs::share;
use super::table::{LexiconError, Row, Sheet};
use crate::units::{Chance, Hours, Money, ThreePoint};

/// One row of `parting.csv`. Figures are for the midsize class.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceRow {
    /// The piece's code.
    pub piece: String,
    /// Classes that the row is for; empty: all that have no row of their own.
    pub classes: Vec<String>,
    /// In words.
    pub name: String,
    /// Codes whose fault makes it worthless.
    pub spoilt_by: Vec<PartId>,
    /// What a buyer pays; nothing where the row is work alone.
    pub fetch: ThreePoint<Money>,
    /// Chance that it is sold within some three months.
    pub sells: Chance,
    /// Hours to take out, clean, offer and hand over.
    pub hours: Hours,
    /// What the hulk then weighs less, in pounds.
    pub weight_lb: Decimal,
    /// The usual caution.
    pub caution: Option<String>,
    /// Where the figures are from.
    pub source: String,
}

impl PieceRow {
    /// Whether the row is work that breaking a car brings anyway.
    pub fn is_work(&self) -> bool {
        self.fetch.high == Money::ZERO
    }
}

/// The pieces of `parting.csv`.
#[derive(Debug)]
pub struct Pieces {
    rows: Vec<PieceRow>,
}

impl Pieces {
    /// Reads and checks `parting.csv`.
    ///
    /// # Errors
    /// A code or class unknown, a piece twice for one class, amounts out of
    /// order, a chance outside 0 to 1, an empty name or source.
    pub fn read(sheet: &Sheet, parts: &Parts, classes: &Classes) -> Result<Self, LexiconError> {
        let mut rows: Vec<PieceRow> = Vec::new();
        for row in sheet.rows() {
            let piece = piece_row(&row, parts, classes)?;
            let same = |other: &&PieceRow| {
                other.piece == piece.piece
                    && (other.classes.iter().any(|c| piece.classes.contains(c))
                        || (other.classes.is_empty() && piece.classes.is_empty()))
            };
            if rows.iter().any(|other| same(&other)) {
                let problem = format!("'{}' stands twice for one class; remove one", piece.piece);
                return Err(row.error("piece", problem));
            }
            rows.push(piece);
        }
        Ok(Pieces { rows })
    }

    /// The pieces of a car of this class, in the table's order; a row for the
    /// class stands in place of the row for all.
    pub fn of_class<'a>(&'a self, class: &'a str) -> impl Iterator<Item = &'a PieceRow> {
        let own = move |row: &PieceRow| row.classes.iter().any(|c| c == class);
        self.rows.iter().filter(move |row| {
            own(row)
                || (row.classes.is_empty()
                    && !self.rows.iter().any(|r| r.piece == row.piece && own(r)))
        })
    }
}

fn piece_row(row: &Row<'_>, parts: &Parts, classes: &Classes) -> Result<PieceRow, LexiconError> {
    let mut of = Vec::new();
    for class in row.list("classes")? {
        if classes.find(class).is_none() {
            let problem = format!("'{class}' is no class of classes.csv");
            return Err(row.error("classes", problem));
        }
        of.push(class.to_owned());
    }
    Ok(PieceRow {
        piece: row.required("piece")?.to_owned(),
        classes: of,
        name: row.required("name")?.to_owned(),
        spoilt_by: row
            .list("spoilt_by")?
            .map(|code| parts.of_cell(row, "spoilt_by", code))
            .collect::<Result<_, _>>()?,
        fetch: row.money_range("fetch")?,
        sells: chance(row, "sells")?,
        hours: Hours::new(row.amount("hours")?),
        weight_lb: row.amount("weight_lb")?,
        caution: Some(row.text("caution")?)
            .filter(|c| !c.is_empty())
            .map(str::to_owned),
        source: row.required("source")?.to_owned(),
    })
}

fn chance(row: &Row<'_>, column: &str) -> Result<Chance, LexiconError> {
    let value = share(row, column)?.to_f64().and_then(Chance::new);
    value.ok_or_else(|| row.error(column, "give a chance from 0 to 1"))
}

/// What a car can lack when it comes to the yard.
#[derive(Debug, Clone, PartialEq)]
pub enum Lacks {
    /// It was broken for parts.
    Stripped,
    /// Its papers are missing.
    Papers,
    /// It does not come on its own wheels.
    Towed,
    /// This part may be gone: how often one that is said to be bad is not there.
    Part(PartId, Chance),
}

/// One row of `scrap.csv`.
#[derive(Debug, Clone, PartialEq)]
pub struct Deduction {
    /// When it holds.
    pub lacks: Lacks,
    /// Share of the price by weight that comes off, 0 to 1.
    pub share: Decimal,
    /// Money that comes off.
    pub fixed: Money,
    /// In words.
    pub name: String,
    /// Where the figures are from.
    pub source: String,
}

/// The rows of `scrap.csv`.
#[derive(Debug)]
pub struct Deductions {
    rows: Vec<Deduction>,
}

/// Codes of `scrap.csv` that are no part, with what each means.
const SPECIAL: [(&str, Lacks); 3] = [
    ("stripped", Lacks::Stripped),
    ("papers", Lacks::Papers),
    ("towed", Lacks::Towed),
];

impl Deductions {
    /// Reads and checks `scrap.csv`.
    ///
    /// # Errors
    /// A row twice, a part unknown or missing, a share outside 0 to 1, one of
    /// the rows `stripped`, `papers`, `towed` missing.
    pub fn read(sheet: &Sheet, parts: &Parts) -> Result<Self, LexiconError> {
        let mut rows: Vec<Deduction> = Vec::new();
        for row in sheet.rows() {
            let code = row.required("lacks")?;
            let special = SPECIAL.iter().find(|(word, _)| *word == code);
            let lacks = match special {
                Some((_, lacks)) => lacks.clone(),
                None => {
                    let part = parts.of_cell(&row, "part", row.required("part")?)?;
                    Lacks::Part(part, chance(&row, "gone")?)
                }
            };
            if rows.iter().any(|r| r.lacks == lacks) {
                return Err(row.error("lacks", format!("'{code}' stands twice; remove one")));
            }
            rows.push(Deduction {
                lacks,
                share: share(&row, "share")?,
                fixed: Money::new(row.amount("fixed")?),
                name: row.required("name")?.to_owned(),
                source: row.required("source")?.to_owned(),
            });
        }
        match SPECIAL
            .iter()
            .find(|(_, lacks)| !rows.iter().any(|r| r.lacks == *lacks))
        {
            Some((word, _)) => Err(sheet.error(format!("no row '{word}'; add it"))),
            None => Ok(Deductions { rows }),
        }
    }

    /// The rows in order.
    pub fn rows(&self) -> &[Deduction] {
        &self.rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::Lexicon;

    const HEAD: &str = "piece,classes,name,spoilt_by,fetch_low,fetch_likely,fetch_high,sells,hours,weight_lb,caution,source\n";

    fn wrong(rows: &str) -> String {
        let lexicon = Lexicon::built_in().unwrap();
        let sheet = Sheet::parse("parting.csv", &format!("{HEAD}{rows}")).unwrap();
        Pieces::read(&sheet, &lexicon.parts, &lexicon.classes)
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn what_is_wrong_in_a_piece_is_named_with_its_place() {
        assert_eq!(
            wrong("a,lorry,n,,1,2,3,0.5,1,1,,s\n"),
            "parting.csv, line 2, column 'classes': 'lorry' is no class of classes.csv"
        );
        assert_eq!(
            wrong("a,,n,,1,2,3,0.5,1,1,,s\na,,n,,1,2,3,0.5,1,1,,s\n"),
            "parting.csv, line 3, column 'piece': 'a' stands twice for one class; remove one"
        );
        assert_eq!(
            wrong("a,,n,motor,1,2,3,0.5,1,1,,s\n"),
            "parting.csv, line 2, column 'spoilt_by': 'motor' is no code of parts.csv; did you \
             mean 'motor_mount'?"
        );
    }

    #[test]
    fn a_row_of_the_class_stands_in_place_of_the_row_for_all() {
        let lexicon = Lexicon::built_in().unwrap();
        for (class, name) in [
            ("compact", "engine with its loom"),
            ("van", "engine with its loom (truck)"),
        ] {
            let names: Vec<_> = lexicon
                .pieces
                .of_class(class)
                .filter(|p| p.piece == "engine")
                .map(|p| p.name.as_str())
                .collect();
            assert_eq!(names, [name]);
        }
    }

    #[test]
    fn the_rows_that_are_no_part_must_be_there() {
        let lexicon = Lexicon::built_in().unwrap();
        let text = "lacks,part,gone,share,fixed,name,source\nstripped,,,0.2,0,n,s\n";
        let sheet = Sheet::parse("scrap.csv", text).unwrap();
        assert_eq!(
            Deductions::read(&sheet, &lexicon.parts)
                .unwrap_err()
                .to_string(),
            "scrap.csv: no row 'papers'; add it"
        );
    }
}
