//! Arguments of the commands that help to keep the tables.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Subcommand};

use super::args::{InputArgs, OutputArgs, count};

/// `fixworth grade`.
#[derive(Debug, ClapArgs)]
pub struct GradeArgs {
    /// Labelled ads, JSON lines
    #[arg(required = true, value_name = "LABELLED")]
    pub files: Vec<PathBuf>,
    /// Folder of tables to use in place of the built-in ones of the same name
    #[arg(long, value_name = "DIR", help_heading = "Tables")]
    pub lexicon: Option<PathBuf>,
    /// Tables to compare with, or the word built-in: what is gained, what broken
    #[arg(long, value_name = "DIR", help_heading = "Tables")]
    pub against: Option<PathBuf>,
    /// Leave out ads whose number in the id is divisible by N: those that are
    /// held back while the tables are made
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(2..),
        help_heading = "Choice")]
    pub leave_out: Option<u64>,
    /// Show the first N mistakes
    #[arg(long, value_name = "N", value_parser = count, help_heading = "Output")]
    pub misses: Option<usize>,
    /// Tell why each ad with a mistake shown is read so
    #[arg(long, requires = "misses", help_heading = "Output")]
    pub why: bool,
    /// Where the grade goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `fixworth lexicon`.
#[derive(Debug, Subcommand)]
pub enum LexiconCommand {
    /// Find rows of the tables that can never act, or look as if they might not
    #[command(after_long_help = "Examples:\n  \
        fixworth lexicon check --lexicon mine\n  \
        fixworth lexicon check --errors-only\n\n\
        Exit codes: 0 no errors, though there may be notes; 1 errors; 2 not checked.")]
    Check(CheckArgs),
    /// Write the built-in tables to a folder, to be changed and given to --lexicon
    #[command(after_long_help = "Example:\n  fixworth lexicon export tables")]
    Export(ExportArgs),
    /// List words near faults in your own ads that no table knows
    #[command(after_long_help = "Examples:\n  \
        fixworth lexicon gaps ads.csv\n  \
        fixworth lexicon gaps a.csv b.csv --lexicon mine --least 5 --top 100")]
    Gaps(GapsArgs),
    /// Learn the table of leanings anew from labelled ads: what the words around a part make likely
    #[command(after_long_help = "Example:\n  \
        fixworth lexicon leanings labelled.jsonl --leave-out 3\n\n\
        Put the table into a folder for --lexicon; 'fixworth grade' shows what it gains.")]
    Leanings(LeaningsArgs),
}

/// `fixworth lexicon check`.
#[derive(Debug, ClapArgs)]
pub struct CheckArgs {
    /// Folder of tables to use in place of the built-in ones of the same name
    #[arg(long, value_name = "DIR")]
    pub lexicon: Option<PathBuf>,
    /// Leave the notes out
    #[arg(long)]
    pub errors_only: bool,
    /// Write to this file; it appears only once it is complete
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    pub force: bool,
}

/// `fixworth lexicon export`.
#[derive(Debug, ClapArgs)]
pub struct ExportArgs {
    /// Folder to write to; it is made if need be
    #[arg(value_name = "DIR")]
    pub dir: PathBuf,
    /// Write over tables that are there
    #[arg(long)]
    pub force: bool,
}

/// Which leanings are learnt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum LeaningsOf {
    /// leanings.csv: the states of parts
    Parts,
    /// moves_leanings.csv: whether the car moves
    Moves,
    /// passing.csv: a second look at what the rules find
    Passing,
    /// context.csv: what an ad says by all of its words
    Context,
}

/// `fixworth lexicon leanings`.
#[derive(Debug, ClapArgs)]
pub struct LeaningsArgs {
    /// Labelled ads, JSON lines
    #[arg(required = true, value_name = "LABELLED")]
    pub files: Vec<PathBuf>,
    /// Labelled ads that no table or rule was made from: what is learnt is tried on them,
    /// since only there do rules err as often as in any ad
    #[arg(long, num_args = 1.., value_name = "LABELLED", help_heading = "Choice")]
    pub fresh: Vec<PathBuf>,
    /// Which table to learn
    #[arg(long, value_enum, default_value = "parts", help_heading = "Choice")]
    pub of: LeaningsOf,
    /// Folder of tables to use in place of the built-in ones of the same name
    #[arg(long, value_name = "DIR", help_heading = "Tables")]
    pub lexicon: Option<PathBuf>,
    /// Leave out ads whose number in the id is divisible by N, to grade by them
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(2..),
        help_heading = "Choice")]
    pub leave_out: Option<u64>,
    /// Write to this file; it appears only once it is complete
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, help_heading = "Output")]
    pub force: bool,
}

/// `fixworth lexicon gaps`.
#[derive(Debug, ClapArgs)]
pub struct GapsArgs {
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// Show no more than the first N
    #[arg(long, value_name = "N", value_parser = count, default_value = "40", help_heading = "Choice")]
    pub top: usize,
    /// Leave out words that stand near faults in fewer ads
    #[arg(long, value_name = "N", default_value = "3", help_heading = "Choice")]
    pub least: u32,
    /// Where the list goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
