//! Memory kits.

use core::fmt;

use quantity::dimension::{CapacityDim, LengthDim, PowerDim, TransferRateDim, VoltageDim};
use quantity::reading::{Figure, Reading};

use crate::part::id::PartId;
use crate::part::offer::Offers;
use crate::part::processor::Support;

/// Memory types by the names of their JEDEC standards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MemoryType {
    /// JESD79-3.
    Ddr3,
    /// JESD79-4.
    Ddr4,
    /// JESD79-5.
    Ddr5,
}

impl MemoryType {
    /// All types, oldest first.
    pub const ALL: [Self; 3] = [Self::Ddr3, Self::Ddr4, Self::Ddr5];

    /// Name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ddr3 => "DDR3",
            Self::Ddr4 => "DDR4",
            Self::Ddr5 => "DDR5",
        }
    }
}

impl fmt::Display for MemoryType {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// Whether modules buffer their commands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Buffering {
    /// Plain modules, as desktops take them.
    Unbuffered,
    /// Registered modules, for servers.
    Registered,
}

/// A kit of equal modules.
#[derive(Debug, Clone, PartialEq)]
pub struct MemoryKit {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// Part numbers that its modules report.
    pub reported: Vec<String>,
    /// Type.
    pub kind: Reading<MemoryType>,
    /// Number of modules; at least one.
    pub modules: u32,
    /// Capacity of one module.
    pub module_capacity: Figure<CapacityDim>,
    /// Transfer rate.
    pub speed: Figure<TransferRateDim>,
    /// Ranks on one module.
    pub ranks: Reading<u32>,
    /// Voltage.
    pub voltage: Figure<VoltageDim>,
    /// Buffering.
    pub buffering: Reading<Buffering>,
    /// Whether it carries the bits for error correction.
    pub error_correction: Reading<Support>,
    /// Height above the board, with its heat spreader.
    pub height: Figure<LengthDim>,
    /// Power of the whole kit at work.
    pub power: Figure<PowerDim>,
    /// Prices.
    pub offers: Offers,
}
