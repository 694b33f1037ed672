//! Finding the firmware's structure table: entry points of both kinds, and raw dumps.
//!
//! # Source
//! DMTF DSP0134, System Management BIOS Reference Specification, clauses 5.2.1 and 5.2.2.

/// Version of the standard that a table follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Version {
    /// Major.
    pub major: u8,
    /// Minor.
    pub minor: u8,
}

/// What an entry point says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry {
    /// Version of the standard.
    pub version: Version,
    /// Length of the table in bytes, or the most it may have.
    pub length: usize,
    /// Where the table lies: an address of memory, or a place in a dump.
    pub address: u64,
    /// Bytes of the entry point itself.
    pub own_length: usize,
}

/// Why bytes are no table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EntryError {
    /// No entry point begins here.
    #[error("there is no entry point: it begins with neither \"_SM_\" nor \"_SM3_\"")]
    NoAnchor,
    /// It ends too soon.
    #[error("the entry point ends after {0} bytes")]
    TooShort(usize),
    /// Its bytes do not add up.
    #[error("the entry point's bytes do not add up to zero: it is damaged")]
    Checksum,
    /// The table lies outside the dump.
    #[error("the table should lie at byte {0}, which is outside this dump")]
    Outside(u64),
}

fn adds_up(bytes: &[u8]) -> bool {
    bytes.iter().fold(0_u8, |sum, byte| sum.wrapping_add(*byte)) == 0
}

fn at<const N: usize>(bytes: &[u8], place: usize) -> Option<[u8; N]> {
    bytes.get(place..place + N)?.try_into().ok()
}

/// Reads an entry point.
///
/// # Errors
/// The bytes are none, end too soon, or do not add up.
pub fn entry(bytes: &[u8]) -> Result<Entry, EntryError> {
    let short = || EntryError::TooShort(bytes.len());
    if bytes.starts_with(b"_SM3_") {
        let own_length = usize::from(*bytes.get(6).ok_or_else(short)?);
        let own = bytes.get(..own_length.max(0x18)).ok_or_else(short)?;
        if !adds_up(own) {
            return Err(EntryError::Checksum);
        }
        let length = u32::from_le_bytes(at(own, 0x0C).ok_or_else(short)?);
        return Ok(Entry {
            version: Version { major: own[7], minor: own[8] },
            length: usize::try_from(length).unwrap_or(usize::MAX),
            address: u64::from_le_bytes(at(own, 0x10).ok_or_else(short)?),
            own_length: own.len(),
        });
    }
    if bytes.starts_with(b"_SM_") {
        // Some firmware says 30 where it means 31 (a slip of an old edition of the standard).
        let own_length = usize::from(*bytes.get(5).ok_or_else(short)?).clamp(0x1E, 0x20);
        let own = bytes.get(..own_length).ok_or_else(short)?;
        if !adds_up(own) && !bytes.get(..0x1F).is_some_and(adds_up) {
            return Err(EntryError::Checksum);
        }
        return Ok(Entry {
            version: Version { major: own[6], minor: own[7] },
            length: usize::from(u16::from_le_bytes(at(own, 0x16).ok_or_else(short)?)),
            address: u64::from(u32::from_le_bytes(at(own, 0x18).ok_or_else(short)?)),
            own_length: own.len(),
        });
    }
    Err(EntryError::NoAnchor)
}

/// Version and table in a dump: an entry point whose address counts from the beginning of the file, with
/// the table there; or a bare table, as the kernel gives it.
///
/// # Errors
/// There is an entry point, but it is damaged or points outside.
pub fn dump(bytes: &[u8]) -> Result<(Option<Version>, &[u8]), EntryError> {
    match entry(bytes) {
        Ok(entry) => {
            let place = usize::try_from(entry.address).unwrap_or(usize::MAX);
            let table = bytes.get(place..).filter(|_| place >= entry.own_length);
            let table = table.ok_or(EntryError::Outside(entry.address))?;
            Ok((Some(entry.version), &table[..entry.length.min(table.len())]))
        }
        Err(EntryError::NoAnchor) if looks_like_a_table(bytes) => Ok((None, bytes)),
        Err(error) => Err(error),
    }
}

/// Whether bytes are structures one after the other, up to the end or to the one that ends a table.
fn looks_like_a_table(bytes: &[u8]) -> bool {
    let mut rest = bytes;
    while let (Some(kind), Some(length)) = (rest.first(), rest.get(1)) {
        let strings = match rest.get(usize::from(*length)..) {
            Some(strings) if *length >= 4 => strings,
            _ => return false,
        };
        let Some(end) = strings.windows(2).position(|pair| pair == [0, 0]) else { return false };
        if *kind == 127 {
            return true;
        }
        rest = &strings[end + 2..];
    }
    rest.is_empty() && !bytes.is_empty()
}

/// An entry point of the newer kind for a table that follows it in a dump.
pub fn write_entry(version: Version, table_length: usize) -> Vec<u8> {
    let mut out = vec![0_u8; 0x20];
    out[..5].copy_from_slice(b"_SM3_");
    out[6] = 0x18;
    out[7] = version.major;
    out[8] = version.minor;
    out[0x0A] = 1;
    let length = u32::try_from(table_length).unwrap_or(u32::MAX);
    out[0x0C..0x10].copy_from_slice(&length.to_le_bytes());
    out[0x10..0x18].copy_from_slice(&0x20_u64.to_le_bytes());
    let sum = out[..0x18].iter().fold(0_u8, |sum, byte| sum.wrapping_add(*byte));
    out[5] = 0_u8.wrapping_sub(sum);
    out
}
