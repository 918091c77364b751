//! What to distrust, in full.

use std::io;

use super::car::WarningPart;
use super::page::Page;
use crate::lexicon::Lexicon;
use crate::warnings::Warning;

/// Writes each reason with what shows it, the advice and its source; nothing
/// where there is none.
pub(super) fn write_warnings(
    page: &mut Page<'_>,
    warnings: &[Warning],
    lexicon: &Lexicon,
) -> io::Result<()> {
    let parts = warnings.iter();
    let parts: Vec<_> = parts.filter_map(|w| WarningPart::new(w, lexicon)).collect();
    if parts.is_empty() {
        return Ok(());
    }
    page.head("What to distrust")?;
    for part in parts {
        let shown_by = part
            .shown_by
            .map_or_else(String::new, |s| format!(" ('{s}')"));
        page.put(2, &format!("{}{shown_by}", part.words))?;
        page.put(4, &format!("{} {}", part.why, part.advice))?;
        page.put(4, &format!("Source: {}", part.source))?;
    }
    Ok(())
}
