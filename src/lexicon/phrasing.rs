//! How a phrase is written in a table, and the forms that it stands for.
//!
//! Phrases are lower case, without apostrophes, words parted by one space.
//! `(a|b|)` means any of the words between the strokes, or nothing; it saves
//! writing `does not work`, `doesnt work`, `dont work` three times. A colon, a
//! comma or a question mark is a word of its own: `title : clean`.

use super::table::{LexiconError, Row};

/// At most this many forms may come of one written phrase.
const MOST_FORMS: usize = 2000;

/// At most this many words may stand in one of them: nobody says as many in
/// the same way.
const MOST_WORDS: usize = 60;

/// A written phrase taken apart: pieces in order, each with the texts that can
/// stand there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern<'w> {
    pieces: Vec<Vec<&'w str>>,
}

impl<'w> Pattern<'w> {
    /// Takes a written phrase apart.
    ///
    /// # Errors
    /// A bracket that is not closed, a sign that can never match, too many
    /// forms.
    pub fn parse(row: &Row<'_>, column: &str, written: &'w str) -> Result<Self, LexiconError> {
        let mut pieces = Vec::new();
        let mut forms = 1;
        let mut rest = written;
        while let Some(open) = rest.find('(') {
            let close = rest[open..]
                .find(')')
                .map(|c| open + c)
                .ok_or_else(|| row.error(column, format!("'{written}' has '(' without ')'")))?;
            pieces.push(vec![&rest[..open]]);
            let choices: Vec<&str> = rest[open + 1..close].split('|').collect();
            forms *= choices.len();
            if forms > MOST_FORMS {
                return Err(row.error(
                    column,
                    format!("'{written}' stands for more than {MOST_FORMS} phrases; split the row"),
                ));
            }
            pieces.push(choices);
            rest = &rest[close + 1..];
        }
        pieces.push(vec![rest]);
        let words = |piece: &Vec<&str>| {
            let all = piece.iter().map(|text| text.split_whitespace().count());
            all.max().unwrap_or_default()
        };
        let spaces = written.bytes().filter(u8::is_ascii_whitespace).count();
        // No more words than spaces part, and most rows are short.
        let may_be_long = !written.is_ascii() || spaces + pieces.len() > MOST_WORDS;
        if may_be_long && pieces.iter().map(words).sum::<usize>() > MOST_WORDS {
            return Err(row.error(
                column,
                format!("the phrase has more than {MOST_WORDS} words; shorten it"),
            ));
        }
        let never = |c: &char| match c {
            'a'..='z' | ' ' | '0'..='9' | '.' | ':' | '?' | ',' | '/' => false,
            c => !(c.is_alphanumeric() || c.is_whitespace()) || c.is_uppercase(),
        };
        if let Some(c) = pieces.iter().flatten().flat_map(|p| p.chars()).find(never) {
            return Err(row.error(
                column,
                format!(
                    "'{written}' holds '{c}' and can never match: write lower case, no \
                     apostrophes, a space for a hyphen"
                ),
            ));
        }
        Ok(Pattern { pieces })
    }

    /// All forms as strings, sorted, each once; an empty one stands for nothing
    /// at all.
    pub fn forms(&self) -> Vec<String> {
        let mut out = vec![String::new()];
        for choices in self.pieces.iter().filter(|choices| **choices != [""]) {
            out = out
                .iter()
                .flat_map(|head| choices.iter().map(move |c| [head, *c].concat()))
                .collect();
        }
        for form in out.iter_mut().filter(|form| !is_spaced_once(form)) {
            *form = form.split_whitespace().collect::<Vec<_>>().join(" ");
        }
        out.sort_unstable();
        out.dedup();
        out
    }

    /// The pieces in order, each with its choices.
    pub fn pieces(&self) -> &[Vec<&'w str>] {
        &self.pieces
    }
}

/// Whether nothing but single spaces parts the words, which is so in most rows.
fn is_spaced_once(form: &str) -> bool {
    let mut before = b' ';
    for byte in form.bytes() {
        let odd = byte == b' ' && before == b' ' || byte.is_ascii_control() || !byte.is_ascii();
        if odd {
            return false;
        }
        before = byte;
    }
    before != b' '
}

/// A written phrase that could stand for no word at all.
pub fn stands_for_nothing(row: &Row<'_>, column: &str, written: &str) -> LexiconError {
    row.error(column, format!("'{written}' can stand for nothing at all"))
}

