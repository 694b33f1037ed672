//! Taking out what tells one machine from its sisters: serial numbers, identifiers, asset tags.

use crate::spd::covered;

/// Places of the string numbers that are kept, by type of structure (DMTF DSP0134, clause 7). Every other
/// string of a structure is blanked, so that what a maker adds of its own is blanked too.
const KEPT: &[(u8, &[usize])] = &[
    (0, &[0x04, 0x05, 0x08]),
    (1, &[0x04, 0x05, 0x06]),
    (2, &[0x04, 0x05, 0x06]),
    (3, &[0x04, 0x06]),
    (4, &[0x04, 0x07, 0x10]),
    (7, &[0x04]),
    (9, &[0x04]),
    (16, &[]),
    (17, &[0x10, 0x11, 0x17, 0x1A]),
    (127, &[]),
];

/// A firmware table with only the structures that a survey reads, and of their strings only those it
/// reads; the machine's identifier is zeroed.
pub fn table(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(bytes.len());
    let mut rest = bytes;
    while let (Some(kind), Some(length)) =
        (rest.first().copied(), rest.get(1).map(|length| usize::from(*length)))
    {
        if length < 4 || length > rest.len() {
            break;
        }
        let strings = &rest[length..];
        let Some(end) = strings.windows(2).position(|pair| pair == [0, 0]) else { break };
        if let Some((_, kept)) = KEPT.iter().find(|(known, _)| *known == kind) {
            structure(&rest[..length], &strings[..=end], kept, &mut out);
        }
        rest = &strings[end + 2..];
        if kind == 127 {
            break;
        }
    }
    out
}

fn structure(formatted: &[u8], strings: &[u8], kept: &[usize], out: &mut Vec<u8>) {
    let numbers: Vec<u8> = kept.iter().filter_map(|place| formatted.get(*place).copied()).collect();
    let start = out.len();
    out.extend_from_slice(formatted);
    // The identifier of a system: sixteen bytes from 8 on.
    if formatted[0] == 1 {
        let end = (start + 0x18).min(out.len());
        let from = (start + 8).min(end);
        out[from..end].fill(0);
    }
    let mut any = false;
    for (string, number) in
        strings.split(|byte| *byte == 0).filter(|string| !string.is_empty()).zip(1_u8..=u8::MAX)
    {
        if numbers.contains(&number) {
            out.extend_from_slice(string);
        } else {
            out.push(b'-');
        }
        out.push(0);
        any = true;
    }
    if !any {
        out.push(0);
    }
    out.push(0);
}

/// A memory module's table without its serial number, the checksum made right again where it was right.
pub fn spd(bytes: &[u8]) -> Vec<u8> {
    let mut out = bytes.to_vec();
    let was_right = crate::spd::decode(bytes).is_ok_and(|spd| spd.checksum == crate::spd::Checksum::Right);
    let serial = match bytes.get(2) {
        // Place and week of making stand before the number: they go with it.
        Some(0x0B) => 119..126,
        Some(0x0C) => 322..329,
        Some(0x12) => 514..521,
        _ => return Vec::new(),
    };
    for place in serial {
        if let Some(byte) = out.get_mut(place) {
            *byte = 0;
        }
    }
    if was_right
        && let Some((length, place)) = covered(&out)
        && let Some(sum) = out.get(..length).map(crate::spd::crc)
        && let Some(slot) = out.get_mut(place..place + 2)
    {
        slot.copy_from_slice(&sum.to_le_bytes());
    }
    out
}

/// A file by its path, without what tells the machine from its sisters; none where nothing is left.
pub fn file(path: &str, bytes: &[u8]) -> Option<Vec<u8>> {
    if path.ends_with("dmi/tables/DMI") {
        return Some(table(bytes));
    }
    if path.ends_with("/eeprom") || path.ends_with("/spd5118-nvmem") {
        let kept = spd(bytes);
        return (!kept.is_empty()).then_some(kept);
    }
    if path.ends_with("dm/uuid") {
        // What matters is whether it is encrypted.
        return bytes.starts_with(b"CRYPT-").then(|| b"CRYPT-\n".to_vec());
    }
    if path.ends_with("pci.ids") {
        // A public list of the system's: the machine that reads the capture has its own.
        return None;
    }
    Some(bytes.to_vec())
}
