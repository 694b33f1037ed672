//! The socket: what holds a processor on its board, and how it is opened.

use quantity::dimension::{ForceDim, LengthDim};
use quantity::reading::Figure;

use crate::part::id::PartId;

/// Where the contacts are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contacts {
    /// Flat lands on the processor, springs in the socket.
    LandGrid,
    /// Pins on the processor, holes in the socket.
    PinGrid,
}

/// How the processor is held down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HoldDown {
    /// A lever that closes a hinged frame over the lid's edge.
    LeverAndFrame,
    /// A lever that slides the pins tight; nothing lies over the processor.
    Lever,
    /// A frame held by screws, tightened in a given order.
    ScrewedFrame,
}

/// A socket, with what a technician and the heat path need to know.
#[derive(Debug, Clone, PartialEq)]
pub struct Socket {
    /// Id, to which processors, boards and coolers refer.
    pub id: PartId,
    /// Name.
    pub name: String,
    /// Where the contacts are.
    pub contacts: Contacts,
    /// How the processor is held down.
    pub hold_down: HoldDown,
    /// Number of contacts.
    pub contact_count: u32,
    /// Distance of the cooler's mounting holes, the longer way.
    pub hole_spacing: Figure<LengthDim>,
    /// Load a cooler must press with at least and may press with at most.
    pub cooler_load: Figure<ForceDim>,
}
