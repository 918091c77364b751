//! Arguments of the commands for the telephone and for the car.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::args::{FigureArgs, InputArgs};

/// Where a page goes. It may be as narrow as a telephone.
#[derive(Debug, ClapArgs)]
pub struct PageArgs {
    /// Write to this file; it appears only once it is complete
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "out", help_heading = "Output")]
    pub force: bool,
    /// Width of text in columns [default: that of the terminal, else 80]
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(32..=400),
        help_heading = "Output")]
    pub width: Option<u16>,
}

/// `fixworth call`.
#[derive(Debug, ClapArgs)]
pub struct CallArgs {
    /// Id of the ad, as the shortlist shows it
    pub id: String,
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// Form of the page: html to print, with boxes to tick
    #[arg(long, default_value = "text", value_parser = ["text", "markdown", "html", "json"],
        help_heading = "Output")]
    pub format: String,
    /// Where the page goes.
    #[command(flatten)]
    pub page: PageArgs,
}

/// `fixworth sheet`.
#[derive(Debug, ClapArgs)]
pub struct SheetArgs {
    /// Id of an ad, as the shortlist shows it; more may follow
    pub id: String,
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// Form of the sheet: html to print, csv to fill in
    #[arg(long, default_value = "markdown", value_parser = ["markdown", "html", "csv"],
        help_heading = "Output")]
    pub format: String,
    /// Where the sheet goes.
    #[command(flatten)]
    pub page: PageArgs,
}

/// `fixworth decide`.
#[derive(Debug, ClapArgs)]
pub struct DecideArgs {
    /// Id of an ad, as the shortlist shows it; more may follow
    pub id: String,
    /// Where ads come from.
    #[command(flatten)]
    pub input: InputArgs,
    /// What figures are made with.
    #[command(flatten)]
    pub figures: FigureArgs,
    /// Form of the answer
    #[arg(long, default_value = "text", value_parser = ["text", "json"],
        help_heading = "Output")]
    pub format: String,
    /// Where the answer goes.
    #[command(flatten)]
    pub page: PageArgs,
}
