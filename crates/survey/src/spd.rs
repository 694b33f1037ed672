//! The table that a memory module carries about itself.
//!
//! # Source
//! JEDEC JESD21-C annexes K (DDR3, release 6) and L (DDR4), and JESD400-5 (DDR5): fields and the CRC of
//! polynomial 0x1021. Byte places from memory, checked against the kernel's decoding in use.

/// What a module says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spd {
    /// DDR3, DDR4 or DDR5.
    pub kind: SpdKind,
    /// Size in bytes; none where the table's figures cannot be.
    pub bytes: Option<u64>,
    /// Ranks.
    pub ranks: Option<u8>,
    /// Fastest rate in megatransfers a second, by its shortest cycle.
    pub speed_mts: Option<u32>,
    /// Part number.
    pub part: Option<String>,
    /// Whether its address lines are buffered.
    pub registered: Option<bool>,
    /// Whether it has lines for correction.
    pub corrects: Option<bool>,
    /// Whether the checksum over its figures is right.
    pub checksum: Checksum,
}

/// Kinds of memory whose tables are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SpdKind {
    /// DDR3.
    Ddr3,
    /// DDR4.
    Ddr4,
    /// DDR5.
    Ddr5,
}

impl SpdKind {
    /// Name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ddr3 => "DDR3",
            Self::Ddr4 => "DDR4",
            Self::Ddr5 => "DDR5",
        }
    }
}

/// Whether the checksum holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Checksum {
    /// It does.
    Right,
    /// It does not: the table was changed or read badly.
    Wrong,
}

/// Why bytes are no module's table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SpdError {
    /// Too few bytes.
    #[error("a module's table has at least {expected} bytes, this has {found}")]
    TooShort {
        /// Bytes there.
        found: usize,
        /// Bytes wanted.
        expected: usize,
    },
    /// Another kind of memory.
    #[error("byte 2 is {0:#04x}, which is none of DDR3, DDR4 and DDR5")]
    OtherKind(u8),
}

/// CRC of the polynomial 0x1021, beginning at zero.
pub fn crc(bytes: &[u8]) -> u16 {
    let mut crc = 0_u16;
    for byte in bytes {
        crc ^= u16::from(*byte) << 8;
        for _ in 0..8 {
            crc = if crc & 0x8000 != 0 { crc << 1 ^ 0x1021 } else { crc << 1 };
        }
    }
    crc
}

/// Bytes that the checksum covers, and where it stands.
pub fn covered(bytes: &[u8]) -> Option<(usize, usize)> {
    Some(match bytes.get(2)? {
        // Bit 7 of byte 0: the identity of the module is left out.
        0x0B if bytes[0] & 0x80 != 0 => (117, 126),
        0x0B | 0x0C => (126, 126),
        0x12 => (510, 510),
        _ => return None,
    })
}

fn checksum(bytes: &[u8]) -> Checksum {
    let right = covered(bytes).is_some_and(|(length, place)| {
        match (bytes.get(..length), bytes.get(place), bytes.get(place + 1)) {
            (Some(covered), Some(low), Some(high)) => crc(covered) == u16::from_le_bytes([*low, *high]),
            _ => false,
        }
    });
    if right { Checksum::Right } else { Checksum::Wrong }
}

fn part(bytes: &[u8]) -> Option<String> {
    let text: String =
        bytes.iter().map(|byte| char::from(*byte)).filter(|c| c.is_ascii_graphic() || *c == ' ').collect();
    let text = text.trim().to_owned();
    (!text.is_empty()).then_some(text)
}

/// Megatransfers a second of a shortest cycle in picoseconds, at the nearest rate of the standards
/// (multiples of 133 1/3 up to DDR4, of 400 in DDR5).
fn rate(cycle_ps: u32, kind: SpdKind) -> Option<u32> {
    if cycle_ps == 0 {
        return None;
    }
    let raw = 2e6 / f64::from(cycle_ps);
    let step = if kind == SpdKind::Ddr5 { 400.0 } else { 400.0 / 3.0 };
    let rate = (raw / step).round() * step;
    ((rate - raw).abs() < 0.02 * raw).then_some(rate as u32)
}

/// Reads a module's table.
///
/// # Errors
/// Too few bytes, or another kind of memory.
pub fn decode(bytes: &[u8]) -> Result<Spd, SpdError> {
    let need = |expected: usize| {
        if bytes.len() < expected { Err(SpdError::TooShort { found: bytes.len(), expected }) } else { Ok(()) }
    };
    need(128)?;
    match bytes[2] {
        0x0B => Ok(ddr3(bytes)),
        0x0C => need(256).map(|()| ddr4(bytes)),
        0x12 => need(512).map(|()| ddr5(bytes)),
        other => Err(SpdError::OtherKind(other)),
    }
}

