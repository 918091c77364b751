//! Signs that part the entries of an ad written in one line: `* a/c, alloys *
//! new clutch * runs well *`, `2003 / 2.0L / no keys / runs`.

use super::tokens::{TokenKind, Tokens};

/// So many of them in a line part entries; fewer may do anything.
const FEWEST: usize = 3;

/// What may part entries.
const SIGNS: [u8; 2] = [b'*', b'/'];

/// The tokens of all such signs, in order.
pub(super) fn separators(tokens: &Tokens, text: &str) -> Vec<usize> {
    let mut out = Vec::new();
    let all = |sign| {
        let signs = tokens
            .list
            .iter()
            .filter(|t| t.kind == TokenKind::Sign(sign));
        signs.count() >= FEWEST
    };
    let signs: Vec<u8> = SIGNS.into_iter().filter(|sign| all(*sign)).collect();
    // Most ads have none.
    if signs.is_empty() {
        return out;
    }
    let mut line = 0;
    let end = |at: usize| matches!(tokens.kind(at), TokenKind::Line | TokenKind::Blank);
    for at in 0..=tokens.list.len() {
        if at < tokens.list.len() && !end(at) {
            continue;
        }
        for &sign in &signs {
            let within = line + 1..at.saturating_sub(1);
            let apart = within.filter(|i| stands_apart(tokens, text, *i, sign));
            let found: Vec<usize> = apart.collect();
            if found.len() >= FEWEST {
                out.extend(found);
            }
        }
        line = at + 1;
    }
    out.sort_unstable();
    out
}

/// Whether this sign stands here alone, a space on both sides.
fn stands_apart(tokens: &Tokens, text: &str, at: usize, sign: u8) -> bool {
    if tokens.kind(at) != TokenKind::Sign(sign) {
        return false;
    }
    let source = tokens.list[at].source_range();
    let bytes = text.as_bytes();
    let space = |at: Option<usize>| at.and_then(|i| bytes.get(i)).is_none_or(|b| *b == b' ');
    space(source.start.checked_sub(1)) && space(Some(source.end))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> usize {
        let mut tokens = Tokens::default();
        tokens.fill(text);
        separators(&tokens, text).len()
    }

    #[test]
    fn three_signs_apart_in_a_line_part_entries() {
        assert_eq!(found("car\n* a/c * new clutch * runs well * 5 sp *"), 3);
        assert_eq!(found("2003 / 2.0L / no keys / runs"), 3);
        assert_eq!(found("car\n* a/c, p/s\n* new clutch\n* runs * well"), 0);
        assert_eq!(found("front/rear, 8/10, n / s / r"), 0);
    }
}
