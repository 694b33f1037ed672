//! Words for pressed paste.

use std::path::PathBuf;

use clap::{Args as ClapArgs, ValueEnum};
use physics::paste::pattern::{Bead, Pattern};
use physics::paste::tightening::Order;
use quantity::dimension::Volume;
use upgrade::carry::paste_bead::bead;
use upgrade::carry::paste_setup::Putting;

use super::picture::PictureArg;
use super::{ChangesArg, MachineArg};

/// Patterns by name.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum PatternArg {
    Dot,
    Line,
    Cross,
    FiveDots,
    TwoLines,
    SpreadLayer,
}

/// Orders of four screws.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum OrderArg {
    /// Corner, opposite corner, and so on, in two rounds.
    Crosswise,
    /// The two of one side first, in one round.
    OneSideFirst,
}

/// How paste is put and the cooler fastened.
#[derive(Debug, ClapArgs)]
pub(crate) struct PutArg {
    /// Put it in this pattern.
    #[arg(long, value_enum)]
    pub(crate) pattern: Option<PatternArg>,
    /// Put a bead of your own: a place along and across from the lid's centre in millimetres, or two with "to"
    /// between for a line, such as "-9, 0 to 9, 0". May be given more than once.
    #[arg(long, value_name = "PLACE", value_parser = bead, conflicts_with = "pattern", allow_hyphen_values = true)]
    pub(crate) bead: Vec<Bead>,
    /// Put this much instead of the right amount, such as "0.05 ml".
    #[arg(long, value_name = "VOLUME")]
    pub(crate) amount: Option<Volume>,
    /// Order in which the screws of the cooler are tightened.
    #[arg(long, value_enum)]
    pub(crate) order: Option<OrderArg>,
}

impl PutArg {
    /// The pattern that is asked for.
    pub(crate) fn pattern(&self) -> Option<Pattern> {
        if !self.bead.is_empty() {
            return Some(Pattern::Custom(self.bead.clone()));
        }
        Some(match self.pattern? {
            PatternArg::Dot => Pattern::Dot,
            PatternArg::Line => Pattern::Line,
            PatternArg::Cross => Pattern::Cross,
            PatternArg::FiveDots => Pattern::FiveDots,
            PatternArg::TwoLines => Pattern::TwoLines,
            PatternArg::SpreadLayer => Pattern::SPREAD,
        })
    }

    /// Whether anything is asked for.
    pub(crate) fn is_given(&self) -> bool {
        self.pattern.is_some() || !self.bead.is_empty() || self.amount.is_some() || self.order.is_some()
    }

    /// Amount and order, on so many cells along a side.
    pub(crate) fn putting(&self, cells: usize) -> Putting {
        let order = self.order.map(|order| match order {
            OrderArg::Crosswise => Order::Crosswise,
            OrderArg::OneSideFirst => Order::OneSideFirst,
        });
        Putting { volume: self.amount, order, cells }
    }
}

/// A machine with changes and paste put some way, and what form the answer has.
#[derive(Debug, ClapArgs)]
pub(crate) struct JointArg {
    #[command(flatten)]
    pub(crate) machine: MachineArg,
    #[command(flatten)]
    pub(crate) changes: ChangesArg,
    #[command(flatten)]
    pub(crate) put: PutArg,
    #[command(flatten)]
    pub(crate) picture: PictureArg,
    /// Print the answer as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Paste pressed between lid and cooler.
#[derive(Debug, ClapArgs)]
#[command(after_help = "Examples:
  reseat paste demo --with PASTE                           fresh paste under the cooler that is there
  reseat paste demo --with PASTE --with COOLER             under another one
  reseat paste demo --with PASTE --svg paste.svg           maps of every pattern as a picture
  reseat paste demo --with PASTE --film film.svg           the best pattern as it spreads, moving
  reseat paste demo --with PASTE --bead \"-9, 0 to 9, 0\"    a line of your own beside the usual patterns
  reseat paste demo --with PASTE --amount \"0.02 ml\"        what too little does")]
pub(crate) struct Paste {
    #[command(flatten)]
    pub(crate) joint: JointArg,
    /// Also draw how the named pattern, or else the best one, spreads, as a moving SVG file.
    #[arg(long, value_name = "FILE")]
    pub(crate) film: Option<PathBuf>,
    /// Also draw the same as numbered PNG files into this folder, which is made.
    #[arg(long, value_name = "DIR")]
    pub(crate) frames: Option<PathBuf>,
}
