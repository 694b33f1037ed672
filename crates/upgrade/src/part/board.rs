//! Main boards.

use core::cmp::Ordering;
use core::fmt;

use quantity::dimension::{CapacityDim, CurrentDim, FrequencyDim, InductanceDim, PowerDim, TransferRateDim};
use quantity::reading::{Figure, Reading};

use crate::part::id::PartId;
use crate::part::memory::MemoryType;
use crate::part::offer::Offers;
use crate::part::processor::Support;

/// A main board.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// Id.
    pub id: PartId,
    /// Maker.
    pub maker: String,
    /// Name.
    pub name: String,
    /// Other names that hardware reports for it.
    pub reported: Vec<String>,
    /// Chipset.
    pub chipset: PartId,
    /// Socket.
    pub socket: PartId,
    /// Form factor.
    pub form: Reading<FormFactor>,
    /// Type of memory its slots take.
    pub memory: Reading<MemoryType>,
    /// Number of memory slots.
    pub memory_slots: Reading<u32>,
    /// Largest memory.
    pub memory_capacity: Figure<CapacityDim>,
    /// Fastest transfer rate its maker warrants.
    pub memory_speed: Figure<TransferRateDim>,
    /// Whether it corrects memory errors with modules and a processor that do.
    pub error_correction: Reading<Support>,
    /// Firmware that boards on the shelf carry.
    pub firmware_sold: Reading<FirmwareVersion>,
    /// How its firmware can be updated.
    pub firmware_update: Reading<FirmwareUpdate>,
    /// Which processors its maker lists, and from which firmware on.
    pub support: Vec<SupportEntry>,
    /// Power stages.
    pub stages: Stages,
    /// Largest processor power its maker warrants, where stated.
    pub rated_processor_power: Figure<PowerDim>,
    /// Auxiliary 12 V connectors for the processor, in the order in which they must be filled.
    pub aux_connectors: Reading<Vec<AuxConnector>>,
    /// Number of display outputs.
    pub display_outputs: Reading<u32>,
    /// Slots for cards.
    pub slots: Vec<Slot>,
    /// Places for drives.
    pub drives: Vec<DrivePlace>,
    /// Current that one fan header may give.
    pub fan_header_current: Figure<CurrentDim>,
    /// Front-panel headers, by the words a case uses for its plugs.
    pub front_headers: Vec<String>,
    /// Power of the board without processor and memory.
    pub own_power: Figure<PowerDim>,
    /// Prices.
    pub offers: Offers,
}

/// Form factors by the names of their standards, smallest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FormFactor {
    /// Mini-ITX, 170 by 170 mm.
    MiniItx,
    /// microATX, 244 by 244 mm.
    MicroAtx,
    /// ATX, 305 by 244 mm.
    Atx,
}

impl FormFactor {
    /// All, smallest first.
    pub const ALL: [Self; 3] = [Self::MiniItx, Self::MicroAtx, Self::Atx];

    /// Name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::MiniItx => "Mini-ITX",
            Self::MicroAtx => "microATX",
            Self::Atx => "ATX",
        }
    }
}

/// A firmware version: numbers separated by points, compared number by number.
///
/// # Example
/// ```
/// use upgrade::part::board::FirmwareVersion;
/// let old = FirmwareVersion::parse("2.9").ok_or("no version")?;
/// let new = FirmwareVersion::parse("2.10").ok_or("no version")?;
/// assert!(old < new);
/// assert_eq!(FirmwareVersion::parse("two"), None);
/// # Ok::<(), &str>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct FirmwareVersion {
    numbers: Vec<u32>,
}

impl FirmwareVersion {
    /// The version written so, or `None` where that is no dotted number.
    pub fn parse(text: &str) -> Option<Self> {
        let numbers: Result<Vec<u32>, _> = text.trim().split('.').map(str::parse).collect();
        let numbers = numbers.ok()?;
        (numbers.len() <= 6).then_some(Self { numbers })
    }
}

