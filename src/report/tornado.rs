//! What moves the margin most, as a list.

use std::io;

use super::page::Page;
use super::text::{cut, left, right, width};
use crate::sensitivity::Tornado;
use crate::units::Money;

/// As many assumptions as are listed; those below move little.
const MOST: usize = 8;
/// Widest words of an assumption.
const WORDS: usize = 34;

pub(super) fn write_tornado(tornado: &Tornado, page: &mut Page<'_>) -> io::Result<()> {
    page.head("What moves the margin most")?;
    let Some(shown) = tornado.bars.get(..tornado.bars.len().min(MOST)) else {
        return Ok(());
    };
    if shown.is_empty() {
        return page.put(2, "nothing that is assumed moves it");
    }
    let mut table = vec![[
        "supposed from".to_owned(),
        String::new(),
        "to".to_owned(),
        "margin".to_owned(),
        "to".to_owned(),
        "moves".to_owned(),
    ]];
    table.extend(shown.iter().map(|bar| {
        [
            cut(&bar.words, WORDS),
            bar.low.value.replace('_', " "),
            bar.high.value.replace('_', " "),
            bar.low.margin.to_string(),
            bar.high.margin.to_string(),
            bar.moves().to_string(),
        ]
    }));
    let widths: [usize; 6] =
        std::array::from_fn(|i| table.iter().map(|row| width(&row[i])).max().unwrap_or(0));
    let narrow = 2 + widths.iter().sum::<usize>() + 2 * 5 > page.columns();
    if narrow {
        for [words, low, high, at_low, at_high, moves] in &table[1..] {
            page.put(2, &format!("{words}: moves {moves}"))?;
            page.put(
                4,
                &format!("{low} leaves {at_low}, {high} leaves {at_high}"),
            )?;
        }
    }
    for row in table.iter().filter(|_| !narrow) {
        let mut line = format!("  {}", left(&row[0], widths[0]));
        for (cell, width) in row.iter().zip(widths).skip(1) {
            line.push_str(&format!("  {}", right(cell, width)));
        }
        writeln!(page.out, "{}", line.trim_end())?;
    }
    for bar in shown {
        for end in [&bar.low, &bar.high] {
            if end.action != tornado.action {
                let words = &bar.words;
                let value = end.value.replace('_', " ");
                let action = end.action.word();
                page.put(2, &format!("With {words} at {value} it is: {action}"))?;
            }
        }
    }
    page.put(2, &note(tornado))
}

fn note(tornado: &Tornado) -> String {
    let rest = tornado.bars.get(MOST).map_or_else(String::new, |bar| {
        let count = tornado.bars.len() - MOST;
        let others = if count == 1 {
            "one more moves"
        } else {
            "others move"
        };
        format!(" {} {others} it by {} or less.", count, bar.moves())
    });
    let rest = rest.replace(" 1 one more moves", " One more moves");
    let base: Money = tornado.base;
    format!(
        "Each alone, the others as they are (margin {base}); the ends are those of \
         assumptions.csv.{rest}"
    )
}
