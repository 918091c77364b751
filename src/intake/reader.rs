//! Files one after the other, row by row.

use std::borrow::Cow;
use std::collections::VecDeque;
use std::io::{self, Read};
use std::path::PathBuf;
use std::sync::Arc;

use super::cells::Cells;
use super::clean::{one_line, plain_text};
use super::columns::{ColumnOverride, Columns};
use super::dialect;
use super::encoding::Encoding;
use super::error::IntakeError;
use super::ids::{Ids, Settled, given_id, made_id};
use super::input::{Input, STDIN};
use super::letters::{Letters, RowLetters};
use super::listing::{Listing, ListingId, Origin, Repeat};
use super::objects::Objects;
use super::reject::{Reason, Reject};
use super::rows::Rows;
use super::survey::likely_text;
use super::warning::Warning;
use crate::lexicon::Lexicon;
use crate::lexicon::headers::{Field, Headers};

/// What the user says of the files.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Columns that are named instead of found.
    pub columns: Vec<ColumnOverride>,
}

/// What comes out of the files, in their order.
#[derive(Debug, Clone, PartialEq, Eq)]
// Listings are nearly all there is: a box for each would cost an allocation.
#[allow(clippy::large_enum_variant)]
pub enum Item {
    /// An ad.
    Listing(Listing),
    /// A row that is none.
    Reject(Reject),
    /// A row that says once more what was read before.
    Repeat(Repeat),
    /// Something odd in the file.
    Warning(Warning),
}

/// Reads files one after the other and gives their rows as they come.
///
/// A file of any size needs a few MiB, and each ad some 20 bytes for its id,
/// by which repeated rows are found. After an error nothing more comes.
pub struct Reader<'a> {
    sources: VecDeque<Source>,
    options: &'a Options,
    headers: &'a Headers,
    current: Option<FileReader>,
    waiting: VecDeque<Item>,
    ids: Ids,
    /// Bytes of the files that have been read whole.
    finished: u64,
}

pub(super) enum Source {
    Path(PathBuf),
    Stream(String, Box<dyn Read>),
}

impl<'a> Reader<'a> {
    /// Reads these files; `-` is standard input.
    pub fn new(paths: &[PathBuf], options: &'a Options, lexicon: &'a Lexicon) -> Self {
        let sources = paths.iter().cloned().map(Source::Path).collect();
        Self::of(sources, options, lexicon)
    }

    /// Reads a stream; `name` stands for it in messages.
    pub fn of_stream(
        name: &str,
        stream: impl Read + 'static,
        options: &'a Options,
        lexicon: &'a Lexicon,
    ) -> Self {
        let source = Source::Stream(name.to_owned(), Box::new(stream));
        Self::of([source].into(), options, lexicon)
    }

    fn of(sources: VecDeque<Source>, options: &'a Options, lexicon: &'a Lexicon) -> Self {
        Reader {
            sources,
            options,
            headers: &lexicon.headers,
            current: None,
            waiting: VecDeque::new(),
            ids: Ids::default(),
            finished: 0,
        }
    }

    /// Looks at the beginning of each file, so that one that cannot be used is
    /// told of before anything comes out of those before it. What can be read
    /// only once, as standard input or a pipe, is not touched.
    ///
    /// # Errors
    /// The first file that cannot be used.
    pub fn look_ahead(
        paths: &[PathBuf],
        options: &Options,
        lexicon: &Lexicon,
    ) -> Result<(), IntakeError> {
        let again = |path: &&PathBuf| !std::fs::metadata(path).is_ok_and(|m| !m.is_file());
        let files = paths.iter().filter(|p| p.as_os_str() != STDIN);
        files.filter(again).try_for_each(|path| {
            let source = Source::Path(path.clone());
            FileReader::open(source, options, &lexicon.headers, 0).map(|_| ())
        })
    }

    /// About how many bytes have been read, for those who wait.
    pub fn bytes_read(&self) -> u64 {
        let current = self.current.as_ref().map_or(0, |f| f.rows.position());
        self.finished + current
    }

    fn advance(&mut self) -> Result<Option<Item>, IntakeError> {
        loop {
            if let Some(item) = self.waiting.pop_front() {
                return Ok(Some(item));
            }
            if let Some(file) = &mut self.current {
                if let Some(item) = file.next(&mut self.ids, self.options, self.headers)? {
                    return Ok(Some(item));
                }
                let warnings = file.farewell().into_iter();
                self.waiting.extend(warnings.map(Item::Warning));
                self.finished = self.bytes_read();
                self.current = None;
                continue;
            }
            let Some(source) = self.sources.pop_front() else {
                return Ok(None);
            };
            let (file, warnings) =
                FileReader::open(source, self.options, self.headers, self.ids.count())?;
            self.waiting.extend(warnings.into_iter().map(Item::Warning));
            self.current = Some(file);
        }
    }
}

impl Iterator for Reader<'_> {
    type Item = Result<Item, IntakeError>;

    fn next(&mut self) -> Option<Self::Item> {
        let item = self.advance().transpose();
        if matches!(item, Some(Err(_))) {
            self.sources.clear();
            self.current = None;
        }
        item
    }
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

