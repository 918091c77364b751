//! `fixworth price`: the bill of each ad, by that ad alone.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::args::{InputArgs, OutputArgs};
use super::as_of::{AsOf, Newest};
use super::batch::Spare;
use super::config::{InputConfig, guard, must_exist, read_profile};
use super::error::CliError;
use super::market::{class_of, sound_car};
use super::run::Outcome;
use super::stream::{All, Stream, form, row_forms};
use super::terminal::Terminal;
use crate::costing::Estimator;
use crate::ledger::Factors;
use crate::reading::{Kind, Reader};
use crate::report::PriceRow;

/// `fixworth price`.
#[derive(Debug, ClapArgs)]
pub struct PriceArgs {
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// Your rates, skills and aims; 'fixworth profile' prints the default
    #[arg(long, value_name = "FILE", help_heading = "Figures")]
    pub profile: Option<PathBuf>,
    /// Your own factors on the table of repairs, as 'ledger --learn' writes them
    #[arg(long, value_name = "FILE", help_heading = "Figures")]
    pub repairs: Option<PathBuf>,
    /// Year that ages are counted to [default: that of each ad's own date, else
    /// of the tables]
    #[arg(long, value_name = "YEAR", help_heading = "Figures")]
    pub as_of: Option<AsOf>,
    /// Form of the bills [default: by the ending of --out, else jsonl]
    #[arg(long, value_parser = row_forms(), help_heading = "Output")]
    pub format: Option<String>,
    /// Where the bills go.
    #[command(flatten)]
    pub output: OutputArgs,
}

pub(super) fn price(args: PriceArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let progress = terminal.progress_beside(args.output.out.as_deref());
    let mut input = InputConfig::resolve(args.input)?.with(terminal, progress);
    let out = args.output.out.as_deref();
    let (profile, repairs) = (args.profile.as_deref(), args.repairs.as_deref());
    guard(out, args.output.force, &input, &[profile, repairs])?;
    let profile = read_profile(profile, &input.lexicon)?;
    if let Some(path) = repairs {
        must_exist(path)?;
        Factors::read(path, &input.lexicon.repairs)?.apply(&mut input.lexicon.repairs);
    }
    let lexicon = &input.lexicon;
    let reader = Reader::new(lexicon, profile.distance_unit);
    let of_tables = lexicon.vehicles.newest_year();
    let form = form(args.format.as_deref(), out, false)?;
    let spare = Spare::default();
    let render = |listings: Vec<_>| {
        let mut part = form.part::<PriceRow<'_>>();
        let mut scratch = spare.take();
        for listing in &listings {
            let reading = reader.read_with(listing, &mut scratch);
            let class = class_of(&reading, lexicon);
            let is_car = reading.kind == Kind::Car;
            let year = args.as_of.map_or_else(
                || {
                    let mut newest = Newest::default();
                    newest.look(listing, &reading);
                    newest.found(of_tables).0.year
                },
                |given| given.0.year,
            );
            let estimator = Estimator::new(lexicon, &profile, year.0);
            let bill = is_car.then(|| estimator.cost(&reading, class));
            let sound = sound_car(&reading, &profile, lexicon).map(|car| car.price);
            let row = PriceRow::new(&reading, class, sound, bill.as_ref());
            form.render(&[row], &mut part)?;
        }
        spare.put(scratch);
        Ok(part)
    };
    Stream {
        input: &input,
        form,
    }
    .run::<PriceRow<'_>>(out, render, All)
}
