//! The sheet of the list.

use rust_xlsxwriter::utility::row_col_to_cell;

use super::LIST;
use super::cells::{Cell, Column, to_f64};
use super::points;
use super::sums;
use crate::reading::Kind;
use crate::report::car::{Car, Range};
use crate::report::json::Number;
use crate::report::shortlist::{Entry, Shortlist};
use crate::units::{DistanceUnit, Miles, Money};

/// Where the price stands that the user may change.
const PRICE: u16 = 6;
/// Where the chance of a loss stands.
const LOSS: u16 = 10;
/// Where the most to pay stands.
const CEILING: u16 = 11;

pub(super) const COLUMNS: &[Column] = &[
    Column::short("#", 5.0),
    Column::short("id", 12.0),
    Column::short("car", 26.0),
    Column::short("do", 6.0),
    Column::text("why", 28.0),
    Column::short("asked", 10.0),
    Column::short("your price", 10.0),
    Column::short("margin", 10.0),
    Column::short("margin low", 10.0),
    Column::short("margin high", 10.0),
    Column::short("chance of loss", 9.0),
    Column::short("pay to", 10.0),
    Column::short("first offer", 10.0),
    Column::short("your price is", 13.0),
    Column::short("fix bill", 10.0),
    Column::short("bill low", 10.0),
    Column::short("bill high", 10.0),
    Column::short("worth right", 10.0),
    Column::short("worth low", 10.0),
    Column::short("worth high", 10.0),
    Column::short("own hours", 8.0),
    Column::short("distance", 10.0),
    Column::short("unit", 6.0),
    Column::short("papers", 11.0),
    Column::short("moves", 11.0),
    Column::short("gearbox", 11.0),
    Column::text("faults", 34.0),
    Column::text("unsaid", 24.0),
    Column::text("vague", 24.0),
    Column::text("beware", 28.0),
    Column::text("ask", 34.0),
    Column::text("worth knowing", 40.0),
    Column::short("place", 18.0),
    Column::short("date", 12.0),
    Column::short("link", 34.0),
    Column::text("history", 30.0),
    Column::short("file", 20.0),
    Column::short("line", 7.0),
];