/// All the plain phrases that a written one stands for, as strings.
///
/// # Errors
/// As [`Pattern::parse`], and where it could stand for nothing.
pub fn forms(row: &Row<'_>, column: &str, written: &str) -> Result<Vec<String>, LexiconError> {
    let forms = Pattern::parse(row, column, written)?.forms();
    if forms[0].is_empty() {
        return Err(stands_for_nothing(row, column, written));
    }
    Ok(forms)
}

/// The plural of a noun's last word, where it is formed in the plain way.
pub fn plural(phrase: &str) -> Option<String> {
    let last = phrase.rsplit(' ').next()?;
    if last.len() < 3 || last.ends_with('s') || last.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let vowel_y = |w: &str| {
        w.bytes()
            .rev()
            .nth(1)
            .is_some_and(|b| matches!(b, b'a' | b'e' | b'i' | b'o' | b'u'))
    };
    Some(if last.ends_with('y') && !vowel_y(last) {
        format!("{}ies", &phrase[..phrase.len() - 1])
    } else if last.ends_with("ch") || last.ends_with("sh") || last.ends_with('x') {
        format!("{phrase}es")
    } else {
        format!("{phrase}s")
    })
}

/// Two words written as one: `headgasket`.
pub fn joined(first: &str, second: &str) -> Option<String> {
    (first.len() >= 3 && second.len() >= 3).then(|| format!("{first}{second}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::graph::Gathered;
    use crate::lexicon::table::Sheet;
    use crate::lexicon::wordings::Wordings;

    /// All forms of a written phrase, sorted.
    fn forms_of(written: &str) -> Result<Vec<String>, LexiconError> {
        let sheet = Sheet::parse("t.csv", &format!("phrase\n{written}\n"))?;
        let row = sheet.rows().next().unwrap();
        let written = row.text("phrase")?;
        let mut wordings = Wordings::default();
        let begins = wordings
            .add_pattern(&Pattern::parse(&row, "phrase", written)?, 0)
            .ok_or_else(|| stands_for_nothing(&row, "phrase", written))?;
        let mut forms = Vec::new();
        wordings.each(&begins, |words| {
            let words = words.iter().map(|word| wordings.words().word(*word));
            forms.push(words.collect::<Vec<_>>().join(" "));
        });
        forms.sort_unstable();
        forms.dedup();
        let joined = Gathered::of(&wordings).graph;
        let mut spelled = joined.spelled(wordings.words());
        spelled.sort_unstable();
        assert!(spelled.iter().map(|(words, _)| words).eq(&forms));
        Ok(forms)
    }

    #[test]
    fn choices_multiply_out() {
        assert_eq!(
            forms_of("(does not|dont) work(s|)").unwrap(),
            ["does not work", "does not works", "dont work", "dont works"]
        );
        assert_eq!(
            forms_of("( big|) (oil |)leak").unwrap(),
            ["big leak", "big oil leak", "leak", "oil leak"]
        );
    }

    proptest::proptest! {
        #[test]
        fn the_graph_holds_what_multiplying_out_gives(
            pieces in proptest::collection::vec(
                proptest::collection::vec("[ab ]{0,4}", 1..4), 1..5)
        ) {
            let written: String = pieces.iter().map(|p| format!("({})", p.join("|"))).collect();
            let pieces = pieces.iter().map(|p| p.iter().map(String::as_str).collect());
            let expected = Pattern { pieces: pieces.collect() }.forms();
            if expected[0].is_empty() {
                proptest::prop_assert!(forms_of(&written).is_err());
            } else {
                proptest::prop_assert_eq!(forms_of(&written).unwrap(), expected);
            }
        }
    }

    #[test]
    fn phrases_that_cannot_match_are_refused() {
        for bad in ["doesn't work", "Head gasket", "head-gasket", "(a|b", "(|)"] {
            let message = forms_of(bad).unwrap_err().to_string();
            assert!(
                message.starts_with("t.csv, line 2, column 'phrase'"),
                "{message}"
            );
        }
    }

    #[test]
    fn plurals() {
        assert_eq!(plural("ball joint").as_deref(), Some("ball joints"));
        assert_eq!(plural("battery").as_deref(), Some("batteries"));
        assert_eq!(plural("clutch").as_deref(), Some("clutches"));
        assert_eq!(plural("brakes"), None);
    }
}
