//! The page for a call, to print: boxes to tick and lines to write on.

use std::io::{self, Write};

use super::call::{Call, Line};
use super::paper;
use crate::safe_text::for_html;

/// What only this page has.
const STYLE: &str = "\
body { font-size: 10pt; line-height: 1.3 }
h1 { font-size: 14pt; margin: 0 0 1mm }
h2 { font-size: 11pt; margin: 3mm 0 1mm; border-bottom: .4mm solid #000 }
.question { break-inside: avoid; border-left: .6mm solid #000; padding-left: 2mm; margin: 0 0 3mm }
.question b { font-size: 10.5pt }
.room { display: flex; align-items: flex-end; height: 7mm; break-inside: avoid }
.room span { flex: 1; border-bottom: .1mm solid #000; margin-left: 2mm }
";

impl Call<'_> {
    /// The page for a browser, to be printed: one file, no script.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_html(&self, out: &mut dyn Write) -> io::Result<()> {
        let lines = self.lines();
        let titles = lines.iter().filter_map(|line| match line {
            Line::Title(text) => Some(text.clone()),
            _ => None,
        });
        paper::begin("Call", STYLE, titles, out)?;
        writeln!(out, "<article id=\"car-0\">")?;
        let mut asking = false;
        for line in &lines {
            // A question holds its answers and the room for a note.
            let within = matches!(line, Line::Under(_) | Line::Room(_));
            if asking && !within {
                writeln!(out, "</div>")?;
                asking = false;
            }
            match line {
                Line::Title(text) => writeln!(out, "<h1>{}</h1>", for_html(text))?,
                Line::Head(text) => writeln!(out, "<h2>{}</h2>", for_html(text))?,
                Line::Text(text) => writeln!(out, "<p>{}</p>", for_html(text))?,
                Line::Ask(n, text) => {
                    asking = true;
                    let text = for_html(text);
                    writeln!(out, "<div class=\"question\"><p><b>{n}. {text}</b></p>")?;
                }
                Line::Under(text) => writeln!(
                    out,
                    "<p><label><input type=\"checkbox\">{}</label></p>",
                    for_html(text)
                )?,
                Line::Room(label) => {
                    writeln!(
                        out,
                        "<p class=\"room\">{}<span></span></p>",
                        for_html(label)
                    )?;
                }
            }
        }
        if asking {
            writeln!(out, "</div>")?;
        }
        writeln!(out, "</article>")?;
        paper::end(out)
    }
}
