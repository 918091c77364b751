//! All ads read once, for what tells cars apart and what sound cars cost; the
//! ads themselves are put aside.

use std::collections::HashMap;
use std::sync::atomic::AtomicBool;
use std::sync::atomic::Ordering::Relaxed;

use super::as_of::Newest;
use super::batch::{Rest, Spare, options};
use super::chunks;
use super::config::{FigureConfig, InputConfig};
use super::error::CliError;
use super::foreign::Foreign;
use super::market::sound_car;
use super::notes::Note;
use super::progress::Watched;
use super::prospects::{Prospect, Prospects};
use super::shelf::Shelf;
use crate::history::{Sketch, Sketches};
use crate::intake::{Reader as Intake, Reject, Repeat};
use crate::margin::Appraiser;
use crate::reading::Reading;
use crate::reading::reader::Reader;
use crate::worth::Comparable;

/// So many readings are kept: a few megabytes.
const FIRST: usize = 1_000;

/// What is kept of the ads when all have been read once.
pub(super) struct Skimmed {
    pub shelf: Shelf,
    pub sketches: Sketches,
    pub prospects: Prospects,
    /// What the first ads say, so that a short list is read only once.
    pub first: Vec<Reading>,
    /// What sound cars cost, by the place of their ad in the run.
    pub sound: HashMap<u32, Comparable>,
    pub newest: Newest,
    pub foreign: Foreign,
    pub repeats: Vec<Repeat>,
    pub rejects: Vec<Reject>,
    pub notes: Vec<Note>,
}

/// Reads each ad once.
///
/// # Errors
/// A file that cannot be used at all; no room for what is put aside.
pub(super) fn skim(
    input: &InputConfig,
    figures: &FigureConfig,
    reader: &Reader<'_>,
    sizes: impl Iterator<Item = usize>,
) -> Result<Skimmed, CliError> {
    let (lexicon, profile) = (&input.lexicon, &figures.profile);
    let options = options(input);
    let spare = Spare::default();
    let mut rest = Rest::default();
    let (mut shelf, mut sketches) = (Shelf::default(), Sketches::default());
    let (mut prospects, mut first) = (Prospects::default(), Vec::new());
    let appraiser = Appraiser::new(profile, lexicon);
    let (mut sound, mut newest) = (HashMap::new(), Newest::default());
    let mut foreign = Foreign::default();
    let enough = AtomicBool::new(false);
    chunks::in_order::<_, CliError>(
        Watched::new(
            Intake::new(&input.files, &options, lexicon),
            &input.progress,
            input.bytes(),
        ),
        sizes,
        |chunk| {
            let mut scratch = spare.take();
            let (mut newest, mut foreign) = (Newest::default(), Foreign::default());
            let skimmed: Vec<_> = chunk
                .into_iter()
                .map(|listing| {
                    let reading = reader.read_with(&listing, &mut scratch);
                    newest.look(&listing, &reading);
                    foreign.look(&listing, &reading, profile, lexicon);
                    let sketch = Sketch::of(&listing, &reading);
                    let sound = sound_car(&reading, profile, lexicon);
                    let prospect = Prospect::of(&reading, appraiser.price_of(&reading));
                    // What is not kept is let go by the thread that made it.
                    let reading = (!enough.load(Relaxed)).then_some(reading);
                    (listing, sketch, sound, prospect, reading)
                })
                .collect();
            spare.put(scratch);
            (skimmed, newest, foreign)
        },
        |(skimmed, of_chunk, foreign_of_chunk)| {
            newest = newest.or(of_chunk);
            foreign.add(foreign_of_chunk);
            for (listing, sketch, car, prospect, reading) in skimmed {
                let place = sketches.len() as u32;
                sound.extend(car.map(|car| (place, car)));
                shelf.put(&listing, sketch.bands).map_err(CliError::Shelf)?;
                sketches.add(&listing.origin.file, sketch);
                prospects.add(prospect);
                match reading {
                    Some(reading) if first.len() < FIRST => first.push(reading),
                    _ => enough.store(true, Relaxed),
                }
            }
            Ok(())
        },
        |item| {
            rest.take(item);
            Ok(())
        },
    )?;
    let (repeats, rejects, notes) = rest.told(input.rejects.is_some());
    Ok(Skimmed {
        shelf,
        sketches,
        prospects,
        first,
        sound,
        newest,
        foreign,
        repeats,
        rejects,
        notes,
    })
}
