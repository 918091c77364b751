//! No telephone number and no mail address of an ad gets into anything that
//! people would show to others: every form of every command over the samples,
//! with contacts put into them wherever a seller might.

mod program;

use std::collections::BTreeSet;
use std::fs;
use std::io::Read as _;
use std::path::Path;

use program::Folder;
use regex::Regex;

/// Numbers kept free for stories, and addresses of a domain that is nobody's.
const CONTACTS: &[&str] = &[
    "555-0143",
    "(302) 555-0143",
    "302-555-0143",
    "302.555.0143",
    "3025550143",
    "+1 302 555 0143",
    "01632 960143",
    "07700 900143",
    "+44 7700 900143",
    "0491 570 156",
    "tib.anders@example.com",
    "TIB+cars@mail.example.org",
];

/// What looks like a contact, written apart from the program's own patterns.
fn patterns() -> [Regex; 4] {
    [
        r"[\w.+-]+@[\w-]+\.\w+",
        r"\(?\b\d{3}\)?[ .-]\d{3}[ .-]\d{4}\b",
        r"\b555-\d{4}\b",
        r"\b0(?:\d{4} \d{6}|\d{3} \d{3} \d{3})\b",
    ]
    .map(|pattern| Regex::new(pattern).unwrap())
}

/// The ads of a sample with a contact in headline, text, and place of each.
fn with_contacts(sample: &str, text: &[&str]) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(sample);
    let bytes = fs::read(path).unwrap();
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(&bytes[..]);
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(Vec::new());
    let header = reader.byte_headers().unwrap().clone();
    writer.write_byte_record(&header).unwrap();
    let wanted: Vec<usize> = header
        .iter()
        .enumerate()
        .filter(|(_, h)| text.iter().any(|t| h.eq_ignore_ascii_case(t.as_bytes())))
        .map(|(at, _)| at)
        .collect();
    assert_eq!(wanted.len(), text.len(), "{header:?}");
    for (n, row) in reader.byte_records().enumerate() {
        let cells = row.unwrap();
        let cells = cells.iter().enumerate().map(|(at, cell)| {
            let mut cell = cell.to_vec();
            if wanted.contains(&at) {
                let contact = CONTACTS[(n + at) % CONTACTS.len()];
                cell.extend_from_slice(format!(" call {contact}, or {contact}").as_bytes());
            }
            cell
        });
        writer.write_record(cells).unwrap();
    }
    writer.into_inner().unwrap()
}

/// The forms that the help of a command names.
fn forms(folder: &Folder, command: &str) -> BTreeSet<String> {
    let help = folder.run(&[command, "--help"]).ok().out;
    let Some(at) = help.find("--format <") else {
        return BTreeSet::new();
    };
    let values = &help[at..];
    let start = values.find("possible values: ").unwrap() + "possible values: ".len();
    let end = start + values[start..].find(']').unwrap();
    let words = values[start..end]
        .split(',')
        .map(|w| w.split_whitespace().collect());
    words.collect()
}

/// All that stands in a workbook.
fn unpacked(path: &Path) -> String {
    let mut archive = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
    let mut all = String::new();
    for at in 0..archive.len() {
        archive
            .by_index(at)
            .unwrap()
            .read_to_string(&mut all)
            .unwrap();
    }
    all
}

