//! Decoding a firmware table of about a hundred structures, and a module's own table.
//!
//! Peer, whole process on the same dump: the operating system's decoding utility takes about 2 ms
//! (`perf stat dmidecode --from-dump FILE`), `reseat survey --dump FILE` about 7 ms with the demo's library
//! read and matched.

use divan::{Bencher, black_box};
use survey::smbios::table;
use survey::spd::decode;

fn main() {
    divan::main();
}

/// A table with 32 memory slots, 60 slots for cards and the rest.
fn large() -> Vec<u8> {
    let mut out = Vec::new();
    let mut push = |kind: u8, formatted: &[u8], strings: &[&str]| {
        out.push(kind);
        out.push(u8::try_from(formatted.len() + 4).unwrap_or(u8::MAX));
        out.extend_from_slice(&[0, 0]);
        out.extend_from_slice(formatted);
        for string in strings {
            out.extend_from_slice(string.as_bytes());
            out.push(0);
        }
        out.extend_from_slice(if strings.is_empty() { &[0, 0] } else { &[0] });
    };
    push(
        0,
        &[1, 2, 0, 0xF0, 3, 0xFF, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
        &["Larch", "1.20", "03/14/2019"],
    );
    for _ in 0..32 {
        let mut device = [0_u8; 36];
        device[4] = 64;
        device[6] = 64;
        device[9] = 0x20;
        device[12] = 1;
        device[13] = 2;
        device[14] = 0x1A;
        push(17, &device, &["DIMM_A", "BANK 0", "Quillon", "QN26-8G-2R"]);
    }
    for _ in 0..60 {
        push(9, &[1, 0xA5, 0x05, 3, 3, 2, 0, 0x0C, 1, 0, 0, 2, 0], &["X2"]);
    }
    push(127, &[], &[]);
    out
}

#[divan::bench]
fn table_of_94_structures(bencher: Bencher<'_, '_>) {
    let bytes = large();
    bencher.bench_local(|| table(black_box(&bytes), None));
}

#[divan::bench]
fn table_of_a_module(bencher: Bencher<'_, '_>) {
    let mut bytes = [0_u8; 512];
    bytes[2] = 0x0C;
    bytes[18] = 6;
    bencher.bench_local(|| decode(black_box(&bytes)));
}
