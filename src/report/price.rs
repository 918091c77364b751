//! What is to be done on the car of one ad, for programs.

use schemars::JsonSchema;
use serde::Serialize;

use super::car::BillPart;
use super::flat::Column;
use super::json::Number;
#[cfg(feature = "parquet")]
use super::parquet::{Shape, TableColumn};
use super::readings::Streamed;
use super::text::plain;
use crate::costing::FixBill;
use crate::reading::{AskBasis, Kind, Reading};
use crate::units::{Currency, Miles, ModelYear, Money};

/// The bill of one ad, by this ad alone.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PriceRow<'a> {
    /// The listing's id.
    pub id: &'a str,
    /// What is offered.
    pub kind: Kind,
    /// Model year.
    pub year: Option<ModelYear>,
    /// Make.
    pub make: Option<&'a str>,
    /// Model.
    pub model: Option<&'a str>,
    /// Class of the model in `classes.csv`; where it is not known, the bill is
    /// that of the class that the repair table is made for.
    pub class: Option<&'a str>,
    /// What the seller asks now for the whole car.
    pub ask: Option<Number>,
    /// How the price is meant.
    pub ask_basis: AskBasis,
    /// The money of `ask`; the bill is in that of the profile.
    pub currency: Option<Currency>,
    /// Distance, in miles.
    pub miles: Option<Miles>,
    /// The number of the car, where its form is right.
    pub vin: Option<&'a str>,
    /// Where the car is sound, so that prices may be learnt from it: what it
    /// should sell for, the ask less what is usually given.
    pub sound_at: Option<Number>,
    /// The fix bill; none for what is no car.
    pub bill: Option<BillPart>,
}

impl<'a> PriceRow<'a> {
    /// The row of a reading; a sound car has a price that it should sell for.
    pub fn new(
        reading: &'a Reading,
        class: Option<&'a str>,
        sound_at: Option<Money>,
        bill: Option<&FixBill>,
    ) -> Self {
        PriceRow {
            id: &reading.id.0,
            kind: reading.kind,
            year: reading.year,
            make: reading.make.as_deref(),
            model: reading.model.as_deref(),
            class,
            ask: reading.ask.map(Number::from),
            ask_basis: reading.ask_basis,
            currency: reading.currency,
            miles: reading.miles,
            vin: reading.vin.as_deref(),
            sound_at: sound_at.map(Number::from),
            bill: bill.map(BillPart::new),
        }
    }
}

fn opt<T: ToString>(value: Option<T>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

impl<'a> Streamed for PriceRow<'a> {
    const FORM: &'static str = "price";

    #[cfg(feature = "parquet")]
    fn table(_: bool) -> Vec<TableColumn> {
        TABLE.to_vec()
    }

    fn columns(_: bool) -> Vec<Column<Self>> {
        vec![
            ("id", |r: &PriceRow<'a>| plain(r.id)),
            ("kind", |r| r.kind.to_string()),
            ("year", |r| opt(r.year)),
            ("make", |r| opt(r.make)),
            ("model", |r| opt(r.model)),
            ("class", |r| opt(r.class)),
            ("ask", |r| opt(r.ask)),
            ("ask_basis", |r| r.ask_basis.to_string()),
            ("currency", |r| opt(r.currency.map(Currency::code))),
            ("miles", |r| opt(r.miles.map(|m| m.0))),
            ("vin", |r| opt(r.vin)),
            ("sound_at", |r| opt(r.sound_at)),
            ("bill_low", |r| opt(r.bill.as_ref().map(|b| b.total.low))),
            ("bill_likely", |r| {
                opt(r.bill.as_ref().map(|b| b.total.likely))
            }),
            ("bill_high", |r| opt(r.bill.as_ref().map(|b| b.total.high))),
            ("worst", |r| opt(r.bill.as_ref().map(|b| b.worst))),
            ("hours", |r| opt(r.bill.as_ref().map(|b| b.hours))),
            ("jobs", |r| {
                let jobs = r.bill.iter().flat_map(|b| &b.jobs);
                let jobs = jobs.map(|j| format!("{} {:.2} {}", j.job, j.chance, j.cost.likely));
                jobs.collect::<Vec<_>>().join("; ")
            }),
            ("left", |r| {
                let left = r.bill.iter().flat_map(|b| &b.left);
                let left = left.map(|l| format!("{} {}", l.name, l.effect));
                left.collect::<Vec<_>>().join("; ")
            }),
        ]
    }
}

/// The columns of a table of bills.
#[cfg(feature = "parquet")]
const TABLE: &[TableColumn] = {
    const RANGE: Shape = Shape::Record(&[
        ("low", Shape::Number),
        ("likely", Shape::Number),
        ("high", Shape::Number),
    ]);
    const JOB: Shape = Shape::Record(&[
        ("job", Shape::Text),
        ("name", Shape::Text),
        ("chance", Shape::Number),
        ("reason", Shape::Text),
        ("cost", RANGE),
    ]);
    const LEFT: Shape = Shape::Record(&[("name", Shape::Text), ("effect", Shape::Number)]);
    const fn of_bill(name: &'static str, key: &'static str, shape: Shape) -> TableColumn {
        TableColumn {
            name,
            key,
            of: Some("bill"),
            shape,
        }
    }
    &[
        TableColumn::key("id", Shape::Text),
        TableColumn::key("kind", Shape::Text),
        TableColumn::key("year", Shape::Whole),
        TableColumn::key("make", Shape::Text),
        TableColumn::key("model", Shape::Text),
        TableColumn::key("class", Shape::Text),
        TableColumn::key("ask", Shape::Number),
        TableColumn::key("ask_basis", Shape::Text),
        TableColumn::key("currency", Shape::Text),
        TableColumn::key("miles", Shape::Whole),
        TableColumn::key("vin", Shape::Text),
        TableColumn::key("sound_at", Shape::Number),
        of_bill("bill_low", "low", Shape::Number),
        of_bill("bill_likely", "likely", Shape::Number),
        of_bill("bill_high", "high", Shape::Number),
        of_bill("worst", "worst", Shape::Number),
        of_bill("hours", "hours", Shape::Number),
        of_bill("jobs", "jobs", Shape::List(&JOB)),
        of_bill("left", "left", Shape::List(&LEFT)),
    ]
};
