//! The command line as typed, before it is known what it means.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args as ClapArgs, Parser, Subcommand};

use super::as_of::AsOf;
use super::error::CliError;
use super::kerb_args::{CallArgs, DecideArgs, SheetArgs};
use super::ledger::LedgerArgs;
use super::plan::PlanArgs;
use super::price::PriceArgs;
use super::seen::SeenOn;
#[cfg(feature = "terminal")]
use super::shell::{CompletionsArgs, ManArgs};
use super::stream::row_forms;
use super::survey::{ColumnsArgs, SchemaArgs};
use super::terminal::TerminalArgs;
use super::upkeep_args::{GradeArgs, LexiconCommand};
use super::usage;
pub(super) use super::values::{amount, count, hours};
use crate::day::Day;
use crate::intake::ColumnOverride;
use crate::margin::{Action, Sort};
use crate::units::Money;

/// What is left of a car after the repair, read from saved ads.
#[derive(Debug, Parser)]
#[command(
    name = "fixworth",
    version,
    max_term_width = 80,
    disable_help_subcommand = true,
    about = "Reads saved ads for cars that need work and ranks what is left after the repair",
    long_about = "Reads CSV exports of ads for cars that need work, turns what each ad tells \
        into jobs, parts, hours and money, and ranks the cars by what is left after the \
        repair. It estimates; it certifies nothing.",
    after_long_help = "Examples:\n  \
        fixworth shortlist ads.csv\n  \
        fixworth shortlist boards/*.csv --top 20 --max-price 2000 --actions view,ask\n  \
        fixworth explain 7312345678 ads.csv\n  \
        fixworth profile > mine.toml\n\n\
        Exit codes: 0 done; 1 rows were rejected and --strict was given, or 'lexicon \
        check' found errors; 2 nothing done, the reason is on standard error."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// How to behave.
    #[command(flatten)]
    pub terminal: TerminalArgs,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Rank the ads by what is left after the repair
    #[command(after_long_help = "Examples:\n  \
        fixworth shortlist ads.csv\n  \
        fixworth shortlist ads.csv --profile mine.toml --comparables sold.csv\n  \
        fixworth shortlist a.csv b.csv --sort low-end --out list.csv\n  \
        fixworth shortlist odd.csv --column price=Cost --column text=Words\n  \
        fixworth shortlist boards/*.csv --new\n  \
        fixworth shortlist ads.csv --top 100 --format html --out page.html\n\n\
        Several exports are taken together: what is of one car becomes one row.")]
    Shortlist(ShortlistArgs),
    /// Write what each ad says, with the place where it says so
    #[command(after_long_help = "Examples:\n  \
        fixworth read ads.csv > readings.jsonl\n  \
        fixworth read ads.csv --format csv --out readings.csv\n  \
        fixworth read ads.csv --why --id 7312345678 | less\n\n\
        Bytes of evidence count from the headline on, a line break, then the body.")]
    Read(ReadArgs),
    /// Write what the car of each ad takes to put right, by that ad alone
    #[command(after_long_help = "Examples:\n  \
        fixworth price ads.csv > bills.jsonl\n  \
        fixworth price ads.csv --profile mine.toml --format csv --out bills.csv\n\n\
        Each bill rests on its ad and your figures only, so that ads may be cut into\n\
        parts and priced anywhere; 'shortlist' ranks those that you keep.")]
    Price(PriceArgs),
    /// Show one ad in full: what was read where, and how each figure was made
    #[command(after_long_help = "Examples:\n  \
        fixworth explain 7312345678 ads.csv\n  \
        fixworth explain 7312345678 ads.csv --profile mine.toml | less\n  \
        fixworth explain 7312345678 ads.csv --what-if ask=600 --what-if hour_value=25\n  \
        fixworth explain 7312345678 ads.csv --what-if title=clean --what-if clutch=bad\n\n\
        --what-if takes keys of the profile; ask, ask_basis, miles, year, title, moves \
        and gearbox of the ad; worth; or the code of a part with bad, suspect, renewed, \
        sound, spare or unsaid. It shows the figures before and after.\n\n\
        Give the same files and options as to 'shortlist': the other ads tell what cars \
        are worth.")]
    Explain(ExplainArgs),
    /// Set what cars really took and brought against the estimates
    #[command(after_long_help = "Examples:\n  \
        fixworth ledger ledger.csv ads.csv\n  \
        fixworth ledger ledger.csv ads.csv --learn my-repairs.csv\n  \
        fixworth shortlist ads.csv --repairs my-repairs.csv\n\n\
        A row of the ledger is of one kind: bought, part, tool, outwork, fee, hours (the \
        amount is hours), sold. Its code is a job of repairs.csv or a part of parts.csv.")]
    Ledger(LedgerArgs),
    /// One page to have at hand when you call a seller: what to ask, and what
    /// each answer means for the price
    #[command(after_long_help = "Examples:\n  \
        fixworth call 7312345678 ads.csv --profile mine.toml\n  \
        fixworth call 7312345678 ads.csv --format markdown --out call.md\n  \
        fixworth call 7312345678 ads.csv --format html --out call.html")]
    Call(CallArgs),
    /// A sheet of what to look at on the cars, in the order of doing
    #[command(after_long_help = "Examples:\n  \
        fixworth sheet 7312345678 ads.csv --format html --out sheet.html\n  \
        fixworth sheet 1 2 a.csv b.csv --format csv --out form.csv\n\n\
        Filled in, the CSV is what --findings of 'decide' and 'shortlist' takes.")]
    Sheet(SheetArgs),
    /// Say what to do about a car once you have looked at it
    #[command(after_long_help = "Examples:\n  \
        fixworth decide 7312345678 ads.csv --findings findings.csv\n  \
        fixworth decide 7312345678 ads.csv --findings findings.csv --width 50\n\n\
        Findings: id, check (of checks.csv) or code (of parts.csv), outcome (good, bad),\n\
        and if you like note, cost (your own figure for all of it), spare (yes: the part\n\
        lies with the car). Check may also be ask, miles, title, moves or gearbox, with\n\
        the value as outcome.")]
    Decide(DecideArgs),
    /// Choose the cars that bring most with so much money, time and room
    #[command(after_long_help = "Examples:\n  \
        fixworth plan ads.csv --budget 2500 --hours 80\n  \
        fixworth plan boards/*.csv --budget 4000 --space 2 --actions view,ask\n  \
        fixworth plan ads.csv --hours 40 --format csv --out plan.csv\n\n\
        The set is the best there is by expected margin, not a good guess. --budget is \
        what leaves your pocket until the cars are sold: price, parts, work that goes \
        out, fetching, fees.")]
    Plan(PlanArgs),
    /// Print the default profile with an explanation of each key
    #[command(after_long_help = "Example:\n  \
        fixworth profile > mine.toml    then change what is yours, and\n  \
        fixworth shortlist ads.csv --profile mine.toml")]
    Profile(ProfileArgs),
    /// Compare what is read of labelled ads with their labels
    #[command(after_long_help = "Examples:\n  \
        fixworth grade labelled.jsonl\n  \
        fixworth grade labelled.jsonl --misses 40 --why | less\n  \
        fixworth grade labelled.jsonl --lexicon mine --against built-in\n\n\
        A labelled ad is one JSON object a line: id, title_text, body, price_field, \
        odometer_field, year_field, and gold, what a careful person read.")]
    Grade(GradeArgs),
    /// Show how the columns of files are taken
    #[command(after_long_help = "Examples:\n  \
        fixworth columns ads.csv\n  \
        fixworth columns odd.csv --column price=Cost")]
    Columns(ColumnsArgs),
    /// Write the JSON Schema of what is printed as JSON
    #[command(after_long_help = "Examples:\n  \
        fixworth schema\n  \
        fixworth schema shortlist > shortlist.schema.json")]
    Schema(SchemaArgs),
    /// Check, export and extend the tables that ads are read with
    #[command(subcommand)]
    Lexicon(LexiconCommand),
    /// Write what a shell needs to complete commands and options
    #[cfg(feature = "terminal")]
    #[command(after_long_help = "Example:\n  \
        fixworth completions bash > fixworth.bash    then source it, or put it where\n  \
        the shell looks for completions")]
    Completions(CompletionsArgs),
    /// Write a manual page
    #[cfg(feature = "terminal")]
    #[command(after_long_help = "Examples:\n  \
        fixworth man > fixworth.1\n  \
        fixworth man lexicon check > fixworth-lexicon-check.1")]
    Man(ManArgs),
}

/// How files of ads are taken.
#[derive(Debug, ClapArgs)]
pub struct TakeArgs {
    /// Read a field from the column with this header, where it is not found
    #[arg(long = "column", value_name = "FIELD=HEADER", help_heading = "Input")]
    pub columns: Vec<ColumnOverride>,
    /// Folder of tables to use in place of the built-in ones of the same name
    #[arg(long, value_name = "DIR", help_heading = "Input")]
    pub lexicon: Option<PathBuf>,
}

/// Where ads come from.
#[derive(Debug, ClapArgs)]
pub struct InputArgs {
    /// CSV exports of ads, JSON objects one a line, or (where it was built in)
    /// Parquet; - for standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// How they are taken.
    #[command(flatten)]
    pub take: TakeArgs,
    /// Write the rows that could not be used to this file, with the reason
    #[arg(long, value_name = "FILE", help_heading = "Input")]
    pub rejects: Option<PathBuf>,
    /// Exit with 1 where a row could not be used
    #[arg(long, help_heading = "Input")]
    pub strict: bool,
}

/// What figures are made with.
#[derive(Debug, ClapArgs)]
pub struct FigureArgs {
    /// Your rates, skills and aims; 'fixworth profile' prints the default
    #[arg(long, value_name = "FILE", help_heading = "Figures")]
    pub profile: Option<PathBuf>,
    /// CSV of cars with known prices; without it the ads' own sound cars serve
    #[arg(long, value_name = "FILE", help_heading = "Figures")]
    pub comparables: Option<PathBuf>,
    /// Year (or date) that ages are counted to [default: that of the newest ad]
    #[arg(long, value_name = "YEAR", help_heading = "Figures")]
    pub as_of: Option<AsOf>,
    /// CSV of what you found at cars, or the sheet filled in: id, check or
    /// code, outcome, note, cost, spare
    #[arg(long, value_name = "FILE", help_heading = "Figures")]
    pub findings: Option<PathBuf>,
    /// Day on which a file was saved [default: the date in its name, else the
    /// newest date of its rows]
    #[arg(long, value_name = "FILE=DATE", help_heading = "Figures")]
    pub seen: Vec<SeenOn>,
    /// Your own factors on the table of repairs, as 'ledger --learn' writes them
    #[arg(long, value_name = "FILE", help_heading = "Figures")]
    pub repairs: Option<PathBuf>,
}

impl FigureArgs {
    /// The files that are read for the figures.
    pub fn files(&self) -> [Option<&Path>; 4] {
        [
            &self.profile,
            &self.comparables,
            &self.findings,
            &self.repairs,
        ]
        .map(Option::as_deref)
    }
}

/// Where the result goes.
#[derive(Debug, ClapArgs)]
pub struct OutputArgs {
    /// Write to this file; it appears only once it is complete
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub out: Option<PathBuf>,
    /// Write over files that are there
    #[arg(long, help_heading = "Output")]
    pub force: bool,
    /// Width of text in columns [default: that of the terminal, else 80]
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(32..=400),
        help_heading = "Output")]
    pub width: Option<u16>,
}

/// `fixworth shortlist`.
#[derive(Debug, ClapArgs)]
pub struct ShortlistArgs {
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// What to rank by, the most first
    #[arg(long, default_value = "margin", value_parser = sorts(), help_heading = "Choice")]
    pub sort: Sort,
    /// Show no more than the first N
    #[arg(long, value_name = "N", value_parser = count, help_heading = "Choice")]
    pub top: Option<usize>,
    /// Leave out ads that ask more; ads without a price stay
    #[arg(long, value_name = "AMOUNT", value_parser = amount, help_heading = "Choice")]
    pub max_price: Option<Money>,
    /// Leave out ads whose expected margin is less or unknown
    #[arg(long, value_name = "AMOUNT", value_parser = amount, allow_negative_numbers = true,
        help_heading = "Choice")]
    pub min_margin: Option<Money>,
    /// Show only ads to view, ask about, or skip
    #[arg(long, value_delimiter = ',', value_parser = actions(), help_heading = "Choice")]
    pub actions: Vec<Action>,
    /// Show only what is new, cheaper, gone or otherwise changed after this day
    #[arg(
        long,
        value_name = "DATE",
        conflicts_with = "new",
        help_heading = "Choice"
    )]
    pub since: Option<Day>,
    /// The same for the newest export of each search, against the one before
    #[arg(long, help_heading = "Choice")]
    pub new: bool,
    /// Show also cars that the newest export leaves out
    #[arg(long, help_heading = "Choice")]
    pub gone: bool,
    /// Form of the list [default: by the ending of --out, else table]
    #[arg(long, value_parser = list_forms(), help_heading = "Output")]
    pub format: Option<String>,
    /// Show telephone numbers and mail addresses of the ads' texts in the page
    /// of '--format html'
    #[cfg(feature = "page")]
    #[arg(long, help_heading = "Output")]
    pub keep_contacts: bool,
    /// Where the list goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `fixworth read`.
#[derive(Debug, ClapArgs)]
pub struct ReadArgs {
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// Your profile, for the unit of distances that have none
    #[arg(long, value_name = "FILE", help_heading = "Input")]
    pub profile: Option<PathBuf>,
    /// Form of the readings [default: by the ending of --out, else jsonl]
    #[arg(long, value_parser = row_forms(), help_heading = "Output")]
    pub format: Option<String>,
    /// Add the text that the evidence points into (contacts not masked in JSON)
    #[arg(long, help_heading = "Output")]
    pub with_text: bool,
    /// Only the ad with this id
    #[arg(long, value_name = "ID", help_heading = "Choice")]
    pub id: Option<String>,
    /// Tell instead why each ad is read so: words, phrases, reach of cues,
    /// numbers; slow, so best with --id
    #[arg(long, help_heading = "Output", conflicts_with_all = ["format", "with_text"])]
    pub why: bool,
    /// Where the readings go.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `fixworth explain`.
#[derive(Debug, ClapArgs)]
pub struct ExplainArgs {
    /// Id of the ad, as the shortlist shows it
    pub id: String,
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// Suppose a figure or fact otherwise, and show what that changes
    #[arg(long, value_name = "KEY=VALUE", help_heading = "Figures")]
    pub what_if: Vec<Assignment>,
    /// Form of the explanation
    #[arg(long, default_value = "text", value_parser = ["text", "json"],
        help_heading = "Output")]
    pub format: String,
    /// Show telephone numbers and mail addresses of the ad's text in
    /// '--format json'; else each of their letters is '*'
    #[arg(long, help_heading = "Output")]
    pub keep_contacts: bool,
    /// Where the text goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// A name and what it is to be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assignment {
    /// The name.
    pub key: String,
    /// The value as written.
    pub value: String,
}

impl FromStr for Assignment {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (key, value) = text
            .split_once('=')
            .ok_or("give KEY=VALUE such as hour_value=25")?;
        Ok(Assignment {
            key: key.trim().to_owned(),
            value: value.trim().to_owned(),
        })
    }
}

/// `fixworth profile`.
#[derive(Debug, ClapArgs)]
pub struct ProfileArgs {
    /// Write to this file; it appears only once it is complete
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

impl Args {
    /// Parses the process's arguments.
    ///
    /// # Errors
    /// One line that says what is wrong; or the help that was asked for, as
    /// [`CliError::Help`].
    pub fn parse_from_words(
        words: impl IntoIterator<Item = impl Into<OsString>>,
    ) -> Result<Self, CliError> {
        let words: Vec<OsString> = words.into_iter().map(Into::into).collect();
        Args::try_parse_from(&words).map_err(|e| usage::explained(&e, &words))
    }
}

/// The forms that a list can have.
fn list_forms() -> PossibleValuesParser {
    let mut forms = vec!["table", "csv", "json", "jsonl", "markdown"];
    if cfg!(feature = "page") {
        forms.push("html");
    }
    if cfg!(feature = "workbook") {
        forms.push("xlsx");
    }
    PossibleValuesParser::new(forms)
}

fn sorts() -> impl TypedValueParser<Value = Sort> {
    PossibleValuesParser::new(Sort::ALL.iter().map(|s| s.word())).map(|word| {
        let all = Sort::ALL.iter().copied();
        all.into_iter()
            .find(|s| s.word() == word)
            .unwrap_or_default()
    })
}

pub(super) fn actions() -> impl TypedValueParser<Value = Action> {
    PossibleValuesParser::new(Action::ALL.iter().map(|a| a.word())).map(|word| {
        let all = Action::ALL.iter().copied();
        all.into_iter()
            .find(|a| a.word() == word)
            .unwrap_or(Action::Skip)
    })
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_commands_are_well_formed() {
        Args::command().debug_assert();
    }

    #[test]
    fn every_help_line_fits_80_columns() {
        let mut command = Args::command();
        command.build();
        let mut waiting: Vec<_> = command.get_subcommands().cloned().collect();
        while let Some(mut sub) = waiting.pop() {
            waiting.extend(sub.get_subcommands().cloned());
            let help = sub.render_long_help().to_string();
            for line in help.lines() {
                assert!(line.chars().count() <= 80, "{}: {line}", sub.get_name());
            }
        }
    }
}
