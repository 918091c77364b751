//! What a table promises is looked at before anything is made ready for it.
//!
//! The decoder believes sizes: a page that says it unpacks to two gigabytes
//! gets them, a dictionary that says it has a billion words gets room for each.

use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};
use std::sync::Arc;

use bytes::Bytes;
use parquet::basic::{Compression, Encoding, Type};
use parquet::column::page::{Page, PageMetadata, PageReader};
use parquet::errors::Result;
use parquet::file::metadata::{ColumnChunkMetaData, ParquetMetaData, ParquetMetaDataReader};
use parquet::file::reader::{ChunkReader, Length, SerializedPageReader};

use super::calm::calmly;
use super::{MAGIC, TableProblem, skim};

/// No page may unpack to more bytes than this: well above what the common
/// writers make (DuckDB, the largest, up to 100 MB).
pub(super) const MAX_PAGE: u64 = 256 << 20;

/// No index may be larger than this; a group of rows takes some 100 bytes of it
/// for each column.
pub(super) const MAX_INDEX: u64 = 16 << 20;

/// Bytes at the end of a table: the length of the index, and what it began with.
const TAIL: u64 = 8;

/// Bytes of a page's header in which its sizes stand, at their longest.
const SIZES: u64 = 64;

fn damaged(what: impl Into<String>) -> TableProblem {
    TableProblem::Damaged(what.into())
}

/// The index of a table, and how many bytes the file has.
pub(super) fn index(mut file: &File) -> std::result::Result<(ParquetMetaData, u64), TableProblem> {
    let unreadable = |problem: std::io::Error| damaged(problem.to_string());
    let bytes = file.metadata().map_err(unreadable)?.len();
    let before_tail = bytes.checked_sub(TAIL).ok_or(TableProblem::CutOff)?;
    let mut tail = [0; TAIL as usize];
    file.seek(SeekFrom::Start(before_tail))
        .map_err(unreadable)?;
    file.read_exact(&mut tail).map_err(unreadable)?;
    let (length, magic) = tail.split_at(4);
    match magic {
        MAGIC => {}
        b"PARE" => return Err(TableProblem::Encrypted),
        _ => return Err(TableProblem::CutOff),
    }
    let length = length.iter().rev().fold(0, |n, b| n << 8 | u64::from(*b));
    let begin = before_tail
        .checked_sub(length)
        .ok_or(TableProblem::CutOff)?;
    if begin < MAGIC.len() as u64 {
        return Err(TableProblem::CutOff);
    }
    if length > MAX_INDEX {
        return Err(TableProblem::LargeIndex(length >> 20));
    }
    file.seek(SeekFrom::Start(begin)).map_err(unreadable)?;
    let mut index = Vec::new();
    file.take(length)
        .read_to_end(&mut index)
        .map_err(unreadable)?;
    if !skim::schema_is_shallow(&index) {
        return Err(damaged("its index is no schema, or nested beyond sense"));
    }
    let index = calmly(|| ParquetMetaDataReader::decode_metadata(&index));
    let index = index.map_err(|problem| TableProblem::of(problem, None))?;
    Ok((index, bytes))
}

/// The pages of a column in a group of rows.
pub(super) fn pages(
    file: &Arc<File>,
    bytes: u64,
    chunk: &ColumnChunkMetaData,
    column: &str,
) -> std::result::Result<Box<dyn PageReader>, TableProblem> {
    let not_read = |how: &str| TableProblem::NotRead {
        column: column.to_owned(),
        how: how.to_owned(),
    };
    match chunk.compression() {
        Compression::UNCOMPRESSED | Compression::SNAPPY | Compression::ZSTD(_) => {}
        Compression::GZIP(_) => return Err(not_read("gzip")),
        Compression::BROTLI(_) => return Err(not_read("Brotli")),
        Compression::LZ4 | Compression::LZ4_RAW => return Err(not_read("LZ4")),
        Compression::LZO => return Err(not_read("LZO")),
    }
    let begin = chunk.dictionary_page_offset();
    let begin = begin.unwrap_or_else(|| chunk.data_page_offset());
    let end = begin.checked_add(chunk.compressed_size());
    let within = begin >= 0
        && chunk.compressed_size() >= 0
        && end.is_some_and(|end| u64::try_from(end).is_ok_and(|end| end <= bytes));
    if !within {
        let what = format!("column '{column}' is said to stand beyond the end of the file");
        return Err(damaged(what));
    }
    let guard = Guard {
        file: Arc::clone(file),
        bytes,
        column: column.to_owned(),
    };
    let rows = 0;
    let inner = calmly(|| SerializedPageReader::new(Arc::new(guard), chunk, rows, None))
        .map_err(|problem| TableProblem::of(problem, Some(column)))?;
    Ok(Box::new(Pages {
        inner,
        least: match chunk.column_type() {
            Type::BOOLEAN => 1,
            Type::BYTE_ARRAY | Type::INT32 | Type::FLOAT => 4,
            Type::INT64 | Type::DOUBLE => 8,
            Type::INT96 => 12,
            Type::FIXED_LEN_BYTE_ARRAY => u64::try_from(chunk.column_descr().type_length())
                .unwrap_or(1)
                .max(1),
        },
        optional: chunk.column_descr().max_def_level() > 0,
        column: column.to_owned(),
    }))
}

