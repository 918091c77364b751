//! One opened file as a stream of bytes in an ASCII-compatible encoding.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use encoding_rs::Decoder;

use super::encoding::{self, Encoding};
use super::error::IntakeError;
#[cfg(feature = "parquet")]
use super::parquet;
use super::{magic, objects};

/// Bytes looked at before anything is decided about a file.
const HEAD: usize = 256 << 10;

/// The name that stands for standard input.
pub(super) const STDIN: &str = "-";

/// A file whose first bytes have been judged.
pub(super) struct Input {
    source: Box<dyn Read>,
    decoder: Option<Decoder>,
    /// Bytes that have been read but not yet given out.
    head: Vec<u8>,
    at_end: bool,
    pub encoding: Encoding,
    /// Whether there is a JSON object on each line.
    pub objects: bool,
    /// Whether it is a Parquet table; nothing else is known of it then.
    #[cfg(feature = "parquet")]
    pub table: bool,
}

impl Input {
    /// Opens a file, or standard input for `-`.
    pub fn open(path: &Path) -> Result<Self, IntakeError> {
        let name = path.display().to_string();
        if path.as_os_str() == STDIN {
            return Self::new(&name, Box::new(io::stdin()));
        }
        let failed = |problem: io::Error| match problem.kind() {
            io::ErrorKind::NotFound => IntakeError::NotFound { file: name.clone() },
            _ => IntakeError::Unreadable {
                file: name.clone(),
                problem,
            },
        };
        // Some systems open a folder and fail only at the first read.
        if std::fs::metadata(path).map_err(failed)?.is_dir() {
            return Err(IntakeError::Folder { file: name });
        }
        let file = File::open(path).map_err(failed)?;
        Self::new(&name, Box::new(file))
    }

    /// Judges a stream by its first bytes.
    pub fn new(name: &str, mut source: Box<dyn Read>) -> Result<Self, IntakeError> {
        let mut head = Vec::new();
        source
            .by_ref()
            .take(HEAD as u64)
            .read_to_end(&mut head)
            .map_err(|problem| IntakeError::Unreadable {
                file: name.to_owned(),
                problem,
            })?;
        #[cfg(feature = "parquet")]
        if parquet::begins(&head) {
            return Ok(Input {
                source,
                decoder: None,
                head,
                at_end: false,
                encoding: Encoding::Utf8,
                objects: false,
                table: true,
            });
        }
        let objects = objects::begin(&head);
        if let Some(kind) = magic::kind_of(&head).filter(|_| !objects) {
            let file = name.to_owned();
            return Err(IntakeError::NotCsv { file, kind });
        }
        let (encoding, mark) = encoding::detect(&head);
        let decoder = encoding.decoder();
        if decoder.is_none() && encoding::is_binary(&head) {
            let file = name.to_owned();
            return Err(IntakeError::Binary { file });
        }
        if head[mark..].iter().all(u8::is_ascii_whitespace) && head.len() < HEAD {
            let file = name.to_owned();
            return Err(IntakeError::Empty { file });
        }
        head.drain(..mark);
        Ok(Input {
            source,
            decoder,
            head,
            at_end: false,
            encoding,
            objects,
            #[cfg(feature = "parquet")]
            table: false,
        })
    }

    /// All of it as a file that can be read from any place on: the file at
    /// `path` where it is one, else one without a name that holds the same.
    #[cfg(feature = "parquet")]
    pub fn whole(self, path: Option<&Path>) -> io::Result<File> {
        match path {
            Some(path) if std::fs::metadata(path).is_ok_and(|m| m.is_file()) => File::open(path),
            _ => parquet::kept(&self.head, self.source),
        }
    }

    /// Puts about `want` more bytes at the end of `out`; gives `false` where
    /// nothing follows them.
    pub fn read_into(&mut self, out: &mut Vec<u8>, want: usize) -> io::Result<bool> {
        if self.at_end {
            return Ok(false);
        }
        let mut raw = std::mem::take(&mut self.head);
        let read = match raw.len() {
            0 if self.decoder.is_none() => self.read_raw(out, want)?,
            0 => self.read_raw(&mut raw, want)?,
            given => given,
        };
        self.at_end = read == 0;
        match &mut self.decoder {
            Some(decoder) => encoding::decode_into(decoder, &raw, self.at_end, out),
            None => out.extend_from_slice(&raw),
        }
        Ok(!self.at_end)
    }

    fn read_raw(&mut self, out: &mut Vec<u8>, want: usize) -> io::Result<usize> {
        self.source.by_ref().take(want as u64).read_to_end(out)
    }
}
