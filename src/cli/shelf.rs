//! The ads of a run, put aside: a long run holds none of them, and takes back
//! only those that it looks at once more.
//!
//! They lie end to end, each as bytes ([`Pile`]). The first [`ROOM`] bytes stay
//! in memory; what is more goes to a file without a name in the folder for
//! temporary files, which is gone when the run ends, however it ends.

use std::fs::File;
use std::io::{self, Write as _};
use std::sync::{Arc, OnceLock};

use crate::history::Texts;
use crate::history::shingles::{BANDS, Bands};
use crate::intake::{Listing, ListingId, Origin};
use crate::units::{Currency, DistanceUnit};

/// Bytes that are held in memory before any are put into a file.
const ROOM: usize = 32 << 20;

/// Bytes that wait in memory for the next writing after that.
const BLOCK: usize = 1 << 20;

/// What the ads of one file have in common.
type Source = (Arc<str>, Option<DistanceUnit>, Option<Currency>);

/// Bytes end to end, in memory or in a file.
#[derive(Debug, Default)]
struct Pile {
    file: Option<File>,
    /// How many bytes are in the file; those behind are in memory.
    filed: u64,
    memory: Vec<u8>,
}

impl Pile {
    /// How many bytes there are.
    fn end(&self) -> u64 {
        self.filed + self.memory.len() as u64
    }

    /// Makes room in memory. What was put on the pile since the last time stays
    /// together.
    fn settle(&mut self) -> io::Result<()> {
        let room = if self.file.is_some() { BLOCK } else { ROOM };
        // Elsewhere a file cannot be read by many threads at once.
        if self.memory.len() >= room && cfg!(unix) {
            let file = match &mut self.file {
                Some(file) => file,
                None => self.file.insert(tempfile::tempfile()?),
            };
            file.write_all(&self.memory)?;
            self.filed += self.memory.len() as u64;
            self.memory.clear();
            self.memory.shrink_to(2 * BLOCK);
        }
        Ok(())
    }

    /// Hands over bytes that stayed together.
    fn with<T>(&self, start: u64, length: usize, take: impl FnOnce(&[u8]) -> T) -> io::Result<T> {
        match (start.checked_sub(self.filed), &self.file) {
            (Some(start), _) => Ok(take(&self.memory[start as usize..][..length])),
            (None, Some(file)) => {
                let mut bytes = vec![0; length];
                read_at(file, start, &mut bytes)?;
                Ok(take(&bytes))
            }
            (None, None) => Err(io::ErrorKind::InvalidData.into()),
        }
    }
}

/// The ads of a run in its order.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    sources: Vec<Source>,
    /// For each ad where its bytes end.
    ends: Vec<u64>,
    ads: Pile,
    /// Signatures of the ads that are not yet a stack.
    waiting: Vec<Option<Bands>>,
    /// Stacks of [`STACK`] signatures: for each the first numbers of all, then
    /// the second, and so on; last whether there are any.
    bands: Pile,
    /// The first thing that went wrong while ads were taken back.
    trouble: OnceLock<io::Error>,
}

/// Signatures that are turned into columns together.
const STACK: usize = 4096;

impl Shelf {
    /// Puts the next ad aside, and its text's signature.
    pub fn put(&mut self, listing: &Listing, bands: Option<Bands>) -> io::Result<()> {
        let source = self.source(listing);
        encode(listing, source, &mut self.ads.memory);
        self.ends.push(self.ads.end());
        self.ads.settle()?;
        self.waiting.push(bands);
        if self.waiting.len() == STACK {
            for band in 0..=BANDS {
                for bands in &self.waiting {
                    let number = match bands {
                        Some(bands) => bands.get(band).copied().unwrap_or(1),
                        None => 0,
                    };
                    self.bands.memory.extend_from_slice(&number.to_le_bytes());
                }
            }
            self.waiting.clear();
            self.bands.settle()?;
        }
        Ok(())
    }

