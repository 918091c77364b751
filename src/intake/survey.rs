//! How a file would be taken: what each of its columns is, and why.

use std::io;
use std::path::Path;

use super::IntakeError;
use super::columns::{ColumnOverride, Columns};
use super::encoding::Encoding;
use super::file::{Head, Opened, Source};
use super::letters::Letters;
#[cfg(feature = "parquet")]
use super::parquet::Table;
use super::reader::Options;
use super::rows::Rows;
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
    /// How it holds its cells.
    pub layout: Layout,
    /// Its columns in order.
    pub columns: Vec<SurveyedColumn>,
    /// Why no ads can be read from it, where none can.
    pub problem: Option<IntakeError>,
}

/// How a file holds its cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// As text.
    Text {
        /// Its letters: `UTF-8`.
        encoding: &'static str,
        /// What stands between the cells.
        delimiter: char,
    },
    /// As a Parquet table.
    Table,
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
    /// A field without a column that these cells would do for.
    pub looks_like: Option<Field>,
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
    /// Nothing: what it holds is no cell.
    NoCells {
        /// What it holds.
        what: &'static str,
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
            Taken::Beaten { .. } | Taken::NoCells { .. } | Taken::Unknown { .. } => None,
        }
    }
}

/// Looks at the head of a file; `-` is standard input.
///
/// # Errors
/// A file that cannot be read at all. That no ads can be read from its columns
/// is no error here, but in [`Survey::problem`].
pub fn survey(path: &Path, options: &Options, headers: &Headers) -> Result<Survey, IntakeError> {
    let (name, opened) = Source::Path(path.to_owned()).open()?;
    match opened {
        Opened::Text(rows) if rows.are_objects() => Err(IntakeError::NotCsv {
            file: name,
            kind: "one JSON object a line; the keys of each are its columns",
        }),
        Opened::Text(rows) => of_text(name, rows, options, headers),
        #[cfg(feature = "parquet")]
        Opened::Table(table) => of_table(name, table, options, headers),
    }
}

fn of_text(
    name: String,
    rows: Rows,
    options: &Options,
    headers: &Headers,
) -> Result<Survey, IntakeError> {
    let Head {
        name,
        mut rows,
        mut letters,
        decoded,
        delimiter,
        ..
    } = Head::of(name, rows, options, headers)?;
    let (columns, problem) = resolved(&name, &decoded, options, headers);
    let samples = samples(&mut rows, &mut letters, decoded.len()).map_err(|problem| {
        let file = name.clone();
        IntakeError::Unreadable { file, problem }
    })?;
    Ok(Survey {
        layout: Layout::Text {
            encoding: letters_in_words(letters.encoding),
            delimiter: char::from(delimiter),
        },
        problem: problem.map(|problem| likelier(problem, &decoded, &samples)),
        columns: surveyed(&columns, &decoded, samples, options, headers),
        file: name,
    })
}

#[cfg(feature = "parquet")]
fn of_table(
    name: String,
    mut table: Table,
    options: &Options,
    headers: &Headers,
) -> Result<Survey, IntakeError> {
    let names = table.names().to_vec();
    let (columns, mut problem) = resolved(&name, &names, options, headers);
    if problem.is_none() {
        problem = table.read_only(&columns).err();
    }
    let mut samples = Vec::with_capacity(names.len());
    for at in 0..names.len() {
        let cells = table.samples(at, ROWS, SAMPLES);
        // What is damaged where nothing is read does no harm.
        let failed = cells.as_ref().err().is_some() && columns.used().any(|used| used == at);
        samples.push(match cells {
            Ok(cells) => cells,
            Err(harm) if failed && problem.is_none() => {
                problem = Some(harm);
                Vec::new()
            }
            Err(_) => Vec::new(),
        });
    }
    let problem = problem.map(|problem| likelier(problem, &names, &samples));
    let mut found = surveyed(&columns, &names, samples, options, headers);
    for (at, column) in found.iter_mut().enumerate() {
        match table.no_cells(at) {
            Some(what) if column.taken.field().is_none() => column.taken = Taken::NoCells { what },
            _ => {}
        }
    }
    Ok(Survey {
        file: name,
        layout: Layout::Table,
        columns: found,
        problem,
    })
}

