//! The sheet as a page to print.

use std::io::{self, Write};

use super::paper;
use super::sheet::{CarSheet, CheckRow, Sheets, StageSheet};
use crate::lexicon::checks::Stage;
use crate::safe_text::for_html;

/// What only the sheet has.
const STYLE: &str = "\
body { font-size: 7.6pt; line-height: 1.16 }
h1 { font-size: 12pt; margin: 0 0 1mm }
h1 small { font-size: 8pt; font-weight: normal }
h2 { font-size: 9pt; margin: 0 0 .5mm; padding-top: .9mm; border-bottom: .4mm solid #000 }
p.caution { break-after: avoid; margin: .3mm 0 }
.checks { columns: 2; column-gap: 5mm; border-top: .2mm solid #000; margin-top: 1mm }
.check { display: flex; break-inside: avoid; padding: .3mm 0; border-bottom: .1mm solid #aaa }
.ticks { flex: 0 0 9mm; white-space: nowrap }
.ad > div { border-left: .8mm solid #000; padding-left: 1mm }
.ad-says { font-weight: bold }
.limit { white-space: normal; text-decoration: underline }
.notes { margin-top: 2mm; break-inside: avoid }
.notes div { border-bottom: .1mm solid #000; height: 5mm }
@media screen { .ticks { flex-basis: 14mm } }
@media screen and (max-width: 900px) { .checks { columns: 1 } }
";

pub(super) fn write(sheets: &Sheets, out: &mut dyn Write) -> io::Result<()> {
    let names = sheets.cars.iter().map(title);
    paper::begin("Viewing sheet", STYLE, names, out)?;
    for (n, car) in sheets.cars.iter().enumerate() {
        article(n, car, out)?;
    }
    paper::end(out)
}

fn title(car: &CarSheet) -> String {
    format!("{}, id {}", car.name, car.id)
}

fn article(n: usize, car: &CarSheet, out: &mut dyn Write) -> io::Result<()> {
    writeln!(
        out,
        "<article id=\"car-{n}\">\n<h1>{} <small>all checks: {} min. First box: good (+), second: bad \
         (−). Bold bar: the ad calls for it.</small></h1>",
        for_html(&title(car)),
        car.minutes
    )?;
    for fact in &car.facts {
        writeln!(out, "<p>{}</p>", for_html(fact))?;
    }
    writeln!(out, "<div class=\"checks\">")?;
    for stage in &car.stages {
        self::stage(stage, out)?;
    }
    writeln!(
        out,
        "</div>\n<div class=\"notes\">Notes, figures, what lies in the boot:\
         <div></div><div></div><div></div></div>\n\
         <p>Rules on titles, liens and roadworthiness differ by state and country: ask the \
         authority there. This sheet certifies nothing.</p>\n</article>"
    )
}

fn stage(stage: &StageSheet, out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "<h2>{}</h2>", stage.stage.heading())?;
    for caution in &stage.cautions {
        writeln!(out, "<p class=\"caution\">{}</p>", for_html(caution))?;
    }
    stage
        .rows
        .iter()
        .try_for_each(|row| self::row(row, stage.stage, out))
}

fn row(row: &CheckRow, stage: Stage, out: &mut dyn Write) -> io::Result<()> {
    let class = if row.why.is_empty() {
        "check"
    } else {
        "check ad"
    };
    let boxes = if stage == Stage::Bring {
        "<input type=\"checkbox\" aria-label=\"packed\">"
    } else {
        "<input type=\"checkbox\" aria-label=\"good\">\
         <input type=\"checkbox\" aria-label=\"bad\">"
    };
    write!(
        out,
        "<div class=\"{class}\"><span class=\"ticks\">{boxes}</span><div><b>{}</b>: {}",
        for_html(&row.name),
        for_html(&row.how)
    )?;
    // A minute is the rule.
    if row.minutes > 1 {
        write!(out, " ({} min)", row.minutes)?;
    }
    if !row.why.is_empty() {
        write!(
            out,
            " <span class=\"ad-says\">Ad: {}.</span>",
            for_html(&row.why)
        )?;
    }
    if !row.good.is_empty() {
        write!(
            out,
            "<br><b>+</b> {}; <b>−</b> {}",
            for_html(&row.good),
            for_html(&row.bad)
        )?;
    }
    if let Some(limit) = &row.limit {
        write!(
            out,
            ". <span class=\"limit\">Limit: {}</span>",
            for_html(limit)
        )?;
    }
    if let Some(caution) = &row.caution {
        write!(out, " <span class=\"caution\">{}</span>", for_html(caution))?;
    }
    writeln!(out, "</div></div>")
}
