//! Values of a table as the text that a CSV of it would have.

use std::io::Write;

use parquet::basic::{ConvertedType, LogicalType, TimeUnit, Type};
use parquet::column::reader::{ColumnReader, ColumnReaderImpl};
use parquet::data_type::{DataType, Int96};
use parquet::errors::{ParquetError, Result};
use parquet::schema::types::ColumnDescriptor;

use super::super::cells::MAX_CELL;
use crate::day::civil;

/// What a value means, and with it how it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// As it is.
    Plain,
    /// A whole number that is never negative.
    Unsigned,
    /// With so many digits behind the point.
    Decimal(u32),
    /// Days since 1970.
    Date,
    /// So many in a second, since midnight.
    Time(i64),
    /// So many in a second, since 1970.
    Moment(i64),
    /// A number in two bytes.
    Half,
    /// 16 bytes that identify something.
    Uuid,
}

const MILLIS: i64 = 1_000;
const MICROS: i64 = 1_000_000;
const NANOS: i64 = 1_000_000_000;

/// Digits behind the point; no decimal of 16 bytes has more.
const MOST_DIGITS: i32 = 38;

impl Form {
    /// How the values of a column become cells.
    ///
    /// # Errors
    /// What they are, where they are no text, number or date.
    pub fn of(column: &ColumnDescriptor) -> std::result::Result<Self, &'static str> {
        let wide =
            || column.physical_type() == Type::FIXED_LEN_BYTE_ARRAY && column.type_length() > 16;
        let decimal = |scale: i32| match u32::try_from(scale) {
            Ok(digits) if scale <= MOST_DIGITS && !wide() => Ok(Form::Decimal(digits)),
            _ => Err("decimals of more than 38 digits"),
        };
        match column.logical_type_ref() {
            Some(LogicalType::Decimal(kind)) => decimal(kind.scale),
            Some(LogicalType::Date) => Ok(Form::Date),
            Some(LogicalType::Time(kind)) => Ok(Form::Time(in_a_second(kind.unit))),
            Some(LogicalType::Timestamp(kind)) => Ok(Form::Moment(in_a_second(kind.unit))),
            Some(LogicalType::Integer(kind)) if !kind.is_signed => Ok(Form::Unsigned),
            Some(LogicalType::Float16) => Ok(Form::Half),
            Some(LogicalType::Uuid) => Ok(Form::Uuid),
            Some(
                LogicalType::Bson
                | LogicalType::Variant(_)
                | LogicalType::Geometry(_)
                | LogicalType::Geography(_)
                | LogicalType::File,
            ) => Err("packed values"),
            Some(_) => Ok(Form::Plain),
            None => Ok(match column.converted_type() {
                ConvertedType::DECIMAL => decimal(column.type_scale())?,
                ConvertedType::DATE => Form::Date,
                ConvertedType::TIME_MILLIS => Form::Time(MILLIS),
                ConvertedType::TIME_MICROS => Form::Time(MICROS),
                ConvertedType::TIMESTAMP_MILLIS => Form::Moment(MILLIS),
                ConvertedType::TIMESTAMP_MICROS => Form::Moment(MICROS),
                ConvertedType::UINT_8
                | ConvertedType::UINT_16
                | ConvertedType::UINT_32
                | ConvertedType::UINT_64 => Form::Unsigned,
                ConvertedType::BSON | ConvertedType::INTERVAL => return Err("packed values"),
                _ => Form::Plain,
            }),
        }
    }
}

fn in_a_second(unit: TimeUnit) -> i64 {
    match unit {
        TimeUnit::MILLIS => MILLIS,
        TimeUnit::MICROS => MICROS,
        TimeUnit::NANOS => NANOS,
    }
}

