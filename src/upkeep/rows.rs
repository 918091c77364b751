//! The rows of the five tables of phrases as they were written, with their
//! places: what the reading merges, a finding must tell apart again.

use std::collections::HashSet;

use crate::lexicon::frames::is_frame;
use crate::lexicon::phrasing::forms;
use crate::lexicon::{LexiconError, Source};

/// The tables of phrases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Table {
    Phrases,
    Cues,
    Effects,
    Signs,
    Numbers,
}

impl Table {
    const ALL: [Table; 5] = [
        Table::Phrases,
        Table::Cues,
        Table::Effects,
        Table::Signs,
        Table::Numbers,
    ];

    pub(super) const fn file(self) -> &'static str {
        match self {
            Table::Phrases => "phrases.csv",
            Table::Cues => "cues.csv",
            Table::Effects => "effects.csv",
            Table::Signs => "signs.csv",
            Table::Numbers => "numbers.csv",
        }
    }

    /// Columns that, with the phrase, make two rows say the same.
    const fn columns(self) -> [&'static str; 2] {
        match self {
            Table::Phrases => ["code", "says"],
            Table::Cues => ["act", "side"],
            Table::Effects => ["subject", "claims"],
            Table::Signs => ["field", "value"],
            Table::Numbers => ["role", "stands"],
        }
    }
}

/// One written row.
#[derive(Debug, Clone)]
pub(super) struct Written {
    pub(super) table: Table,
    /// The file as named in messages.
    pub(super) file: String,
    pub(super) line: u64,
    /// The phrase as written.
    pub(super) phrase: String,
    /// The plain phrases it stands for: none for a frame of `signs.csv` or for
    /// a list of frames, whose own words are checked where they are read.
    pub(super) forms: Vec<String>,
    /// The two cells beside it, in the order of [`Table::columns`].
    pub(super) cells: [String; 2],
}

/// A note that would be a row of its table without its `#`.
#[derive(Debug, Clone)]
pub(super) struct LikeARow {
    pub(super) file: String,
    pub(super) line: u64,
    /// Its first cell.
    pub(super) phrase: String,
}

/// The notes among the rows that have as many cells as they, and say in one
/// what some row says there.
///
/// # Errors
/// A table that cannot be read.
pub(super) fn notes_like_rows(source: &Source) -> Result<Vec<LikeARow>, LexiconError> {
    let mut out = Vec::new();
    for table in Table::ALL {
        let sheet = source.sheet(table.file())?;
        let (file, text) = source.text(table.file())?;
        let mut said = HashSet::new();
        for row in sheet.rows() {
            for column in table.columns() {
                said.insert(row.text(column)?.to_owned());
            }
        }
        said.remove("");
        let lines = text.lines().zip(1..);
        for (note, line) in lines.filter(|(line, _)| line.starts_with('#')) {
            let cells = csv::ReaderBuilder::new()
                .has_headers(false)
                .from_reader(note.as_bytes())
                .into_records()
                .next();
            let Some(Ok(cells)) = cells else { continue };
            let mut beside = cells.iter().skip(1);
            if cells.len() == sheet.columns() && beside.any(|cell| said.contains(cell.trim())) {
                out.push(LikeARow {
                    file: file.clone(),
                    line,
                    phrase: cells[0].to_owned(),
                });
            }
        }
    }
    Ok(out)
}

/// All rows of the five tables.
///
/// # Errors
/// A table that cannot be read.
pub(super) fn written(source: &Source) -> Result<Vec<Written>, LexiconError> {
    let mut out = Vec::new();
    for table in Table::ALL {
        let sheet = source.sheet(table.file())?;
        let [a, b] = table.columns();
        for row in sheet.rows() {
            let phrase = row.required("phrase")?;
            let framed =
                table == Table::Signs && (is_frame(phrase) || row.text("field")? == "list");
            out.push(Written {
                table,
                file: sheet.file().to_owned(),
                line: row.line(),
                phrase: phrase.to_owned(),
                forms: if framed {
                    Vec::new()
                } else {
                    forms(&row, "phrase", phrase)?
                },
                cells: [row.text(a)?.to_owned(), row.text(b)?.to_owned()],
            });
        }
    }
    Ok(out)
}
