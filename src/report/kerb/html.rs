//! The sheet as a page to print: one file, no script, nothing fetched. Every
//! text is escaped, and the policy of the page allows its own style alone.

use std::io::{self, Write};

use super::sheet::{CarSheet, CheckRow, Sheets, StageSheet};
use crate::lexicon::checks::Stage;
use crate::safe_text::for_html;

const HEAD: &str = r#"<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>Viewing sheet</title>
<style>
@page { margin: 8mm 9mm }
* { box-sizing: border-box }
body { font: 7.1pt/1.14 "Liberation Sans", Arial, Helvetica, sans-serif; color: #000; margin: 0 auto; max-width: 200mm }
article + article { break-before: page }
h1 { font-size: 12pt; margin: 0 0 1mm }
h1 small { font-size: 8pt; font-weight: normal }
h2 { font-size: 8.6pt; margin: 0 0 .5mm; padding-top: .9mm; border-bottom: .4mm solid #000; break-after: avoid }
p { margin: 0 0 .4mm }
.caution { font-style: italic; font-weight: bold }
p.caution { break-after: avoid; margin: .3mm 0 }
.checks { columns: 2; column-gap: 5mm; border-top: .2mm solid #000; margin-top: 1mm }
.check { display: flex; break-inside: avoid; padding: .3mm 0; border-bottom: .1mm solid #aaa }
.ticks { flex: 0 0 8.6mm; white-space: nowrap }
.ad > div { border-left: .8mm solid #000; padding-left: 1mm }
.ad-says { font-weight: bold }
.limit { white-space: normal; text-decoration: underline }
input { width: 3mm; height: 3mm; margin: 0 .9mm 0 0; vertical-align: -.4mm }
.notes { margin-top: 2mm; break-inside: avoid }
.notes div { border-bottom: .1mm solid #000; height: 5mm }
@media screen { body { font-size: 11pt; padding: 3mm } .ticks { flex-basis: 14mm } input { width: 5mm; height: 5mm } }
@media screen and (max-width: 900px) { .checks { columns: 1 } }
</style>
</head>
<body>
"#;

pub(super) fn write(sheets: &Sheets, out: &mut dyn Write) -> io::Result<()> {
    out.write_all(HEAD.as_bytes())?;
    for car in &sheets.cars {
        article(car, out)?;
    }
    out.write_all(b"</body>\n</html>\n")
}

fn article(car: &CarSheet, out: &mut dyn Write) -> io::Result<()> {
    writeln!(
        out,
        "<article>\n<h1>{}, id {} <small>all checks: {} min. First box: good (+), second: bad \
         (−). Bold bar: the ad calls for it.</small></h1>",
        for_html(&car.name),
        for_html(&car.id),
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
