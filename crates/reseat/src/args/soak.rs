//! Words for loading, logging and watching this machine.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};
use quantity::dimension::{Duration, Frequency, Temperature};
use soak::sensors::choice::Choice;

use super::picture::PictureArg;

/// Loads.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum LoadArg {
    /// Multiply and add in the widest registers: the most heat.
    Vector,
    /// Matrix product through registers, caches and memory.
    Matrix,
    /// Whole numbers.
    Integer,
    /// Jumps that cannot be foretold.
    Branch,
    /// Addresses and values inside the caches.
    Cache,
    /// Streams through memory.
    Memory,
    /// All of these in turn.
    Mixed,
}

/// Layouts.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum LayoutArg {
    /// All cores at once.
    All,
    /// One core after another.
    Each,
    /// Full load and rest in turn.
    Steps,
    /// From nothing to full load and back, slowly.
    Sweep,
}

/// Load this machine and watch it.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat soak --list                                what can be read here, and the limits
  reseat soak --log before.csv                      two minutes of rest, ten of load, two of rest
  reseat soak --load matrix --layout steps --time \"5 min\" --rest \"30 s\"
  reseat soak --sensor package=lm75/temp1           where the program does not know the sensor
  reseat soak --trial 0 --time \"5 s\" --rest \"0 s\"   flip a bit on purpose, and see that it is found

It stops by itself at a temperature limit, when a sensor is lost or frozen, and at a wrong result. Ctrl-C stops it at
once. When every sensor has stood still for a minute the load rests for two seconds, to see whether they live. Stay with a machine whose cooler nobody has proven.

Exit codes: 0 done; 1 a limit was reached or a result was wrong; 2 it cannot be done as asked; 3 it was stopped, or
no sensor can be relied on.")]
pub(crate) struct Soak {
    /// What the cores do.
    #[arg(long, value_enum, default_value = "vector")]
    pub(crate) load: LoadArg,
    /// Which cores do it when.
    #[arg(long, value_enum, default_value = "all")]
    pub(crate) layout: LayoutArg,
    /// How long the load lasts.
    #[arg(long, value_name = "TIME", default_value = "10 min")]
    pub(crate) time: Duration,
    /// Rest before and after it; what every rise is measured from.
    #[arg(long, value_name = "TIME", default_value = "2 min")]
    pub(crate) rest: Duration,
    /// Stop at this temperature instead of the one that the machine's own report leads to; lower only.
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) limit: Option<Temperature>,
    /// Rows of the log in a second, 100 Hz at most.
    #[arg(long, value_name = "RATE", default_value = "10 Hz")]
    pub(crate) rate: Frequency,
    /// Write the log into this new file: CSV, or Parquet where the name ends so.
    #[arg(long, value_name = "FILE")]
    pub(crate) log: Option<PathBuf>,
    /// Temperature of the room, for the log.
    #[arg(long, value_name = "TEMPERATURE")]
    pub(crate) room: Option<Temperature>,
    /// Only these threads of the processor, by the system's numbers.
    #[arg(long, value_name = "NUMBER", value_delimiter = ',')]
    pub(crate) cores: Vec<usize>,
    /// Say what a sensor is: package, core N, stages, board, cooler, case air or room; power or wall for one of power.
    #[arg(long, value_name = "PLACE=CHIP/SENSOR")]
    pub(crate) sensor: Vec<Choice>,
    /// Run although nothing would stop a run that gets too hot; for five minutes at most.
    #[arg(long)]
    pub(crate) blind: bool,
    /// Flip a bit in the data of this core's load, to see that it is found; the number is of those that work, from 0.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) trial: Option<usize>,
    /// Read the sensors below this folder instead of this machine's.
    #[arg(long, value_name = "DIR")]
    pub(crate) sensors: Option<PathBuf>,
    /// Only show what can be read, and the limits.
    #[arg(long)]
    pub(crate) list: bool,
    /// Print a JSON value a second and one at the end, each on its line.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Look at a log, or write it in the other form.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat log soak.csv                       what is in it, and what looks wrong
  reseat log soak.csv --parquet soak.parquet
  reseat log soak.parquet --csv soak.csv
  reseat log soak.parquet --svg soak.svg    its temperatures as curves
  reseat log theirs.csv --column \"time s=Zeit\" --column \"package °C=Sensor 7\"")]
pub(crate) struct Log {
    /// A soak log, CSV or Parquet.
    pub(crate) file: PathBuf,
    /// Write it as CSV into this file.
    #[arg(long, value_name = "FILE")]
    pub(crate) csv: Option<PathBuf>,
    /// Write it as Parquet into this file.
    #[arg(long, value_name = "FILE")]
    pub(crate) parquet: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Another program's column that stands for one of ours.
    #[arg(long, value_name = "OURS=THEIRS")]
    pub(crate) column: Vec<intake::soak_log::heading::Mapping>,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Watch what this machine does.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat observe --keep seen.csv                    until Ctrl-C; begun again, it goes on in the same file
  reseat observe --time \"1 day\" --keep seen.csv     for a day
  reseat observe --from seen.csv --machine my-machine.toml --into my-machine.toml
                                                    put what was seen into the record, and plan with it
It looks ten times a second at how many tasks want a processor, and reads nothing of what they are.")]
pub(crate) struct Observe {
    /// How long; without it until Ctrl-C.
    #[arg(long, value_name = "TIME", conflicts_with = "from")]
    pub(crate) time: Option<Duration>,
    /// Keep what was counted in this file, and go on with what is in it.
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    pub(crate) keep: Option<PathBuf>,
    /// Do not watch; read what was counted before.
    #[arg(long, value_name = "FILE")]
    pub(crate) from: Option<PathBuf>,
    /// Hours a day in which the machine works as it did while it was watched.
    #[arg(long, value_name = "TIME", default_value = "8 h")]
    pub(crate) hours: Duration,
    /// The machine file whose tasks are replaced by what was seen; written to the file that --into names.
    #[arg(long, value_name = "MACHINE", requires = "into")]
    pub(crate) machine: Option<String>,
    /// Write the tasks into this file: a record, if --machine names one, else a file of tasks only.
    #[arg(long, value_name = "FILE")]
    pub(crate) into: Option<PathBuf>,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
