//! Characters beyond ASCII: signs, little pictures, letters with marks.

use std::ops::Range;

use super::{TokenKind, Tokens, is_capitalized};

impl Tokens {
    /// A character beyond ASCII: typographic signs count as their plain
    /// cousins, letters as words of their own script.
    pub(super) fn wide(&mut self, text: &str, at: usize) -> usize {
        let c = text[at..].chars().next().unwrap_or(' ');
        let end = at + c.len_utf8();
        match c {
            '£' => self.push(TokenKind::Sign(b'$'), "$", at..end),
            '₹' => self.push(TokenKind::Sign(b'$'), "$", at..end),
            '€' => self.push(TokenKind::Sign(b'$'), "$", at..end),
            '–' | '—' | '‒' | '―' => self.push(TokenKind::Sign(b'-'), "-", at..end),
            '•' | '·' | '●' | '▪' | '■' | '◦' | '✔' | '✓' | '☑' | '➢' | '→' | '★' | '☆' | '►'
            | '✅' | '❌' | '❎' | '✖' | '✗' | '✘' | '👍' | '👎' | '🟢' | '🔴' | '🚫' =>
            {
                self.push(TokenKind::Sign(b'*'), "*", at..end);
            }
            c if is_picture(c) => self.picture(text, at..end),
            '…' => self.push(TokenKind::Sign(b'^'), "^", at..end),
            '“' | '”' | '„' | '″' => self.push(TokenKind::Sign(b'"'), "\"", at..end),
            '’' | '‘' => self.quoted.push(end as u32),
            '½' => self.push(TokenKind::Number, "0.5", at..end),
            c if c.is_alphabetic() => return self.word_from(text, at),
            _ => {}
        }
        end
    }

    /// A little picture: a bullet where it begins a line, a pause between words
    /// as dots in a row are, and nothing beside another sign or at the end of a line.
    fn picture(&mut self, text: &str, at: Range<usize>) {
        let gap = |c: char| is_picture(c) || matches!(c, ' ' | '\t' | '\u{fe0f}' | '\u{200d}');
        let next = text[at.end..].trim_start_matches(gap);
        if !next.starts_with(char::is_alphanumeric) {
            return;
        }
        let pause = match is_capitalized(next.as_bytes()) {
            true => (b'.', "."),
            false => (b'^', "^"),
        };
        match self.list.last().map(|t| t.kind) {
            None | Some(TokenKind::Line | TokenKind::Blank) => {
                self.push(TokenKind::Sign(b'*'), "*", at);
            }
            Some(TokenKind::Word) => self.push(TokenKind::Sign(pause.0), pause.1, at),
            Some(TokenKind::Number | TokenKind::Sign(_)) => {}
        }
    }
}

/// Whether a character is a picture, an arrow or an ornament.
fn is_picture(c: char) -> bool {
    matches!(u32::from(c),
        0x2190..=0x21ff | 0x2600..=0x27bf | 0x2b00..=0x2bff | 0x1f300..=0x1faff)
}

pub(super) fn fold_wide(c: char, out: &mut String) {
    let plain = match c {
        'á' | 'à' | 'â' | 'ä' | 'ã' | 'å' | 'Á' | 'À' | 'Â' | 'Ä' => "a",
        'é' | 'è' | 'ê' | 'ë' | 'É' | 'È' => "e",
        'í' | 'ì' | 'î' | 'ï' => "i",
        'ó' | 'ò' | 'ô' | 'ö' | 'õ' | 'Ö' => "o",
        'ú' | 'ù' | 'û' | 'ü' | 'Ü' => "u",
        'ñ' => "n",
        'ç' | 'Ç' => "c",
        'Š' | 'š' => "s",
        _ => {
            out.extend(c.to_lowercase());
            return;
        }
    };
    out.push_str(plain);
}
