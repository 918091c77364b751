//! The shortlist as a workbook in which offers can be tried.
//!
//! Five sheets: the list, the sum of each car step by step, the claims with
//! the words they rest on, what it all rests on, and the points of what each
//! car may leave. Change the cell `your price` of a car and its margin follows,
//! the price being a step of the sum and the margin its total; the chance of a
//! loss is the share of points below the price. Rows find each other by their
//! rank, so that sheets may be sorted and filtered.
//!
//! Text is written as text: a cell that begins with `=` is no formula. Links
//! are live only where they are of the web.

mod cells;
mod claims;
mod list;
mod points;
mod sums;

use std::io::{self, Write};

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use super::shortlist::{Entry, Shortlist};
use crate::lexicon::Lexicon;
use cells::{Cell, Column, Look, fill};

/// Names of the sheets that formulas speak of.
const LIST: &str = "Shortlist";
/// See above.
const SUMS: &str = "Sums";
/// See above.
const POINTS: &str = "Points";

/// Writes a list with the entries that it was made of, in the same order.
///
/// # Errors
/// When writing fails, or there are more rows than a sheet can have.
pub fn write_workbook(
    list: &Shortlist,
    entries: &[Entry<'_>],
    lexicon: &Lexicon,
    out: &mut dyn Write,
) -> io::Result<()> {
    let bytes = made(list, entries, lexicon).map_err(io::Error::other)?;
    out.write_all(&bytes)
}

fn made(list: &Shortlist, entries: &[Entry<'_>], lexicon: &Lexicon) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // Not the clock: the same list gives the same bytes.
    let date = ExcelDateTime::from_ymd(list.basis.as_of.0, 1, 1)?;
    book.set_properties(
        &DocProperties::new()
            .set_title("Shortlist of cars")
            .set_creation_datetime(&date),
    );
    let look = Look::new(list.basis.currency);
    let sums = sums::rows(list);
    let rows = list::rows(list, entries, sums.len());
    fill(book.add_worksheet(), LIST, list::COLUMNS, &rows, &look, 3)?;
    fill(book.add_worksheet(), SUMS, sums::COLUMNS, &sums, &look, 3)?;
    let claims = claims::rows(list, entries, lexicon);
    fill(
        book.add_worksheet(),
        "Claims",
        claims::COLUMNS,
        &claims,
        &look,
        3,
    )?;
    fill(book.add_worksheet(), "About", ABOUT, &about(list), &look, 0)?;
    points::fill(book.add_worksheet(), entries)?;
    book.save_to_buffer()
}

const ABOUT: &[Column] = &[Column::text("what", 22.0), Column::text("says", 100.0)];

fn about(list: &Shortlist) -> Vec<Vec<Cell>> {
    let basis = &list.basis;
    let pairs = [
        ("shown", list.count_in_words()),
        ("ranked by", basis.sort.replace('-', " ")),
        ("money in", basis.currency.code().to_owned()),
        (
            "ages as of",
            format!("{}, {}", basis.as_of, basis.as_of_from),
        ),
        (
            "try an offer",
            format!(
                "Change 'your price' on the sheet {LIST}: margin, its range, the chance of a \
                 loss and the sum on the sheet {SUMS} follow. It begins with the price that is usually paid in the end."
            ),
        ),
        (
            "pay to",
            format!(
                "The most at which {} is still expected and a loss is no likelier than {:.0} %.",
                crate::units::Money::from(basis.wanted_margin),
                basis.loss_limit * 100.0
            ),
        ),
        (
            "ranges",
            "Four of five cars should end between low and high.".to_owned(),
        ),
        (
            "what it is",
            "Estimates from what sellers write. No advice, no inspection, no certificate: look at \
             the car, and at the law where you live, before you pay."
                .to_owned(),
        ),
    ];
    let row = |(what, says): (&str, String)| vec![Cell::text(what), Cell::text(&says)];
    pairs.into_iter().map(row).collect()
}
