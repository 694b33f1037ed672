//! Firmware mode, operating system and what the software asks of a processor.

use quantity::reading::Reading;

/// Software on the machine, as far as a change of processor or board touches it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Software {
    /// Operating system, in its owner's words.
    pub system: Option<String>,
    /// How it starts.
    pub firmware_mode: Reading<FirmwareMode>,
    /// Lowest instruction-set level 1 to 4 (x86-64 psABI) that the software needs.
    pub instruction_level: Reading<u8>,
    /// Processor features the software needs, by the names the operating system prints.
    pub features: Vec<String>,
    /// Keys and licences bound to firmware or board.
    pub bound_keys: Reading<BoundKeys>,
}

/// How the machine starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirmwareMode {
    /// UEFI.
    Uefi,
    /// The older way, through the master boot record.
    Legacy,
}

/// Keys and licences bound to firmware or board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct BoundKeys {
    /// A disk is encrypted, perhaps with a key kept by firmware or security chip.
    pub disk_encryption: Option<bool>,
    /// A licence is bound to the board.
    pub licence: Option<bool>,
}
