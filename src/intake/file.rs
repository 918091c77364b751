//! One file, row by row.

use std::borrow::Cow;
use std::io::{self, Read};
use std::path::PathBuf;
use std::sync::Arc;

use super::clean::{one_line, plain_text};
use super::columns::Columns;
use super::dialect;
use super::encoding::Encoding;
use super::error::IntakeError;
use super::ids::{Ids, Settled, given_id, made_id};
use super::input::Input;
use super::letters::{Letters, RowLetters};
use super::listing::{Listing, ListingId, Origin, Repeat};
use super::objects::Objects;
#[cfg(feature = "parquet")]
use super::parquet;
use super::reader::{Item, Options};
use super::reject::{Reason, Reject};
use super::rows::{Row, Rows};
use super::survey::likely_text;
use super::table::Table;
use super::warning::Warning;
use crate::lexicon::headers::{Field, Headers};

/// Where rows come from.
pub(super) enum Source {
    Path(PathBuf),
    Stream(String, Box<dyn Read>),
}

/// A file read as far as its header.
pub(super) struct Head {
    pub name: String,
    pub rows: Rows,
    pub letters: Letters,
    /// The header's cells as they stand in the file.
    pub header: Vec<Vec<u8>>,
    /// The same as text.
    pub decoded: Vec<String>,
    /// What stands between cells.
    pub delimiter: u8,
}

/// A file that has been opened, before it is known what its columns are.
pub(super) enum Opened {
    /// Lines of text, from the first on.
    Text(Rows),
    /// A Parquet table.
    #[cfg(feature = "parquet")]
    Table(parquet::Table),
}

impl Source {
    /// Its name, and what is in it.
    pub fn open(self) -> Result<(String, Opened), IntakeError> {
        #[cfg(feature = "parquet")]
        let path = match &self {
            Source::Path(path) => Some(path.clone()),
            Source::Stream(..) => None,
        };
        let (name, input) = match self {
            Source::Path(path) => (path.display().to_string(), Input::open(&path)?),
            Source::Stream(name, stream) => {
                let input = Input::new(&name, stream)?;
                (name, input)
            }
        };
        let failed = |problem| unreadable(&name, problem);
        #[cfg(feature = "parquet")]
        if input.table {
            let file = input.whole(path.as_deref()).map_err(failed)?;
            let table = parquet::Table::open(&name, file)?;
            return Ok((name, Opened::Table(table)));
        }
        let rows = Rows::new(input).map_err(failed)?;
        Ok((name, Opened::Text(rows)))
    }
}

impl Head {
    /// Of a file with a header.
    pub fn of(
        name: String,
        mut rows: Rows,
        options: &Options,
        headers: &Headers,
    ) -> Result<Self, IntakeError> {
        let failed = |problem| unreadable(&name, problem);
        let (head, at_end) = rows.window();
        let found = dialect::detect(head, at_end, headers, &options.columns);
        rows.skip(found.skip);
        rows.set_format(found.format);
        if !rows.header().map_err(failed)? {
            return Err(IntakeError::Empty { file: name });
        }
        rows.set_expected(rows.cells.len());

        let mut letters = Letters::new(rows.encoding());
        let header: Vec<Vec<u8>> = rows.cells.iter().map(<[u8]>::to_vec).collect();
        let decoded = letters.names(&header);
        Ok(Head {
            name,
            rows,
            letters,
            header,
            decoded,
            delimiter: found.format.delimiter,
        })
    }
}

/// One file below its header.
pub(super) struct FileReader {
    file: Arc<str>,
    shape: Shape,
    letters: Letters,
    any_row: bool,
    repeated: u64,
    /// How many listings the files before had.
    first_listing: usize,
    shared: u64,
    first_shared: Option<(String, u64)>,
}

/// The rows of a file, by how it says what is what.
enum Shape {
    /// By its header.
    Table(Rows, Table),
    /// Each row by itself.
    Objects(Rows, Objects),
    /// By names and kinds.
    #[cfg(feature = "parquet")]
    Parquet(parquet::Table, Columns),
}

impl FileReader {
    pub fn open(
        source: Source,
        options: &Options,
        headers: &Headers,
        first_listing: usize,
    ) -> Result<(Self, Vec<Warning>), IntakeError> {
        let (name, opened) = source.open()?;
        let file: Arc<str> = name.as_str().into();
        let overrides = &options.columns;
        let mut warnings = Vec::new();
        let (shape, letters) = match opened {
            Opened::Text(rows) if rows.are_objects() => {
                let shape = Shape::Objects(rows, Objects::default());
                (shape, Letters::new(Encoding::Utf8))
            }
            Opened::Text(rows) => {
                let Head {
                    mut rows,
                    mut letters,
                    header,
                    decoded,
                    ..
                } = Head::of(name, rows, options, headers)?;
                let columns = Columns::resolve(&file, &decoded, overrides, headers, &mut warnings)
                    .map_err(|problem| likely_text(problem, &mut rows, &mut letters, &decoded))?;
                (Shape::Table(rows, Table { header, columns }), letters)
            }
            #[cfg(feature = "parquet")]
            Opened::Table(mut table) => {
                let names = table.names();
                let columns = Columns::resolve(&file, names, overrides, headers, &mut warnings)?;
                table.read_only(&columns)?;
                let shape = Shape::Parquet(table, columns);
                (shape, Letters::new(Encoding::Utf8))
            }
        };
        let reader = FileReader {
            file,
            shape,
            letters,
            any_row: false,
            repeated: 0,
            first_listing,
            shared: 0,
            first_shared: None,
        };
        Ok((reader, warnings))
    }

