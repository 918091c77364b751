//! Trouble codes that a scan tool reads out of the car's computers, and the
//! parts that they point at.
//!
//! A code is a letter for the system and four hexadecimal digits, as SAE J2012
//! and ISO 15031-6 write them: `P0420`.

use std::fmt;
use std::str::FromStr;

use super::parts::{PartId, Parts};
use super::table::{LexiconError, Row, Sheet};

/// The letters for powertrain, body, chassis and network.
const SYSTEMS: [u8; 4] = *b"PBCU";

/// One trouble code, in upper case when shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TroubleCode {
    /// Index into [`SYSTEMS`].
    system: u8,
    number: u16,
}

/// The text is no letter of P, B, C, U with four hexadecimal digits of which
/// the first is 0 to 3.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("not a trouble code such as P0420")]
pub struct NotACode;

impl TroubleCode {
    /// Whether the standard gives its meaning; else the maker of the car does.
    pub const fn is_standard(self) -> bool {
        let first = self.number >> 12;
        match self.system {
            0 => first == 0 || first == 2 || self.number >= 0x3400,
            _ => first == 0 || first == 3,
        }
    }
}

impl FromStr for TroubleCode {
    type Err = NotACode;

    /// Reads a code in letters of either case.
    fn from_str(text: &str) -> Result<Self, NotACode> {
        let (letter, digits) = match text.as_bytes() {
            [letter, digits @ ..] if digits.len() == 4 => (*letter, digits),
            _ => return Err(NotACode),
        };
        let system = SYSTEMS
            .iter()
            .position(|s| *s == letter.to_ascii_uppercase())
            .ok_or(NotACode)?;
        if !matches!(digits[0], b'0'..=b'3') || !digits.iter().all(u8::is_ascii_hexdigit) {
            return Err(NotACode);
        }
        Ok(TroubleCode {
            system: system as u8,
            number: u16::from_str_radix(&text[1..], 16).map_err(|_| NotACode)?,
        })
    }
}

impl fmt::Display for TroubleCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = char::from(SYSTEMS[usize::from(self.system)]);
        f.pad(&format!("{letter}{:04X}", self.number))
    }
}

/// A range of codes with one meaning; both ends belong to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CodeRange {
    /// The lowest code.
    pub low: TroubleCode,
    /// The highest code.
    pub high: TroubleCode,
    /// What it stands for, in words for people.
    pub means: String,
    /// What it points at, likeliest first; empty where it tells too little.
    pub hints: Vec<PartId>,
    /// Where the row is from.
    pub source: String,
}

impl CodeRange {
    fn width(&self) -> u16 {
        self.high.number - self.low.number
    }

    fn contains(&self, code: TroubleCode) -> bool {
        self.low <= code && code <= self.high
    }
}

/// The rows of `fault_codes.csv`.
#[derive(Debug, Default)]
pub struct FaultCodes {
    /// By rising width: the first that holds a code is the narrowest.
    ranges: Vec<CodeRange>,
}

impl FaultCodes {
    /// Reads and checks `fault_codes.csv`.
    ///
    /// # Errors
    /// A cell that is no code or range, a range that stands twice or that
    /// another one holds only in part, a hint that `parts.csv` does not have.
    pub fn read(sheet: &Sheet, parts: &Parts) -> Result<Self, LexiconError> {
        let mut ranges: Vec<CodeRange> = Vec::new();
        for row in sheet.rows() {
            let (low, high) = ends(&row)?;
            let mut hints = Vec::new();
            for hint in row.list("hints")? {
                hints.push(parts.of_cell(&row, "hints", hint)?);
            }
            let new = CodeRange {
                low,
                high,
                means: row.required("means")?.to_owned(),
                hints,
                source: row.required("source")?.to_owned(),
            };
            if let Some(old) = ranges.iter().find(|old| clash(old, &new)) {
                return Err(row.error(
                    "code",
                    format!(
                        "{low}-{high} meets {}-{} of another row; two ranges must lie apart or \
                         one within the other",
                        old.low, old.high
                    ),
                ));
            }
            ranges.push(new);
        }
        ranges.sort_by_key(|r| (r.width(), r.low));
        Ok(FaultCodes { ranges })
    }

