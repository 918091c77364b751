//! How well labelled ads are read, for people.

use std::io::{self, Write};

use super::page::Page;
use super::screen::Screen;
use super::text::{left, shown};
use crate::upkeep::bootstrap::{self, Interval};
use crate::upkeep::compare::{Change, Changes};
use crate::upkeep::judge::Judged;
use crate::upkeep::labelled::Labelled;
use crate::upkeep::score::{Counts, FIELDS, Grade, Group, share};

/// Writes the grade of judged ads.
///
/// # Errors
/// When writing fails.
pub fn write_grade(judged: &[Judged], screen: Screen, out: &mut dyn Write) -> io::Result<()> {
    let grade = Grade::of(judged);
    let mut page = Page::new(out, screen, usize::MAX);
    writeln!(
        page.out,
        "{} ads, {} without a reading",
        grade.ads, grade.unanswered
    )?;
    page.head("Plain fields: right of judged")?;
    for field in FIELDS {
        if let Some((right, of)) = grade.fields.get(field) {
            writeln!(
                page.out,
                "  {field:<12} {right:>5} of {of:<5} {:.3}",
                share(*right, *of)
            )?;
        }
    }
    page.head("Claims: precision, recall, F1 (95 in 100 resampled), right/extra/missed")?;
    for group in Group::ALL {
        let range = bootstrap::f1(judged, group);
        counts_line(&mut page, group.word(), &grade.group(group), range)?;
    }
    let (named, right) = grade.polarity;
    let polarity = format!(
        "  {:<20} {:.3} {right} of {named} codes named by both: fault or none",
        "polarity",
        grade.polarity_share()
    );
    if polarity.len() > page.columns() {
        page.put(2, polarity.trim())?;
    } else {
        writeln!(page.out, "{polarity}")?;
    }
    page.head("Claims by state")?;
    for (says, counts) in &grade.states {
        counts_line(&mut page, says.word(), counts, None)?;
    }
    page.head("Claims by code, the most mistakes first")?;
    let mut codes: Vec<_> = grade.codes.iter().collect();
    codes.sort_by_key(|(code, c)| (std::cmp::Reverse(c.extra + c.missed), code.as_str()));
    for (code, counts) in codes {
        // One that the tables do not know is as it stands in the file.
        counts_line(&mut page, &shown(code), counts, None)?;
    }
    Ok(())
}

fn counts_line(
    page: &mut Page<'_>,
    name: &str,
    c: &Counts,
    range: Option<Interval>,
) -> io::Result<()> {
    let range = range.map_or_else(String::new, |r| format!(" ({:.3}-{:.3})", r.low, r.high));
    let figures = format!(
        "{:.3} {:.3} {:.3}{range}  {}/{}/{}",
        c.precision(),
        c.recall(),
        c.f1(),
        c.right,
        c.extra,
        c.missed
    );
    let line = format!("  {name:<20} {figures}");
    if line.len() > page.columns() {
        page.put(2, name)?;
        return page.put(4, &figures);
    }
    writeln!(page.out, "{line}")
}

/// Writes the first `most` mistakes, and gives the places in `rows` of the ads
/// that they are of.
///
/// # Errors
/// When writing fails.
pub fn write_mistakes(
    rows: &[Labelled],
    judged: &[Judged],
    most: usize,
    screen: Screen,
    out: &mut dyn Write,
) -> io::Result<Vec<usize>> {
    let all: usize = judged.iter().map(|j| j.mistakes.len()).sum();
    let mut page = Page::new(out, screen, usize::MAX);
    page.head(&format!("Mistakes: {} of {all}", most.min(all)))?;
    let mut ads = Vec::new();
    let mut room = most;
    for (i, (row, ad)) in rows.iter().zip(judged).enumerate() {
        let few = &ad.mistakes[..room.min(ad.mistakes.len())];
        if !few.is_empty() {
            ads.push(i);
        }
        room -= few.len();
        for mistake in few {
            let id = format!("  {} ", left(&shown(&row.id), 12));
            page.hang(&id, 15, &shown(&mistake.to_string()))?;
        }
    }
    Ok(ads)
}

/// Writes what one grading gains and breaks against another of the same ads.
///
/// # Errors
/// When writing fails.
pub fn write_changes(
    changes: &Changes<'_>,
    before: &[Judged],
    after: &[Judged],
    screen: Screen,
    out: &mut dyn Write,
) -> io::Result<()> {
    let (old, new) = (Grade::of(before), Grade::of(after));
    let mut page = Page::new(out, screen, usize::MAX);
    page.head("Against the other tables: F1 before, now, gain (95 in 100 resampled)")?;
    for group in Group::ALL {
        let (was, is) = (old.group(group).f1(), new.group(group).f1());
        let range = bootstrap::f1_gain(before, after, group).map_or_else(String::new, |r| {
            format!(" ({:+.3} to {:+.3})", r.low, r.high)
        });
        let name = left(group.word(), 12);
        page.put(
            2,
            &format!("{name} {was:.3} {is:.3} {:+.3}{range}", is - was),
        )?;
    }
    for field in FIELDS {
        let (was, is) = (old.field(field), new.field(field));
        if let (Some(was), Some(is)) = (was, is)
            && was != is
        {
            let name = left(field, 12);
            page.put(2, &format!("{name} {was:.3} {is:.3} {:+.3}", is - was))?;
        }
    }
    for (title, list) in [("Gained", &changes.gained), ("Broken", &changes.broken)] {
        page.head(&format!("{title}: {}", list.len()))?;
        for Change { id, mistake } in list {
            let id = format!("  {} ", left(&shown(id), 12));
            page.hang(&id, 15, &shown(&mistake.to_string()))?;
        }
    }
    Ok(())
}
