//! The firmware's structure table, decoded: what an upgrade needs of it.
//!
//! # Source
//! DMTF DSP0134, System Management BIOS Reference Specification, through the crate `smbios-lib`, which
//! also brings the standard's enumerations with their names.

use std::panic::{AssertUnwindSafe, catch_unwind};

use smbioslib::{
    CoreCount, CoreCount2, MaximumMemoryCapacity, MemorySize, MemorySizeExtended, MemorySpeed,
    MemorySpeedExtended, ProcessorSpeed, ProcessorVoltage, SMBiosBaseboardInformation,
    SMBiosCacheInformation, SMBiosData, SMBiosInformation, SMBiosMemoryDevice, SMBiosPhysicalMemoryArray,
    SMBiosProcessorInformation, SMBiosString, SMBiosSystemChassisInformation, SMBiosSystemInformation,
    SMBiosSystemSlot, SMBiosVersion, SlotCurrentUsage, ThreadCount, ThreadCount2,
};

use crate::entry::Version;

/// Largest table that is decoded. The largest real ones have some tens of kilobytes.
const LARGEST: usize = 1024 * 1024;
/// Most structures of one kind that are kept.
const MOST: usize = 256;

/// Firmware, board or system: who made it and what it is called.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Named {
    /// Maker.
    pub maker: Option<String>,
    /// Product.
    pub product: Option<String>,
    /// Version.
    pub version: Option<String>,
}

/// Firmware.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FirmwareFacts {
    /// Who wrote it.
    pub vendor: Option<String>,
    /// Version.
    pub version: Option<String>,
    /// Day, as it says.
    pub date: Option<String>,
}

/// A processor socket.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SocketFacts {
    /// Designation printed on the board.
    pub designation: Option<String>,
    /// Byte of the standard's enumeration of sockets.
    pub kind_byte: Option<u8>,
    /// Its name in the standard, as the library spells it; none for "other" and "unknown".
    pub kind_name: Option<String>,
    /// Name of the processor in it.
    pub processor: Option<String>,
    /// Voltage in volts.
    pub volts: Option<f32>,
    /// Highest clock that the socket supports, in megahertz.
    pub max_mhz: Option<u16>,
    /// Clock at start, in megahertz.
    pub start_mhz: Option<u16>,
    /// Cores.
    pub cores: Option<u16>,
    /// Threads.
    pub threads: Option<u16>,
    /// Whether a processor is in it.
    pub populated: bool,
}

/// A cache.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CacheFacts {
    /// Designation.
    pub designation: Option<String>,
    /// Level.
    pub level: u8,
    /// Size in kibibytes.
    pub kib: u64,
}

/// The memory array of the board.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ArrayFacts {
    /// Largest memory in bytes.
    pub largest_bytes: Option<u64>,
    /// Number of slots.
    pub slots: Option<u16>,
    /// Correction of errors, as the standard's enumeration calls it.
    pub correction: Option<String>,
}

/// A memory slot, and the module in it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ModuleFacts {
    /// Slot, as printed on the board.
    pub slot: Option<String>,
    /// Bank.
    pub bank: Option<String>,
    /// Size in bytes; none where the slot is empty or the size unknown.
    pub bytes: Option<u64>,
    /// Type by the standard's enumeration, as the library spells it.
    pub kind: Option<String>,
    /// Fastest rate in megatransfers a second.
    pub speed_mts: Option<u32>,
    /// Rate it runs at.
    pub running_mts: Option<u32>,
    /// Ranks.
    pub ranks: Option<u8>,
    /// Voltage it runs at, in millivolts.
    pub millivolts: Option<u16>,
    /// Whether its address lines are buffered; none where neither is said.
    pub registered: Option<bool>,
    /// Whether it has more lines than data: it can correct errors.
    pub corrects: Option<bool>,
    /// Maker.
    pub maker: Option<String>,
    /// Part number.
    pub part: Option<String>,
    /// Whether the slot is empty.
    pub empty: bool,
}

/// A slot for cards.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SlotFacts {
    /// Designation printed beside it.
    pub designation: Option<String>,
    /// Kind by the standard's enumeration, as the library spells it.
    pub kind: Option<String>,
    /// Whether something is in it.
    pub used: Option<bool>,
}

impl SlotFacts {
    /// Whether something is in it, as a word.
    pub const fn use_word(&self) -> &'static str {
        match self.used {
            Some(true) => "used",
            Some(false) => "free",
            None => "use not said",
        }
    }
}

/// Everything decoded.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Firmware.
    pub firmware: FirmwareFacts,
    /// System.
    pub system: Named,
    /// Board.
    pub board: Named,
    /// Kind of case by the standard's enumeration, as the library spells it.
    pub chassis: Option<String>,
    /// Processor sockets.
    pub sockets: Vec<SocketFacts>,
    /// Caches.
    pub caches: Vec<CacheFacts>,
    /// Memory array.
    pub array: ArrayFacts,
    /// Memory slots.
    pub modules: Vec<ModuleFacts>,
    /// Slots for cards.
    pub slots: Vec<SlotFacts>,
    /// Number of structures in the table.
    pub structures: usize,
    /// What is odd about it.
    pub remarks: Vec<String>,
}

