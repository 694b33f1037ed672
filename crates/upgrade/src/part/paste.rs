//! Thermal pastes.

use quantity::dimension::{ConductivityDim, LengthDim, PressureDim, ViscosityDim, VolumeDim};
use quantity::reading::Figure;

use crate::part::id::PartId;
use crate::part::offer::Offers;

/// A paste, as sold in a tube.
#[derive(Debug, Clone, PartialEq)]
pub struct Paste {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// Thermal conductivity in bulk.
    pub conductivity: Figure<ConductivityDim>,
    /// Stress below which it does not flow.
    pub yield_stress: Figure<PressureDim>,
    /// Viscosity once it flows.
    pub viscosity: Figure<ViscosityDim>,
    /// Size of its largest filler grains: the joint gets no thinner.
    pub filler_size: Figure<LengthDim>,
    /// Volume in the tube.
    pub tube: Figure<VolumeDim>,
    /// Prices.
    pub offers: Offers,
}