/// Writes the next value of a column; nothing where it has none.
///
/// One value at a time, so that a page whose every value is as large as the
/// page costs no more than one of them.
pub(super) fn next(reader: &mut ColumnReader, form: Form, out: &mut Vec<u8>) -> Result<()> {
    match reader {
        ColumnReader::BoolColumnReader(r) => {
            if let Some(value) = value(r)? {
                write!(out, "{value}")?;
            }
        }
        ColumnReader::Int32ColumnReader(r) => {
            if let Some(value) = value(r)? {
                match form {
                    Form::Unsigned => write!(out, "{}", value as u32)?,
                    _ => whole(i64::from(value), form, out)?,
                }
            }
        }
        ColumnReader::Int64ColumnReader(r) => {
            if let Some(value) = value(r)? {
                match form {
                    Form::Unsigned => write!(out, "{}", value as u64)?,
                    _ => whole(value, form, out)?,
                }
            }
        }
        ColumnReader::Int96ColumnReader(r) => {
            if let Some(value) = value(r)? {
                old_moment(&value, out)?;
            }
        }
        ColumnReader::FloatColumnReader(r) => {
            if let Some(value) = value(r)?.filter(|v| v.is_finite()) {
                write!(out, "{value}")?;
            }
        }
        ColumnReader::DoubleColumnReader(r) => {
            if let Some(value) = value(r)?.filter(|v| v.is_finite()) {
                write!(out, "{value}")?;
            }
        }
        ColumnReader::ByteArrayColumnReader(r) => {
            if let Some(value) = value(r)? {
                bytes(value.data(), form, out)?;
            }
        }
        ColumnReader::FixedLenByteArrayColumnReader(r) => {
            if let Some(value) = value(r)? {
                bytes(value.data(), form, out)?;
            }
        }
    }
    Ok(())
}

fn value<T: DataType>(reader: &mut ColumnReaderImpl<T>) -> Result<Option<T::T>> {
    let (mut levels, mut values) = (Vec::new(), Vec::new());
    let (rows, ..) = reader.read_records(1, Some(&mut levels), None, &mut values)?;
    if rows == 0 {
        return Err(ParquetError::EOF("it ends before its rows do".to_owned()));
    }
    Ok(values.pop())
}

fn whole(value: i64, form: Form, out: &mut Vec<u8>) -> Result<()> {
    match form {
        Form::Decimal(digits) => decimal(i128::from(value), digits, out)?,
        Form::Date => date(value, out)?,
        Form::Time(second) => time(value.rem_euclid(86_400 * second), second, out)?,
        Form::Moment(second) => {
            let day = 86_400 * second;
            date(value.div_euclid(day), out)?;
            out.push(b' ');
            time(value.rem_euclid(day), second, out)?;
        }
        Form::Plain | Form::Unsigned | Form::Half | Form::Uuid => write!(out, "{value}")?,
    }
    Ok(())
}

fn date(days: i64, out: &mut Vec<u8>) -> std::io::Result<()> {
    let (year, month, day) = civil(days);
    write!(out, "{year:04}-{month:02}-{day:02}")
}

/// `10:12:00`, with what is beyond whole seconds where there is any.
fn time(since_midnight: i64, second: i64, out: &mut Vec<u8>) -> std::io::Result<()> {
    let (seconds, rest) = (since_midnight / second, since_midnight % second);
    let (hour, minute) = (seconds / 3_600, seconds / 60 % 60);
    write!(out, "{hour:02}:{minute:02}:{:02}", seconds % 60)?;
    if rest > 0 {
        let digits = second.ilog10() as usize;
        let rest = format!("{rest:0digits$}");
        write!(out, ".{}", rest.trim_end_matches('0'))?;
    }
    Ok(())
}

/// A moment as older writers have it: nanoseconds of the day, and the day by
/// Julian count, of which 1970-01-01 was 2,440,588.
fn old_moment(value: &Int96, out: &mut Vec<u8>) -> std::io::Result<()> {
    let [low, high, day] = *value.data() else {
        return Ok(());
    };
    let nanos = (u64::from(high) << 32 | u64::from(low)) % (86_400 * NANOS as u64);
    date(i64::from(day) - 2_440_588, out)?;
    out.push(b' ');
    time(nanos as i64, NANOS, out)
}

fn decimal(unscaled: i128, digits: u32, out: &mut Vec<u8>) -> std::io::Result<()> {
    let sign = if unscaled < 0 { "-" } else { "" };
    let amount = unscaled.unsigned_abs();
    let digits = digits as usize;
    if digits == 0 {
        return write!(out, "{sign}{amount}");
    }
    let figures = format!("{amount:0>width$}", width = digits + 1);
    let (whole, rest) = figures.split_at(figures.len() - digits);
    write!(out, "{sign}{whole}.{rest}")
}

