//! What else draws power and takes lanes: graphics cards, drives and the rest.

use quantity::dimension::{PowerDim, TransferRateDim};
use quantity::reading::{Figure, Reading};

/// One load besides processor, board and memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// What it is.
    pub name: String,
    /// Kind.
    pub kind: LoadKind,
    /// Power at steady full work.
    pub power: Figure<PowerDim>,
    /// Power of short bursts, where it has them.
    pub burst_power: Figure<PowerDim>,
    /// Eight-pin power connectors it needs.
    pub card_connectors: Reading<u32>,
    /// Slot or drive place it sits in, by the name printed on the board.
    pub place: Option<String>,
    /// Lanes it can use.
    pub lanes: Reading<u16>,
    /// Transfer rate of one of its lanes, where known.
    pub lane_rate: Figure<TransferRateDim>,
}

/// Kinds of load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadKind {
    /// A graphics card: it can drive a display.
    GraphicsCard,
    /// A drive.
    Drive,
    /// Any other card.
    Card,
    /// Anything else.
    Other,
}

impl LoadKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::GraphicsCard, Self::Drive, Self::Card, Self::Other];

    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::GraphicsCard => "graphics card",
            Self::Drive => "drive",
            Self::Card => "card",
            Self::Other => "other",
        }
    }
}
