//! The sheet of the points: what each car may leave before its price, in equally
//! likely values.

use rust_xlsxwriter::utility::column_number_to_name;
use rust_xlsxwriter::{Worksheet, XlsxError};

use super::POINTS;
use super::cells::Cell;
use crate::margin::Appraisal;
use crate::margin::spread::POINTS as COUNT;
use crate::report::shortlist::Entry;

/// Fills the sheet: a row a car, in the order of ranks.
pub(super) fn fill(sheet: &mut Worksheet, entries: &[Entry<'_>]) -> Result<(), XlsxError> {
    sheet.set_name(POINTS)?;
    sheet.write_string(0, 0, "#")?;
    sheet.write_string(0, 1, "left before the price, in equally likely values")?;
    for (entry, row) in entries.iter().zip(1..) {
        sheet.write_number(row, 0, f64::from(row))?;
        let spread = entry.appraisal.spread();
        for (point, at) in spread.iter().flat_map(|s| s.points()).zip(1..) {
            sheet.write_number(row, at, *point)?;
        }
    }
    sheet.set_freeze_panes(1, 1)?;
    // Looked up by place: nobody needs to see it, or should sort it.
    sheet.set_hidden(true);
    Ok(())
}

/// The chance of a loss at the price of a cell: the share of points below it.
pub(super) fn loss(appraisal: &Appraisal, rank: &str, price: &str, cars: usize) -> Cell {
    let Some(spread) = appraisal.spread() else {
        return Cell::Empty;
    };
    let last = column_number_to_name(u16::try_from(COUNT).unwrap_or(u16::MAX));
    let row = format!("INDEX({POINTS}!$B$2:${last}${},{rank},0)", cars + 1);
    let share = format!("SUMPRODUCT(--({row}<{price}))/{COUNT}");
    let now = appraisal
        .expected_price
        .map(|p| spread.chance_below(p).value());
    Cell::Share(format!("=IF({price}=\"\",\"\",{share})"), now)
}
