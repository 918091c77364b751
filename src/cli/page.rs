//! The shortlist as a page: what it tells of the cars beside their rows.

use std::io::{self, Write};

use rayon::prelude::*;

use super::pipeline::Valued;
use crate::kerb::questions;
use crate::report::html::{Known, write_page};
use crate::report::marked::Contacts;
use crate::report::{Entry, Shortlist};

/// More dots than these hide each other.
const COMPARABLES: usize = 24;

/// Writes the page of a list; `entries` are its cars, and `places` where these
/// stand among all.
pub(super) fn write(
    list: &Shortlist,
    valued: &Valued<'_>,
    places: &[usize],
    entries: &[Entry<'_>],
    keep_contacts: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let lexicon = valued.lexicon();
    let cars = places.par_iter().zip(entries);
    let known = cars.map(|(place, entry)| Known {
        entry,
        around: valued.around(*place, &entry.appraisal.reading, COMPARABLES),
        questions: questions(entry.appraisal, lexicon, &|reading| {
            valued.work_out(*place, reading)
        }),
        away: valued.away(*place),
    });
    let known: Vec<_> = known.collect();
    let contacts = if keep_contacts {
        Contacts::Kept
    } else {
        Contacts::Masked
    };
    write_page(list, &known, lexicon, contacts, out)
}
