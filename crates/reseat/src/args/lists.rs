//! Words for lists that are taken into a library.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use quantity::day::Day;

use super::KindArg;

/// The library that lists are taken into.
#[derive(Debug, ClapArgs)]
pub(crate) struct ShelfArg {
    /// Folder of the parts library.
    #[arg(long, value_name = "DIR")]
    pub(crate) library: PathBuf,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Day on which something is done.
#[derive(Debug, Clone, Copy, ClapArgs)]
pub(crate) struct TodayArg {
    /// The day to count from, as 2026-11-20, instead of this computer's.
    #[arg(long, value_name = "DAY")]
    pub(crate) today: Option<Day>,
}

/// A list and how it is read.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat parts preview prices.csv --library parts/ --shop Alder --day 2026-11-20 --currency EUR
  reseat parts preview list.xlsx --kind processor --library parts/ --save-mapping alder.toml
  reseat parts take list.xlsx --mapping alder.toml --library parts/

A list is CSV with any separator, an xlsx or ods spreadsheet, or the JSON results of a SPARQL query. What each
heading means is guessed, shown, and can be saved as a mapping to correct and use again.")]
pub(crate) struct ListArg {
    /// The list.
    #[arg(value_name = "LIST")]
    pub(crate) list: PathBuf,
    #[command(flatten)]
    pub(crate) shelf: ShelfArg,
    /// Which heading is which field: a mapping that an earlier preview saved.
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    /// Save the mapping that was used, guesses included.
    #[arg(long, value_name = "FILE")]
    pub(crate) save_mapping: Option<PathBuf>,
    /// What every row is; left out for a price list of parts that the library knows.
    #[arg(long, value_enum)]
    pub(crate) kind: Option<KindArg>,
    /// Day of the prices, where no column says it.
    #[arg(long, value_name = "DAY")]
    pub(crate) day: Option<Day>,
    /// Shop of the prices, where no column says it.
    #[arg(long, value_name = "NAME")]
    pub(crate) shop: Option<String>,
    /// Currency of prices that do not say their own, as EUR.
    #[arg(long, value_name = "CODE")]
    pub(crate) currency: Option<String>,
    /// Show every line, not only the first of each group.
    #[arg(long)]
    pub(crate) all: bool,
    #[command(flatten)]
    pub(crate) today: TodayArg,
}
