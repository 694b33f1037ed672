//! Power supplies.

use quantity::dimension::{CurrentDim, DurationDim, PowerDim, RatioDim};
use quantity::reading::{Figure, Reading};

use crate::part::board::AuxConnector;
use crate::part::id::PartId;
use crate::part::offer::Offers;

/// A power supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// Body.
    pub form: Reading<SupplyForm>,
    /// Continuous power of all outputs together.
    pub rated_power: Figure<PowerDim>,
    /// Continuous power at 12 V.
    pub rail_12v_power: Figure<PowerDim>,
    /// Efficiency certificate.
    pub certificate: Reading<Certificate>,
    /// Auxiliary 12 V plugs for the processor.
    pub aux_connectors: Reading<Vec<AuxConnector>>,
    /// Gauge of the wires to them, as printed on the wire.
    pub wire_gauge: Reading<u32>,
    /// Current that the maker of their contacts allows a pin.
    pub pin_rating: Figure<CurrentDim>,
    /// Efficiency at 20, 50 and 100 % of the rated power, where its sheet has a curve.
    pub efficiency: [Figure<RatioDim>; 3],
    /// How long it holds its outputs at full load after the mains have gone, from its sheet.
    pub hold_time: Figure<DurationDim>,
    /// Number of connectors for graphics cards, eight pins each.
    pub card_connectors: Reading<u32>,
    /// Prices.
    pub offers: Offers,
}

/// Body of a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SupplyForm {
    /// ATX12V body, 150 mm wide.
    Atx,
    /// SFX12V body, 125 mm wide.
    Sfx,
    /// Flat TFX12V body.
    Tfx,
}

impl SupplyForm {
    /// All bodies.
    pub const ALL: [Self; 3] = [Self::Atx, Self::Sfx, Self::Tfx];

    /// Name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Atx => "ATX",
            Self::Sfx => "SFX",
            Self::Tfx => "TFX",
        }
    }
}

/// Efficiency certificates by the levels of the published table, lowest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Certificate {
    /// Lowest level.
    Standard,
    /// Second level.
    Bronze,
    /// Third level.
    Silver,
    /// Fourth level.
    Gold,
    /// Fifth level.
    Platinum,
    /// Highest level.
    Titanium,
}

impl Certificate {
    /// All levels, lowest first.
    pub const ALL: [Self; 6] =
        [Self::Standard, Self::Bronze, Self::Silver, Self::Gold, Self::Platinum, Self::Titanium];

    /// Name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Standard => "Standard",
            Self::Bronze => "Bronze",
            Self::Silver => "Silver",
            Self::Gold => "Gold",
            Self::Platinum => "Platinum",
            Self::Titanium => "Titanium",
        }
    }
}