    pub fn next(
        &mut self,
        ids: &mut Ids,
        options: &Options,
        headers: &Headers,
    ) -> Result<Option<Item>, IntakeError> {
        loop {
            let Some(row) = self.shape.next(&self.file)? else {
                return Ok(None);
            };
            self.any_row = true;
            let read = match row.broken {
                Some(reason) => Err(reason),
                None => self.listing(row.line, options, headers),
            };
            let mut listing = match read {
                Ok(listing) => listing,
                Err(reason) => {
                    let raw = self.shape.raw();
                    let reject = Reject::new(&self.file, row.line, reason, &raw);
                    return Ok(Some(Item::Reject(reject)));
                }
            };
            match ids.settle(&listing) {
                Settled::New => {}
                Settled::Repeated(repeated) => {
                    // Within one file it says nothing; in another one it says
                    // that the ad still stood there.
                    if repeated >= self.first_listing {
                        self.repeated += 1;
                        continue;
                    }
                    return Ok(Some(Item::Repeat(Repeat {
                        listing: repeated,
                        origin: listing.origin,
                    })));
                }
                Settled::Shared { id, first } => {
                    let shared = std::mem::replace(&mut listing.id, id);
                    if first >= self.first_listing {
                        self.shared += 1;
                        self.first_shared.get_or_insert((shared.0, row.line));
                    }
                }
            }
            return Ok(Some(Item::Listing(listing)));
        }
    }

    /// What is to be said once the file has been read.
    pub fn farewell(&mut self) -> Vec<Warning> {
        let file = || Arc::clone(&self.file);
        let mut warnings = Vec::new();
        if !self.any_row {
            warnings.push(Warning::HeaderOnly { file: file() });
        }
        if self.letters.encoding == Encoding::Windows1252 {
            warnings.push(Warning::Windows1252 { file: file() });
        }
        if let Some((id, line)) = self.first_shared.take() {
            warnings.push(Warning::SharedIds {
                file: file(),
                count: self.shared,
                id,
                line,
            });
        }
        if self.repeated > 0 {
            warnings.push(Warning::RepeatedRows {
                file: file(),
                count: self.repeated,
            });
        }
        warnings
    }

    /// About how many bytes have been read.
    pub fn position(&self) -> u64 {
        self.shape.position()
    }

    /// The listing of the row that was just read.
    fn listing(
        &mut self,
        line: u64,
        options: &Options,
        headers: &Headers,
    ) -> Result<Listing, Reason> {
        let (cells, columns, row) = match &mut self.shape {
            Shape::Table(rows, table) => {
                let cells = &rows.cells;
                table.judge(cells)?;
                let columns = &table.columns;
                let used = columns.used().map(|at| cells.get(at));
                (cells, columns, self.letters.judge(used)?)
            }
            Shape::Objects(rows, objects) => {
                let (cells, columns) = objects.read(rows.line(), &options.columns, headers)?;
                (cells, columns, RowLetters::Utf8)
            }
            #[cfg(feature = "parquet")]
            Shape::Parquet(table, columns) => (table.cells(), &*columns, RowLetters::Utf8),
        };
        let text = |field| {
            let bytes = columns.of(field).map_or(&[][..], |at| cells.get(at));
            row.text(bytes)
        };
        let prose = |field| match text(field) {
            Cow::Borrowed(text) => plain_text(text),
            Cow::Owned(text) => Cow::Owned(plain_text(&text).into_owned()),
        };
        let cell = |field| {
            let cell = one_line(prose(field));
            (!cell.is_empty()).then(|| cell.into_owned())
        };

        let headline = one_line(prose(Field::Headline));
        let body = prose(Field::Text);
        if headline.is_empty() && body.is_empty() {
            return Err(Reason::NoText);
        }
        let origin = Origin {
            file: Arc::clone(&self.file),
            line,
        };
        let id_cell = text(Field::Id);
        let given = given_id(&id_cell);
        let id = ListingId(given.unwrap_or_default().to_owned());
        // An address may hold what looks like an entity: `?a=1&copy=2`.
        let link = text(Field::Link).trim().to_owned();
        let mut listing = Listing {
            price: cell(Field::Price),
            distance: cell(Field::Distance),
            distance_unit: columns.distance_unit,
            year: cell(Field::Year),
            make: cell(Field::Make),
            model: cell(Field::Model),
            currency: columns.currency,
            place: cell(Field::Place),
            date: cell(Field::Date),
            link: (!link.is_empty()).then_some(link),
            number: given.map(str::to_owned),
            ..Listing::new(id, origin, &headline, &body)
        };
        if given.is_none() {
            listing.id = made_id(&listing);
        }
        Ok(listing)
    }
}

impl Shape {
    /// The next row of the file named.
    fn next(&mut self, file: &str) -> Result<Option<Row>, IntakeError> {
        let row = match self {
            Shape::Table(rows, _) => rows.next(),
            Shape::Objects(rows, _) => rows.next_line(),
            #[cfg(feature = "parquet")]
            Shape::Parquet(table, _) => return table.next(),
        };
        row.map_err(|problem| unreadable(file, problem))
    }

    /// The beginning of the last row as it stands in the file.
    fn raw(&self) -> Cow<'_, [u8]> {
        match self {
            Shape::Table(rows, _) | Shape::Objects(rows, _) => rows.raw().into(),
            #[cfg(feature = "parquet")]
            Shape::Parquet(table, _) => table.raw().into(),
        }
    }

    /// How many bytes the rows so far take.
    fn position(&self) -> u64 {
        match self {
            Shape::Table(rows, _) | Shape::Objects(rows, _) => rows.position(),
            #[cfg(feature = "parquet")]
            Shape::Parquet(table, _) => table.position(),
        }
    }
}

fn unreadable(file: &str, problem: io::Error) -> IntakeError {
    IntakeError::Unreadable {
        file: file.to_owned(),
        problem,
    }
}