impl PartialOrd for FirmwareVersion {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for FirmwareVersion {
    fn cmp(&self, other: &Self) -> Ordering {
        self.numbers.cmp(&other.numbers)
    }
}

impl fmt::Display for FirmwareVersion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<String> = self.numbers.iter().map(u32::to_string).collect();
        f.pad(&words.join("."))
    }
}

/// How firmware can be brought up to date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirmwareUpdate {
    /// Only with a processor in the socket that the installed firmware knows.
    NeedsProcessor,
    /// Also with an empty socket, from a memory stick in a marked port.
    WithoutProcessor,
}

/// One line of a board's support list.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportEntry {
    /// What the line is about.
    pub scope: SupportScope,
    /// Lowest firmware version that starts it; unknown is not "any".
    pub since: Reading<FirmwareVersion>,
}

/// What a line of a support list is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SupportScope {
    /// Every processor of an electrical generation.
    Generation(PartId),
    /// One processor.
    Processor(PartId),
    /// One processor that its maker says does not run here.
    Excluded(PartId),
}

/// The power stages of a board, as far as they are known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stages {
    /// Class, from looking at the board.
    pub class: Reading<StageClass>,
    /// Number of stages that feed the cores.
    pub count: Reading<u32>,
    /// Current one stage is rated for.
    pub stage_current: Figure<CurrentDim>,
    /// Inductance printed on an inductor.
    pub inductance: Figure<InductanceDim>,
    /// Switching frequency.
    pub frequency: Figure<FrequencyDim>,
}

/// Classes of power stages that a person can tell apart by looking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StageClass {
    /// Separate switches, nothing on top.
    DiscreteBare,
    /// Separate switches under a heatsink.
    DiscreteWithHeatsink,
    /// Switches and driver in one body, nothing on top.
    IntegratedBare,
    /// Switches and driver in one body under a heatsink.
    IntegratedWithHeatsink,
}

impl StageClass {
    /// All, weakest first.
    pub const ALL: [Self; 4] =
        [Self::DiscreteBare, Self::DiscreteWithHeatsink, Self::IntegratedBare, Self::IntegratedWithHeatsink];

    /// The words used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::DiscreteBare => "discrete, bare",
            Self::DiscreteWithHeatsink => "discrete, heatsink",
            Self::IntegratedBare => "integrated, bare",
            Self::IntegratedWithHeatsink => "integrated, heatsink",
        }
    }
}

/// Auxiliary 12 V connectors for the processor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AuxConnector {
    /// Four pins, two of them 12 V.
    FourPin,
    /// Eight pins, four of them 12 V.
    EightPin,
}

impl AuxConnector {
    /// Name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FourPin => "4-pin 12 V",
            Self::EightPin => "8-pin 12 V",
        }
    }

    /// Number of 12 V pins.
    pub const fn live_pins(self) -> u32 {
        match self {
            Self::FourPin => 2,
            Self::EightPin => 4,
        }
    }
}

/// Where lanes come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LaneSource {
    /// From the processor: gone or slower when the processor has fewer.
    Processor,
    /// From the chipset.
    Chipset,
}

/// A slot for a card.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    /// Name printed beside it.
    pub name: String,
    /// Lanes wired.
    pub lanes: u16,
    /// Generation of the bus.
    pub generation: u8,
    /// Where the lanes come from.
    pub source: LaneSource,
}

/// A place for a drive.
#[derive(Debug, Clone, PartialEq)]
pub struct DrivePlace {
    /// Name printed beside it.
    pub name: String,
    /// Lanes wired; zero for a cable port.
    pub lanes: u16,
    /// Where the lanes come from.
    pub source: LaneSource,
    /// Slot or drive place that loses lanes when this one is used.
    pub shares_with: Option<String>,
    /// Generations of processor that feed it; empty where all do.
    pub only_generations: Vec<PartId>,
}
