//! Words for pressed paste.

use clap::Args as ClapArgs;

use super::picture::PictureArg;
use super::{ChangesArg, MachineArg};

/// Paste pressed between lid and cooler.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat paste demo --with PASTE                      fresh paste under the cooler that is there
  reseat paste demo --with PASTE --with COOLER        under another one
  reseat paste demo --with PASTE --svg paste.svg      maps of every pattern as a picture")]
pub(crate) struct Paste {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
