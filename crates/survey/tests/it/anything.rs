//! Whatever bytes there are, a survey ends, does not panic and stays small.

use survey::entry::dump;
use survey::redact;
use survey::smbios::table;
use survey::spd::decode;

use crate::encoder::{Bench, spd_ddr4};

/// Equally spread numbers, the same every time.
struct Draw(u64);

impl Draw {
    fn next(&mut self, below: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % below.max(1)
    }
}

/// One change: bits turned, bytes cut off, a wrong length, a string without end, structures over each other.
fn mutated(bytes: &[u8], draw: &mut Draw) -> Vec<u8> {
    let mut out = bytes.to_vec();
    for _ in 0..=draw.next(4) {
        if out.is_empty() {
            break;
        }
        let place = draw.next(out.len());
        match draw.next(6) {
            0 => out[place] ^= 1 << draw.next(8),
            1 => out.truncate(place),
            2 => out[place] = u8::try_from(draw.next(256)).unwrap(),
            3 => out.retain(|byte| *byte != 0 || draw.next(8) > 0),
            4 => {
                let part = out[place..].to_vec();
                out.extend_from_slice(&part[..part.len().min(64)]);
            }
            _ => {
                let end = (place + draw.next(32)).min(out.len());
                out[place..end].fill(if draw.next(2) == 0 { 0 } else { 0xFF });
            }
        }
    }
    out
}

#[test]
fn a_hundred_thousand_changed_tables_are_read_or_refused() {
    let mut draw = Draw(3);
    let (whole, module) = (Bench::default().dump(), spd_ddr4());
    for _ in 0..50_000 {
        let bytes = mutated(&whole, &mut draw);
        if let Ok((version, rest)) = dump(&bytes) {
            let found = table(rest, version);
            assert!(found.modules.len() <= 256 && found.structures <= rest.len());
        }
        let found = table(&bytes, None);
        assert!(
            found.remarks.iter().all(|remark| !remark.contains("so badly")),
            "the decoder had to be caught"
        );
        let kept = redact::table(&bytes);
        assert!(kept.len() <= 2 * bytes.len() + 2);
        let bytes = mutated(&module, &mut draw);
        let _ = decode(&bytes);
        assert!(redact::spd(&bytes).len() <= bytes.len());
    }
}

#[test]
fn nothing_at_all_is_no_table() {
    assert!(dump(&[]).is_err());
    assert!(dump(b"_SM3_").is_err());
    assert!(dump(b"_SM_").is_err());
    assert_eq!(table(&[], None).structures, 0);
    // An entry point that points outside its dump.
    let mut outside = Bench::default().dump();
    outside.truncate(0x20);
    assert!(dump(&outside).is_err() || dump(&outside).unwrap().1.is_empty());
}
