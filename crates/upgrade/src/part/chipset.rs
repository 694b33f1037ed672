//! Chipsets: what a board may do for its processor.

use quantity::reading::Reading;

use crate::part::id::PartId;
use crate::part::processor::{Lanes, Support};

/// A chipset.
#[derive(Debug, Clone, PartialEq)]
pub struct Chipset {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// Series: chipsets of one series drive the same generations.
    pub series: String,
    /// Place in its series, from 1 for the bottom.
    pub tier: u8,
    /// Socket its boards carry.
    pub socket: PartId,
    /// Electrical generations it can drive.
    pub generations: Vec<PartId>,
    /// Whether it lets the multiplier of an unlocked processor be changed.
    pub multiplier_control: Reading<Support>,
    /// Whether memory may run faster than the processor's maker warrants.
    pub memory_tuning: Reading<Support>,
    /// Lanes it adds for cards and drives.
    pub lanes: Reading<Lanes>,
}
