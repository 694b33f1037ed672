//! Words for what a soak proves.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use intake::soak_log::heading::Mapping;
use quantity::dimension::Temperature;

use super::picture::PictureArg;
use super::{ChangesArg, MachineArg};

/// A log, or two, of a machine with changes.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat proof my-machine.toml --after soak.csv                       is anything wrong with it as it is?
  reseat proof my-machine.toml --with PART --before old.csv --after new.csv
  reseat proof demo --after demo-after --with tern-2-rush --with holloway-120 --with skerry-fine
  reseat proof my-machine.toml --after soak.csv --open side-open.csv  is it the cooler, or the air in the case?
  reseat proof my-machine.toml --after soak.csv --case-air \"38 °C\"    the same, by a thermometer
  reseat proof my-machine.toml --after log.csv --column \"time s=Zeit\" --column \"package °C=CPU\"

Logs of the demo: demo-before, demo-after, demo-little-paste. docs/soak-log.md says how to write one.

Exit code 0: it passes; 1: a criterion fails or a fault is found; 2: a log cannot be read; 3: it cannot be told.")]
pub(crate) struct Proof {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    /// Log of the soak after the work, or of the machine as it is.
    #[arg(long, value_name = "LOG")]
    pub(crate) after: String,
    /// Log of the soak before the work.
    #[arg(long, value_name = "LOG")]
    pub(crate) before: Option<String>,
    /// Log of the soak after the work once more, with the side of the case open: tells the cooler from the air in the case.
    #[arg(long, value_name = "LOG")]
    pub(crate) open: Option<String>,
    /// What a thermometer said at the cooler's air inlet at the end of the load: tells the cooler from the air in the case.
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) case_air: Option<Temperature>,
    /// Which column of a log from elsewhere is which of ours; may be given more than once.
    #[arg(long = "column", value_name = "OURS=THEIRS")]
    pub(crate) columns: Vec<Mapping>,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Also draw the structure function into this file: PNG where its name ends so, else SVG.
    #[arg(long, value_name = "FILE")]
    pub(crate) structure: Option<PathBuf>,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
