//! The same ads in the forms that exports give them: without line ends, wrapped
//! by a mail program, with marks for full stops, in capitals. What is read must
//! hardly depend on it. The ads are the labelled ones that were not held back.

mod labelled_files;

use fixworth::lexicon::Lexicon;
use fixworth::upkeep::judge::judge;
use fixworth::upkeep::labelled::{Labelled, meet, read_files};
use fixworth::upkeep::score::{Grade, Group};
use regex::{Captures, Regex};

/// What F1 over all claims may lose in a form, and the form.
type Form = (&'static str, f64, fn(&str) -> String);

fn stops(text: &str, with: &str) -> String {
    let stop = Regex::new(r"(\p{Ll})\. (\p{Lu})").unwrap();
    let put = |c: &Captures| format!("{}{with}{}", &c[1], &c[2]);
    stop.replace_all(text, put).into_owned()
}

fn marked(text: &str, mark: &str) -> String {
    let begin = Regex::new(r"(^|\. )(\p{Lu})").unwrap();
    let put = |c: &Captures| format!("\n{mark}{}", &c[2]);
    begin.replace_all(text, put).into_owned()
}

fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let mut long = 0;
        for word in line.split(' ') {
            if long > 0 && long + 1 + word.len() > width {
                out.push('\n');
                long = 0;
            } else if long > 0 {
                out.push(' ');
                long += 1;
            }
            out.push_str(word);
            long += word.len();
        }
        out.push('\n');
    }
    out
}

fn drawn_out(text: &str) -> String {
    let word = Regex::new(r"\b([a-z]{3,})([a-z])\b").unwrap();
    word.replace_all(text, "$1$2$2$2$2").into_owned()
}

const FORMS: [Form; 20] = [
    ("in capitals", 0.003, |t| t.to_uppercase()),
    ("in small letters", 0.003, |t| t.to_lowercase()),
    ("typographic signs", 0.003, |t| {
        t.replace('\'', "\u{2019}").replace('"', "\u{201d}")
    }),
    ("no apostrophes", 0.003, |t| t.replace('\'', "")),
    ("no space behind stops", 0.003, |t| stops(t, ".")),
    ("dots", 0.008, |t| stops(t, "... ")),
    ("lines without stops", 0.012, |t| stops(t, "\n")),
    ("no stops", 0.035, |t| stops(t, " ")),
    ("bars", 0.012, |t| stops(t, " | ")),
    ("strokes", 0.010, |t| stops(t, " / ")),
    ("dashes", 0.012, |t| stops(t, " - ")),
    ("marked lines", 0.010, |t| marked(t, "• ")),
    ("wrapped at 40", 0.012, |t| wrapped(t, 40)),
    ("letters drawn out", 0.006, drawn_out),
    ("pictures for stops", 0.012, |t| stops(t, " \u{1f62c} ")),
    ("a line a sentence", 0.006, |t| stops(t, ".\n")),
    ("spaces at commas", 0.001, |t| t.replace(", ", " , ")),
    ("plus for and", 0.002, |t| t.replace(" and ", " + ")),
    ("with cut short", 0.001, |t| t.replace(" with ", " w/ ")),
    ("wrapped at 72", 0.012, |t| wrapped(t, 72)),
];

fn f1(rows: &[Labelled], lexicon: &Lexicon) -> f64 {
    let met = meet(rows, lexicon).unwrap();
    let judged: Vec<_> = rows
        .iter()
        .zip(&met)
        .map(|(row, met)| judge(row, met, &lexicon.parts))
        .collect();
    Grade::of(&judged).group(Group::All).f1()
}

#[test]
fn the_form_of_a_text_hardly_matters() {
    let lexicon = Lexicon::built_in().unwrap();
    let mut rows = Vec::new();
    for file in labelled_files::files() {
        let held = labelled_files::held_back(&file);
        let all = read_files(&[file]).unwrap().into_iter();
        rows.extend(all.filter(|row| !row.number().unwrap().is_multiple_of(held)));
    }
    assert!(rows.len() > 500, "{} ads", rows.len());
    let plain = f1(&rows, &lexicon);
    let mut worse = Vec::new();
    for (name, loss, form) in FORMS {
        let mut other = rows.clone();
        for row in &mut other {
            row.body = form(&row.body);
        }
        let reached = f1(&other, &lexicon);
        println!("{name:<24} {reached:.4}, plain {plain:.4}");
        if reached < plain - loss {
            worse.push(format!("{name}: {reached:.4}, {plain:.4} as written"));
        }
    }
    assert!(worse.is_empty(), "{worse:#?}");
}
