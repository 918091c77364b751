//! The commands for the telephone and for the car.

use std::path::PathBuf;

use super::args::{FigureArgs, InputArgs};
use super::batch;
use super::config::{FigureConfig, InputConfig, guard, id_first};
use super::error::CliError;
use super::kerb_args::{CallArgs, DecideArgs, PageArgs, SheetArgs};
use super::output::deliver;
use super::pipeline::{self, Valued};
use super::run::{Outcome, conclude};
use super::terminal::Terminal;
use crate::kerb::{decide, questions};
use crate::report::Car;
use crate::report::kerb::call::Call;
use crate::report::kerb::decision::DecisionPage;
use crate::report::kerb::json::write_decisions;
use crate::report::kerb::sheet::{CarSheet, Sheets};

/// The tables and figures of a run.
struct Run {
    input: InputConfig,
    figures: FigureConfig,
}

impl Run {
    fn new(
        input: InputArgs,
        figures: FigureArgs,
        page: &PageArgs,
        terminal: Terminal,
    ) -> Result<Self, CliError> {
        let mut input = InputConfig::resolve(input)?.on(terminal);
        guard(page.out.as_deref(), page.force, &input, &figures.files())?;
        let figures = FigureConfig::resolve(figures, &mut input.lexicon)?;
        Ok(Run { input, figures })
    }

    fn valued(&self) -> Result<Valued<'_>, CliError> {
        let batch = batch::read(&self.input, self.figures.profile.distance_unit)?;
        let lexicon = &self.input.lexicon;
        pipeline::value(batch, &self.figures, lexicon, Default::default())
    }

    fn conclude(&self, valued: &Valued<'_>) -> Result<Outcome, CliError> {
        conclude(&self.input, &valued.cars.rejects, &valued.cars.notes)
    }
}

pub(super) fn call(args: CallArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    id_first(&args.id, &args.input.files)?;
    let screen = terminal.screen(args.page.out.as_deref(), args.page.width);
    let run = Run::new(args.input, args.figures, &args.page, terminal)?;
    let lexicon = &run.input.lexicon;
    let valued = run.valued()?;
    let place = valued.cars.find(&args.id)?;
    let (appraisal, warnings) = valued.appraise_as(place, &valued.scenario(place));
    let again = |reading| valued.work_out(place, reading);
    let asked = questions(&appraisal, lexicon, &again);
    let outcome = run.conclude(&valued)?;
    let page = Call {
        car: &Car::new(1, &valued.entry(place, &appraisal, &warnings), lexicon),
        appraisal: &appraisal,
        basis: &valued.cars.basis,
        questions: &asked,
        lexicon,
    };
    deliver(args.page.out.as_deref(), |out| match args.format.as_str() {
        "markdown" => page.write_markdown(out),
        "html" => page.write_html(out),
        "json" => page.write_json(out),
        _ => page.write_text(screen, out),
    })?;
    Ok(outcome)
}

pub(super) fn sheet(mut args: SheetArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let ids = ids(args.id, &mut args.input.files)?;
    let run = Run::new(args.input, args.figures, &args.page, terminal)?;
    let lexicon = &run.input.lexicon;
    let valued = run.valued()?;
    let mut cars = Vec::new();
    for id in &ids {
        let place = valued.cars.find(id)?;
        let (appraisal, warnings) = valued.appraise_as(place, &valued.scenario(place));
        let car = Car::new(1, &valued.entry(place, &appraisal, &warnings), lexicon);
        let checks = valued.checks(&appraisal);
        let basis = &valued.cars.basis;
        cars.push(CarSheet::new(&car, &appraisal, &checks, basis, lexicon));
    }
    let sheets = Sheets { cars };
    let outcome = run.conclude(&valued)?;
    deliver(args.page.out.as_deref(), |out| match args.format.as_str() {
        "html" => sheets.write_html(out),
        "csv" => sheets.write_csv(out),
        _ => sheets.write_markdown(out),
    })?;
    Ok(outcome)
}

pub(super) fn decision(mut args: DecideArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let screen = terminal.screen(args.page.out.as_deref(), args.page.width);
    let ids = ids(args.id, &mut args.input.files)?;
    let run = Run::new(args.input, args.figures, &args.page, terminal)?;
    let lexicon = &run.input.lexicon;
    let valued = run.valued()?;
    let mut pages = Vec::new();
    for id in &ids {
        let place = valued.cars.find(id)?;
        let (_, warnings) = valued.appraise_as(place, &valued.scenario(place));
        let told = valued.work_out(place, valued.told(place).clone());
        let car = Car::new(1, &valued.entry(place, &told, &warnings), lexicon);
        let checks = valued.checks(&told);
        let decision = decide(
            told,
            &valued.findings_of(place),
            checks,
            lexicon,
            &run.figures.profile,
            &|reading| valued.work_out(place, reading),
        );
        pages.push((car, decision));
    }
    let outcome = run.conclude(&valued)?;
    let pages: Vec<_> = pages
        .iter()
        .map(|(car, decision)| DecisionPage {
            car,
            decision,
            basis: &valued.cars.basis,
            lexicon,
        })
        .collect();
    deliver(args.page.out.as_deref(), |out| {
        if args.format == "json" {
            return write_decisions(&pages, out);
        }
        for (i, page) in pages.iter().enumerate() {
            if i > 0 {
                writeln!(out)?;
            }
            page.write(screen, out)?;
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
