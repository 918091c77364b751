//! Tables for tests.

use std::sync::Arc;

use parquet::basic::Compression;
use parquet::data_type::{ByteArray, ByteArrayType, DataType, DoubleType, Int32Type, Int64Type};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;

/// The values of a column: those that are there, in order, and which rows have
/// one.
pub enum Column {
    Text(Vec<Option<&'static str>>),
    Int32(Vec<Option<i32>>),
    Int64(Vec<Option<i64>>),
    Double(Vec<Option<f64>>),
}

/// A table of this schema with these columns, in one group of rows each time
/// they are written.
pub fn table(schema: &str, columns: &[Column], groups: usize) -> Vec<u8> {
    let schema = Arc::new(parse_message_type(schema).unwrap());
    let properties = WriterProperties::builder()
        .set_compression(Compression::SNAPPY)
        .build();
    let mut file = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties)).unwrap();
    for _ in 0..groups {
        let mut group = file.next_row_group().unwrap();
        for column in columns {
            let mut writer = group.next_column().unwrap().unwrap();
            match column {
                Column::Text(values) => {
                    let bytes = values.iter().map(|v| v.map(ByteArray::from));
                    put::<ByteArrayType>(&mut writer, bytes);
                }
                Column::Int32(values) => put::<Int32Type>(&mut writer, values.iter().copied()),
                Column::Int64(values) => put::<Int64Type>(&mut writer, values.iter().copied()),
                Column::Double(values) => put::<DoubleType>(&mut writer, values.iter().copied()),
            }
            writer.close().unwrap();
        }
        group.close().unwrap();
    }
    file.into_inner().unwrap()
}

fn put<T: DataType>(
    writer: &mut parquet::file::writer::SerializedColumnWriter<'_>,
    values: impl Iterator<Item = Option<T::T>>,
) {
    let values: Vec<Option<T::T>> = values.collect();
    let there: Vec<i16> = values.iter().map(|v| i16::from(v.is_some())).collect();
    let values: Vec<T::T> = values.into_iter().flatten().collect();
    let writer = writer.typed::<T>();
    // Where there may be several in a row, each begins one.
    let begins = (writer.get_descriptor().max_rep_level() > 0).then(|| vec![0; there.len()]);
    let levels = (Some(&there[..]), begins.as_deref());
    writer.write_batch(&values, levels.0, levels.1).unwrap();
}

/// Three ads.
pub fn ads() -> Vec<u8> {
    table(
        "message ads {
            optional int64 id;
            optional binary title (utf8);
            optional binary description (utf8);
            optional double price;
            optional int32 mileage;
            optional int32 posted (date);
        }",
        &[
            Column::Int64(vec![Some(1), Some(2), Some(3)]),
            Column::Text(vec![Some("2009 Mazda 3"), Some("2004 Saab 9-5"), None]),
            Column::Text(vec![
                Some("clutch slips, clean title"),
                Some("needs a starter"),
                None,
            ]),
            Column::Double(vec![Some(900.5), Some(700.0), None]),
            Column::Int32(vec![Some(131_000), None, Some(5)]),
            Column::Int32(vec![Some(20_472), Some(20_473), None]),
        ],
        1,
    )
}

/// The same three as CSV.
pub const CSV: &str = "id,title,description,price,mileage,posted\n\
    1,2009 Mazda 3,\"clutch slips, clean title\",900.5,131000,2026-01-19\n\
    2,2004 Saab 9-5,needs a starter,700,,2026-01-20\n\
    3,,,,5,\n";