    /// One number of all signatures in stacks.
    fn column(&self, band: usize, take: &mut dyn FnMut(Option<u32>)) -> io::Result<()> {
        let width = STACK as u64 * 4;
        let stacks = self.bands.end() / (width * (BANDS as u64 + 1));
        for stack in 0..stacks {
            let start = |band: usize| (stack * (BANDS as u64 + 1) + band as u64) * width;
            let read = |band| {
                let copy = |bytes: &[u8]| bytes.as_chunks::<4>().0.to_vec();
                self.bands.with(start(band), width as usize, copy)
            };
            for (number, any) in read(band)?.into_iter().zip(read(BANDS)?) {
                take((any != [0; 4]).then_some(u32::from_le_bytes(number)));
            }
        }
        Ok(())
    }

    fn source(&mut self, listing: &Listing) -> u32 {
        let is = |(file, unit, currency): &Source| {
            (Arc::ptr_eq(file, &listing.origin.file) || *file == listing.origin.file)
                && *unit == listing.distance_unit
                && *currency == listing.currency
        };
        // Most are of the same file as the one before.
        if let Some(at) = self.sources.iter().rposition(is) {
            return at as u32;
        }
        let file = Arc::clone(&listing.origin.file);
        self.sources
            .push((file, listing.distance_unit, listing.currency));
        self.sources.len() as u32 - 1
    }

    /// Takes an ad back; it stays on the shelf.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn take(&self, ad: usize) -> io::Result<Listing> {
        self.with_bytes(ad, |bytes| decode(bytes, &self.sources))?
            .ok_or_else(|| io::ErrorKind::InvalidData.into())
    }

    fn with_bytes<T>(&self, ad: usize, take: impl FnOnce(&[u8]) -> T) -> io::Result<T> {
        let start = ad.checked_sub(1).map_or(0, |before| self.ends[before]);
        let length = (self.ends[ad] - start) as usize;
        self.ads.with(start, length, take)
    }

    /// What went wrong while ads were looked at, if anything did.
    pub fn check(&mut self) -> io::Result<()> {
        self.trouble.take().map_or(Ok(()), Err)
    }
}

impl Texts for Shelf {
    fn with(&self, ad: usize, take: &mut dyn FnMut(&str)) {
        let read = self.with_bytes(ad, |bytes| match Fields(bytes).text() {
            Some(text) => {
                take(text);
                Ok(())
            }
            None => Err(io::ErrorKind::InvalidData.into()),
        });
        if let Err(trouble) = read.and_then(|read| read) {
            // The first is told.
            let _ = self.trouble.set(trouble);
        }
    }

    fn band(&self, band: usize, take: &mut dyn FnMut(Option<u32>)) {
        match self.column(band, take) {
            Ok(()) => self
                .waiting
                .iter()
                .for_each(|bands| take(bands.map(|bands| bands[band]))),
            Err(trouble) => {
                let _ = self.trouble.set(trouble);
            }
        }
    }
}

#[cfg(unix)]
fn read_at(file: &File, start: u64, bytes: &mut [u8]) -> io::Result<()> {
    std::os::unix::fs::FileExt::read_exact_at(file, bytes, start)
}

#[cfg(not(unix))]
fn read_at(_: &File, _: u64, _: &mut [u8]) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// The text, the source, two numbers, and the cells; each text behind its
/// length, which is one more than that of a cell that is there.
fn encode(listing: &Listing, source: u32, out: &mut Vec<u8>) {
    let mut number = |n: u32| out.extend_from_slice(&n.to_le_bytes());
    number(listing.text.len() as u32);
    out.extend_from_slice(listing.text.as_bytes());
    let mut number = |n: u32| out.extend_from_slice(&n.to_le_bytes());
    number(source);
    number(listing.headline_len as u32);
    number(listing.origin.line as u32);
    number((listing.origin.line >> 32) as u32);
    for cell in [
        &Some(listing.id.0.as_str()),
        &listing.number.as_deref(),
        &listing.price.as_deref(),
        &listing.distance.as_deref(),
        &listing.year.as_deref(),
        &listing.make.as_deref(),
        &listing.model.as_deref(),
        &listing.place.as_deref(),
        &listing.date.as_deref(),
        &listing.link.as_deref(),
    ] {
        let length = cell.map_or(0, |cell| cell.len() as u32 + 1);
        out.extend_from_slice(&length.to_le_bytes());
        out.extend_from_slice(cell.unwrap_or_default().as_bytes());
    }
}

