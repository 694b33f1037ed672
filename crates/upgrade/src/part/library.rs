//! All parts that are known, by id.

use std::collections::BTreeMap;

use crate::part::board::Board;
use crate::part::case::Case;
use crate::part::chipset::Chipset;
use crate::part::cooler::Cooler;
use crate::part::id::PartId;
use crate::part::memory::MemoryKit;
use crate::part::paste::Paste;
use crate::part::processor::Processor;
use crate::part::socket::Socket;
use crate::part::supply::Supply;

/// The parts library. Ordered by id, so that everything made from it is deterministic.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Library {
    /// Sockets.
    pub sockets: BTreeMap<PartId, Socket>,
    /// Processors.
    pub processors: BTreeMap<PartId, Processor>,
    /// Chipsets.
    pub chipsets: BTreeMap<PartId, Chipset>,
    /// Boards.
    pub boards: BTreeMap<PartId, Board>,
    /// Memory kits.
    pub memory: BTreeMap<PartId, MemoryKit>,
    /// Coolers.
    pub coolers: BTreeMap<PartId, Cooler>,
    /// Pastes.
    pub pastes: BTreeMap<PartId, Paste>,
    /// Supplies.
    pub supplies: BTreeMap<PartId, Supply>,
    /// Cases.
    pub cases: BTreeMap<PartId, Case>,
    /// Exchange rates that may be used.
    pub rates: quantity::money::Rates,
}