#[test]
fn no_contact_gets_into_anything_that_is_shared() {
    let folder = Folder::new()
        .with(
            "board.csv",
            with_contacts("samples/harbour-board.csv", &["heading", "details", "town"]),
        )
        .with(
            "ledger.csv",
            fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/ledger.csv")).unwrap(),
        );
    let list = folder
        .run(&[
            "shortlist",
            "board.csv",
            "--as-of",
            "2026",
            "--format",
            "jsonl",
        ])
        .ok();
    let ids: Vec<String> = list
        .out
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap())
        .map(|car| car["id"].as_str().unwrap().to_owned())
        .collect();
    assert!(ids.len() > 50);
    let findings = CONTACTS
        .iter()
        .zip(&ids)
        .map(|(contact, id)| format!("{id},tread,bad,\"the owner, {contact}, says so\"\n"));
    let findings = "id,check,outcome,note\n".to_owned() + &findings.collect::<String>();
    let folder = folder.with("findings.csv", findings);
    let mut lines = Vec::new();
    for (command, rest) in [
        (
            "shortlist",
            "board.csv --as-of 2026 --findings findings.csv --gone",
        ),
        ("read", "board.csv"),
        ("price", "board.csv"),
        (
            "explain",
            "ID board.csv --as-of 2026 --findings findings.csv",
        ),
        ("call", "ID board.csv --as-of 2026"),
        ("sheet", "ID board.csv --as-of 2026"),
        (
            "decide",
            "ID board.csv --as-of 2026 --findings findings.csv",
        ),
        ("plan", "board.csv --as-of 2026 --hours 90"),
        ("ledger", "ledger.csv board.csv --as-of 2026"),
        ("columns", "board.csv"),
    ] {
        let forms = forms(&folder, command);
        let options: Vec<String> = match forms.is_empty() {
            true => vec![String::new()],
            false => forms
                .iter()
                .map(|form| format!(" --format {form}"))
                .collect(),
        };
        let ids = match rest.contains("ID") {
            true => &ids[..6],
            false => &ids[..1],
        };
        for (option, id) in options
            .iter()
            .flat_map(|o| ids.iter().map(move |id| (o, id)))
        {
            lines.push(format!("{command} {}{option}", rest.replace("ID", id)));
        }
    }
    // The text itself is given unmasked in JSON alone, and only where it is
    // asked for: it is what the places of the evidence count in.
    lines.push("read board.csv --format csv --with-text".to_owned());
    lines.push(format!("read board.csv --why --id {}", ids[0]));
    lines.push("lexicon gaps board.csv --least 1 --top 500".to_owned());
    assert!(lines.len() > 30, "{lines:?}");
    let patterns = patterns();
    let tags = Regex::new("<[^>]*>").unwrap();
    for line in &lines {
        // A workbook is packed, and goes to a file.
        let packed = line.ends_with(" xlsx");
        let line = match packed {
            true => format!("{line} --out list.xlsx --force"),
            false => line.clone(),
        };
        let mut ran = folder.run(&line.split(' ').collect::<Vec<_>>());
        assert_eq!(ran.code, Some(0), "{line}: {}", ran.err);
        if packed {
            ran.out = tags
                .replace_all(&unpacked(&folder.path("list.xlsx")), "\n")
                .into_owned();
        }
        assert!(!ran.out.is_empty(), "{line}");
        for text in [&ran.out, &ran.err] {
            for contact in CONTACTS {
                let around = text.find(contact).map(|at| &text[at.saturating_sub(80)..]);
                let around = around.map(|rest| rest.chars().take(160).collect::<String>());
                assert_eq!(around, None, "{line}: {contact}");
            }
            // Points of a drawing stand in attributes, and look like anything.
            let text = match line.ends_with("html") {
                true => tags.replace_all(text, "\n"),
                false => text.into(),
            };
            for pattern in &patterns {
                let found = pattern.find(&text).map(|m| m.as_str());
                assert_eq!(found, None, "{line}: {pattern}");
            }
        }
    }
}

#[test]
fn the_text_for_programs_is_covered_unless_contacts_are_asked_for() {
    let ads = "id,title,text,price\n\
        7,2009 Mazda 3,\"clutch slips, call 302-555-0143 or tib.anders@example.com, needs a starter\",900\n";
    let folder = Folder::new().with("ads.csv", ads);
    let reading = |words: &str| -> serde_json::Value {
        let ran = folder.run(&words.split(' ').collect::<Vec<_>>()).ok();
        let explained: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        explained["reading"].clone()
    };
    let covered = reading("explain 7 ads.csv --format json --what-if ask=800");
    let kept = reading("explain 7 ads.csv --format json --keep-contacts");
    assert_eq!(covered["evidence"], kept["evidence"]);
    let text = kept["text"].as_str().unwrap();
    assert!(text.contains("302-555-0143") && text.contains("tib.anders@example.com"));
    let plain = text.replace("302-555-0143", &"*".repeat(12));
    let plain = plain.replace("tib.anders@example.com", &"*".repeat(22));
    assert_eq!(covered["text"], plain);
    // Places in the text stay where they are.
    let starter = covered["evidence"].as_array().unwrap().iter();
    let starter = starter.map(|e| (e["start"].as_u64().unwrap(), e["end"].as_u64().unwrap()));
    let words: Vec<&str> = starter
        .map(|(a, b)| &plain[a as usize..b as usize])
        .collect();
    assert!(words.contains(&"needs a starter"), "{words:?}");
}
