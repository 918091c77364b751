//! How a phrase is written in a table, and the forms that it stands for.
//!
//! Phrases are lower case, without apostrophes, words parted by one space.
//! `(a|b|)` means any of the words between the strokes, or nothing; it saves
//! writing `does not work`, `doesnt work`, `dont work` three times. A colon, a
//! comma or a question mark is a word of its own: `title : clean`.

use super::table::{LexiconError, Row};

/// At most this many forms may come of one written phrase.
const MOST_FORMS: usize = 2000;

/// All the plain phrases that a written one stands for.
///
/// # Errors
/// A bracket that is not closed, a sign that can never match, too many forms.
pub fn forms(row: &Row<'_>, column: &str, written: &str) -> Result<Vec<String>, LexiconError> {
    let mut out = vec![String::new()];
    let mut rest = written;
    while let Some(open) = rest.find('(') {
        let close = rest[open..]
            .find(')')
            .map(|c| open + c)
            .ok_or_else(|| row.error(column, format!("'{written}' has '(' without ')'")))?;
        let choices: Vec<&str> = rest[open + 1..close].split('|').collect();
        let before = &rest[..open];
        out = out
            .iter()
            .flat_map(|head| choices.iter().map(move |c| format!("{head}{before}{c}")))
            .collect();
        if out.len() > MOST_FORMS {
            return Err(row.error(
                column,
                format!("'{written}' stands for more than {MOST_FORMS} phrases; split the row"),
            ));
        }
        rest = &rest[close + 1..];
    }
    for form in &mut out {
        form.push_str(rest);
        *form = form.split_whitespace().collect::<Vec<_>>().join(" ");
        if let Some(c) = form.chars().find(|c| {
            !(c.is_alphanumeric() || matches!(*c, ' ' | '.' | ':' | '?' | ',' | '/'))
                || c.is_uppercase()
        }) {
            return Err(row.error(
                column,
                format!(
                    "'{written}' holds '{c}' and can never match: write lower case, no \
                     apostrophes, a space for a hyphen"
                ),
            ));
        }
        if form.is_empty() {
            return Err(row.error(column, format!("'{written}' can stand for nothing at all")));
        }
    }
    out.sort_unstable();
    out.dedup();
    Ok(out)
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
pub fn joined(phrase: &str) -> Option<String> {
    let (a, b) = phrase.split_once(' ')?;
    (!b.contains(' ') && a.len() >= 3 && b.len() >= 3).then(|| format!("{a}{b}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::table::Sheet;

    fn forms_of(written: &str) -> Result<Vec<String>, LexiconError> {
        let sheet = Sheet::parse("t.csv", &format!("phrase\n{written}\n")).unwrap();
        let row = sheet.rows().next().unwrap();
        forms(&row, "phrase", row.text("phrase").unwrap())
    }

    #[test]
    fn choices_multiply_out() {
        assert_eq!(
            forms_of("(does not|dont) work(s|)").unwrap(),
            ["does not work", "does not works", "dont work", "dont works"]
        );
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
