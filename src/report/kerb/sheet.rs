//! The sheet for looking at a car: Markdown, a page to print, CSV to fill in.

use std::io::{self, Write};

use super::{html, said};
use crate::kerb::Chosen;
use crate::lexicon::Lexicon;
use crate::lexicon::checks::{FACT_WORDS, Stage};
use crate::margin::Appraisal;
use crate::reading::Says;
use crate::report::car::Car;
use crate::report::flat::{Column, write_csv};
use crate::report::shortlist::Basis;
use crate::report::text::{distance, shown};
use crate::safe_text::for_markdown;

/// The sheets of some cars.
#[derive(Debug)]
pub struct Sheets {
    /// One a car.
    pub cars: Vec<CarSheet>,
}

/// The sheet of one car. All texts are fit for a terminal; each form escapes
/// them once more for itself.
#[derive(Debug)]
pub struct CarSheet {
    /// Id of the ad.
    pub id: String,
    /// Year, make, model.
    pub name: String,
    /// What is good to know before, line by line.
    pub facts: Vec<String>,
    /// The stages that have checks, in order.
    pub stages: Vec<StageSheet>,
    /// Minutes of all checks together.
    pub minutes: u32,
}

/// The checks of one stage.
#[derive(Debug)]
pub struct StageSheet {
    /// Which.
    pub stage: Stage,
    /// Sentences of caution that hold for several of its checks, each once.
    pub cautions: Vec<String>,
    /// The checks.
    pub rows: Vec<CheckRow>,
}

/// One check.
#[derive(Debug, Clone)]
pub struct CheckRow {
    /// Its code in `checks.csv`.
    pub check: String,
    /// In few words.
    pub name: String,
    /// How it is done.
    pub how: String,
    /// What good looks like.
    pub good: String,
    /// What bad looks like.
    pub bad: String,
    /// The limit and the standard that gives it.
    pub limit: Option<String>,
    /// A caution of its own.
    pub caution: Option<String>,
    /// Minutes.
    pub minutes: u32,
    /// Codes that it speaks for.
    pub codes: String,
    /// What of this ad it bears on.
    pub why: String,
}

impl CarSheet {
    /// The sheet of a car with the checks chosen for it.
    pub fn new(
        car: &Car,
        appraisal: &Appraisal,
        chosen: &[Chosen<'_>],
        basis: &Basis,
        lexicon: &Lexicon,
    ) -> Self {
        let stages = Stage::ALL.iter().filter_map(|stage| {
            let of_stage = chosen.iter().filter(|c| c.check.stage == *stage);
            let mut rows: Vec<CheckRow> = of_stage.map(|c| row(c, lexicon)).collect();
            if rows.is_empty() {
                return None;
            }
            Some(StageSheet {
                stage: *stage,
                cautions: gather_cautions(&mut rows),
                rows,
            })
        });
        CarSheet {
            id: car.id.clone(),
            name: car.name(),
            facts: facts(car, appraisal, basis, lexicon),
            stages: stages.collect(),
            minutes: chosen.iter().map(|c| c.check.minutes).sum(),
        }
    }
}

fn facts(car: &Car, appraisal: &Appraisal, basis: &Basis, lexicon: &Lexicon) -> Vec<String> {
    let sign = basis.currency.sign();
    let mut first = Vec::new();
    first.extend(
        car.ask
            .map(|ask| format!("asks {sign}{}", crate::units::Money::from(ask))),
    );
    first.extend(
        appraisal
            .ceiling
            .map(|c| format!("cash limit {sign}{c}, what is found bad comes off it")),
    );
    first.extend(
        appraisal
            .first_offer
            .map(|o| format!("first offer {sign}{o}")),
    );
    first.extend(car.miles.map(|m| distance(m, basis.distance_unit)));
    first.extend(car.vin.as_deref().map(|v| format!("number {}", shown(v))));
    first.extend(car.place.as_deref().map(shown));
    let mut facts = vec![first.join("; ")];
    for (label, says) in [
        ("Told bad", Says::Bad),
        ("Feared", Says::Suspect),
        ("Said to be renewed", Says::Renewed),
        ("Comes along", Says::Spare),
    ] {
        let words = said(&appraisal.reading, says, lexicon);
        if !words.is_empty() {
            facts.push(format!("{label}: {words}"));
        }
    }
    let open: Vec<_> = [car.open_in_words(false), car.open_in_words(true)]
        .into_iter()
        .filter(|w| !w.is_empty())
        .collect();
    if !open.is_empty() {
        facts.push(format!("Left open: {}", open.join(", ")));
    }
    let beware = car.warnings_in_words();
    if !beware.is_empty() {
        facts.push(format!("Beware: {beware}"));
    }
    facts.retain(|f| !f.is_empty());
    facts
}

fn row(chosen: &Chosen<'_>, lexicon: &Lexicon) -> CheckRow {
    let check = chosen.check;
    let codes: Vec<_> = check.codes.iter().map(|c| lexicon.parts.code(*c)).collect();
    CheckRow {
        check: check.check.clone(),
        name: check.name.clone(),
        how: check.how.clone(),
        good: check.good.clone(),
        bad: check.bad.clone(),
        limit: check.limit.as_ref().map(|limit| {
            // The source of a limit stands before that of the rates.
            let source = check.source.split(';').next().unwrap_or_default();
            let source = source.trim().trim_start_matches("limit:").trim();
            format!("{limit} ({source})")
        }),
        caution: check.caution.clone(),
        minutes: check.minutes,
        codes: codes.join(";"),
        why: shown(&chosen.why.join(", ")),
    }
}

/// Takes sentences of caution that more than one check has out of the rows.
fn gather_cautions(rows: &mut [CheckRow]) -> Vec<String> {
    let sentences = |row: &CheckRow| -> Vec<String> {
        let caution = row.caution.as_deref().unwrap_or_default();
        let ended = |s: &str| format!("{}.", s.trim().trim_end_matches('.'));
        let all = caution.split(". ").filter(|s| !s.is_empty());
        all.map(ended).collect()
    };
    let all: Vec<Vec<String>> = rows.iter().map(sentences).collect();
    let mut shared: Vec<String> = Vec::new();
    for sentence in all.iter().flatten() {
        let rows = all.iter().filter(|of_row| of_row.contains(sentence));
        if rows.count() > 1 && !shared.contains(sentence) {
            shared.push(sentence.clone());
        }
    }
    for (row, mut own) in rows.iter_mut().zip(all) {
        own.retain(|s| !shared.contains(s));
        row.caution = (!own.is_empty()).then(|| own.join(" "));
    }
    shared
}

impl Sheets {
    /// A page of a web browser, to be printed: one file, no script.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_html(&self, out: &mut dyn Write) -> io::Result<()> {
        html::write(self, out)
    }

