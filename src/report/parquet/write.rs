//! A Parquet table that is written while its rows come.

use std::io::{self, Write};
use std::sync::{Arc, Mutex};

use parquet::basic::Compression;
use parquet::data_type::{ByteArrayType, DataType, DoubleType, Int64Type};
use parquet::errors::Result;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};

use super::columns::{Batch, Leaf, TableColumn, Values, schema};

/// Rows of a group at most.
const ROWS: usize = 20_000;

/// Bytes of a group at most, but for the row that reaches it: what is held of a
/// table while it is written.
const BYTES: usize = 16 << 20;

/// Writes batches of rows.
pub struct TableWriter<'o> {
    out: &'o mut dyn Write,
    file: SerializedFileWriter<Tank>,
    tank: Tank,
    /// Rows of the group that is being filled, and their bytes.
    waiting: Batch,
    bytes: usize,
}

/// What has been written and not yet handed on: the writer wants something
/// that can be sent to other threads, which standard output cannot.
#[derive(Clone, Default)]
struct Tank(Arc<Mutex<Vec<u8>>>);

impl Tank {
    fn take(&self) -> Vec<u8> {
        match self.0.lock() {
            Ok(mut bytes) => std::mem::take(&mut bytes),
            Err(poisoned) => std::mem::take(&mut poisoned.into_inner()),
        }
    }
}

impl Write for Tank {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut all = self.0.lock().map_err(|e| io::Error::other(e.to_string()))?;
        all.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl<'o> TableWriter<'o> {
    /// Begins a table of these columns; `form` says by which schema.
    ///
    /// # Errors
    /// Columns that make no table.
    pub fn new(
        out: &'o mut dyn Write,
        columns: Vec<TableColumn>,
        form: String,
    ) -> io::Result<Self> {
        let made_by = concat!("fixworth ", env!("CARGO_PKG_VERSION"));
        let properties = WriterProperties::builder()
            .set_compression(Compression::ZSTD(Default::default()))
            .set_created_by(made_by.to_owned())
            .set_key_value_metadata(Some(vec![KeyValue::new("schema".to_owned(), form)]))
            .build();
        let tank = Tank::default();
        let file = SerializedFileWriter::new(tank.clone(), schema(&columns)?, properties.into())?;
        Ok(TableWriter {
            out,
            file,
            tank,
            waiting: Batch::new(columns),
            bytes: 0,
        })
    }

    /// Writes the next rows.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write(&mut self, mut batch: Batch) -> io::Result<()> {
        while let Some(last) = self.last_of_group(&batch) {
            let rest = batch.split_off(last + 1);
            self.waiting.append(std::mem::replace(&mut batch, rest));
            self.write_group()?;
        }
        self.bytes += batch.rows.iter().sum::<usize>();
        self.waiting.append(batch);
        Ok(())
    }

    /// The row of a batch with which the group is full.
    fn last_of_group(&self, batch: &Batch) -> Option<usize> {
        let (mut rows, mut bytes) = (self.waiting.rows.len(), self.bytes);
        batch.rows.iter().position(|size| {
            rows += 1;
            bytes += size;
            rows >= ROWS || bytes >= BYTES
        })
    }

    fn write_group(&mut self) -> io::Result<()> {
        let behind = self.waiting.split_off(self.waiting.rows.len());
        let group = std::mem::replace(&mut self.waiting, behind);
        self.bytes = 0;
        let mut writer = self.file.next_row_group()?;
        for leaf in &group.leaves {
            let Some(mut column) = writer.next_column()? else {
                return Err(io::Error::other("a table with too few columns"));
            };
            write_leaf(&mut column, leaf)?;
            column.close()?;
        }
        writer.close()?;
        self.out.write_all(&self.tank.take())
    }

    /// Writes what is left, and the index.
    ///
    /// # Errors
    /// When writing fails.
    pub fn finish(mut self) -> io::Result<()> {
        if !self.waiting.rows.is_empty() {
            self.write_group()?;
        }
        self.file.finish()?;
        self.out.write_all(&self.tank.take())
    }
}

fn write_leaf(column: &mut SerializedColumnWriter<'_>, leaf: &Leaf) -> Result<()> {
    match &leaf.values {
        Values::Text(values) => write_values::<ByteArrayType>(column, values, leaf),
        Values::Whole(values) => write_values::<Int64Type>(column, values, leaf),
        Values::Number(values) => write_values::<DoubleType>(column, values, leaf),
    }
}

fn write_values<T: DataType>(
    column: &mut SerializedColumnWriter<'_>,
    values: &[T::T],
    leaf: &Leaf,
) -> Result<()> {
    let column = column.typed::<T>();
    column.write_batch(values, Some(&leaf.there), Some(&leaf.goes_on))?;
    Ok(())
}