impl Source {
    /// Its name, and its rows from the first on.
    fn open(self) -> Result<(String, Rows), IntakeError> {
        let (name, input) = match self {
            Source::Path(path) => (path.display().to_string(), Input::open(&path)?),
            Source::Stream(name, stream) => {
                let input = Input::new(&name, stream)?;
                (name, input)
            }
        };
        let rows = Rows::new(input).map_err(|problem| unreadable(&name, problem))?;
        Ok((name, rows))
    }
}

impl Head {
    /// Of a file with a header; one of objects has none.
    pub fn read(source: Source, options: &Options, headers: &Headers) -> Result<Self, IntakeError> {
        let (name, rows) = source.open()?;
        if rows.are_objects() {
            let kind = "one JSON object a line; the keys of each are its columns";
            return Err(IntakeError::NotCsv { file: name, kind });
        }
        Self::of(name, rows, options, headers)
    }

    fn of(
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
struct FileReader {
    file: Arc<str>,
    rows: Rows,
    shape: Shape,
    letters: Letters,
    any_row: bool,
    repeated: u64,
    /// How many listings the files before had.
    first_listing: usize,
    shared: u64,
    first_shared: Option<(String, u64)>,
}

/// How a file says what is what.
enum Shape {
    /// By its header.
    Table(Table),
    /// Each row by itself.
    Objects(Objects),
}

/// A file with a header.
struct Table {
    /// The header's cells as they stand in the file.
    header: Vec<Vec<u8>>,
    columns: Columns,
}

impl FileReader {
    fn open(
        source: Source,
        options: &Options,
        headers: &Headers,
        first_listing: usize,
    ) -> Result<(Self, Vec<Warning>), IntakeError> {
        let (name, rows) = source.open()?;
        let file: Arc<str> = name.as_str().into();
        let mut warnings = Vec::new();
        let (rows, shape, letters) = if rows.are_objects() {
            let letters = Letters::new(Encoding::Utf8);
            (rows, Shape::Objects(Objects::default()), letters)
        } else {
            let Head {
                mut rows,
                mut letters,
                header,
                decoded,
                ..
            } = Head::of(name, rows, options, headers)?;
            let overrides = &options.columns;
            let columns = Columns::resolve(&file, &decoded, overrides, headers, &mut warnings)
                .map_err(|problem| likely_text(problem, &mut rows, &mut letters, &decoded))?;
            (rows, Shape::Table(Table { header, columns }), letters)
        };
        let reader = FileReader {
            file,
            rows,
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

    fn next(
        &mut self,
        ids: &mut Ids,
        options: &Options,
        headers: &Headers,
    ) -> Result<Option<Item>, IntakeError> {
        loop {
            let row = match self.shape {
                Shape::Table(_) => self.rows.next(),
                Shape::Objects(_) => self.rows.next_line(),
            };
            let Some(row) = row.map_err(|problem| unreadable(&self.file, problem))? else {
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
                    let raw = self.rows.raw();
                    let reject = Reject::new(&self.file, row.line, reason, raw);
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
    fn farewell(&mut self) -> Vec<Warning> {
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

    /// The listing of the row that was just read.
    fn listing(
        &mut self,
        line: u64,
        options: &Options,
        headers: &Headers,
    ) -> Result<Listing, Reason> {
        let (cells, columns, row) = match &mut self.shape {
            Shape::Table(table) => {
                let cells = &self.rows.cells;
                table.judge(cells)?;
                let columns = &table.columns;
                let used = columns.used().map(|at| cells.get(at));
                (cells, columns, self.letters.judge(used)?)
            }
            Shape::Objects(objects) => {
                let object = self.rows.line();
                let (cells, columns) = objects.read(object, &options.columns, headers)?;
                (cells, columns, RowLetters::Utf8)
            }
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

impl Table {
    /// Whether a row is one.
    fn judge(&self, cells: &Cells) -> Result<(), Reason> {
        let expected = self.header.len();
        if cells.iter().all(|c| c.iter().all(u8::is_ascii_whitespace)) {
            return Err(Reason::Empty);
        }
        let whole = cells.fit(expected)
            || (cells.len() < expected && self.columns.short_row_is_whole(cells.len()));
        if !whole {
            return Err(Reason::of_count(cells.len(), expected));
        }
        if self.is_header_again(cells) {
            return Err(Reason::HeaderAgain);
        }
        Ok(())
    }

    fn is_header_again(&self, cells: &Cells) -> bool {
        let same = |at: usize| cells.get(at) == self.header[at];
        let prose = self.columns.of(Field::Text);
        let prose = prose.or(self.columns.of(Field::Headline));
        prose.is_some_and(same) && self.columns.used().filter(|at| *at > 0).all(same)
    }
}

fn unreadable(file: &str, problem: io::Error) -> IntakeError {
    IntakeError::Unreadable {
        file: file.to_owned(),
        problem,
    }
}
