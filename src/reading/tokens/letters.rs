//! Single letters parted by strokes or dots: `a/c`, `n/s/r`, `m.o.t`.

use super::{TokenKind, Tokens};

impl Tokens {
    /// A letter parted from others by strokes or dots, and where they end.
    pub(super) fn letters_apart(&mut self, bytes: &[u8], at: usize) -> Option<usize> {
        // `a/c`, `p/s`, `n/s`: one letter each side of the stroke.
        if let (Some(b'/'), Some(c)) = (bytes.get(at + 1), bytes.get(at + 2))
            && c.is_ascii_alphabetic()
            && !bytes.get(at + 3).is_some_and(|b| b.is_ascii_alphanumeric())
        {
            let start = self.folded.len() as u32;
            self.folded.push(char::from(bytes[at].to_ascii_lowercase()));
            if matches!(bytes[at].to_ascii_lowercase(), b'a' | b'm')
                && c.eq_ignore_ascii_case(&b't')
            {
                // Joined, `a/t` would be the word `at`, and `mt` is a mountain too.
                self.close(TokenKind::Word, start, at..at + 1);
                let start = self.folded.len() as u32;
                self.folded.push('t');
                self.close(TokenKind::Word, start, at + 2..at + 3);
                return Some(at + 3);
            }
            self.folded.push(char::from(c.to_ascii_lowercase()));
            // `n/s/r`: the corner of a car.
            if let (Some(b'/'), Some(c)) = (bytes.get(at + 3), bytes.get(at + 4))
                && c.is_ascii_alphabetic()
                && !bytes.get(at + 5).is_some_and(|b| b.is_ascii_alphanumeric())
            {
                self.folded.push(char::from(c.to_ascii_lowercase()));
                self.close(TokenKind::Word, start, at..at + 5);
                return Some(at + 5);
            }
            self.close(TokenKind::Word, start, at..at + 3);
            return Some(at + 3);
        }
        // `a.c.`, `m.o.t`: single letters with dots.
        if bytes.get(at + 1) == Some(&b'.')
            && bytes.get(at + 2).is_some_and(u8::is_ascii_alphabetic)
            && !bytes.get(at + 3).is_some_and(|b| b.is_ascii_alphanumeric())
            && bytes[at].is_ascii_alphabetic()
        {
            let start = self.folded.len() as u32;
            let mut end = at;
            while bytes.get(end).is_some_and(u8::is_ascii_alphabetic)
                && !bytes
                    .get(end + 1)
                    .is_some_and(|b| b.is_ascii_alphanumeric())
            {
                self.folded
                    .push(char::from(bytes[end].to_ascii_lowercase()));
                end += 1;
                let more = bytes.get(end) == Some(&b'.')
                    && bytes.get(end + 1).is_some_and(u8::is_ascii_alphabetic)
                    && !bytes
                        .get(end + 2)
                        .is_some_and(|b| b.is_ascii_alphanumeric());
                if more {
                    end += 1;
                } else {
                    break;
                }
            }
            self.close(TokenKind::Word, start, at..end);
            return Some(end);
        }
        None
    }
}
