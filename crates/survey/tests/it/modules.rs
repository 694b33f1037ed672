//! Tables of memory modules.

use survey::spd::{Checksum, SpdKind, crc, decode};

use crate::encoder::spd_ddr4;

/// Check value of the CRC with polynomial 0x1021, initial value zero, not reflected, over "123456789":
/// 0x31C3 (catalogue of parametrised CRC algorithms, CRC-16/XMODEM).
#[test]
fn the_checksum_is_the_published_one() {
    assert_eq!(crc(b"123456789"), 0x31C3);
}

#[test]
fn a_module_says_what_it_is() {
    let spd = decode(&spd_ddr4()).unwrap();
    assert_eq!(spd.kind, SpdKind::Ddr4);
    // 4 Gbit dies of eight bits on a bus of 64: 8 dies of half a gibibyte a rank, two ranks.
    assert_eq!(spd.bytes, Some(8 << 30));
    assert_eq!(spd.ranks, Some(2));
    assert_eq!(spd.speed_mts, Some(2666));
    assert_eq!(spd.part.as_deref(), Some("QN26-8G-2R"));
    assert_eq!((spd.registered, spd.corrects, spd.checksum), (Some(false), Some(false), Checksum::Right));
}

#[test]
fn a_changed_byte_breaks_the_checksum() {
    let mut bytes = spd_ddr4();
    bytes[20] ^= 1;
    assert_eq!(decode(&bytes).unwrap().checksum, Checksum::Wrong);
}

#[test]
fn older_and_newer_kinds_are_read() {
    // DDR3: 2 Gbit dies, eight bits, two ranks, bus of 64 with correction, 1.25 ns by eighths.
    let mut ddr3 = vec![0_u8; 256];
    ddr3[2] = 0x0B;
    ddr3[3] = 2;
    ddr3[4] = 3;
    ddr3[7] = 0x09;
    ddr3[8] = 0x0B;
    ddr3[10] = 1;
    ddr3[11] = 8;
    ddr3[12] = 10;
    ddr3[128..138].copy_from_slice(b"QN16-4G-2R");
    let sum = crc(&ddr3[..126]);
    ddr3[126..128].copy_from_slice(&sum.to_le_bytes());
    let spd = decode(&ddr3).unwrap();
    assert_eq!((spd.kind, spd.bytes, spd.speed_mts), (SpdKind::Ddr3, Some(4 << 30), Some(1600)));
    assert_eq!((spd.corrects, spd.checksum), (Some(true), Checksum::Right));
    // DDR5: 16 Gbit dies, eight bits, one rank, two channels of 32 bits, 416 ps.
    let mut ddr5 = vec![0_u8; 1024];
    ddr5[2] = 0x12;
    ddr5[3] = 2;
    ddr5[4] = 4;
    ddr5[6] = 1 << 5;
    ddr5[20..22].copy_from_slice(&416_u16.to_le_bytes());
    ddr5[235] = 0x22;
    ddr5[521..532].copy_from_slice(b"QN48-16G-1R");
    let sum = crc(&ddr5[..510]);
    ddr5[510..512].copy_from_slice(&sum.to_le_bytes());
    let spd = decode(&ddr5).unwrap();
    assert_eq!((spd.kind, spd.bytes, spd.speed_mts), (SpdKind::Ddr5, Some(16 << 30), Some(4800)));
    assert_eq!((spd.part.as_deref(), spd.checksum), (Some("QN48-16G-1R"), Checksum::Right));
}

#[test]
fn other_bytes_are_refused_with_a_reason() {
    assert!(decode(&[0; 10]).unwrap_err().to_string().contains("at least 128 bytes"));
    assert!(decode(&[0; 512]).unwrap_err().to_string().contains("none of DDR3"));
}