fn bytes(value: &[u8], form: Form, out: &mut Vec<u8>) -> Result<()> {
    match (form, value) {
        (Form::Decimal(digits), _) => {
            if value.len() > 16 {
                return Err(ParquetError::General(
                    "a decimal of more than 16 bytes".to_owned(),
                ));
            }
            let negative = value.first().is_some_and(|b| b & 0x80 != 0);
            let begin = if negative { -1_i128 } else { 0 };
            let unscaled = value.iter().fold(begin, |n, b| n << 8 | i128::from(*b));
            decimal(unscaled, digits, out)?;
        }
        (Form::Half, [low, high]) => {
            let value = half(u16::from_le_bytes([*low, *high]));
            if value.is_finite() {
                write!(out, "{value}")?;
            }
        }
        (Form::Uuid, _) if value.len() == 16 => {
            for (at, byte) in value.iter().enumerate() {
                let dash = if matches!(at, 4 | 6 | 8 | 10) {
                    "-"
                } else {
                    ""
                };
                write!(out, "{dash}{byte:02x}")?;
            }
        }
        // One letter more than is allowed says that there are too many.
        _ => out.extend_from_slice(&value[..value.len().min(MAX_CELL + 1)]),
    }
    Ok(())
}

/// IEEE 754, binary16: a sign, five bits of exponent, ten of fraction.
fn half(bits: u16) -> f32 {
    let sign = if bits & 0x8000 == 0 { 1.0 } else { -1.0 };
    let (exponent, fraction) = (i32::from(bits >> 10 & 0x1f), f32::from(bits & 0x3ff));
    sign * match exponent {
        0 => fraction * 2_f32.powi(-24),
        31 if fraction == 0.0 => f32::INFINITY,
        31 => f32::NAN,
        _ => (1.0 + fraction / 1024.0) * 2_f32.powi(exponent - 15),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(write: impl FnOnce(&mut Vec<u8>)) -> String {
        let mut out = Vec::new();
        write(&mut out);
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn numbers_and_dates_are_written_as_in_a_csv() {
        let whole = |value, form| text(|out| super::whole(value, form, out).unwrap());
        assert_eq!(whole(-7, Form::Plain), "-7");
        assert_eq!(whole(250_050, Form::Decimal(2)), "2500.50");
        assert_eq!(whole(-5, Form::Decimal(2)), "-0.05");
        assert_eq!(whole(12, Form::Decimal(0)), "12");
        assert_eq!(whole(0, Form::Date), "1970-01-01");
        assert_eq!(whole(-1, Form::Date), "1969-12-31");
        assert_eq!(whole(16_924, Form::Date), "2016-05-03");
        let moment = 16_924 * 86_400 + 10 * 3_600 + 12 * 60;
        assert_eq!(
            whole(moment * MILLIS, Form::Moment(MILLIS)),
            "2016-05-03 10:12:00"
        );
        assert_eq!(
            whole(moment * MICROS + 1_500, Form::Moment(MICROS)),
            "2016-05-03 10:12:00.0015"
        );
        assert_eq!(whole(61 * NANOS, Form::Time(NANOS)), "00:01:01");
        assert!(!whole(i64::MIN, Form::Moment(MILLIS)).is_empty());
        assert!(!whole(i64::MAX, Form::Date).is_empty());
    }

    #[test]
    fn bytes_are_what_they_mean() {
        let bytes = |value: &[u8], form| text(|out| super::bytes(value, form, out).unwrap());
        assert_eq!(bytes(b"clutch", Form::Plain), "clutch");
        assert_eq!(bytes(&[0xff, 0x38], Form::Decimal(2)), "-2.00");
        assert_eq!(bytes(&[0x09, 0xc4], Form::Decimal(0)), "2500");
        assert_eq!(bytes(&[0x00, 0x3e], Form::Half), "1.5");
        assert_eq!(bytes(&[0x00, 0x7e], Form::Half), "");
        assert_eq!(
            bytes(&[0x12; 16], Form::Uuid),
            "12121212-1212-1212-1212-121212121212"
        );
        let long = vec![b'x'; MAX_CELL + 7];
        assert_eq!(bytes(&long, Form::Plain).len(), MAX_CELL + 1);
    }
}
