//! Why an ad was read as it was, for people: from the words to the claims.

use std::io::{self, Write};

use super::page::Page;
use super::screen::Screen;
use super::text::{left, shown};
use crate::intake::Listing;
use crate::lexicon::Lexicon;
use crate::reading::reader::Trace;

/// Columns for the words on the left of a line.
const WORDS: usize = 24;

/// Writes the reasons of one ad's reading within a width. Text of the ad is
/// made harmless and its contacts are masked.
///
/// # Errors
/// When writing fails.
pub fn write_why(
    listing: &Listing,
    trace: &Trace,
    lexicon: &Lexicon,
    screen: impl Into<Screen>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let mut page = Page::new(out, screen, 100);
    let place = format!("{}, line {}", listing.origin.file, listing.origin.line);
    page.put(
        0,
        &format!("ad {} ({})", shown(&listing.id.0), shown(&place)),
    )?;
    read(&mut page, trace, lexicon)?;
    words(&mut page, trace)?;
    phrases(&mut page, trace)?;
    page.head("What governs what, word by word")?;
    for turn in &trace.turns {
        for (i, did) in turn.did.iter().enumerate() {
            let words = if i == 0 {
                shown(&turn.words)
            } else {
                String::new()
            };
            pair(&mut page, &words, &shown(did))?;
        }
    }
    none(&mut page, trace.turns.is_empty())?;
    sayings(&mut page, listing, trace)?;
    page.head("Signs of papers, moving, gearbox, price, wording")?;
    for sign in &trace.signs {
        let fate = match (sign.counts, sign.meant) {
            (true, _) => "counts".to_owned(),
            (false, Some(meant)) => format!(
                "does not count: by all that stands around it hardly meant so (chance {meant:.2})"
            ),
            (false, None) => {
                "does not count: denied, hidden by a longer one, or another goes before it"
                    .to_owned()
            }
        };
        pair(
            &mut page,
            &shown(&sign.words),
            &format!("{}: {fate}", sign.means),
        )?;
    }
    let likely = trace.reading.likely_moves;
    let noted = trace.reading.fields.iter().find(|(key, _)| *key == "moves");
    if let Some((_, e)) = noted.filter(|_| likely.is_some()) {
        let words = listing.text.get(e.range.clone()).unwrap_or_default();
        pair(
            &mut page,
            &shown(words),
            &format!("moves: {}", shown(&e.rule)),
        )?;
    }
    none(&mut page, trace.signs.is_empty() && likely.is_none())?;
    page.head("Numbers")?;
    for n in &trace.numbers {
        page.put(2, &format!("{} in '{}'", n.value, shown(&n.context)))?;
        for line in n.roles.iter().chain(&n.verdicts) {
            page.put(6, &shown(line))?;
        }
    }
    none(&mut page, trace.numbers.is_empty())?;
    if trace.more_numbers > 0 {
        let more = format!("{} more were not asked about", trace.more_numbers);
        page.put(2, &more)?;
    }
    page.head("Makes and models named")?;
    for v in &trace.vehicles {
        pair(&mut page, &shown(&v.words), &v.verdict)?;
        for name in v.names.iter().take(MOST_NAMES) {
            pair(&mut page, "", name)?;
        }
        if let Some(more) = v.names.len().checked_sub(MOST_NAMES).filter(|n| *n > 0) {
            pair(&mut page, "", &format!("and {more} more"))?;
        }
    }
    none(&mut page, trace.vehicles.is_empty())?;
    writeln!(page.out)
}

/// A word such as `300` names many models.
const MOST_NAMES: usize = 4;

fn pair(page: &mut Page<'_>, words: &str, what: &str) -> io::Result<()> {
    let words = format!("  {} ", left(words, WORDS));
    page.hang(&words, WORDS + 3, what)
}

fn none(page: &mut Page<'_>, empty: bool) -> io::Result<()> {
    if empty { page.put(2, "none") } else { Ok(()) }
}

fn read(page: &mut Page<'_>, trace: &Trace, lexicon: &Lexicon) -> io::Result<()> {
    let r = &trace.reading;
    let opt = |value: Option<String>| value.unwrap_or_else(|| "none".to_owned());
    page.head("Read as")?;
    page.put(
        2,
        &format!(
            "{}; {} {} {}; ask {} ({}); miles {} ({}); title {}; moves {}; gearbox {}",
            r.kind,
            opt(r.year.map(|y| y.to_string())),
            opt(r.make.clone()),
            opt(r.model.clone()),
            opt(r.ask.map(|a| a.to_string())),
            r.ask_basis,
            opt(r.miles.map(|m| m.to_string())),
            r.miles_basis,
            r.title,
            r.moves_as_read(),
            r.gearbox
        ),
    )?;
    let claims = r.claims.iter();
    let claims = claims.map(|c| format!("{} {}", lexicon.parts.code(c.part), c.says));
    let claims: Vec<_> = claims.collect();
    page.put(2, &format!("claims: {}", list(&claims)))?;
    let passing: Vec<_> = r
        .in_passing()
        .map(|p| lexicon.parts.code(p.part).to_owned())
        .collect();
    if !passing.is_empty() {
        page.put(2, &format!("told in passing: {}", list(&passing)))?;
    }
    let vague: Vec<_> = r.vague.iter().map(|(v, _)| v.word().to_owned()).collect();
    page.put(2, &format!("vague: {}", list(&vague)))
}

fn list(items: &[String]) -> String {
    if items.is_empty() {
        "none".to_owned()
    } else {
        items.join(", ")
    }
}

fn words(page: &mut Page<'_>, trace: &Trace) -> io::Result<()> {
    page.head("Words as they are looked up")?;
    for line in &trace.lines {
        page.put(2, &shown(line))?;
    }
    for (was, taken) in &trace.spelled {
        page.put(
            2,
            &format!("'{}' is taken for '{}'", shown(was), shown(taken)),
        )?;
    }
    Ok(())
}

fn phrases(page: &mut Page<'_>, trace: &Trace) -> io::Result<()> {
    page.head("Phrases of the tables")?;
    for found in &trace.phrases {
        let mut what = found.meanings.join("; ");
        if let Some(by) = &found.hidden_by {
            what.push_str(&format!("; HIDDEN by '{}'", shown(by)));
        }
        pair(page, &shown(&found.words), &what)?;
    }
    none(page, trace.phrases.is_empty())
}

fn sayings(page: &mut Page<'_>, listing: &Listing, trace: &Trace) -> io::Result<()> {
    page.head("What is said of parts, and what became of it")?;
    for s in &trace.sayings {
        let text = listing.text.get(s.range.clone()).unwrap_or_default();
        let fate = s
            .dropped
            .as_ref()
            .map_or_else(|| "CLAIM".to_owned(), |why| format!("dropped: {why}"));
        let claim = format!("{} {}", s.code, s.says);
        pair(
            page,
            &claim,
            &format!("{fate}; {}; in \"{}\"", shown(&s.rule), shown(text)),
        )?;
    }
    none(page, trace.sayings.is_empty())
}