fn decode(bytes: &[u8], sources: &[Source]) -> Option<Listing> {
    let mut fields = Fields(bytes);
    let text = fields.text()?.to_owned();
    let (file, distance_unit, currency) = sources.get(fields.number()? as usize)?;
    let headline_len = fields.number()? as usize;
    let line = u64::from(fields.number()?) | u64::from(fields.number()?) << 32;
    Some(Listing {
        id: ListingId(fields.cell()??),
        number: fields.cell()?,
        origin: Origin {
            file: Arc::clone(file),
            line,
        },
        text,
        headline_len,
        price: fields.cell()?,
        distance: fields.cell()?,
        distance_unit: *distance_unit,
        year: fields.cell()?,
        make: fields.cell()?,
        model: fields.cell()?,
        currency: *currency,
        place: fields.cell()?,
        date: fields.cell()?,
        link: fields.cell()?,
    })
}

/// What is left of an ad's bytes.
struct Fields<'a>(&'a [u8]);

impl<'a> Fields<'a> {
    fn number(&mut self) -> Option<u32> {
        let (number, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(u32::from_le_bytes(*number))
    }

    fn letters(&mut self, length: u32) -> Option<&'a str> {
        let (letters, rest) = self.0.split_at_checked(length as usize)?;
        self.0 = rest;
        std::str::from_utf8(letters).ok()
    }

    fn text(&mut self) -> Option<&'a str> {
        let length = self.number()?;
        self.letters(length)
    }

    fn cell(&mut self) -> Option<Option<String>> {
        match self.number()?.checked_sub(1) {
            None => Some(None),
            Some(length) => Some(Some(self.letters(length)?.to_owned())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn listing(n: usize) -> Listing {
        let origin = Origin {
            file: if n.is_multiple_of(3) { "a" } else { "b" }.into(),
            line: (1 << 33) + n as u64,
        };
        let mut listing = Listing::new(ListingId(n.to_string()), origin, "Saab £", "é\nruns");
        listing.price = Some(String::new());
        listing.link = (n.is_multiple_of(2)).then(|| format!("https://a.example.org/{n}"));
        listing.distance_unit = Some(DistanceUnit::Km);
        listing.currency = (n.is_multiple_of(5)).then_some(Currency::Eur);
        listing.text.push_str(&"x".repeat(n % 700));
        listing
    }

    /// A text of no words has no signature.
    fn signature(n: usize) -> Option<Bands> {
        let number = |band: usize| (n * 31 + band) as u32;
        (!n.is_multiple_of(7)).then(|| std::array::from_fn(number))
    }

    #[test]
    fn what_was_put_aside_comes_back_from_memory_and_file() {
        let mut shelf = Shelf::default();
        let count = 2 * ROOM / 350;
        for n in 0..count {
            shelf.put(&listing(n), signature(n)).unwrap();
        }
        assert_eq!(shelf.ads.file.is_some(), cfg!(unix));
        assert!(!shelf.ads.memory.is_empty());
        for n in (0..count).step_by(97).chain([count - 1]) {
            assert_eq!(shelf.take(n).unwrap(), listing(n), "{n}");
            let mut text = String::new();
            shelf.with(n, &mut |t| text.push_str(t));
            assert_eq!(text, listing(n).text);
        }
        for band in [0, BANDS - 1] {
            let mut held = Vec::new();
            shelf.band(band, &mut |number| held.push(number));
            let expected = (0..count).map(|n| signature(n).map(|bands| bands[band]));
            assert!(held.into_iter().eq(expected), "{band}");
        }
        shelf.check().unwrap();
    }

    #[test]
    fn damaged_bytes_are_told_and_read_no_further() {
        let mut shelf = Shelf::default();
        shelf.put(&listing(1), None).unwrap();
        let whole = shelf.ads.memory.len();
        for length in 0..whole {
            shelf.ends = vec![length as u64];
            assert!(shelf.take(0).is_err(), "{length} of {whole}");
        }
        shelf.ends = vec![3];
        shelf.with(0, &mut |_| panic!("there is no text"));
        assert!(shelf.check().is_err());
    }
}
