//! Files one after the other, row by row.

use std::collections::VecDeque;
use std::io::Read;
use std::path::PathBuf;

use super::columns::ColumnOverride;
use super::error::IntakeError;
use super::file::{FileReader, Source};
use super::ids::Ids;
use super::input::STDIN;
use super::listing::{Listing, Repeat};
use super::reject::Reject;
use super::warning::Warning;
use crate::lexicon::Lexicon;
use crate::lexicon::headers::Headers;

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
        let current = self.current.as_ref().map_or(0, |f| f.position());
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