/// The file, read no further than it goes.
struct Guard {
    file: Arc<File>,
    bytes: u64,
    column: String,
}

impl Guard {
    fn at(&self, start: u64) -> Result<File> {
        let mut file = self.file.try_clone()?;
        file.seek(SeekFrom::Start(start))?;
        Ok(file)
    }

    fn allow(&self, size: u64) -> Result<()> {
        if size <= MAX_PAGE {
            return Ok(());
        }
        Err(TableProblem::LargePage {
            column: self.column.clone(),
            size: size >> 20,
        }
        .into())
    }
}

impl Length for Guard {
    fn len(&self) -> u64 {
        self.bytes
    }
}

impl ChunkReader for Guard {
    type T = BufReader<File>;

    /// Where the header of a page stands: nothing else is read this way.
    fn get_read(&self, start: u64) -> Result<Self::T> {
        let mut header = Vec::new();
        self.at(start)?.take(SIZES).read_to_end(&mut header)?;
        let sizes = skim::page_sizes(&header).ok_or_else(|| damaged("a page without its sizes"))?;
        for size in [sizes.unpacked, sizes.packed] {
            let size = u64::try_from(size).map_err(|_| damaged("a page of no size"))?;
            self.allow(size)?;
        }
        Ok(BufReader::new(self.at(start)?))
    }

    fn get_bytes(&self, start: u64, length: usize) -> Result<Bytes> {
        let length = length as u64;
        self.allow(length)?;
        let mut bytes = Vec::new();
        self.at(start)?.take(length).read_to_end(&mut bytes)?;
        if bytes.len() as u64 != length {
            return Err(damaged("it ends within a page").into());
        }
        Ok(bytes.into())
    }
}

/// Pages whose promises can be kept.
struct Pages {
    inner: SerializedPageReader<Guard>,
    /// Bytes that a value takes at least.
    least: u64,
    /// Whether a value may be missing.
    optional: bool,
    column: String,
}

impl Pages {
    fn judge(&self, page: &Page) -> std::result::Result<(), TableProblem> {
        let too_many = || damaged("more values than its bytes can hold");
        match page {
            Page::DictionaryPage {
                buf, num_values, ..
            } => {
                let least = u64::from(*num_values).saturating_mul(self.least);
                if least > buf.len() as u64 {
                    return Err(too_many());
                }
            }
            Page::DataPage { encoding, .. } | Page::DataPageV2 { encoding, .. } => match encoding {
                Encoding::DELTA_LENGTH_BYTE_ARRAY => {
                    let values = u64::from(page.num_values());
                    let said = values_of(page, self.optional).and_then(skim::differences);
                    if said.is_none_or(|said| said > values) {
                        return Err(too_many());
                    }
                }
                // Each value may repeat all of the one before, so that a page
                // can unfold to the square of its size.
                Encoding::DELTA_BYTE_ARRAY => {
                    return Err(TableProblem::NotRead {
                        column: self.column.clone(),
                        how: "shared beginnings (DELTA_BYTE_ARRAY)".to_owned(),
                    });
                }
                _ => {}
            },
        }
        Ok(())
    }
}

/// The bytes of a page behind those that say which values are missing.
fn values_of(page: &Page, optional: bool) -> Option<&[u8]> {
    match page {
        Page::DataPageV2 {
            buf,
            def_levels_byte_len,
            rep_levels_byte_len,
            ..
        } => {
            let levels = u64::from(*def_levels_byte_len) + u64::from(*rep_levels_byte_len);
            buf.get(usize::try_from(levels).ok()?..)
        }
        Page::DataPage {
            buf,
            def_level_encoding,
            ..
        } if optional => {
            // The only other encoding has been given up long ago.
            if *def_level_encoding != Encoding::RLE {
                return None;
            }
            let (length, rest) = buf.split_at_checked(4)?;
            let length = u32::from_le_bytes(length.try_into().ok()?);
            rest.get(usize::try_from(length).ok()?..)
        }
        _ => Some(page.buffer()),
    }
}

impl Iterator for Pages {
    type Item = Result<Page>;

    fn next(&mut self) -> Option<Self::Item> {
        self.get_next_page().transpose()
    }
}

impl PageReader for Pages {
    fn get_next_page(&mut self) -> Result<Option<Page>> {
        let page = self.inner.get_next_page()?;
        if let Some(page) = &page {
            self.judge(page)?;
        }
        Ok(page)
    }

    fn peek_next_page(&mut self) -> Result<Option<PageMetadata>> {
        self.inner.peek_next_page()
    }

    fn skip_next_page(&mut self) -> Result<()> {
        self.inner.skip_next_page()
    }
}
