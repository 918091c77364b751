//! Cells and columns, and how a sheet is filled with them.

use rust_xlsxwriter::{
    Color, DataValidation, DataValidationRule, Format, FormatAlign, Formula, Url, Worksheet,
    XlsxError,
};

use crate::report::json::Number;
use crate::units::{Currency, Money};

/// Longest text of a cell, below what the format allows (32,767 UTF-16 units).
const LONGEST: usize = 16_000;
/// Longest address that can be live.
const LONGEST_LINK: usize = 2_000;
/// Rows of a sheet, the header among them (ECMA-376 leaves it to programs; this
/// is what they take).
const MOST_ROWS: usize = 1 << 20;

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Nothing: the figure is unknown.
    Empty,
    /// Text; never a formula.
    Text(String),
    /// Text that stands out.
    Strong(String),
    /// An address.
    Link(String),
    /// A number that is no money.
    Number(f64),
    /// An amount.
    Money(f64),
    /// An amount that the user may change; none where there is none yet.
    Input(Option<f64>),
    /// An amount by a formula, with its value now; none where it is empty.
    Formula(String, Option<f64>),
    /// A share of one by a formula, with its value now.
    Share(String, Option<f64>),
    /// An amount that stands out, by a formula.
    Total(String, f64),
    /// Words by a formula, with those of now.
    Words(String, String),
}

impl Cell {
    pub(super) fn text(text: &str) -> Self {
        if text.is_empty() {
            return Cell::Empty;
        }
        Cell::Text(text.chars().take(LONGEST).collect())
    }

    pub(super) fn maybe(text: Option<&String>) -> Self {
        text.map_or(Cell::Empty, |text| Cell::text(text))
    }

    pub(super) fn amount(number: Option<Number>) -> Self {
        number.map_or(Cell::Empty, |n| Cell::Money(to_f64(n)))
    }

    /// A live link where it is of the web, else its text.
    pub(super) fn link(link: &str) -> Self {
        let lower = link.to_ascii_lowercase();
        let web = ["http://", "https://"];
        let scheme = web.iter().find(|scheme| lower.starts_with(**scheme));
        let plain = |c: char| c.is_ascii_graphic() && !"\"<>\\^`{|}".contains(c);
        let whole = scheme.is_some_and(|s| link.len() > s.len()) && link.chars().all(plain);
        if whole && link.len() <= LONGEST_LINK {
            Cell::Link(link.to_owned())
        } else {
            Cell::text(link)
        }
    }
}

/// A figure as spreadsheets count.
pub(super) fn to_f64(number: Number) -> f64 {
    Money::from(number).to_f64()
}

/// A column: its header and width in letters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub(super) head: &'static str,
    pub(super) width: f64,
    /// Whether text is broken over lines.
    wraps: bool,
}

impl Column {
    /// Figures and short words.
    pub(super) const fn short(head: &'static str, width: f64) -> Self {
        Column {
            head,
            width,
            wraps: false,
        }
    }

    /// Text over several lines.
    pub(super) const fn text(head: &'static str, width: f64) -> Self {
        Column {
            head,
            width,
            wraps: true,
        }
    }
}

/// Formats of all sheets.
pub(super) struct Look {
    head: Format,
    plain: Format,
    wrapped: Format,
    strong: Format,
    number: Format,
    money: Format,
    share: Format,
    input: Format,
    total: Format,
    link: Format,
}

impl Look {
    pub(super) fn new(currency: Currency) -> Self {
        let top = Format::new().set_align(FormatAlign::Top);
        let sign = currency.sign();
        let amount = format!("\"{sign}\"#,##0;-\"{sign}\"#,##0");
        let money = top.clone().set_num_format(amount);
        Look {
            head: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_background_color(Color::RGB(0xDDE6EA))
                .set_align(FormatAlign::Top),
            wrapped: top.clone().set_text_wrap(),
            strong: top.clone().set_bold(),
            share: top.clone().set_num_format("0 %"),
            number: top.clone().set_num_format("#,##0.##"),
            input: money
                .clone()
                .set_background_color(Color::RGB(0xFFF6D6))
                .set_unlocked(),
            total: money.clone().set_bold(),
            link: top
                .clone()
                .set_font_color(Color::RGB(0x1F5F8B))
                .set_underline(rust_xlsxwriter::FormatUnderline::Single),
            money,
            plain: top,
        }
    }
}

