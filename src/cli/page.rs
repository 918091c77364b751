//! The shortlist as a page.

use std::io::{self, Write};

use super::ranking::Shown;
use crate::lexicon::Lexicon;
use crate::report::html::{Known, write_page};
use crate::report::marked::Contacts;
use crate::report::{Entry, Shortlist};

/// Writes the page of a list; `shown` and `entries` are its cars in order.
pub(super) fn write(
    list: &Shortlist,
    shown: &[Shown],
    entries: &[Entry<'_>],
    lexicon: &Lexicon,
    keep_contacts: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let cars = entries.iter().zip(shown);
    let known = cars.filter_map(|(entry, car)| {
        let behind = car.behind.as_ref()?;
        Some(Known { entry, behind })
    });
    let known: Vec<_> = known.collect();
    let contacts = match keep_contacts {
        true => Contacts::Kept,
        false => Contacts::Masked,
    };
    write_page(list, &known, lexicon, contacts, out)
}
