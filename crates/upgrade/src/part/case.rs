//! Cases.

use quantity::dimension::{FlowDim, LengthDim};
use quantity::reading::{Figure, Reading};

use crate::part::board::FormFactor;
use crate::part::id::PartId;
use crate::part::offer::Offers;
use crate::part::supply::SupplyForm;

/// A case.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// Boards it has stand-offs for; empty where nobody looked.
    pub forms: Vec<FormFactor>,
    /// Supplies it takes; empty where nobody looked.
    pub supply_forms: Vec<SupplyForm>,
    /// Height free above the processor's lid.
    pub cooler_height: Figure<LengthDim>,
    /// Lengths of the radiators it has places for.
    pub radiators: Vec<quantity::dimension::Length>,
    /// Air that its fans move through it.
    pub air_flow: Figure<FlowDim>,
    /// Plugs of its front panel, by the words boards use for their headers.
    pub front_plugs: Vec<String>,
    /// Whether the rear opening fits any board, or only the board it came with.
    pub rear_opening: Reading<RearOpening>,
    /// Prices.
    pub offers: Offers,
}

/// The opening for the board's rear connectors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RearOpening {
    /// A plate that comes with the board snaps in.
    Exchangeable,
    /// Pressed into the case: only the board it came with fits.
    Fixed,
}
