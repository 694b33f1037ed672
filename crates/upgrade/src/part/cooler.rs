//! Coolers of the processor.

use quantity::dimension::{
    CurrentDim, FlowDim, ForceDim, LengthDim, MassDim, PowerDim, PressureDim, RotationSpeedDim,
    SoundLevelDim, ThermalResistanceDim,
};
use quantity::reading::{Figure, Reading};

use crate::part::id::PartId;
use crate::part::offer::Offers;
use crate::part::processor::Support;

/// A cooler.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooler {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// The cooler on which these are only other fans; none for a cooler of its own.
    pub refit_of: Option<PartId>,
    /// How it is built.
    pub build: Reading<CoolerBuild>,
    /// Sockets it has a mounting set for.
    pub sockets: Vec<PartId>,
    /// Sockets for which a mounting set can be bought.
    pub sockets_with_extra_set: Vec<PartId>,
    /// How it is held.
    pub mounting: Reading<Mounting>,
    /// Height above the processor's lid.
    pub height: Figure<LengthDim>,
    /// Free height it leaves above the nearest memory slot; unknown where its sheet is silent.
    pub memory_clearance: Figure<LengthDim>,
    /// Width of the contact face.
    pub base_width: Figure<LengthDim>,
    /// Depth of the contact face.
    pub base_depth: Figure<LengthDim>,
    /// Contact face to air at the full speed of its fans, at sea level.
    pub resistance: Figure<ThermalResistanceDim>,
    /// Heat its maker says it carries, where no resistance is given.
    pub rated_heat: Figure<PowerDim>,
    /// Fans; none on a cooler without.
    pub fans: Option<Fans>,
    /// Fins, where known in detail.
    pub fins: Option<Fins>,
    /// Length of the radiator of a liquid loop.
    pub radiator: Figure<LengthDim>,
    /// Plate, liquid and radiator of a liquid loop, where known in detail.
    pub liquid: Option<Liquid>,
    /// Force with which it presses on the lid.
    pub force: Figure<ForceDim>,
    /// Mass.
    pub mass: Figure<MassDim>,
    /// Whether paste is already on it.
    pub paste_applied: Reading<Support>,
    /// Prices.
    pub offers: Offers,
}

impl Cooler {
    /// Whether it is only other fans for a cooler that stays on.
    pub const fn is_refit(&self) -> bool {
        self.refit_of.is_some()
    }

    /// Whether it is surely a liquid loop.
    pub fn is_liquid_loop(&self) -> bool {
        self.build.get() == Some(CoolerBuild::LiquidLoop)
    }
}

/// How a cooler is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CoolerBuild {
    /// Fins beside the fan, air along the board.
    Tower,
    /// Fan on top, air down on the board.
    TopFlow,
    /// Pump, hoses and radiator.
    LiquidLoop,
    /// No fan.
    Fanless,
}

impl CoolerBuild {
    /// All builds.
    pub const ALL: [Self; 4] = [Self::Tower, Self::TopFlow, Self::LiquidLoop, Self::Fanless];

    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tower => "tower",
            Self::TopFlow => "top-flow",
            Self::LiquidLoop => "liquid loop",
            Self::Fanless => "fanless",
        }
    }
}

/// How a cooler is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mounting {
    /// Pins pushed through the board.
    PushPins,
    /// Screws into a back plate.
    Screws,
    /// A clip over noses beside the socket.
    Clip,
    /// A clip with a lever.
    Lever,
}

impl Mounting {
    /// All ways.
    pub const ALL: [Self; 4] = [Self::PushPins, Self::Screws, Self::Clip, Self::Lever];

    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::PushPins => "push pins",
            Self::Screws => "screws",
            Self::Clip => "clip",
            Self::Lever => "lever",
        }
    }
}

/// The fans of a cooler, all alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Fans {
    /// How many.
    pub count: u32,
    /// Full speed.
    pub full_speed: Figure<RotationSpeedDim>,
    /// Lowest steady speed.
    pub lowest_speed: Figure<RotationSpeedDim>,
    /// Noise of all of them at full speed, at one metre.
    pub noise: Figure<SoundLevelDim>,
    /// Current of one.
    pub current: Figure<CurrentDim>,
    /// Flow of one in the open.
    pub free_flow: Figure<FlowDim>,
    /// Pressure of one with its outlet shut.
    pub shut_pressure: Figure<PressureDim>,
}

/// Plate fins of a cooler.
#[derive(Debug, Clone, PartialEq)]
pub struct Fins {
    /// How many.
    pub count: u32,
    /// Thickness of one.
    pub thickness: Figure<LengthDim>,
    /// Gap between two.
    pub gap: Figure<LengthDim>,
    /// Length along the air's way.
    pub length: Figure<LengthDim>,
    /// Height from base or pipe to tip.
    pub height: Figure<LengthDim>,
}

/// What a liquid loop is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Liquid {
    /// Contact face to liquid.
    pub plate_resistance: Figure<ThermalResistanceDim>,
    /// Liquid to air at the full speed of the fans, at sea level; where silent, the fins and fans say it.
    pub radiator_resistance: Figure<ThermalResistanceDim>,
    /// Liquid that the pump moves through the loop.
    pub flow: Figure<FlowDim>,
}
