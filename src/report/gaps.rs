//! Words that no table knows, for people.

use std::io::{self, Write};

use super::page::Page;
use super::screen::Screen;
use super::text::{cut, left, right, shown};
use crate::upkeep::gaps::{Gap, SURE};

/// Writes the first `top` gaps as a table within a width.
///
/// # Errors
/// When writing fails.
pub fn write_gaps(
    gaps: &[Gap],
    ads: usize,
    top: usize,
    screen: impl Into<Screen>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let mut page = Page::new(out, screen, 140);
    let columns = page.columns();
    page.put(
        0,
        &format!(
            "{ads} ads read. Words that no table knows, the most bound to faults first; near and \
             elsewhere count ads. G2 over {SURE} comes by chance once in a thousand words."
        ),
    )?;
    writeln!(page.out)?;
    let shown_gaps: Vec<&Gap> = gaps.iter().filter(|g| g.g2 > 0.0).take(top).collect();
    if shown_gaps.is_empty() {
        return page.put(0, "None; more ads, or a lower --least, may show some.");
    }
    let wide = 24;
    // The example goes below where there is no room for it beside the figures.
    let beside = columns.saturating_sub(wide + 24);
    let below = beside < wide;
    writeln!(
        page.out,
        "{}  {}  {}  {}{}",
        left("words", wide),
        right("G2", 6),
        right("near", 4),
        right("else", 4),
        if below { "" } else { "  in" }
    )?;
    for gap in shown_gaps {
        let line = format!(
            "{}  {}  {}  {}",
            left(&cut(&shown(&gap.words), wide), wide),
            right(&format!("{:.1}", gap.g2), 6),
            right(&gap.near.to_string(), 4),
            right(&gap.elsewhere.to_string(), 4),
        );
        let example = shown(&gap.example);
        if below {
            writeln!(page.out, "{line}\n  {}", cut(&example, columns - 2))?;
        } else {
            writeln!(page.out, "{line}  {}", cut(&example, beside))?;
        }
    }
    writeln!(page.out)?;
    page.put(
        0,
        "Add what names a part or a fault to phrases.csv, what says a state to cues.csv; \
         'fixworth lexicon export DIR' writes the tables, \
         'fixworth grade' shows what a change gains and breaks.",
    )
}
