//! Changes of bytes as damage and ill will make them.

use super::random::Random;

/// What is hard to read, or was once.
const PIECES: &[&str] = &[
    "\"",
    "\"\"",
    "\"\n",
    ",",
    ",,",
    ";",
    "\t",
    "\n",
    "\r\n",
    "\r",
    "\0",
    "\u{feff}",
    "\u{202e}",
    "\u{200d}",
    "\u{1b}[2J",
    "é",
    "İ",
    "ß",
    "𝟙",
    "🚗",
    "½",
    "<",
    "<script>",
    "<!--",
    "&amp;",
    "&#0;",
    "&#x110000;",
    "{",
    "}",
    "[",
    "\\u0000",
    "null",
    "-",
    "--",
    "0",
    "-1",
    "1e999",
    "NaN",
    "999999999999999999999",
    "0.00000000000000000001",
    "79228162514264337593543950335",
    "187,xxx",
    "$1",
    "£1.234,5",
    "1 850",
    "2016-02-30",
    "0000-00-00",
    "no ",
    "not ",
    "rust",
    "clutch",
    "head gasket",
    "needs ",
    "new ",
    "replaced at 90k",
    "P0420",
    "1999 Saturn SL1 $500",
    "5551234567",
    "joe@example.com",
    "?",
    ":",
    "(",
    ")",
    "...",
    "=cmd|' /C calc'!A0",
    "#",
    "or best offer",
    "salvage title",
    "bad",
    "good",
    "7",
    "id",
];

/// Changes some bytes, in one to eight places.
pub fn mutate(bytes: &mut Vec<u8>, random: &mut Random) {
    for _ in 0..=random.below(8) {
        let at = random.below(bytes.len() + 1);
        let len = random.below(12).min(bytes.len() - at);
        match random.below(9) {
            0 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte = random.next() as u8;
                }
            }
            1 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= 1 << random.below(8);
                }
            }
            2 => drop(bytes.drain(at..at + len)),
            3 => bytes.insert(at, random.next() as u8),
            4 => {
                let piece = bytes[at..at + len].to_vec();
                let to = random.below(bytes.len() + 1);
                bytes.splice(to..to, piece);
            }
            5 => {
                let piece = PIECES[random.below(PIECES.len())].bytes();
                let times = [1, 1, 1, 1, 2, 50][random.below(6)];
                let piece: Vec<u8> = piece.collect::<Vec<_>>().repeat(times);
                bytes.splice(at..at, piece);
            }
            6 => {
                let piece = PIECES[random.below(PIECES.len())].bytes();
                bytes.splice(at..at + len, piece);
            }
            // Whole lines are taken out, doubled, or joined.
            7 => {
                let end = |from: usize| {
                    let rest = &bytes[from..];
                    rest.iter()
                        .position(|b| *b == b'\n')
                        .map_or(bytes.len(), |n| from + n + 1)
                };
                let (first, last) = (end(at), end(end(at)));
                let line = bytes[first..last].to_vec();
                if random.below(2) == 0 {
                    bytes.drain(first..last);
                } else {
                    bytes.splice(first..first, line);
                }
            }
            _ => {
                if random.below(20) == 0 {
                    bytes.truncate(at);
                }
            }
        }
    }
}
