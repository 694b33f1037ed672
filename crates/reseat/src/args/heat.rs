//! Words for the heat path.

use std::path::PathBuf;

use clap::Args as ClapArgs;
use quantity::dimension::Duration;

use super::paste::JointArg;

/// The heat path of a machine with changes.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat heat demo                                       the machine as it is
  reseat heat demo --with PASTE                          with fresh paste only
  reseat heat demo --with COOLER --svg heat.svg          with another cooler, and as a picture
  reseat heat demo --lid lid.svg                         the lid in three dimensions, with its joint
  reseat heat demo --with PASTE --lid lid.svg --pattern line --order one-side-first
  reseat heat demo --warming warming.svg                 from the first milliseconds to its steady state
  reseat heat demo --within \"300 ms\"                     the finest answer there is time for")]
pub(crate) struct Heat {
    #[command(flatten)]
    pub(crate) joint: JointArg,
    /// Also solve the lid in three dimensions and draw its map into this file: PNG where its name ends so, else SVG.
    #[arg(long, value_name = "FILE")]
    pub(crate) lid: Option<PathBuf>,
    /// Solve the lid in three dimensions, finer and finer until this much time is over, such as "2 s".
    #[arg(long, value_name = "TIME")]
    pub(crate) within: Option<Duration>,
    /// Also follow how it warms after load comes on, and draw the curve into this file: PNG where its name ends so.
    #[arg(long, value_name = "FILE")]
    pub(crate) warming: Option<PathBuf>,
}
