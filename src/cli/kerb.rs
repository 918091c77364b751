//! The commands for the telephone and for the car.

use std::path::PathBuf;

use super::args::{FigureArgs, InputArgs};
use super::config::{FigureConfig, InputConfig, columns, may_write};
use super::error::CliError;
use super::kerb_args::{CallArgs, DecideArgs, SheetArgs};
use super::output::deliver;
use super::pipeline::{self, Ready};
use super::run::{Outcome, conclude};
use crate::kerb::{Findings, decide, questions};
use crate::report::Car;
use crate::report::kerb::call::Call;
use crate::report::kerb::decision::DecisionPage;
use crate::report::kerb::sheet::{CarSheet, Sheets};

/// The tables and figures of a run.
struct Run {
    input: InputConfig,
    figures: FigureConfig,
}

impl Run {
    fn new(input: InputArgs, figures: FigureArgs) -> Result<Self, CliError> {
        let input = InputConfig::resolve(input)?;
        let figures = FigureConfig::resolve(figures, &input.lexicon)?;
        Ok(Run { input, figures })
    }

    fn ready(&self) -> Result<(Ready<'_>, Findings), CliError> {
        let batch = pipeline::read(&self.input, self.figures.profile.distance_unit)?;
        let lexicon = &self.input.lexicon;
        let findings = self.figures.findings(lexicon)?;
        let mut ready = pipeline::ready(batch, &self.figures, lexicon, Default::default())?;
        let unclaimed = ready.of_no_car(&findings);
        ready.notes.extend(unclaimed);
        Ok((ready, findings))
    }

    fn conclude(&self, ready: &Ready<'_>) -> Result<Outcome, CliError> {
        conclude(&self.input, &ready.rejects, &ready.notes)
    }
}

pub(super) fn call(args: CallArgs) -> Result<Outcome, CliError> {
    may_write(args.page.out.as_deref(), args.page.force)?;
    let columns = columns(args.page.out.as_deref(), args.page.width);
    let run = Run::new(args.input, args.figures)?;
    let (ready, findings) = run.ready()?;
    let place = ready.find(&args.id)?;
    let (appraisal, warnings) = ready.appraise(place, &findings);
    let again = |reading| ready.desk.appraise(place, reading);
    let asked = questions(&appraisal, &run.input.lexicon, &again);
    let outcome = run.conclude(&ready)?;
    let page = Call {
        car: &Car::new(
            1,
            &ready.entry(place, &appraisal, &warnings),
            &run.input.lexicon,
        ),
        appraisal: &appraisal,
        basis: &ready.basis,
        questions: &asked,
        lexicon: &run.input.lexicon,
    };
    deliver(args.page.out.as_deref(), |out| match args.format.as_str() {
        "markdown" => page.write_markdown(out),
        _ => page.write_text(columns, out),
    })?;
    Ok(outcome)
}

pub(super) fn sheet(mut args: SheetArgs) -> Result<Outcome, CliError> {
    may_write(args.page.out.as_deref(), args.page.force)?;
    let ids = ids(args.id, &mut args.input.files)?;
    let run = Run::new(args.input, args.figures)?;
    let (ready, findings) = run.ready()?;
    let lexicon = &run.input.lexicon;
    let mut cars = Vec::new();
    for id in &ids {
        let place = ready.find(id)?;
        let (appraisal, warnings) = ready.appraise(place, &findings);
        let chosen = ready.desk.choose(&appraisal);
        let car = Car::new(1, &ready.entry(place, &appraisal, &warnings), lexicon);
        cars.push(CarSheet::new(
            &car,
            &appraisal,
            &chosen,
            &ready.basis,
            lexicon,
        ));
    }
    let sheets = Sheets { cars };
    let outcome = run.conclude(&ready)?;
    deliver(args.page.out.as_deref(), |out| match args.format.as_str() {
        "html" => sheets.write_html(out),
        "csv" => sheets.write_csv(out),
        _ => sheets.write_markdown(out),
    })?;
    Ok(outcome)
}

pub(super) fn decision(mut args: DecideArgs) -> Result<Outcome, CliError> {
    may_write(args.page.out.as_deref(), args.page.force)?;
    let columns = columns(args.page.out.as_deref(), args.page.width);
    let ids = ids(args.id, &mut args.input.files)?;
    let run = Run::new(args.input, args.figures)?;
    let (ready, findings) = run.ready()?;
    let lexicon = &run.input.lexicon;
    let mut pages = Vec::new();
    for id in &ids {
        let place = ready.find(id)?;
        let told = ready.desk.appraise(place, ready.readings[place].clone());
        let chosen = ready.desk.choose(&told);
        let warnings = ready.watch(place, &told);
        let car = Car::new(1, &ready.entry(place, &told, &warnings), lexicon);
        let decision = decide(
            told,
            &ready.findings_of(place, &findings),
            chosen,
            lexicon,
            &run.figures.profile,
            &|reading| ready.desk.appraise(place, reading),
        );
        pages.push((car, decision));
    }
    let outcome = run.conclude(&ready)?;
    deliver(args.page.out.as_deref(), |out| {
        for (i, (car, decision)) in pages.iter().enumerate() {
            if i > 0 {
                writeln!(out)?;
            }
            let page = DecisionPage {
                car,
                decision,
                basis: &ready.basis,
                lexicon,
            };
            page.write(columns, out)?;
        }
        Ok(())
    })?;
    Ok(outcome)
}

/// The ids before the files: words that name no file and look like none.
fn ids(first: String, files: &mut Vec<PathBuf>) -> Result<Vec<String>, CliError> {
    let is_file = |path: &PathBuf| {
        path.as_os_str() == "-" || path.exists() || path.extension().is_some_and(|e| e == "csv")
    };
    let more = files.iter().take_while(|f| !is_file(f)).count();
    let mut ids = vec![first];
    for word in files.drain(..more) {
        let word = word.into_os_string().into_string();
        ids.push(word.map_err(|word| {
            CliError::Usage(format!("{}: neither an id nor a file", word.display()))
        })?);
    }
    if files.is_empty() {
        return Err(CliError::Usage(format!(
            "no file of ads after '{}'; give the ids first, then the files",
            ids.join(" ")
        )));
    }
    Ok(ids)
}
