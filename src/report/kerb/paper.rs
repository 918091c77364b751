//! What pages to print share: one file, no script, nothing fetched. Every text
//! is escaped, and the policy of the page allows its own style alone.

use std::io::{self, Write};

use crate::safe_text::{for_css_string, for_html};

const HEAD: &str = r#"<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
"#;

/// Boxes are drawn here, not by the browser: its own are pale on paper.
const STYLE: &str = "\
@page { margin: 9mm 9mm 8mm }
* { box-sizing: border-box }
body { font: 9pt/1.25 \"Liberation Sans\", Arial, Helvetica, sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 200mm }
article + article { break-before: page }
h1, h2 { break-after: avoid }
p { margin: 0 0 .4mm }
.caution { font-style: italic; font-weight: bold }
input { appearance: none; width: 3mm; height: 3mm; margin: 0 1mm 0 0; border: .25mm solid #000; background: #fff; vertical-align: -.4mm }
input:checked { background: linear-gradient(45deg, transparent 45%, #000 45% 55%, transparent 55%), linear-gradient(-45deg, transparent 45%, #000 45% 55%, transparent 55%) }
@media screen { body { font-size: 11pt; padding: 3mm } input { width: 5mm; height: 5mm } }
";

/// Everything before the first car. On paper each page bears the name of its
/// car and its number, so that sheets that come apart are put together again;
/// browsers that cannot do so leave it out. The cars are articles with the ids
/// `car-0`, `car-1` and so on.
pub(super) fn begin(
    title: &str,
    style: &str,
    cars: impl Iterator<Item = String>,
    out: &mut dyn Write,
) -> io::Result<()> {
    out.write_all(HEAD.as_bytes())?;
    writeln!(out, "<title>{}</title>\n<style>", for_html(title))?;
    out.write_all(STYLE.as_bytes())?;
    out.write_all(style.as_bytes())?;
    for (n, car) in cars.enumerate() {
        writeln!(
            out,
            "#car-{n} {{ page: car-{n} }}\n@page car-{n} {{ @top-right {{ font: 7pt Arial, \
             sans-serif; content: \"{}, page \" counter(page) }} }}",
            for_css_string(&car)
        )?;
    }
    out.write_all(b"</style>\n</head>\n<body>\n")
}

/// Everything after the last car.
pub(super) fn end(out: &mut dyn Write) -> io::Result<()> {
    out.write_all(b"</body>\n</html>\n")
}
