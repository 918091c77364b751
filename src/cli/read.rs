//! `fixworth read`: a pure filter, ad by ad, that never holds more than a few
//! chunks of them.

use std::path::Path;

use super::args::ReadArgs;
use super::chunks;
use super::config::{InputConfig, guard, read_profile};
use super::error::CliError;
use super::notes::{Note, Rejections};
use super::output::{Stopped, deliver_while};
use super::pipeline::{Spare, options};
use super::progress::Watched;
use super::run::Outcome;
use super::terminal::Terminal;
use crate::intake::{IntakeError, Item, Reader as Intake, RejectFile};
use crate::near::nearest;
use crate::reading::Reader;
use crate::report::text::plain;
use crate::report::why::write_why;
use crate::report::{ReadForm, ReadRow, ReadWriter};

pub(super) fn read(args: ReadArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let screen = terminal.screen_of(&args.output);
    let progress = terminal.progress_beside(args.output.out.as_deref());
    let input = InputConfig::resolve(args.input)?.with(terminal, progress);
    guard(
        args.output.out.as_deref(),
        args.output.force,
        &input,
        &[args.profile.as_deref()],
    )?;
    let profile = read_profile(args.profile.as_deref(), &input.lexicon)?;
    let lexicon = &input.lexicon;
    let reader = Reader::new(lexicon, profile.distance_unit);
    let form = match args.format.as_str() {
        "csv" => ReadForm::Csv {
            with_text: args.with_text,
        },
        "json" => ReadForm::List,
        _ => ReadForm::Lines,
    };
    let spare = Spare::default();
    let render = |listings: Vec<_>| {
        let mut out = Vec::new();
        if args.why {
            for listing in &listings {
                write_why(listing, &reader.trace(listing), lexicon, screen, &mut out)?;
            }
            return Ok(out);
        }
        let mut scratch = spare.take();
        for listing in &listings {
            let reading = reader.read_with(listing, &mut scratch);
            let row = ReadRow::new(listing, &reading, lexicon, args.with_text);
            form.render(&[row], &mut out)?;
        }
        spare.put(scratch);
        Ok(out)
    };

    let options = options(&input);
    let mut aside = Aside::new(input.rejects.as_deref())?;
    let mut wanted = args.id.map(Wanted::new);
    let why = args.why;
    deliver_while(args.output.out.as_deref(), |out| {
        let form = if why { ReadForm::Lines } else { form };
        let mut writer = ReadWriter::new(form, out)?;
        let items = Intake::new(&input.files, &options, lexicon);
        let items = Watched::new(items, &input.progress, input.bytes())
            .filter(|item| wanted.as_mut().is_none_or(|wanted| wanted.takes(item)));
        chunks::in_order::<_, Stopped>(
            items,
            chunks::sizes(),
            render,
            |part: std::io::Result<Vec<u8>>| Ok(writer.write(&part?)?),
            |item| Ok(aside.take(item)?),
        )?;
        if let Some(wanted) = &wanted {
            wanted.was_found()?;
        }
        Ok(writer.finish()?)
    })?;
    input.progress.end();
    let rejected = aside.conclude(&terminal)?;
    Ok(if input.strict && rejected {
        Outcome::RowsRejected
    } else {
        Outcome::Done
    })
}

/// What comes beside the ads: told or written as far as it is wanted, and not
/// kept.
struct Aside {
    warnings: Vec<Note>,
    rejections: Rejections,
    file: Option<RejectFile>,
}

impl Aside {
    fn new(rejects: Option<&Path>) -> Result<Self, CliError> {
        Ok(Aside {
            warnings: Vec::new(),
            rejections: Rejections::default(),
            file: rejects.map(RejectFile::create).transpose()?,
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

    /// Tells what there is to tell; gives back whether rows were rejected.
    fn conclude(self, terminal: &Terminal) -> Result<bool, CliError> {
        let written = self.file.is_some();
        let rejected = self.rejections.any();
        terminal.tell(&self.warnings);
        terminal.tell(&self.rejections.notes(written));
        self.file.map(RejectFile::finish).transpose()?;
        Ok(rejected)
    }
}

/// The one ad that is asked for.
struct Wanted {
    id: String,
    found: bool,
    /// The id most like it so far.
    near: Option<String>,
}

impl Wanted {
    fn new(id: String) -> Self {
        Wanted {
            id,
            found: false,
            near: None,
        }
    }

    /// Whether the item is the ad, or no ad.
    fn takes(&mut self, item: &Result<Item, IntakeError>) -> bool {
        let Ok(Item::Listing(listing)) = item else {
            return true;
        };
        if self.found {
            return false;
        }
        let id = &listing.id.0;
        self.found = *id == self.id || plain(id) == self.id;
        if !self.found {
            let ids = self.near.as_deref().into_iter().chain([id.as_str()]);
            if nearest(&self.id, ids) == Some(id) {
                self.near = Some(id.clone());
            }
        }
        self.found
    }

    fn was_found(&self) -> Result<(), CliError> {
        if self.found {
            return Ok(());
        }
        Err(CliError::no_ad(&self.id, self.near.as_deref()))
    }
}
