//! Texts of ads and findings that mean harm, and contacts, on every page.

use super::Folder;

const HOSTILE: &str = "\
id,title,text,price,place,link\n\
\"=cmd|'/c calc'!A0\",\"<script>alert(1)</script> 2005 Saab 9-3 | [x](javascript:1)\",\
\"\u{1b}]0;owned\u{7}\u{1b}[2J \u{202e}Bad clutch. Call (302) 555-0142 or mail tib@example.com \
<img src=x onerror=alert(1)> ![a](http://example.org/p.png)\",700,\
\"\u{1b}[31m'\"\"><b>Tibb\",\"javascript:alert(1)\"\n";

fn pages() -> Vec<(String, String)> {
    let folder = Folder::with_ads();
    folder.write("bad.csv", HOSTILE);
    folder.write(
        "f.csv",
        "id,check,outcome,note\n\"'=cmd|'/c calc'!A0\",frame,bad,\
         \"\u{1b}[31m <script>x</script> call 302-555-0142\"\n",
    );
    let id = "=cmd|'/c calc'!A0";
    let mut pages = Vec::new();
    for line in [
        "call ID bad.csv",
        "call ID bad.csv --format markdown",
        "sheet ID bad.csv",
        "sheet ID bad.csv --format html",
        "sheet ID bad.csv --format csv",
        "decide ID bad.csv --findings f.csv",
        "explain ID bad.csv --findings f.csv",
        "shortlist bad.csv --findings f.csv",
        "call ID bad.csv --format html",
    ] {
        let words = line.split(' ').map(|w| if w == "ID" { id } else { w });
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_fixworth"))
            .current_dir(folder.path(""))
            .args(words)
            .output()
            .unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{line}\n{err}");
        let page = String::from_utf8(output.stdout).unwrap();
        assert!(
            page.contains("2005") || page.contains("Saab"),
            "{line}\n{page}"
        );
        pages.push((line.to_owned(), page + &err));
    }
    pages
}

#[test]
fn nothing_that_acts_on_a_terminal_and_no_contact_gets_onto_a_page() {
    for (line, page) in pages() {
        let acts =
            |c: char| (c.is_control() && c != '\n') || ('\u{202a}'..='\u{202e}').contains(&c);
        assert!(!page.contains(acts), "{line}\n{page}");
        for contact in ["555-0142", "tib@example.com"] {
            assert!(!page.contains(contact), "{line}\n{page}");
        }
    }
}

#[test]
fn no_markup_of_others_gets_onto_a_printed_page() {
    let pages = pages();
    for (line, html) in pages.iter().filter(|(line, _)| line.ends_with("html")) {
        for markup in ["<script", "<img", "<b>Tibb", "\"><b>", "onerror=alert(1)>"] {
            assert!(!html.contains(markup), "{line}: {markup}\n{html}");
        }
        assert!(html.contains("default-src 'none'"));
        // No script of ours either, and nothing that is fetched.
        for word in ["<script", "src=", "href=", "url(", "@import"] {
            assert!(!html.contains(word), "{line}: {word}");
        }
    }
    for page in [&pages[1].1, &pages[2].1] {
        assert!(
            !page.contains("<script") && !page.contains("](javascript"),
            "{page}"
        );
    }
}

#[test]
fn no_cell_of_the_form_is_a_formula() {
    let pages = pages();
    let mut reader = csv::Reader::from_reader(pages[4].1.as_bytes());
    let mut cells = 0;
    for record in reader.records().filter_map(Result::ok) {
        for cell in &record {
            assert!(!cell.starts_with(['=', '+', '-', '@']), "{cell}");
            cells += 1;
        }
    }
    assert!(cells > 500, "{cells}");
}
