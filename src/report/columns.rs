//! How the columns of a file are taken, for people and programs.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::json::write_pretty;
use super::page::Page;
use super::screen::{Ink, Screen};
use super::text::{cut, left, plain, shown, width};
use crate::intake::{Layout, Survey, SurveyedColumn, Taken, assignment};
use crate::lexicon::headers::{Field, HeaderUnit};
use crate::units::DistanceUnit;

/// Longest sample that is shown, in letters.
const SAMPLE: usize = 60;

/// How one file is taken.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FileColumns {
    /// The file as named.
    pub file: String,
    /// Its letters.
    pub encoding: String,
    /// What stands between its cells; null for a Parquet table.
    pub delimiter: Option<String>,
    /// Its columns in order.
    pub columns: Vec<ColumnPart>,
    /// Fields that no column holds.
    pub missing: Vec<String>,
    /// Why no ads can be read from it; null where they can.
    pub problem: Option<String>,
}

/// How one column is taken.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ColumnPart {
    /// Its header, on one line, contacts masked.
    pub header: String,
    /// The field that it is read as; null where it is not read.
    pub field: Option<String>,
    /// The unit or currency that its header names.
    pub unit: Option<String>,
    /// Why.
    pub why: String,
    /// What to add to a command so that it is read as what it may be.
    pub say: Option<String>,
    /// Up to three of its cells, on one line, cut, contacts masked.
    pub samples: Vec<String>,
}

/// A file without cells in lines, in words.
const TABLE: &str = "a Parquet table";

/// What parts cells, in words.
fn sign(delimiter: char) -> String {
    match delimiter {
        ',' => "comma".to_owned(),
        ';' => "semicolon".to_owned(),
        '\t' => "tab".to_owned(),
        '|' => "bar".to_owned(),
        other => other.to_string(),
    }
}

impl FileColumns {
    /// A survey in words.
    pub fn new(survey: &Survey) -> Self {
        let columns: Vec<_> = survey.columns.iter().map(ColumnPart::new).collect();
        let missing = Field::ALL
            .into_iter()
            .filter(|f| survey.columns.iter().all(|c| c.taken.field() != Some(*f)));
        FileColumns {
            file: plain(&survey.file),
            encoding: match survey.layout {
                Layout::Text { encoding, .. } => encoding.to_owned(),
                Layout::Table => "UTF-8".to_owned(),
            },
            delimiter: match survey.layout {
                Layout::Text { delimiter, .. } => Some(sign(delimiter)),
                Layout::Table => None,
            },
            columns,
            missing: missing.map(|f| f.word().to_owned()).collect(),
            problem: survey.problem.as_ref().map(ToString::to_string),
        }
    }

    /// `ads.csv: UTF-8, comma; id 'Ad No', text 'Details'; not read: 'Colour'`.
    pub fn in_few_words(&self) -> String {
        let quoted = |c: &ColumnPart| format!("'{}'", c.header);
        let (read, left): (Vec<_>, Vec<_>) = self.columns.iter().partition(|c| c.field.is_some());
        let mut read: Vec<_> = read
            .into_iter()
            .map(|c| format!("{} {}", c.field.as_deref().unwrap_or_default(), quoted(c)))
            .collect();
        if !left.is_empty() {
            let left: Vec<_> = left.into_iter().map(quoted).collect();
            read.push(format!("not read: {}", left.join(", ")));
        }
        let layout = match &self.delimiter {
            Some(delimiter) => format!("{}, {delimiter}", self.encoding),
            None => TABLE.to_owned(),
        };
        format!("{}: {layout}; {}", self.file, read.join(", "))
    }

    /// Writes it as text for a screen.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&self, screen: Screen, out: &mut dyn Write) -> io::Result<()> {
        let mut page = Page::new(out, screen, 120);
        let layout = match &self.delimiter {
            Some(delimiter) => format!("{}, cells parted by {delimiter}", self.encoding),
            None => TABLE.to_owned(),
        };
        page.title(&format!("{}: {layout}", self.file))?;
        let wide = self.columns.iter().map(|c| width(&c.header)).max();
        let wide = wide.unwrap_or(0).min(30);
        for column in &self.columns {
            let name = cut(&column.header, wide);
            let field = column.field.as_deref().unwrap_or("not read");
            let unit = column
                .unit
                .as_ref()
                .map_or(String::new(), |u| format!(", in {u}"));
            let prefix = format!("  {}  ", left(&name, wide));
            page.hang(&prefix, wide + 4, &format!("{field}{unit}: {}", column.why))?;
            let indent = if wide + 4 + 30 > page.columns() {
                6
            } else {
                wide + 4
            };
            if let Some(say) = &column.say {
                page.hang(&" ".repeat(indent), indent, say)?;
            }
            if !column.samples.is_empty() {
                let samples: Vec<_> = column.samples.iter().map(|s| format!("'{s}'")).collect();
                page.hang(&" ".repeat(indent), indent, &samples.join(", "))?;
            }
        }
        if !self.missing.is_empty() {
            let text = format!("No column for: {}", self.missing.join(", "));
            page.put(2, &text)?;
        }
        match &self.problem {
            Some(problem) => {
                let text = format!("Not readable: {problem}");
                page.put_marked(2, (Ink::Care, "Not readable"), &text)
            }
            None => Ok(()),
        }
    }
}

/// Writes files as one JSON list.
///
/// # Errors
/// When writing fails.
pub fn write_json(files: &[FileColumns], out: &mut dyn Write) -> io::Result<()> {
    write_pretty(out, &files)?;
    out.write_all(b"\n")
}

impl ColumnPart {
    fn new(column: &SurveyedColumn) -> Self {
        let unknown = "its header is not in headers.csv".to_owned();
        let (why, field) = match &column.taken {
            Taken::Named(_) => ("as you say with --column".to_owned(), None),
            Taken::Known(_) => ("its header is in headers.csv".to_owned(), None),
            Taken::Beaten { field, by } => (
                format!("it could be the {field}, but '{}' goes before", shown(by)),
                Some(*field),
            ),
            Taken::NoCells { what } => (format!("it holds {what}, which are no cells"), None),
            Taken::Unknown {
                near: Some((near, field)),
            } => (
                format!("{unknown}, but is much like '{near}'"),
                Some(*field),
            ),
            Taken::Unknown { near: None } => match column.looks_like {
                None => (unknown, None),
                Some(field) => (
                    format!("{unknown}, but its cells look like a {field}"),
                    Some(field),
                ),
            },
        };
        let say = field.map(|f| format!("--column {}", assignment(f, &column.header)));
        let unit = column.unit.map(|unit| match unit {
            HeaderUnit::Distance(DistanceUnit::Km) => "km".to_owned(),
            HeaderUnit::Distance(DistanceUnit::Miles) => "miles".to_owned(),
            HeaderUnit::Currency(currency) => currency.code().to_owned(),
        });
        ColumnPart {
            header: shown(&column.header),
            field: column.taken.field().map(|f| f.word().to_owned()),
            unit,
            why,
            say,
            samples: column
                .samples
                .iter()
                .map(|s| cut(&shown(s), SAMPLE))
                .collect(),
        }
    }
}