/// A string without the fillers that makers leave in.
fn text(string: &SMBiosString) -> Option<String> {
    let text = string.to_utf8_lossy()?;
    let text = text.trim();
    let empty = [
        "",
        "none",
        "unknown",
        "default string",
        "to be filled by o.e.m.",
        "not specified",
        "n/a",
        "not available",
    ];
    let filler = empty.contains(&text.to_lowercase().as_str())
        || text.chars().all(|c| matches!(c, '.' | '-' | ' ' | 'x' | 'X' | '0'));
    (!filler).then(|| text.chars().filter(|c| !c.is_control()).take(200).collect())
}

/// Name of a word of the standard, as the library spells it; none for "other" and "unknown".
fn word(name: &impl core::fmt::Debug) -> Option<String> {
    let name = format!("{name:?}");
    (!matches!(name.as_str(), "Other" | "Unknown" | "None" | "OutOfSpec")).then_some(name)
}

/// Decodes a table.
///
/// Never fails: what cannot be decoded is left out and remarked. The decoder of the library is kept from
/// bringing the program down by any table at all.
pub fn table(bytes: &[u8], version: Option<Version>) -> Table {
    let mut remarks = Vec::new();
    if bytes.len() > LARGEST {
        remarks.push(format!("the table has {} bytes; only the first {LARGEST} are read", bytes.len()));
    }
    let bytes = &bytes[..bytes.len().min(LARGEST)];
    let decoded = catch_unwind(AssertUnwindSafe(|| decode(bytes, version)));
    let mut table = decoded.unwrap_or_else(|_| {
        remarks.push("the table is damaged so badly that nothing of it could be read".to_owned());
        Table::default()
    });
    remarks.append(&mut table.remarks);
    if table.structures == 0 && !bytes.is_empty() && remarks.is_empty() {
        remarks.push("the table holds no structure".to_owned());
    }
    table.remarks = remarks;
    table
}

fn decode(bytes: &[u8], version: Option<Version>) -> Table {
    let version = version.map(|version| SMBiosVersion::new(version.major, version.minor, 0));
    let data = SMBiosData::from_vec_and_version(bytes.to_vec(), version);
    let mut out = Table { structures: data.iter().count(), ..Table::default() };
    if let Some(firmware) = data.first::<SMBiosInformation<'_>>() {
        out.firmware = FirmwareFacts {
            vendor: text(&firmware.vendor()),
            version: text(&firmware.version()),
            date: text(&firmware.release_date()),
        };
    }
    if let Some(system) = data.first::<SMBiosSystemInformation<'_>>() {
        out.system = Named {
            maker: text(&system.manufacturer()),
            product: text(&system.product_name()),
            version: text(&system.version()),
        };
    }
    if let Some(board) = data.first::<SMBiosBaseboardInformation<'_>>() {
        out.board = Named {
            maker: text(&board.manufacturer()),
            product: text(&board.product()),
            version: text(&board.version()),
        };
    }
    if let Some(case) = data.first::<SMBiosSystemChassisInformation<'_>>() {
        out.chassis = case.chassis_type().and_then(|kind| word(&kind.value));
    }
    out.sockets =
        data.defined_struct_iter::<SMBiosProcessorInformation<'_>>().take(MOST).map(|s| socket(&s)).collect();
    out.caches = data
        .defined_struct_iter::<SMBiosCacheInformation<'_>>()
        .take(MOST)
        .filter_map(|c| cache(&c))
        .collect();
    if let Some(array) = data.first::<SMBiosPhysicalMemoryArray<'_>>() {
        let largest_bytes = match array.maximum_capacity() {
            Some(MaximumMemoryCapacity::Kilobytes(kib)) => Some(u64::from(kib) * 1024),
            Some(MaximumMemoryCapacity::SeeExtendedMaximumCapacity) => array.extended_maximum_capacity(),
            None => None,
        };
        out.array = ArrayFacts {
            largest_bytes: largest_bytes.filter(|bytes| *bytes > 0),
            slots: array.number_of_memory_devices(),
            correction: array.memory_error_correction().and_then(|correction| word(&correction.value)),
        };
    }
    out.modules =
        data.defined_struct_iter::<SMBiosMemoryDevice<'_>>().take(MOST).map(|m| module(&m)).collect();
    out.slots = data.defined_struct_iter::<SMBiosSystemSlot<'_>>().take(MOST).map(|s| slot(&s)).collect();
    out
}