/// Size of a module: capacity of a die over its width, times the bus, times the ranks.
fn size(die_bits: u64, bus: u64, width: u64, ranks: u64) -> Option<u64> {
    (die_bits > 0 && width > 0)
        .then(|| die_bits / 8 * (bus / width.max(1)) * ranks)
        .filter(|bytes| *bytes > 0)
}

fn ddr3(bytes: &[u8]) -> Spd {
    let ranks = (bytes[7] >> 3 & 7) + 1;
    let (width, bus) = (4_u64 << (bytes[7] & 7), 8_u64 << (bytes[8] & 7));
    let die_bits = 256_u64 << 20 << (bytes[4] & 15).min(12);
    // Medium time base: dividend over divisor in nanoseconds; fine time base in picoseconds.
    let (dividend, divisor) = (u32::from(bytes[10]), u32::from(bytes[11]).max(1));
    let fine_ps = i32::from(bytes[34] as i8) * i32::from(bytes[9] >> 4) / i32::from((bytes[9] & 15).max(1));
    let cycle_ps =
        u32::try_from((u32::from(bytes[12]) * 1000 * dividend / divisor) as i32 + fine_ps).unwrap_or(0);
    Spd {
        kind: SpdKind::Ddr3,
        bytes: size(die_bits, bus, width, u64::from(ranks)),
        ranks: Some(ranks),
        speed_mts: rate(cycle_ps, SpdKind::Ddr3),
        part: bytes.get(128..146).and_then(part),
        registered: module_kind(bytes[3]),
        corrects: Some(bytes[8] >> 3 & 3 != 0),
        checksum: checksum(bytes),
    }
}

/// Whether a module's address lines are buffered, by the base type of its body.
const fn module_kind(byte: u8) -> Option<bool> {
    match byte & 15 {
        1 | 4 | 5 | 11 => Some(true),
        2 | 3 | 6 => Some(false),
        _ => None,
    }
}

fn ddr4(bytes: &[u8]) -> Spd {
    let packages = (bytes[12] >> 3 & 7) + 1;
    // Stacked dies of one kind count as ranks of their own.
    let stacked = bytes[6] & 0x83 == 0x82;
    let dies = if stacked { (bytes[6] >> 4 & 7) + 1 } else { 1 };
    let (width, bus) = (4_u64 << (bytes[12] & 7), 8_u64 << (bytes[13] & 7));
    let code = bytes[4] & 15;
    let die_bits = match code {
        8 => 12_u64 << 30,
        9 => 24_u64 << 30,
        _ => 256_u64 << 20 << code.min(7),
    };
    let cycle_ps = u32::try_from(i32::from(bytes[18]) * 125 + i32::from(bytes[125] as i8)).unwrap_or(0);
    Spd {
        kind: SpdKind::Ddr4,
        bytes: size(die_bits, bus, width, u64::from(packages) * u64::from(dies)),
        ranks: Some(packages),
        speed_mts: rate(cycle_ps, SpdKind::Ddr4),
        part: bytes.get(329..349).and_then(part),
        registered: module_kind(bytes[3]),
        corrects: Some(bytes[13] >> 3 & 3 != 0),
        checksum: checksum(bytes),
    }
}

fn ddr5(bytes: &[u8]) -> Spd {
    let die_gib: u64 = match bytes[4] & 31 {
        1 => 4,
        2 => 8,
        3 => 12,
        4 => 16,
        5 => 24,
        6 => 32,
        7 => 48,
        8 => 64,
        _ => 0,
    };
    let stack = match bytes[4] >> 5 {
        0 => 1_u64,
        code @ 2..=5 => 1 << (code - 1),
        _ => 1,
    };
    let width = 4_u64 << (bytes[6] >> 5).min(3);
    let ranks = (bytes[234] >> 3 & 7) + 1;
    let channels = 1_u64 << (bytes[235] >> 5 & 3).min(1);
    let bus = 8_u64 << (bytes[235] & 7).min(3);
    let cycle_ps = u32::from(u16::from_le_bytes([bytes[20], bytes[21]]));
    Spd {
        kind: SpdKind::Ddr5,
        bytes: size((die_gib << 30) * stack, bus * channels, width, u64::from(ranks)),
        ranks: Some(ranks),
        speed_mts: rate(cycle_ps, SpdKind::Ddr5),
        part: bytes.get(521..551).and_then(part),
        registered: module_kind(bytes[3]),
        corrects: Some(bytes[235] >> 3 & 3 != 0),
        checksum: checksum(bytes),
    }
}