/// Fills a sheet: the header, which stays in view with the first columns, and
/// the rows, which can be filtered.
pub(super) fn fill(
    sheet: &mut Worksheet,
    name: &str,
    columns: &[Column],
    rows: &[Vec<Cell>],
    look: &Look,
    stay: u16,
) -> Result<(), XlsxError> {
    sheet.set_name(name)?;
    // An empty result is an empty text, and not zero.
    sheet.set_formula_result_default("");
    for (column, at) in columns.iter().zip(0..) {
        sheet.write_string_with_format(0, at, column.head, &look.head)?;
        sheet.set_column_width(at, column.width)?;
    }
    if rows.len() >= MOST_ROWS {
        return Err(XlsxError::ParameterError(format!(
            "{} rows are more than a sheet can have; show fewer with --top",
            rows.len()
        )));
    }
    for (cells, row) in rows.iter().zip(1..) {
        for ((cell, column), at) in cells.iter().zip(columns).zip(0..) {
            put(sheet, (row, at), cell, column, look)?;
        }
    }
    sheet.set_freeze_panes(1, stay)?;
    if let (Some(last), Some(bottom)) = (columns.len().checked_sub(1), rows.len().checked_sub(1)) {
        let last = u16::try_from(last).unwrap_or(u16::MAX);
        let bottom = u32::try_from(bottom + 1).unwrap_or(u32::MAX);
        sheet.autofilter(0, 0, bottom, last)?;
    }
    sheet.set_landscape();
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, 0)?;
    Ok(())
}

fn put(
    sheet: &mut Worksheet,
    (row, at): (u32, u16),
    cell: &Cell,
    column: &Column,
    look: &Look,
) -> Result<(), XlsxError> {
    let text = if column.wraps {
        &look.wrapped
    } else {
        &look.plain
    };
    let formula = |formula: &str, value: Option<f64>| {
        let value = value.map_or_else(String::new, |v| v.to_string());
        Formula::new(formula).set_result(value)
    };
    match cell {
        Cell::Empty => return Ok(()),
        Cell::Text(words) => sheet.write_string_with_format(row, at, words, text)?,
        Cell::Strong(words) => sheet.write_string_with_format(row, at, words, &look.strong)?,
        Cell::Link(link) => {
            let url = Url::new(link).set_text(link);
            sheet.write_url_with_format(row, at, url, &look.link)?
        }
        Cell::Number(number) => sheet.write_number_with_format(row, at, *number, &look.number)?,
        Cell::Money(amount) => sheet.write_number_with_format(row, at, *amount, &look.money)?,
        Cell::Input(amount) => {
            let rule = DataValidationRule::GreaterThanOrEqualTo(0.0);
            let rule = DataValidation::new().allow_decimal_number(rule);
            sheet.add_data_validation(row, at, row, at, &rule)?;
            match amount {
                Some(amount) => sheet.write_number_with_format(row, at, *amount, &look.input)?,
                None => sheet.write_blank(row, at, &look.input)?,
            }
        }
        Cell::Formula(text, value) => {
            sheet.write_formula_with_format(row, at, formula(text, *value), &look.money)?
        }
        Cell::Share(text, value) => {
            sheet.write_formula_with_format(row, at, formula(text, *value), &look.share)?
        }
        Cell::Total(text, value) => {
            sheet.write_formula_with_format(row, at, formula(text, Some(*value)), &look.total)?
        }
        Cell::Words(text, words) => {
            let words = Formula::new(text).set_result(words);
            sheet.write_formula_with_format(row, at, words, &look.plain)?
        }
    };
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_whole_addresses_of_the_web_are_live() {
        for live in ["https://board.example.org/ad/7?a=1&b=2", "HTTP://x.example"] {
            assert_eq!(Cell::link(live), Cell::Link(live.to_owned()));
        }
        let long = format!("https://x.example/{}", "a".repeat(2_100));
        for dead in [
            "javascript:alert(1)",
            "file:///etc/passwd",
            "ftp://x.example/a",
            "https://",
            "//x.example",
            "https://x.example/a b",
            "https://x.example/\"onclick",
            "internal:Sums!A1",
            "=HYPERLINK(\"https://x.example\")",
            &long,
        ] {
            assert_eq!(Cell::link(dead), Cell::text(dead), "{dead}");
        }
        assert_eq!(Cell::link(""), Cell::Empty);
    }
}
