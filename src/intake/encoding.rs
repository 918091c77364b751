//! Which letters a file is written in, found from its first bytes.

use encoding_rs::{Decoder, DecoderResult, UTF_16BE, UTF_16LE};
use memchr::{memchr, memchr_iter};

/// The encoding of a file, as far as its head tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Encoding {
    /// A mark says so, or most of the lines with other letters than ASCII are
    /// valid: a row that is not is damaged.
    Utf8,
    /// Little-endian, with a mark or without.
    Utf16Le,
    /// Big-endian, with a mark or without.
    Utf16Be,
    /// Letters beyond ASCII that are no UTF-8.
    Windows1252,
    /// The head is plain ASCII: the first row that is not decides.
    Ascii,
}

impl Encoding {
    /// Turns UTF-16 into UTF-8; the others are read byte by byte.
    pub fn decoder(self) -> Option<Decoder> {
        match self {
            Encoding::Utf16Le => Some(UTF_16LE.new_decoder_without_bom_handling()),
            Encoding::Utf16Be => Some(UTF_16BE.new_decoder_without_bom_handling()),
            _ => None,
        }
    }
}

/// The encoding of a file that begins with these bytes, and the length of the
/// mark (BOM) before its text.
pub(super) fn detect(head: &[u8]) -> (Encoding, usize) {
    match head {
        [0xEF, 0xBB, 0xBF, ..] => (Encoding::Utf8, 3),
        [0xFF, 0xFE, ..] => (Encoding::Utf16Le, 2),
        [0xFE, 0xFF, ..] => (Encoding::Utf16Be, 2),
        _ => (utf16_by_zeros(head).unwrap_or_else(|| by_lines(head)), 0),
    }
}

/// In UTF-16 every ASCII letter brings a zero byte, always on the same side.
/// Delimiters, digits and spaces are ASCII in any language, so a fifth of the
/// units is little to ask.
fn utf16_by_zeros(head: &[u8]) -> Option<Encoding> {
    let (mut even, mut odd) = (0usize, 0usize);
    for at in memchr_iter(0, head) {
        if at % 2 == 0 { even += 1 } else { odd += 1 }
    }
    let units = head.len() / 2;
    let is = |many: usize, few: usize| many >= 2 && many * 5 >= units && few * 20 <= many;
    if is(odd, even) {
        Some(Encoding::Utf16Le)
    } else if is(even, odd) {
        Some(Encoding::Utf16Be)
    } else {
        None
    }
}

fn by_lines(head: &[u8]) -> Encoding {
    // The last line may be cut in the middle of a letter.
    let whole = memchr::memrchr(b'\n', head).map_or(head, |end| &head[..end]);
    let (mut valid, mut invalid) = (0usize, 0usize);
    for line in whole.split(|b| *b == b'\n').filter(|l| !l.is_ascii()) {
        match std::str::from_utf8(line) {
            Ok(_) => valid += 1,
            Err(_) => invalid += 1,
        }
    }
    match (valid, invalid) {
        (0, 0) => Encoding::Ascii,
        _ if valid >= invalid => Encoding::Utf8,
        _ => Encoding::Windows1252,
    }
}

/// Whether the zeros in the head of a file that is no UTF-16 are too many for
/// a text with a few damaged rows: they stand in its first line, or in most.
pub(super) fn is_binary(head: &[u8]) -> bool {
    let whole = head.strip_suffix(b"\n").unwrap_or(head);
    let mut lines = whole.split(|b| *b == b'\n');
    if memchr(0, lines.next().unwrap_or_default()).is_some() {
        return true;
    }
    let (mut all, mut bad) = (1usize, 0usize);
    for line in lines {
        all += 1;
        bad += usize::from(memchr(0, line).is_some());
    }
    bad * 2 > all
}

