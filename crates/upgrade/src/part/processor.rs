//! Processors.

use quantity::dimension::{
    CapacityDim, DataRateDim, DurationDim, FrequencyDim, LengthDim, PowerDim, RatioDim,
    TemperatureDifferenceDim, TemperatureDim, TransferRateDim, VoltageDim,
};
use quantity::reading::{Figure, Reading};

use crate::part::id::PartId;
use crate::part::memory::MemoryType;
use crate::part::offer::Offers;

/// A processor as its maker sells it.
#[derive(Debug, Clone, PartialEq)]
pub struct Processor {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name as printed on it.
    pub name: String,
    /// Other names that it reports of itself.
    pub reported: Vec<String>,
    /// Signatures that it reports, as family-model-stepping, such as `6-42-7`.
    pub signatures: Vec<String>,
    /// Socket it goes into.
    pub socket: PartId,
    /// Electrical generation, such as `tern-3`.
    pub generation: PartId,
    /// Its cores, fastest kind first; never empty.
    pub cores: Vec<CoreGroup>,
    /// Power it may draw for ever, as its maker sets it.
    pub sustained_power: Figure<PowerDim>,
    /// Power it may draw for a burst.
    pub burst_power: Figure<PowerDim>,
    /// How long the burst may last from cold.
    pub burst_time: Figure<DurationDim>,
    /// Whether its multiplier may be changed.
    pub multiplier: Reading<Multiplier>,
    /// The locked processor that is otherwise the same.
    pub locked_sibling: Option<PartId>,
    /// Whether it can drive a display.
    pub graphics: Reading<Graphics>,
    /// Memory it can drive, fastest type first.
    pub memory: Vec<MemorySupport>,
    /// Number of memory channels.
    pub memory_channels: Reading<u32>,
    /// Largest memory it can address.
    pub memory_capacity: Figure<CapacityDim>,
    /// Whether it corrects memory errors when board and modules do.
    pub error_correction: Reading<Support>,
    /// Lanes it brings for cards and drives.
    pub lanes: Reading<Lanes>,
    /// Instruction-set level 1 to 4 of the x86-64 psABI (`x86-64-v1` to `v4`).
    pub instruction_level: Reading<u8>,
    /// Junction temperature at which it begins to slow down.
    pub junction_limit: Figure<TemperatureDim>,
    /// What the heat path needs.
    pub package: Package,
    /// What the operating point needs.
    pub electrical: Electrical,
    /// How its cores get into each other's way.
    pub scaling: Scaling,
    /// Sold without a warranty, as a sample, or with other strings attached.
    pub caveats: Vec<String>,
    /// Whether a cooler comes with it.
    pub cooler_included: Option<PartId>,
    /// Prices.
    pub offers: Offers,
}

impl Processor {
    /// Number of cores of all kinds.
    pub fn core_count(&self) -> u32 {
        self.cores.iter().map(|group| group.count).sum()
    }

    /// Number of threads of all kinds.
    pub fn thread_count(&self) -> u32 {
        self.cores.iter().map(|group| group.count * group.threads_per_core).sum()
    }
}

/// Cores of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct CoreGroup {
    /// What the maker calls the kind.
    pub kind: String,
    /// How many.
    pub count: u32,
    /// Threads that one core runs.
    pub threads_per_core: u32,
    /// Clock it keeps under full load within the sustained power.
    pub base_clock: Figure<FrequencyDim>,
    /// Highest clock of one busy core.
    pub boost_clock: Figure<FrequencyDim>,
    /// Speed of one core at its boost clock; 100 % is the library's reference core.
    pub index: Figure<RatioDim>,
}

/// Whether the multiplier may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Multiplier {
    /// Fixed by the maker.
    Locked,
    /// Free, where the chipset allows it too.
    Unlocked,
}

/// Whether a display can be driven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Graphics {
    /// No display.
    None,
    /// Displays of the board work.
    Present,
}

/// Whether something is supported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// It is.
    Yes,
    /// It is not.
    No,
}

/// Memory of one type that a processor can drive.
#[derive(Debug, Clone, PartialEq)]
pub struct MemorySupport {
    /// Type.
    pub kind: MemoryType,
    /// Fastest transfer rate that the maker warrants.
    pub speed: Figure<TransferRateDim>,
    /// Bandwidth one channel reaches at that rate, where known.
    pub bandwidth: Figure<DataRateDim>,
}

/// Lanes for cards and drives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lanes {
    /// Generation of the bus.
    pub generation: u8,
    /// How many.
    pub count: u16,
}

/// The body of a processor, as the heat path sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Package {
    /// Width of the lid.
    pub lid_width: Figure<LengthDim>,
    /// Depth of the lid.
    pub lid_depth: Figure<LengthDim>,
    /// Thickness of the lid.
    pub lid_thickness: Figure<LengthDim>,
    /// Dies that make heat, largest first.
    pub dies: Vec<Die>,
    /// What joins die and lid.
    pub inner_joint: Reading<InnerJoint>,
}

/// One die under the lid.
#[derive(Debug, Clone, PartialEq)]
pub struct Die {
    /// Width.
    pub width: Figure<LengthDim>,
    /// Depth.
    pub depth: Figure<LengthDim>,
    /// Offset of its centre from the lid's centre, to the right.
    pub offset_x: Figure<LengthDim>,
    /// Offset of its centre from the lid's centre, upwards.
    pub offset_y: Figure<LengthDim>,
    /// Share of the processor's heat made here.
    pub heat_share: Figure<RatioDim>,
    /// Share of this die's area that its cores cover: where that heat arises.
    pub core_area_share: Figure<RatioDim>,
}

/// What joins die and lid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InnerJoint {
    /// Soft metal.
    Solder,
    /// Paste.
    Paste,
    /// No lid: the cooler sits on the die.
    BareDie,
}

/// Voltage, switching and leakage of a processor.
///
/// # Model
/// Power = capacitance * V^2 * f * (share of cores busy) + leakage; V is linear in f between the two
/// points; leakage grows with V and exponentially with temperature.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Electrical {
    /// Voltage at the base clock.
    pub voltage_at_base: Figure<VoltageDim>,
    /// Voltage at the boost clock.
    pub voltage_at_boost: Figure<VoltageDim>,
    /// Leakage at the leakage temperature and the boost voltage.
    pub leakage: Figure<PowerDim>,
    /// Junction temperature at which that leakage holds.
    pub leakage_temperature: Figure<TemperatureDim>,
    /// Rise in temperature that makes leakage e times larger.
    pub leakage_scale: Figure<TemperatureDifferenceDim>,
    /// Power of all cores busy at the base clock and the leakage temperature.
    pub power_at_base: Figure<PowerDim>,
}

/// How cores get into each other's way, in the terms of the Universal Scalability Law.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scaling {
    /// Share of work that waits its turn.
    pub contention: Figure<RatioDim>,
    /// Cost of keeping the cores' data coherent.
    pub coherency: Figure<RatioDim>,
    /// Speed-up that a second thread on one core brings.
    pub second_thread_gain: Figure<RatioDim>,
}