fn socket(socket: &SMBiosProcessorInformation<'_>) -> SocketFacts {
    let mhz = |speed: Option<ProcessorSpeed>| match speed {
        Some(ProcessorSpeed::MHz(mhz)) => Some(mhz),
        _ => None,
    };
    let cores = match socket.core_count() {
        Some(CoreCount::Count(count)) => Some(u16::from(count)),
        Some(CoreCount::SeeCoreCount2) => match socket.core_count_2() {
            Some(CoreCount2::Count(count)) => Some(count),
            _ => None,
        },
        _ => None,
    };
    let threads = match socket.thread_count() {
        Some(ThreadCount::Count(count)) => Some(u16::from(count)),
        Some(ThreadCount::SeeThreadCount2) => match socket.thread_count_2() {
            Some(ThreadCount2::Count(count)) => Some(count),
            _ => None,
        },
        _ => None,
    };
    let kind = socket.processor_upgrade();
    SocketFacts {
        designation: text(&socket.socket_designation()),
        kind_byte: kind.as_ref().map(|kind| kind.raw),
        kind_name: kind.and_then(|kind| word(&kind.value)),
        processor: text(&socket.processor_version()),
        volts: match socket.voltage() {
            Some(ProcessorVoltage::CurrentVolts(volts)) if volts > 0.0 => Some(volts),
            _ => None,
        },
        max_mhz: mhz(socket.max_speed()),
        start_mhz: mhz(socket.current_speed()),
        cores,
        threads,
        populated: socket.status().is_some_and(|status| status.socket_populated()),
    }
}

fn cache(cache: &SMBiosCacheInformation<'_>) -> Option<CacheFacts> {
    use smbioslib::CacheMemorySize::Kilobytes;
    let kib = match (cache.installed_size(), cache.installed_cache_size_2()) {
        (Some(Kilobytes(kib)), _) | (_, Some(Kilobytes(kib))) => kib,
        _ => return None,
    };
    let level = cache.cache_configuration()?.cache_level();
    (kib > 0).then(|| CacheFacts { designation: text(&cache.socket_designation()), level, kib })
}

fn module(module: &SMBiosMemoryDevice<'_>) -> ModuleFacts {
    const MIB: u64 = 1024 * 1024;
    let size = module.size();
    let bytes = match &size {
        Some(MemorySize::Megabytes(mib)) => Some(u64::from(*mib) * MIB),
        Some(MemorySize::Kilobytes(kib)) => Some(u64::from(*kib) * 1024),
        Some(MemorySize::SeeExtendedSize) => match module.extended_size() {
            Some(MemorySizeExtended::Megabytes(mib)) => Some(u64::from(mib) * MIB),
            _ => None,
        },
        _ => None,
    };
    let rate = |speed: Option<MemorySpeed>, extended: Option<MemorySpeedExtended>| match (speed, extended) {
        (Some(MemorySpeed::MTs(mts)), _) => Some(u32::from(mts)),
        (Some(MemorySpeed::SeeExtendedSpeed), Some(MemorySpeedExtended::MTs(mts))) => Some(mts),
        _ => None,
    };
    let detail = module.type_detail();
    let registered =
        detail.and_then(|detail| match (detail.registered() || detail.lrdimm(), detail.unbuffered()) {
            (true, _) => Some(true),
            (false, true) => Some(false),
            (false, false) => None,
        });
    ModuleFacts {
        slot: text(&module.device_locator()),
        bank: text(&module.bank_locator()),
        bytes: bytes.filter(|bytes| *bytes > 0),
        kind: module.memory_type().and_then(|kind| word(&kind.value)),
        speed_mts: rate(module.speed(), module.extended_speed()),
        running_mts: rate(module.configured_memory_speed(), module.extended_configured_memory_speed()),
        ranks: module.attributes().map(|attributes| attributes & 0x0F).filter(|ranks| *ranks > 0),
        millivolts: module.configured_voltage().filter(|millivolts| *millivolts > 0),
        registered,
        corrects: match (module.total_width(), module.data_width()) {
            (Some(total), Some(data)) if total != 0xFFFF && data != 0xFFFF && data > 0 => Some(total > data),
            _ => None,
        },
        maker: text(&module.manufacturer()),
        part: text(&module.part_number()),
        empty: matches!(size, Some(MemorySize::NotInstalled)),
    }
}

/// The library's name of a slot's kind in plain words: bus and generation, where it tells one.
fn bus(kind: &str) -> String {
    let name = kind.split('(').next().unwrap_or(kind);
    let generation: String =
        kind.split("Gen").nth(1).unwrap_or_default().chars().take_while(char::is_ascii_digit).collect();
    if generation.is_empty() { name.to_owned() } else { format!("{name}, generation {generation}") }
}

fn slot(slot: &SMBiosSystemSlot<'_>) -> SlotFacts {
    let used = slot.current_usage().and_then(|usage| match usage.value {
        SlotCurrentUsage::Available => Some(false),
        SlotCurrentUsage::InUse => Some(true),
        _ => None,
    });
    SlotFacts {
        designation: text(&slot.slot_designation()),
        kind: slot.system_slot_type().and_then(|kind| word(&kind.value)).map(|kind| bus(&kind)),
        used,
    }
}