    /// The narrowest range that holds a code.
    pub fn find(&self, code: TroubleCode) -> Option<&CodeRange> {
        self.ranges.iter().find(|r| r.contains(code))
    }

    /// All ranges, the narrowest first.
    pub fn ranges(&self) -> &[CodeRange] {
        &self.ranges
    }
}

fn ends(row: &Row<'_>) -> Result<(TroubleCode, TroubleCode), LexiconError> {
    let cell = row.required("code")?;
    let (low, high) = cell.split_once('-').unwrap_or((cell, cell));
    let code = |text: &str| {
        text.trim().parse::<TroubleCode>().map_err(|_| {
            row.error(
                "code",
                format!("'{text}' is not a code such as P0420 or a range such as P0301-P0312"),
            )
        })
    };
    let (low, high) = (code(low)?, code(high)?);
    if low.system != high.system {
        return Err(row.error("code", format!("'{cell}' goes from one letter to another")));
    }
    if low > high {
        return Err(row.error("code", format!("'{cell}' falls; give the lower code first")));
    }
    Ok((low, high))
}

/// Whether two ranges are the same or overlap without one holding the other.
fn clash(a: &CodeRange, b: &CodeRange) -> bool {
    let meet = a.low <= b.high && b.low <= a.high;
    let nested = (a.low <= b.low && b.high <= a.high) || (b.low <= a.low && a.high <= b.high);
    let same = a.low == b.low && a.high == b.high;
    meet && (!nested || same)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts() -> Parts {
        let text = "code,group,kind,meaning\nmisfire,engine,symptom,misfires\n";
        Parts::read(&Sheet::parse("parts.csv", text).unwrap()).unwrap()
    }

    fn read(rows: &str) -> Result<FaultCodes, LexiconError> {
        let text = format!("code,means,hints,source\n{rows}");
        FaultCodes::read(&Sheet::parse("f.csv", &text).unwrap(), &parts())
    }

    #[test]
    fn codes_have_a_letter_and_four_digits() {
        for (text, shown) in [("p0420", "P0420"), ("U0100", "U0100"), ("P0a7f", "P0A7F")] {
            assert_eq!(text.parse::<TroubleCode>().unwrap().to_string(), shown);
        }
        for text in ["P420", "P04200", "X0420", "P4420", "P04G0", "", "P04é"] {
            assert_eq!(text.parse::<TroubleCode>(), Err(NotACode), "{text}");
        }
    }

    #[test]
    fn the_second_place_tells_who_gives_the_meaning() {
        let standard = |t: &str| t.parse::<TroubleCode>().unwrap().is_standard();
        for text in ["P0420", "P2002", "P3400", "B0001", "C0035", "U0100"] {
            assert!(standard(text), "{text}");
        }
        for text in ["P1135", "P3000", "B1000", "C1201", "U1000", "U2000"] {
            assert!(!standard(text), "{text}");
        }
    }

    #[test]
    fn the_narrowest_range_counts() {
        let codes = read("P0300-P03FF,ignition,,s\nP0301-P0312,one cylinder,misfire,s\n").unwrap();
        let means = |t: &str| codes.find(t.parse().unwrap()).map(|r| r.means.as_str());
        assert_eq!(means("P0300"), Some("ignition"));
        assert_eq!(means("P0312"), Some("one cylinder"));
        assert_eq!(means("P0313"), Some("ignition"));
        assert_eq!(means("P0400"), None);
    }

    #[test]
    fn what_is_wrong_in_a_row_is_named_with_its_place() {
        for (rows, wanted) in [
            ("P0300-P0310,a,,s\nP0305-P0320,b,,s\n", "f.csv, line 3"),
            ("P0300,a,,s\nP0300,b,,s\n", "f.csv, line 3"),
            ("P0320-P0310,a,,s\n", "lower code first"),
            ("P0300-C0310,a,,s\n", "one letter to another"),
            ("0300,a,,s\n", "'0300' is not a code"),
            ("P0300,a,misfires,s\n", "did you mean 'misfire'?"),
            ("P0300,,,s\n", "column 'means'"),
            ("P0300,a,,\n", "column 'source'"),
        ] {
            let message = read(rows).unwrap_err().to_string();
            assert!(message.contains(wanted), "{message}");
        }
    }
}
