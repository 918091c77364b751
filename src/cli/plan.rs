//! `fixworth plan`: which cars to buy under limits.

use clap::Args as ClapArgs;

use super::args::{FigureArgs, InputArgs, OutputArgs, actions, amount, count, hours};
use super::batch;
use super::config::{FigureConfig, InputConfig};
use super::error::CliError;
use super::output::deliver;
use super::pipeline;
use super::run::{Outcome, apart, conclude};
use super::terminal::Terminal;
use crate::margin::{Action, Sort};
use crate::plan::{Candidate, Limits, best, more};
use crate::report::Entry;
use crate::report::plan::{PlanList, PlanParts};
use crate::units::{Hours, Money};

/// The arguments.
#[derive(Debug, ClapArgs)]
pub struct PlanArgs {
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// Money that may be laid out on all cars together
    #[arg(long, value_name = "AMOUNT", value_parser = amount, help_heading = "Limits")]
    pub budget: Option<Money>,
    /// Hours of your own that there are
    #[arg(long, value_name = "HOURS", value_parser = hours, help_heading = "Limits")]
    pub hours: Option<Hours>,
    /// Cars that there is room for
    #[arg(long, value_name = "N", value_parser = count, help_heading = "Limits")]
    pub space: Option<usize>,
    /// Choose among ads to view, ask about, or skip
    #[arg(long, value_delimiter = ',', value_parser = actions(), default_value = "view",
        help_heading = "Choice")]
    pub actions: Vec<Action>,
    /// Form of the plan
    #[arg(long, default_value = "table", value_parser = ["table", "csv", "json", "markdown"],
        help_heading = "Output")]
    pub format: String,
    /// Where the plan goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Chooses the cars.
///
/// # Errors
/// No limit at all, or what keeps the figures from being made.
pub fn plan(args: PlanArgs, terminal: Terminal) -> Result<Outcome, CliError> {
    let limits = Limits {
        budget: args.budget,
        hours: args.hours,
        space: args.space,
    };
    if limits == Limits::default() {
        let problem = "give at least one limit: --budget, --hours or --space";
        return Err(CliError::Usage(problem.to_owned()));
    }
    let screen = terminal.screen_of(&args.output);
    let mut input = InputConfig::resolve(args.input)?.on(terminal);
    apart(&args.output, &input, &args.figures)?;
    let figures = FigureConfig::resolve(args.figures, &mut input.lexicon)?;
    let batch = batch::read(&input, figures.profile.distance_unit)?;
    let all = pipeline::appraise(batch, &figures, &input.lexicon, Sort::Margin)?;
    let mut candidates: Vec<(Entry<'_>, Candidate)> = all
        .entries()
        // What is gone cannot be bought.
        .filter(|e| {
            args.actions.contains(&e.appraisal.action) && e.history.is_none_or(|h| h.gone.is_none())
        })
        .filter_map(|entry| {
            let profile = figures.profile.at(entry.listing.place.as_deref());
            let figures = Candidate::of(entry.appraisal, &profile)?;
            (figures.margin > Money::ZERO).then_some((entry, figures))
        })
        .collect();
    candidates.sort_by(|a, b| Sort::Margin.compare(a.0.appraisal, b.0.appraisal));
    let ask_first = if args.actions.contains(&Action::Ask) {
        0
    } else {
        let asks = all.appraisals.iter().filter(|a| a.action == Action::Ask);
        asks.filter(|a| a.margin.is_some_and(|m| m.likely > Money::ZERO))
            .count()
    };
    let takes: Vec<Candidate> = candidates.iter().map(|(_, c)| *c).collect();
    let chosen = best(&takes, &limits);
    let list = PlanList::new(
        PlanParts {
            basis: all.basis.clone(),
            ads: all.rows,
            limits,
            ask_first,
            more: more(&takes, &limits, &chosen),
            candidates,
            chosen,
        },
        &input.lexicon,
    );
    let outcome = conclude(&input, &all.rejects, &all.notes)?;
    deliver(args.output.out.as_deref(), |out| {
        match args.format.as_str() {
            "csv" => list.write_csv(out),
            "json" => list.write_json(out),
            "markdown" => list.write_markdown(out),
            _ => list.write_table(screen, out),
        }
    })?;
    Ok(outcome)
}