    /// Markdown, with boxes to tick.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_markdown(&self, out: &mut dyn Write) -> io::Result<()> {
        for (i, car) in self.cars.iter().enumerate() {
            if i > 0 {
                writeln!(out, "\n---\n")?;
            }
            car.write_markdown(out)?;
        }
        Ok(())
    }

    /// A table to fill in, which `--findings` then reads.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_csv(&self, out: &mut dyn Write) -> io::Result<()> {
        let rows: Vec<FormRow> = self.cars.iter().flat_map(CarSheet::form).collect();
        write_csv(out, COLUMNS, &rows)
    }
}

impl CarSheet {
    fn write_markdown(&self, out: &mut dyn Write) -> io::Result<()> {
        let safe = |text: &str| for_markdown(text).into_owned();
        writeln!(out, "# {}, id {}\n", safe(&self.name), safe(&self.id))?;
        for fact in &self.facts {
            writeln!(out, "- {}", safe(fact))?;
        }
        writeln!(out, "- {} minutes in all", self.minutes)?;
        for stage in &self.stages {
            writeln!(out, "\n## {}\n", stage.stage.heading())?;
            for caution in &stage.cautions {
                writeln!(out, "**{}**\n", safe(caution))?;
            }
            for row in &stage.rows {
                row.write_markdown(stage.stage, out)?;
            }
        }
        Ok(())
    }

    /// The rows to fill in: what is asked now, what the odometer shows, then
    /// the checks.
    fn form(&self) -> Vec<FormRow> {
        let mut rows: Vec<FormRow> = FACT_WORDS
            .iter()
            .map(|word| FormRow {
                id: self.id.clone(),
                car: self.name.clone(),
                stage: "facts",
                check: (*word).to_owned(),
                name: match *word {
                    "ask" => "what the seller asks now",
                    "miles" => "what the odometer shows, in miles",
                    "title" => "papers: clean, salvage, rebuilt, lien, missing, bill_of_sale, junk",
                    "moves" => "drives, runs_only, no_start",
                    _ => "manual, automatic, cvt",
                }
                .to_owned(),
                ..FormRow::default()
            })
            .collect();
        for stage in self.stages.iter().filter(|s| s.stage != Stage::Bring) {
            rows.extend(stage.rows.iter().map(|row| FormRow {
                id: self.id.clone(),
                car: self.name.clone(),
                stage: stage.stage.word(),
                check: row.check.clone(),
                code: row.codes.clone(),
                name: row.name.clone(),
                good: row.good.clone(),
                bad: row.bad.clone(),
                why: row.why.clone(),
            }));
        }
        rows
    }
}

impl CheckRow {
    fn write_markdown(&self, stage: Stage, out: &mut dyn Write) -> io::Result<()> {
        let safe = |text: &str| for_markdown(text).into_owned();
        let mut text = format!("- [ ] **{}**: {}", safe(&self.name), safe(&self.how));
        if stage == Stage::Bring {
            return writeln!(out, "{text}");
        }
        text.push_str(&format!(
            " Good: {}. Bad: {}.",
            safe(&self.good),
            safe(&self.bad)
        ));
        if let Some(limit) = &self.limit {
            text.push_str(&format!(" Limit: {}.", safe(limit)));
        }
        if let Some(caution) = &self.caution {
            text.push_str(&format!(" **{}**", safe(caution)));
        }
        if !self.why.is_empty() {
            text.push_str(&format!(" *Ad: {}.*", safe(&self.why)));
        }
        text.push_str(&format!(" {} min", self.minutes));
        writeln!(out, "{text}")
    }
}

/// A row to fill in.
#[derive(Debug, Default)]
struct FormRow {
    id: String,
    car: String,
    stage: &'static str,
    check: String,
    code: String,
    name: String,
    good: String,
    bad: String,
    why: String,
}

const COLUMNS: &[Column<FormRow>] = &[
    ("id", |r| r.id.clone()),
    ("car", |r| r.car.clone()),
    ("stage", |r| r.stage.to_owned()),
    ("check", |r| r.check.clone()),
    ("name", |r| r.name.clone()),
    ("good", |r| r.good.clone()),
    ("bad", |r| r.bad.clone()),
    ("ad", |r| r.why.clone()),
    ("code", |r| r.code.clone()),
    ("outcome", |_| String::new()),
    ("note", |_| String::new()),
    ("cost", |_| String::new()),
    ("spare", |_| String::new()),
];