/// Decodes into UTF-8 at the end of `out`. What cannot be decoded (a surrogate
/// alone) becomes a byte that no UTF-8 holds, so that its row, and no other,
/// is found damaged later.
pub(super) fn decode_into(decoder: &mut Decoder, mut raw: &[u8], last: bool, out: &mut Vec<u8>) {
    const DAMAGED: u8 = 0xFF;
    loop {
        let begin = out.len();
        let room = decoder
            .max_utf8_buffer_length_without_replacement(raw.len())
            .unwrap_or(raw.len() * 3 + 16);
        out.resize(begin + room, 0);
        let (result, read, written) =
            decoder.decode_to_utf8_without_replacement(raw, &mut out[begin..], last);
        out.truncate(begin + written);
        raw = &raw[read..];
        match result {
            DecoderResult::InputEmpty => return,
            DecoderResult::Malformed(..) => out.push(DAMAGED),
            DecoderResult::OutputFull => {}
        }
    }
}

/// A small table, as one of known prices, whole as UTF-8: UTF-16 is decoded,
/// a mark is taken off, anything else is left as it is.
///
/// # Errors
/// What the file is instead, in words that tell what to do.
pub(crate) fn small_table(bytes: &[u8]) -> Result<std::borrow::Cow<'_, [u8]>, &'static str> {
    if let Some(kind) = super::magic::kind_of(bytes) {
        return Err(kind);
    }
    let (encoding, mark) = detect(bytes);
    let text = &bytes[mark..];
    match encoding.decoder() {
        Some(mut decoder) => {
            let mut out = Vec::new();
            decode_into(&mut decoder, text, true, &mut out);
            Ok(out.into())
        }
        None if is_binary(bytes) => Err("no text but binary data; export it as CSV"),
        None => Ok(text.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utf16(text: &str, big: bool) -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|u| {
                if big {
                    u.to_be_bytes()
                } else {
                    u.to_le_bytes()
                }
            })
            .collect()
    }

    #[test]
    fn marks_decide() {
        assert_eq!(detect(b"\xEF\xBB\xBFtext\n"), (Encoding::Utf8, 3));
        assert_eq!(detect(b"\xFF\xFEt\0"), (Encoding::Utf16Le, 2));
        assert_eq!(detect(b"\xFE\xFF\0t"), (Encoding::Utf16Be, 2));
    }

    #[test]
    fn utf16_without_a_mark_is_seen_by_its_zeros() {
        let text = "id;text;price\n1;Läuft nicht;500\n";
        assert_eq!(detect(&utf16(text, false)).0, Encoding::Utf16Le);
        assert_eq!(detect(&utf16(text, true)).0, Encoding::Utf16Be);
    }

    #[test]
    fn most_lines_decide_between_utf8_and_windows_1252() {
        assert_eq!(detect(b"text\nplain\n").0, Encoding::Ascii);
        assert_eq!(detect("text\nlä\nlö\n".as_bytes()).0, Encoding::Utf8);
        assert_eq!(detect(b"text\nl\xE4\nl\xF6\n").0, Encoding::Windows1252);
        assert_eq!(
            detect(b"text\nl\xC3\xA4\nl\xC3\xB6\nl\xF6\n").0,
            Encoding::Utf8
        );
    }

    #[test]
    fn a_letter_cut_by_the_end_of_the_head_is_no_evidence() {
        assert_eq!(detect(b"text\nl\xC3\xA4\nl\xC3").0, Encoding::Utf8);
    }

    #[test]
    fn a_lone_surrogate_becomes_one_damaged_byte() {
        let mut raw = utf16("ab", false);
        raw.extend([0x00, 0xD8]);
        raw.extend(utf16("cd", false));
        let mut out = Vec::new();
        let mut decoder = Encoding::Utf16Le.decoder().unwrap();
        decode_into(&mut decoder, &raw[..5], false, &mut out);
        decode_into(&mut decoder, &raw[5..], true, &mut out);
        assert_eq!(out, b"ab\xFFcd");
    }

    #[test]
    fn a_few_zeros_are_damage_and_many_are_a_program() {
        assert!(!is_binary(b"text,price\na,1\nb\0,2\nc,3\n"));
        assert!(is_binary(b"te\0xt,price\na,1\n"));
        assert!(is_binary(b"x\n\0\0\n\0\n"));
    }
}