/// The rows; the sheet of the sums has this many.
pub(super) fn rows(list: &Shortlist, entries: &[Entry<'_>], sums: usize) -> Vec<Vec<Cell>> {
    let unit = list.basis.distance_unit;
    let cars = list.cars.iter().zip(entries).zip(1..);
    cars.map(|((car, entry), row)| {
        let mut cells = cells(car, row, unit, sums);
        let (rank, price) = (row_col_to_cell(row, 0), row_col_to_cell(row, PRICE));
        let loss = points::loss(entry.appraisal, &rank, &price, list.cars.len());
        cells.insert(usize::from(LOSS), loss);
        cells
    })
    .collect()
}

/// The range in which the price of a rank is looked up.
pub(super) fn price_of(rank: &str, cars: usize) -> String {
    format!(
        "SUMIF({LIST}!$A$2:$A${last},{rank},{LIST}!$G$2:$G${last})",
        last = cars + 1
    )
}

fn cells(car: &Car, row: u32, unit: DistanceUnit, sums: usize) -> Vec<Cell> {
    let price = row_col_to_cell(row, PRICE);
    let ceiling = row_col_to_cell(row, CEILING);
    let is_car = car.kind == Kind::Car && !car.steps.is_empty();
    let low = |r: Option<&Range>| r.map_or(Cell::Empty, |r| Cell::amount(Some(r.low)));
    let likely = |r: Option<&Range>| r.map_or(Cell::Empty, |r| Cell::amount(Some(r.likely)));
    let high = |r: Option<&Range>| r.map_or(Cell::Empty, |r| Cell::amount(Some(r.high)));
    // A dearer car leaves that much less at either end.
    let end = |of: fn(&Range) -> Number| match (&car.margin, car.expected_price) {
        (Some(margin), Some(paid)) => {
            let at = to_f64(of(margin));
            let before = at + to_f64(paid);
            Cell::Formula(
                format!("=IF({price}=\"\",\"\",ROUND({before:.2}-{price},2))"),
                Some(at),
            )
        }
        _ => Cell::Empty,
    };
    let margin = if is_car {
        let total = sums::total_of(&row_col_to_cell(row, 0), sums);
        let now = car.margin.as_ref().map(|m| to_f64(m.likely));
        Cell::Formula(format!("=IF({price}=\"\",\"\",ROUND({total},2))"), now)
    } else {
        Cell::Empty
    };
    let verdict = match (car.ceiling, is_car) {
        (Some(most), true) => {
            let now = car.expected_price.map_or("", |paid| {
                if to_f64(paid) <= to_f64(most) {
                    WITHIN
                } else {
                    ABOVE
                }
            });
            let formula =
                format!("=IF({price}=\"\",\"\",IF({price}<={ceiling},\"{WITHIN}\",\"{ABOVE}\"))");
            Cell::Words(formula, now.to_owned())
        }
        _ => Cell::Empty,
    };
    let bill = car.bill.as_ref().map(|b| &b.total);
    let worth = car.worth.as_ref().map(|w| &w.right);
    let (distance, unit) = match (car.miles, unit) {
        (Some(miles), DistanceUnit::Km) => (Cell::Number(f64::from(miles.to_km())), "km"),
        (Some(Miles(miles)), DistanceUnit::Miles) => (Cell::Number(f64::from(miles)), "mi"),
        (None, _) => (Cell::Empty, ""),
    };
    let history = car.history.as_ref().map(|h| h.in_few_words());
    vec![
        Cell::Number(f64::from(row)),
        Cell::text(&car.id),
        Cell::Strong(car.name()),
        Cell::text(car.action),
        Cell::text(&car.reason),
        Cell::amount(car.ask),
        if is_car {
            Cell::Input(car.expected_price.map(to_f64))
        } else {
            Cell::Empty
        },
        margin,
        end(|r| r.low),
        end(|r| r.high),
        Cell::amount(car.ceiling),
        Cell::amount(car.first_offer),
        verdict,
        likely(bill),
        low(bill),
        high(bill),
        likely(worth),
        low(worth),
        high(worth),
        car.bill
            .as_ref()
            .map_or(Cell::Empty, |b| Cell::Number(to_f64(b.hours))),
        distance,
        Cell::text(unit),
        Cell::text(car.title.word()),
        Cell::text(car.moves.word()),
        Cell::text(car.gearbox.word()),
        Cell::text(&car.faults_in_words()),
        Cell::text(&car.open_in_words(false)),
        Cell::text(&car.open_in_words(true)),
        Cell::text(&car.warnings_in_words()),
        Cell::maybe(car.question.as_ref()),
        Cell::text(&worth_knowing(car)),
        Cell::maybe(car.place.as_ref()),
        Cell::maybe(car.date.as_ref()),
        car.link.as_deref().map_or(Cell::Empty, Cell::link),
        Cell::maybe(history.as_ref()),
        Cell::text(&car.file),
        Cell::Number(car.line as f64),
    ]
}

/// Questions and checks with what their answers are worth.
fn worth_knowing(car: &Car) -> String {
    let all = car.questions.iter().chain(&car.checks);
    let words = all.map(|q| format!("{} (worth {})", q.question, Money::from(q.worth)));
    words.collect::<Vec<_>>().join("; ")
}

/// Words for a price up to the most to pay, and for one above it.
const WITHIN: &str = "within pay to";
/// See above.
const ABOVE: &str = "above pay to";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_speak_of_the_columns_that_they_mean() {
        let head = |at: u16| COLUMNS[usize::from(at)].head;
        assert_eq!(head(PRICE), "your price");
        assert_eq!(head(LOSS), "chance of loss");
        assert_eq!(head(CEILING), "pay to");
        assert_eq!(head(0), "#");
        assert_eq!(row_col_to_cell(0, PRICE), "G1");
        assert_eq!(
            price_of("A5", 3),
            "SUMIF(Shortlist!$A$2:$A$4,A5,Shortlist!$G$2:$G$4)"
        );
    }
}
