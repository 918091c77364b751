//! `fixworth read`: a pure filter, ad by ad, that never holds more than a few
//! chunks of them.

use super::args::ReadArgs;
use super::batch::Spare;
use super::config::{InputConfig, guard, read_profile};
use super::error::CliError;
use super::run::Outcome;
use super::stream::{Choice, Stream, form};
use super::terminal::Terminal;
use crate::intake::{IntakeError, Item};
use crate::near::nearest;
use crate::reading::Reader;
use crate::report::text::plain;
use crate::report::why::write_why;
use crate::report::{Part, ReadForm, ReadRow};

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
    let out = args.output.out.as_deref();
    let form = match args.why {
        true => ReadForm::Lines,
        false => form(args.format.as_deref(), out, args.with_text)?,
    };
    let spare = Spare::default();
    let render = |listings: Vec<_>| {
        if args.why {
            let mut out = Vec::new();
            for listing in &listings {
                write_why(listing, &reader.trace(listing), lexicon, screen, &mut out)?;
            }
            return Ok(Part::Text(out));
        }
        let mut part = form.part::<ReadRow<'_>>();
        let mut scratch = spare.take();
        for listing in &listings {
            let reading = reader.read_with(listing, &mut scratch);
            let row = ReadRow::new(listing, &reading, lexicon, args.with_text);
            form.render(&[row], &mut part)?;
        }
        spare.put(scratch);
        Ok(part)
    };

    let wanted = args.id.map(Wanted::new);
    Stream {
        input: &input,
        form,
    }
    .run::<ReadRow<'_>>(out, render, wanted)
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

impl Choice for Option<Wanted> {
    fn takes(&mut self, item: &Result<Item, IntakeError>) -> bool {
        self.as_mut().is_none_or(|wanted| wanted.takes(item))
    }

    fn settle(&self) -> Result<(), CliError> {
        self.as_ref().map_or(Ok(()), Wanted::was_found)
    }
}
