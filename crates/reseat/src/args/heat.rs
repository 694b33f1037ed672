//! Words for the heat path.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::picture::PictureArg;
use super::{ChangesArg, MachineArg};

/// The heat path of a machine with changes.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat heat demo                                 the machine as it is
  reseat heat demo --with PASTE                    with fresh paste only
  reseat heat demo --with COOLER --svg heat.svg    with another cooler, and as a picture")]
pub(crate) struct Heat {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    /// Also solve the lid in three dimensions and draw its map into this file: PNG where its name ends so, else SVG.
    #[arg(long, value_name = "FILE")]
    pub(crate) lid: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
