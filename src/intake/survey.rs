//! How a file would be taken: what each of its columns is, and why.

use std::path::Path;

use super::IntakeError;
use super::columns::{ColumnOverride, Columns};
use super::encoding::Encoding;
use super::reader::{Head, Letters, Options, Source};
use crate::lexicon::headers::{Field, HeaderUnit, Headers, key};

/// Cells of a column that are shown.
const SAMPLES: usize = 3;
/// Rows that are looked through for them.
const ROWS: usize = 200;
/// Below this two headers only share letters.
const CLOSE: f64 = 0.88;

/// What was found out about a file.
#[derive(Debug)]
pub struct Survey {
    /// The file as named.
    pub file: String,
    /// Its letters: `UTF-8`.
    pub encoding: &'static str,
    /// What stands between its cells.
    pub delimiter: char,
    /// Its columns in order.
    pub columns: Vec<SurveyedColumn>,
    /// Why no ads can be read from it, where none can.
    pub problem: Option<IntakeError>,
}

/// What was found out about a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SurveyedColumn {
    /// Its header as it stands in the file.
    pub header: String,
    /// What it is taken as.
    pub taken: Taken,
    /// The unit that its header names.
    pub unit: Option<HeaderUnit>,
    /// Its first cells that are not empty.
    pub samples: Vec<String>,
}

/// What a column is taken as, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Taken {
    /// The user said so.
    Named(Field),
    /// The table of headers says so.
    Known(Field),
    /// The table says so, but another column goes before it.
    Beaten {
        /// The field.
        field: Field,
        /// The header that goes before.
        by: String,
    },
    /// Nothing.
    Unknown {
        /// A header of the table that is spelt nearly so.
        near: Option<(String, Field)>,
    },
}

impl Taken {
    /// What the column is read as.
    pub fn field(&self) -> Option<Field> {
        match self {
            Taken::Named(field) | Taken::Known(field) => Some(*field),
            Taken::Beaten { .. } | Taken::Unknown { .. } => None,
        }
    }
}

/// Looks at the head of a file; `-` is standard input.
///
/// # Errors
/// A file that cannot be read at all. That no ads can be read from its columns
/// is no error here, but in [`Survey::problem`].
pub fn survey(path: &Path, options: &Options, headers: &Headers) -> Result<Survey, IntakeError> {
    let Head {
        name,
        mut rows,
        mut letters,
        decoded,
        delimiter,
        ..
    } = Head::read(Source::Path(path.to_owned()), options, headers)?;
    let file = name.as_str().into();
    let overrides = &options.columns;
    let mut warnings = Vec::new();
    let (columns, problem) =
        match Columns::resolve(&file, &decoded, overrides, headers, &mut warnings) {
            Ok(columns) => (columns, None),
            Err(problem) => (Columns::found(&decoded, overrides, headers), Some(problem)),
        };
    let mut samples: Vec<Vec<String>> = vec![Vec::new(); decoded.len()];
    for _ in 0..ROWS {
        let row = rows.next().map_err(|problem| IntakeError::Unreadable {
            file: name.clone(),
            problem,
        })?;
        let Some(row) = row else {
            break;
        };
        if row.broken.is_some() {
            continue;
        }
        for (at, cells) in samples.iter_mut().enumerate() {
            let cell = letters.lossy(rows.cells.get(at));
            if cells.len() < SAMPLES && !cell.trim().is_empty() && !cells.contains(&cell) {
                cells.push(cell);
            }
        }
    }
    let encoding = letters_in_words(letters.encoding);
    let columns = decoded
        .iter()
        .zip(samples)
        .enumerate()
        .map(|(at, (header, samples))| {
            let taken = taken(at, &columns, &decoded, overrides, headers);
            SurveyedColumn {
                unit: taken.field().and_then(|f| headers.unit_of(f, header)),
                header: header.clone(),
                taken,
                samples,
            }
        });
    Ok(Survey {
        file: name,
        encoding,
        delimiter: char::from(delimiter),
        columns: columns.collect(),
        problem,
    })
}

fn taken(
    at: usize,
    columns: &Columns,
    found: &[String],
    overrides: &[ColumnOverride],
    headers: &Headers,
) -> Taken {
    let header = &found[at];
    if let Some(field) = Field::ALL.into_iter().find(|f| columns.of(*f) == Some(at)) {
        let named = overrides
            .iter()
            .any(|o| o.field == field && key(&o.header) == key(header));
        return if named {
            Taken::Named(field)
        } else {
            Taken::Known(field)
        };
    }
    let known = headers.find(header).map(|m| m.field);
    match known.and_then(|field| Some((field, columns.of(field)?))) {
        Some((field, by)) => Taken::Beaten {
            field,
            by: found[by].clone(),
        },
        None => Taken::Unknown {
            near: nearest(header, columns, headers),
        },
    }
}

/// A header of the table that is nearly this one, for a field that has no
/// column yet.
fn nearest(header: &str, columns: &Columns, headers: &Headers) -> Option<(String, Field)> {
    let wanted = key(header);
    headers
        .known()
        .filter(|(_, field)| columns.of(*field).is_none())
        .map(|(known, field)| (strsim::jaro_winkler(known, &wanted), known, field))
        .filter(|(likeness, ..)| *likeness >= CLOSE)
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)))
        .map(|(_, known, field)| (known.to_owned(), field))
}

fn letters_in_words(encoding: Encoding) -> &'static str {
    match encoding {
        Encoding::Utf8 => "UTF-8",
        Encoding::Utf16Le | Encoding::Utf16Be => "UTF-16",
        Encoding::Windows1252 => "Windows-1252",
        Encoding::Ascii => "ASCII",
    }
}

impl Letters {
    fn lossy(&mut self, cell: &[u8]) -> String {
        match self.judge(std::iter::once(cell)) {
            Ok(row) => row.text(cell).into_owned(),
            Err(_) => String::from_utf8_lossy(cell).into_owned(),
        }
    }
}
