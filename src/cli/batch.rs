//! Files to readings.

use std::sync::{Mutex, MutexGuard, PoisonError};

use super::chunks;
use super::config::InputConfig;
use super::error::CliError;
use super::notes::{Note, first_rejects};
use super::progress::{Progress, Watched};
use crate::intake::{self, Item, Listing, Reject, Repeat};
use crate::reading::Reading;
use crate::reading::reader::{Reader, Scratch};
use crate::units::DistanceUnit;

/// Listings with what they say, in the order of the files.
#[derive(Debug)]
pub struct Batch {
    /// The ads.
    pub listings: Vec<Listing>,
    /// What each says.
    pub readings: Vec<Reading>,
    /// Rows that say once more what was read before.
    pub repeats: Vec<Repeat>,
    /// Rows that could not be used.
    pub rejects: Vec<Reject>,
    /// What the user should know.
    pub notes: Vec<Note>,
    /// How far the run has come.
    pub progress: Progress,
}

/// Files to readings; `unit` is that of distances where an ad does not say.
///
/// # Errors
/// A file that cannot be used at all.
pub fn read(config: &InputConfig, unit: DistanceUnit) -> Result<Batch, CliError> {
    let options = options(config);
    let reader = Reader::new(&config.lexicon, unit);
    let (mut listings, mut readings) = (Vec::new(), Vec::new());
    let mut rest = Rest::default();
    let spare = Spare::default();
    chunks::in_order::<_, CliError>(
        Watched::new(
            intake::Reader::new(&config.files, &options, &config.lexicon),
            &config.progress,
            config.bytes(),
        ),
        chunks::sizes(),
        |chunk| {
            let mut scratch = spare.take();
            let read = chunk.iter().map(|l| reader.read_with(l, &mut scratch));
            let read: Vec<_> = read.collect();
            spare.put(scratch);
            (chunk, read)
        },
        |(chunk, read)| {
            listings.extend(chunk);
            readings.extend(read);
            Ok(())
        },
        |item| {
            rest.take(item);
            Ok(())
        },
    )?;
    let (repeats, rejects, notes) = rest.told(config.rejects.is_some());
    Ok(Batch {
        listings,
        readings,
        repeats,
        rejects,
        notes,
        progress: config.progress.clone(),
    })
}

/// What comes out of files beside the ads.
#[derive(Default)]
pub(super) struct Rest {
    repeats: Vec<Repeat>,
    rejects: Vec<Reject>,
    notes: Vec<Note>,
}

impl Rest {
    /// Keeps what is no ad; ads go with their chunk.
    pub fn take(&mut self, item: Item) {
        match item {
            Item::Listing(_) => {}
            Item::Repeat(repeat) => self.repeats.push(repeat),
            Item::Reject(reject) => self.rejects.push(reject),
            Item::Warning(warning) => self.notes.push(Note::of_file(&warning)),
        }
    }

    /// All of it, with notes on the first rejected rows; `written`: whether
    /// these go to a file.
    pub fn told(mut self, written: bool) -> (Vec<Repeat>, Vec<Reject>, Vec<Note>) {
        let told = first_rejects(&self.rejects, written);
        self.notes.extend(told);
        (self.repeats, self.rejects, self.notes)
    }
}

/// What the user says of the files.
pub(super) fn options(config: &InputConfig) -> intake::Options {
    intake::Options {
        columns: config.columns.clone(),
    }
}

/// Memory of the reader that waits for the next chunk.
#[derive(Default)]
pub(super) struct Spare(Mutex<Vec<Scratch>>);

impl Spare {
    /// Memory kept from a chunk before, if any waits.
    pub(super) fn take(&self) -> Scratch {
        self.list().pop().unwrap_or_default()
    }

    /// Keeps memory for a chunk to come.
    pub(super) fn put(&self, scratch: Scratch) {
        self.list().push(scratch);
    }

    fn list(&self) -> MutexGuard<'_, Vec<Scratch>> {
        // Whole whatever happened to the thread that held it.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
