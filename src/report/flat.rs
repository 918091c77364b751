//! CSV for spreadsheets, from one list of columns.

use std::io::{self, Write};

use crate::safe_text::for_csv_cell;

/// A header and how its cell is made of a row.
pub type Column<T> = (&'static str, fn(&T) -> String);

/// Writes the header and one line a row. Cells are made harmless for a
/// spreadsheet, which would run a cell beginning with `=` as a formula. Columns
/// of free text mask contacts themselves.
///
/// # Errors
/// When writing fails.
pub fn write_csv<T>(out: &mut dyn Write, columns: &[Column<T>], rows: &[T]) -> io::Result<()> {
    write_header(out, columns)?;
    write_rows(out, columns, rows)
}

/// The header alone.
///
/// # Errors
/// When writing fails.
pub fn write_header<T>(out: &mut dyn Write, columns: &[Column<T>]) -> io::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    let header = columns.iter().map(|(name, _)| *name);
    csv.write_record(header).map_err(io::Error::from)?;
    csv.flush()
}

/// One line a row, without the header.
///
/// # Errors
/// When writing fails.
pub fn write_rows<T>(out: &mut dyn Write, columns: &[Column<T>], rows: &[T]) -> io::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    for row in rows {
        let cells = columns
            .iter()
            .map(|(_, cell)| for_csv_cell(&cell(row)).into_owned());
        csv.write_record(cells).map_err(io::Error::from)?;
    }
    csv.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_is_quoted_and_a_number_is_not() {
        let rows = ["=1+1", "-250.5", "-rust", "plain"];
        let mut out = Vec::new();
        write_csv(&mut out, &[("cell", |r: &&str| (*r).to_owned())], &rows).unwrap();
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "cell\n'=1+1\n-250.5\n'-rust\nplain\n"
        );
    }
}
