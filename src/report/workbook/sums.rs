//! The sheet of the sums: each step of each car.

use super::cells::{Cell, Column, to_f64};
use super::{SUMS, list};
use crate::report::shortlist::Shortlist;

/// The step that is taken from the list, where the user may change it.
const PRICE: &str = "price";
/// The last line of each sum.
pub(super) const TOTAL: &str = "expected margin";

pub(super) const COLUMNS: &[Column] = &[
    Column::short("#", 5.0),
    Column::short("id", 12.0),
    Column::short("car", 26.0),
    Column::text("step", 34.0),
    Column::short("amount", 11.0),
    Column::text("how it was made", 90.0),
];

/// The total of a rank.
pub(super) fn total_of(rank: &str, sums: usize) -> String {
    let last = sums + 1;
    format!(
        "SUMIFS({SUMS}!$E$2:$E${last},{SUMS}!$A$2:$A${last},{rank},{SUMS}!$D$2:$D${last},\"{TOTAL}\")"
    )
}

pub(super) fn rows(list: &Shortlist) -> Vec<Vec<Cell>> {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for (car, rank) in list.cars.iter().zip(1..) {
        if car.steps.is_empty() {
            continue;
        }
        let row = |step: Cell, amount: Cell, why: &str| {
            let rank = Cell::Number(f64::from(rank));
            let (id, name) = (Cell::text(&car.id), Cell::text(&car.name()));
            vec![rank, id, name, step, amount, Cell::text(why)]
        };
        // Line of the sheet of the row that comes next; the header is line 1.
        let first = rows.len() + 2;
        let (price, others): (Vec<_>, Vec<_>) = car.steps.iter().partition(|s| s.label == PRICE);
        for step in others {
            let amount = Cell::Money(to_f64(step.amount));
            rows.push(row(Cell::text(&step.label), amount, &step.why));
        }
        let at = rows.len() + 2;
        let formula = format!("=-{}", list::price_of(&format!("A{at}"), list.cars.len()));
        let paid: f64 = price.iter().map(|s| to_f64(s.amount)).sum();
        let why = price
            .first()
            .map_or("none is asked; try one", |s| s.why.as_str());
        rows.push(row(
            Cell::text(PRICE),
            Cell::Formula(formula, Some(paid)),
            why,
        ));
        let total = format!("=SUM(E{first}:E{at})");
        let now: f64 = car.steps.iter().map(|s| to_f64(s.amount)).sum();
        rows.push(row(
            Cell::Strong(TOTAL.to_owned()),
            Cell::Total(total, now),
            "",
        ));
    }
    rows
}
