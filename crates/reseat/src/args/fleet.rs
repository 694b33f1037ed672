//! Words for fleets.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};

use super::LibraryArg;
use super::picture::PictureArg;

/// What is made as large as can be.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum GoalArg {
    /// Money over the years: value of the time saved, less more energy, less what is spent.
    Worth,
    /// Hours a year that nobody waits any more.
    Hours,
}

/// Which of many machines to upgrade.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat fleet demo --budget \"4000 EUR\" --hours 40     an invented school district
  reseat fleet machines/ --common ours.toml            a folder of records and captures
  reseat fleet machines.csv --stock PROCESSOR=12       a table, with a part that is nearly gone
  reseat fleet machines.parquet --table plan.parquet   columns files in and out
  reseat fleet demo --sheets jobs/                     job sheets in the order of the work

A table has a column for each field, called as the record calls it: id, name, processor.id, board.id, memory.id,
setting.room, task.time_a_day ... A row that cannot be read is told with its line and stops no other.

Exit codes: 0 planned; 2 no machine could be read; 3 planned, but for some machines it cannot be told.")]
pub(crate) struct Fleet {
    /// Folders, records, captures, tables (CSV or Parquet), or demo for an invented school district.
    #[arg(value_name = "SOURCE", required = true)]
    pub(crate) sources: Vec<String>,
    /// A machine file with the fields that hold for every machine which does not say otherwise.
    #[arg(long, value_name = "FILE")]
    pub(crate) common: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) library: LibraryArg,
    /// Most that may be spent on all machines, resale taken off, as "4000 EUR".
    #[arg(long, value_name = "MONEY")]
    pub(crate) budget: Option<String>,
    /// Most hours at the bench for all machines.
    #[arg(long, value_name = "HOURS")]
    pub(crate) hours: Option<f64>,
    /// How many of a part can be had; may be given for several parts.
    #[arg(long = "stock", value_name = "PART=COUNT")]
    pub(crate) stock: Vec<String>,
    /// What is made as large as can be.
    #[arg(long, value_enum, default_value = "worth")]
    pub(crate) goal: GoalArg,
    /// Years over which a change is judged, where a record names no payback time.
    #[arg(long, value_name = "YEARS", default_value_t = upgrade::route::pick::YEARS)]
    pub(crate) years: f64,
    /// Processors that come out go into no other machine.
    #[arg(long)]
    pub(crate) no_reuse: bool,
    /// What comes out brings no money.
    #[arg(long)]
    pub(crate) no_resale: bool,
    /// Seconds after which the choice is taken as good as it is then, and how far off it can be is told.
    #[arg(long, value_name = "SECONDS", default_value_t = 20.0)]
    pub(crate) time_limit: f64,
    /// Also show what more money would bring.
    #[arg(long)]
    pub(crate) curve: bool,
    /// Write one row for each machine into this file: Parquet where its name ends so, else CSV.
    #[arg(long, value_name = "FILE")]
    pub(crate) table: Option<PathBuf>,
    /// Write the job sheets as HTML files into this folder.
    #[arg(long, value_name = "DIR")]
    pub(crate) sheets: Option<PathBuf>,
    /// Write every problem of every machine into this CSV file.
    #[arg(long, value_name = "FILE")]
    pub(crate) problems: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