/// Which column holds what, and why that does not do for ads, where it does not.
fn resolved(
    name: &str,
    found: &[String],
    options: &Options,
    headers: &Headers,
) -> (Columns, Option<IntakeError>) {
    let (overrides, mut warnings) = (&options.columns, Vec::new());
    match Columns::resolve(&name.into(), found, overrides, headers, &mut warnings) {
        Ok(columns) => (columns, None),
        Err(problem) => (Columns::found(found, overrides, headers), Some(problem)),
    }
}

fn surveyed(
    columns: &Columns,
    found: &[String],
    samples: Vec<Vec<String>>,
    options: &Options,
    headers: &Headers,
) -> Vec<SurveyedColumn> {
    let each = found.iter().zip(samples).enumerate();
    each.map(|(at, (header, samples))| {
        let taken = taken(at, columns, found, &options.columns, headers);
        let free = |field: &Field| columns.of(*field).is_none();
        SurveyedColumn {
            looks_like: looks_like(&samples).filter(free),
            unit: taken.field().and_then(|f| headers.unit_of(f, header)),
            header: header.clone(),
            taken,
            samples,
        }
    })
    .collect()
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

/// The first cells of each column that are not empty.
fn samples(rows: &mut Rows, letters: &mut Letters, columns: usize) -> io::Result<Vec<Vec<String>>> {
    let mut samples: Vec<Vec<String>> = vec![Vec::new(); columns];
    for _ in 0..ROWS {
        let Some(row) = rows.next()? else {
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
    Ok(samples)
}

/// The same problem with the column that is likely to be the text.
pub(super) fn likely_text(
    problem: IntakeError,
    rows: &mut Rows,
    letters: &mut Letters,
    headers: &[String],
) -> IntakeError {
    match samples(rows, letters, headers.len()) {
        Ok(samples) => likelier(problem, headers, &samples),
        Err(_) => problem,
    }
}

fn likelier(problem: IntakeError, headers: &[String], samples: &[Vec<String>]) -> IntakeError {
    let IntakeError::NoTextColumn { file, found, .. } = problem else {
        return problem;
    };
    let columns = headers.iter().zip(samples);
    let longest = columns
        .filter(|(header, samples)| !header.is_empty() && looks_like(samples) == Some(Field::Text))
        .max_by_key(|(_, samples)| letters_in(samples) / samples.len().max(1));
    IntakeError::NoTextColumn {
        file,
        found,
        likely: longest.map(|(header, _)| header.clone()),
    }
}

fn letters_in(samples: &[String]) -> usize {
    samples.iter().map(|s| s.chars().count()).sum()
}

/// What cells would do for, where that is plain by their form: all addresses,
/// all years, all with a sign of money, all with a unit of distance, or long.
fn looks_like(samples: &[String]) -> Option<Field> {
    /// A column of text has this many words in a cell at least, on average.
    const WORDS: usize = 4;
    let all = |is: fn(&str) -> bool| {
        !samples.is_empty() && samples.iter().all(|s| is(s.trim().to_lowercase().as_str()))
    };
    let figure = |s: &str| s.chars().any(|c| c.is_ascii_digit());
    let words: usize = samples.iter().map(|s| s.split_whitespace().count()).sum();
    if all(|s| s.starts_with("http://") || s.starts_with("https://")) {
        Some(Field::Link)
    } else if all(|s| s.len() == 4 && s.parse().is_ok_and(|y: u16| (1950..2050).contains(&y))) {
        Some(Field::Year)
    } else if !samples.is_empty() && words >= WORDS * samples.len() {
        Some(Field::Text)
    } else if !samples.iter().all(|s| figure(s)) {
        None
    } else if all(|s| s.contains(['$', '€', '£'])) {
        Some(Field::Price)
    } else if all(|s| s.ends_with("km") || s.ends_with("mi") || s.ends_with("miles")) {
        Some(Field::Distance)
    } else {
        None
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
