//! Files with one JSON object a line, as programs hand ads on to each other:
//! its keys are what headers are elsewhere.
//!
//! Each object is read by its own keys alone, so that a file says the same
//! however it is cut into parts.

use std::collections::HashMap;

use memchr::memchr;
use serde_json::{Map, Value};

use super::cells::Cells;
use super::columns::{ColumnOverride, Columns};
use super::reject::Reason;
use crate::lexicon::headers::Headers;

/// Lines that are looked at before a file is taken for something else: the
/// first may be damaged.
const LINES: usize = 20;

/// Whether a file with this beginning has an object on each line.
pub(super) fn begin(head: &[u8]) -> bool {
    let text = head.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(head);
    let text = text.trim_ascii_start();
    text.starts_with(b"{")
        && text
            .split(|b| *b == b'\n')
            .take(LINES)
            .any(|line| object(line).is_some())
}

fn object(line: &[u8]) -> Option<Map<String, Value>> {
    // Nothing but an object begins so, and most other lines are told apart
    // without being read.
    let line = line.trim_ascii();
    line.starts_with(b"{")
        .then(|| serde_json::from_slice(line).ok())
        .flatten()
}

/// Objects to cells.
#[derive(Default)]
pub(super) struct Objects {
    /// What the keys of objects hold, by the keys; there are few kinds of
    /// objects in a file.
    columns: HashMap<Vec<String>, Columns>,
    cells: Cells,
}

/// As many kinds of objects are remembered. A file whose every object has keys
/// of its own means no good, and must not fill the memory.
const KINDS: usize = 256;

impl Objects {
    /// The cells of one line, and which of them holds what. Numbers are taken
    /// as they are written, nothing as an empty cell; a list or an object
    /// within is no cell.
    pub fn read(
        &mut self,
        line: &[u8],
        overrides: &[ColumnOverride],
        headers: &Headers,
    ) -> Result<(&Cells, &Columns), Reason> {
        let line = line.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(line);
        if std::str::from_utf8(line).is_err() {
            return Err(Reason::NotDecodable);
        }
        let object = object(line).ok_or(Reason::NotObject)?;
        let mut keys = Vec::with_capacity(object.len());
        let mut values = Vec::with_capacity(object.len());
        for (key, value) in object {
            keys.push(key);
            values.push(match value {
                Value::String(text) => text,
                Value::Number(number) => number.to_string(),
                Value::Bool(_) | Value::Null | Value::Array(_) | Value::Object(_) => String::new(),
            });
        }
        self.cells.fill(values.iter().map(String::as_bytes));
        if self.cells.hold_a_long_one() {
            return Err(Reason::TooLong);
        }
        if !self.columns.contains_key(&keys) {
            if self.columns.len() == KINDS {
                self.columns.clear();
            }
            let columns = Columns::found(&keys, overrides, headers);
            self.columns.insert(keys.clone(), columns);
        }
        let columns = self.columns.get(&keys).ok_or(Reason::NotObject)?;
        let zero = |at: usize| memchr(0, self.cells.get(at)).is_some();
        if columns.used().any(zero) {
            return Err(Reason::ZeroByte);
        }
        Ok((&self.cells, columns))
    }
}
