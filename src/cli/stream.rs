//! Ads to rows, ad by ad: a pure filter that never holds more than a few chunks
//! of them.

use std::ffi::OsStr;
use std::io;
#[cfg(feature = "parquet")]
use std::io::IsTerminal as _;
use std::path::Path;

use clap::builder::PossibleValuesParser;

use super::batch::options;
use super::chunks;
use super::config::InputConfig;
use super::error::CliError;
use super::notes::{Note, Rejections};
use super::output::{Stopped, deliver_while};
use super::progress::Watched;
use super::run::Outcome;
use super::terminal::Terminal;
use crate::intake::{IntakeError, Item, Listing, Reader, RejectFile};
use crate::report::{Part, ReadForm, ReadWriter, Streamed};

/// The forms that rows can have.
pub(super) fn row_forms() -> PossibleValuesParser {
    let mut forms = vec!["jsonl", "json", "csv"];
    if cfg!(feature = "parquet") {
        forms.push("parquet");
    }
    PossibleValuesParser::new(forms)
}

/// The form of rows: the one named, else the one that their file is named for.
///
/// # Errors
/// A form that is no text where it would stand in a terminal.
pub(super) fn form(
    named: Option<&str>,
    out: Option<&Path>,
    with_text: bool,
) -> Result<ReadForm, CliError> {
    let ending = out.and_then(Path::extension).and_then(OsStr::to_str);
    let ending = ending.map(str::to_ascii_lowercase);
    Ok(match named.or(ending.as_deref()) {
        Some("csv") => ReadForm::Csv { with_text },
        Some("json") => ReadForm::List,
        #[cfg(feature = "parquet")]
        Some("parquet") => {
            if out.is_none() && io::stdout().is_terminal() {
                let problem = "--format parquet: a table is no text for a terminal; add --out \
                    ads.parquet";
                return Err(CliError::Usage(problem.to_owned()));
            }
            ReadForm::Parquet { with_text }
        }
        _ => ReadForm::Lines,
    })
}

/// Which ads are wanted.
pub(super) trait Choice {
    /// Whether this one is; what is no ad is always taken.
    fn takes(&mut self, item: &Result<Item, IntakeError>) -> bool;

    /// Whether all that was wanted came.
    ///
    /// # Errors
    /// What did not.
    fn settle(&self) -> Result<(), CliError>;
}

/// All of them.
pub(super) struct All;

impl Choice for All {
    fn takes(&mut self, _: &Result<Item, IntakeError>) -> bool {
        true
    }

    fn settle(&self) -> Result<(), CliError> {
        Ok(())
    }
}

/// Where ads come from and what rows look like.
pub(super) struct Stream<'a> {
    pub input: &'a InputConfig,
    pub form: ReadForm,
}

impl Stream<'_> {
    /// Renders all ads that are chosen, in order.
    ///
    /// # Errors
    /// Files that cannot be used, output that cannot be written.
    pub fn run<R: Streamed>(
        &self,
        out: Option<&Path>,
        render: impl Fn(Vec<Listing>) -> io::Result<Part> + Sync,
        mut choice: impl Choice,
    ) -> Result<Outcome, CliError> {
        let input = self.input;
        let options = options(input);
        if input.files.len() > 1 {
            Reader::look_ahead(&input.files, &options, &input.lexicon)?;
        }
        let mut aside = Aside::new(input.rejects.as_deref())?;
        deliver_while(out, |out| {
            let mut writer = ReadWriter::of::<R>(self.form, out)?;
            let items = Reader::new(&input.files, &options, &input.lexicon);
            let items = Watched::new(items, &input.progress, input.bytes())
                .filter(|item| choice.takes(item));
            chunks::in_order::<_, Stopped>(
                items,
                chunks::sizes(),
                render,
                |part| Ok(writer.write(part?)?),
                |item| Ok(aside.take(item)?),
            )?;
            choice.settle()?;
            aside.finish()?;
            Ok(writer.finish()?)
        })?;
        input.progress.end();
        let rejected = aside.conclude(&input.terminal);
        Ok(if input.strict && rejected {
            Outcome::RowsRejected
        } else {
            Outcome::Done
        })
    }
}

/// What comes beside the ads: told or written as far as it is wanted, and not
/// kept.
struct Aside {
    warnings: Vec<Note>,
    rejections: Rejections,
    file: Option<RejectFile>,
    written: bool,
}

impl Aside {
    fn new(rejects: Option<&Path>) -> Result<Self, CliError> {
        Ok(Aside {
            warnings: Vec::new(),
            rejections: Rejections::default(),
            file: rejects.map(RejectFile::create).transpose()?,
            written: false,
        })
    }

    fn take(&mut self, item: Item) -> Result<(), IntakeError> {
        match item {
            Item::Listing(_) | Item::Repeat(_) => {}
            Item::Warning(warning) => self.warnings.push(Note::of_file(&warning)),
            Item::Reject(reject) => {
                self.rejections.add(&reject);
                if let Some(file) = &mut self.file {
                    file.write(&reject)?;
                }
            }
        }
        Ok(())
    }

    /// Ends the file of rejected rows.
    fn finish(&mut self) -> Result<(), IntakeError> {
        self.written = self.file.is_some();
        self.file.take().map_or(Ok(()), RejectFile::finish)
    }

    /// Tells what there is to tell; gives back whether rows were rejected.
    fn conclude(self, terminal: &Terminal) -> bool {
        let rejected = self.rejections.any();
        terminal.tell(&self.warnings);
        terminal.tell(&self.rejections.notes(self.written));
        rejected
    }
}
