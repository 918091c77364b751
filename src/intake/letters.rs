//! Bytes of cells to letters.

use std::borrow::Cow;

use encoding_rs::WINDOWS_1252;
use memchr::memchr;

use super::encoding::Encoding;
use super::reject::Reason;

/// Bytes to letters, by the encoding that the file has shown so far.
pub(super) struct Letters {
    pub encoding: Encoding,
}

/// How one row is decoded.
#[derive(Clone, Copy)]
pub(super) enum RowLetters {
    Utf8,
    Windows1252,
}

impl RowLetters {
    pub fn text(self, bytes: &[u8]) -> Cow<'_, str> {
        match self {
            // Nearly all cells are sound, which is told many bytes at a time.
            RowLetters::Utf8 => std::str::from_utf8(bytes)
                .map_or_else(|_| String::from_utf8_lossy(bytes), Cow::Borrowed),
            RowLetters::Windows1252 => WINDOWS_1252.decode_without_bom_handling(bytes).0,
        }
    }
}

impl Letters {
    pub fn new(encoding: Encoding) -> Self {
        Letters { encoding }
    }

    /// How the cells of a row are decoded. A row that is valid UTF-8 is UTF-8
    /// in any file: in another encoding that is next to impossible by chance.
    /// A row that is not is damaged where the file is UTF-8, and Windows-1252
    /// where it is not, or where nothing had been said before.
    pub fn judge<'c>(
        &mut self,
        cells: impl Iterator<Item = &'c [u8]>,
    ) -> Result<RowLetters, Reason> {
        let (mut ascii, mut valid) = (true, true);
        for cell in cells {
            if memchr(0, cell).is_some() {
                return Err(Reason::ZeroByte);
            }
            if !cell.is_ascii() {
                ascii = false;
                valid &= std::str::from_utf8(cell).is_ok();
            }
        }
        match (self.encoding, valid) {
            (Encoding::Ascii, true) if !ascii => self.encoding = Encoding::Utf8,
            (Encoding::Ascii, false) => self.encoding = Encoding::Windows1252,
            (Encoding::Windows1252, false) | (_, true) => {}
            (_, false) => return Err(Reason::NotDecodable),
        }
        Ok(if valid {
            RowLetters::Utf8
        } else {
            RowLetters::Windows1252
        })
    }

    /// The names in a header, which is read whatever it holds.
    pub fn names(&mut self, header: &[Vec<u8>]) -> Vec<String> {
        let cells = header.iter().map(Vec::as_slice);
        let letters = self.judge(cells).unwrap_or(RowLetters::Windows1252);
        header
            .iter()
            .map(|cell| {
                letters
                    .text(cell)
                    .trim()
                    .trim_matches('\u{feff}')
                    .to_owned()
            })
            .collect()
    }
}
