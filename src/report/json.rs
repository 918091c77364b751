//! JSON that is safe to look at in a terminal: characters that could steer it
//! or reorder a line are escaped, so that the text is kept and nothing acts.

use std::io::{self, Write};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use serde_json::ser::{CompactFormatter, Formatter, PrettyFormatter};

use crate::units::{Hours, Money};

/// Money or hours as a JSON number: whole where it is whole, else rounded to
/// hundredths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Number(rust_decimal::Decimal);

impl Number {
    /// The figure.
    pub fn value(self) -> rust_decimal::Decimal {
        self.0
    }
}

impl From<Money> for Number {
    fn from(money: Money) -> Self {
        Number(money.amount().round_dp(2))
    }
}

impl From<Number> for Money {
    fn from(number: Number) -> Self {
        Money::new(number.0)
    }
}

impl From<Hours> for Number {
    fn from(hours: Hours) -> Self {
        Number(hours.amount().round_dp(2))
    }
}

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.normalize().fmt(f)
    }
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use rust_decimal::prelude::ToPrimitive;
        match self.0.to_i64() {
            Some(whole) if self.0.is_integer() => serializer.serialize_i64(whole),
            _ => serializer.serialize_f64(self.0.to_f64().unwrap_or(f64::NAN)),
        }
    }
}

impl JsonSchema for Number {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Number".into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}

/// One value on one line, without the line break.
///
/// # Errors
/// When writing fails.
pub fn write_line<W: Write + ?Sized>(out: &mut W, value: &impl Serialize) -> io::Result<()> {
    let mut json = serde_json::Serializer::with_formatter(out, Guarded(CompactFormatter));
    value.serialize(&mut json).map_err(io::Error::from)
}

/// One value over many lines.
///
/// # Errors
/// When writing fails.
pub fn write_pretty<W: Write + ?Sized>(out: &mut W, value: &impl Serialize) -> io::Result<()> {
    let mut json = serde_json::Serializer::with_formatter(out, Guarded(PrettyFormatter::new()));
    value.serialize(&mut json).map_err(io::Error::from)
}

/// Whether a character could act on a terminal or on the order of a line:
/// C0 is escaped by JSON itself; here C1, separators, marks of direction and
/// characters of no width.
fn acts(c: char) -> bool {
    matches!(c,
        '\u{7f}'..='\u{9f}' | '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}'
        | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
        | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Whether a character that acts may have this byte: all but one of them are
/// beyond ASCII.
fn may_act(byte: u8) -> bool {
    byte >= 0x7f
}

/// Whether any of these may. Most pieces are short, and all of a piece is
/// looked at eight bytes at a time.
fn any_may_act(bytes: &[u8]) -> bool {
    let (eights, rest) = bytes.as_chunks::<8>();
    // 0x7f and beyond are what one more brings to the highest bit.
    let acts = |eight: &[u8; 8]| {
        let eight = u64::from_ne_bytes(*eight);
        let low = (eight & 0x7f7f_7f7f_7f7f_7f7f) + 0x0101_0101_0101_0101;
        eight | low
    };
    let any = eights.iter().fold(0, |any, eight| any | acts(eight));
    any & 0x8080_8080_8080_8080 != 0 || rest.iter().any(|byte| may_act(*byte))
}

struct Guarded<F>(F);

macro_rules! forward {
    ($($name:ident($($arg:ident: $ty:ty),*)),* $(,)?) => {
        $(fn $name<W: ?Sized + Write>(&mut self, w: &mut W $(, $arg: $ty)*) -> io::Result<()> {
            self.0.$name(w $(, $arg)*)
        })*
    };
}

impl<F: Formatter> Formatter for Guarded<F> {
    forward![
        begin_array(),
        end_array(),
        begin_array_value(first: bool),
        end_array_value(),
        begin_object(),
        end_object(),
        begin_object_key(first: bool),
        end_object_key(),
        begin_object_value(),
        end_object_value(),
    ];

    fn write_string_fragment<W: ?Sized + Write>(
        &mut self,
        w: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        if !any_may_act(fragment.as_bytes()) {
            return w.write_all(fragment.as_bytes());
        }
        let mut from = 0;
        for (at, c) in fragment.char_indices().filter(|(_, c)| acts(*c)) {
            w.write_all(&fragment.as_bytes()[from..at])?;
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                write!(w, "\\u{unit:04x}")?;
            }
            from = at + c.len_utf8();
        }
        w.write_all(&fragment.as_bytes()[from..])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_survives_but_nothing_in_it_acts() {
        let text = "a\u{1b}[2Jb\u{9b}31mc\u{202e}d\u{e0041}é\"\n";
        let mut out = Vec::new();
        write_line(&mut out, &text).unwrap();
        let json = String::from_utf8(out).unwrap();
        assert!(json.chars().all(|c| !c.is_control() && !acts(c)), "{json}");
        assert_eq!(serde_json::from_str::<String>(&json).unwrap(), text);
    }

    #[test]
    fn whole_money_is_a_whole_number() {
        let mut out = Vec::new();
        let list = [900.0, 12.5, -0.004].map(|v| Number::from(Money::from_f64(v).unwrap()));
        write_line(&mut out, &list).unwrap();
        assert_eq!(out, b"[900,12.5,0]");
    }
}
