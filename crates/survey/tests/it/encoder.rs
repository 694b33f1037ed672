//! Writes firmware tables of invented machines.
//!
//! # Source
//! DMTF DSP0134, System Management BIOS Reference Specification, clauses 7.1 to 7.5, 7.8, 7.10, 7.17, 7.18.

/// A table that is being written.
#[derive(Default)]
pub(crate) struct Encoder {
    bytes: Vec<u8>,
    handle: u16,
}

impl Encoder {
    /// Adds a structure: what follows its header, and its strings.
    pub(crate) fn push(&mut self, kind: u8, formatted: &[u8], strings: &[&str]) {
        self.bytes.push(kind);
        self.bytes.push(u8::try_from(formatted.len() + 4).unwrap());
        self.bytes.extend_from_slice(&self.handle.to_le_bytes());
        self.handle += 1;
        self.bytes.extend_from_slice(formatted);
        for string in strings {
            self.bytes.extend_from_slice(string.as_bytes());
            self.bytes.push(0);
        }
        self.bytes.extend_from_slice(if strings.is_empty() { &[0, 0] } else { &[0] });
    }

    /// The finished table.
    pub(crate) fn finish(mut self) -> Vec<u8> {
        self.push(127, &[], &[]);
        self.bytes
    }
}

/// What an invented machine is made of.
#[derive(Clone)]
pub(crate) struct Bench {
    pub(crate) board: &'static str,
    pub(crate) processor: &'static str,
    pub(crate) socket_byte: u8,
    pub(crate) cores: u8,
    pub(crate) threads: u8,
    pub(crate) modules: Vec<(u32, &'static str)>,
    pub(crate) slots: u16,
}

impl Default for Bench {
    fn default() -> Self {
        Self {
            board: "Plover",
            processor: "Wren(R) Tern(TM) 1 Sedge CPU @ 3.20GHz",
            socket_byte: 1,
            cores: 4,
            threads: 8,
            modules: vec![(8192, "QN26-8G-2R"), (8192, "QN26-8G-2R")],
            slots: 4,
        }
    }
}

/// Secrets that no capture may hold.
pub(crate) const SECRETS: [&str; 9] = [
    "SYS-4711",
    "BOARD-0815",
    "CASE-3141",
    "CPU-2718",
    "MOD-1618",
    "TAG-SYS",
    "TAG-BOARD",
    "TAG-CPU",
    "OEM-SECRET",
];

/// Sixteen bytes that identify an invented machine.
pub(crate) const IDENTITY: [u8; 16] = *b"identity-of-it!!";

impl Bench {
    /// Its firmware table.
    pub(crate) fn table(&self) -> Vec<u8> {
        let mut out = Encoder::default();
        let mut firmware = vec![1, 2, 0x00, 0xF0, 3, 0xFF];
        firmware.extend_from_slice(&[0x08, 0, 0, 0, 0, 0, 0, 0, 0x03, 0x0D, 1, 20, 0xFF, 0xFF]);
        out.push(0, &firmware, &["Larch Firmware", "1.20", "03/14/2019"]);
        let mut system = vec![1, 2, 3, 4];
        system.extend_from_slice(&IDENTITY);
        system.extend_from_slice(&[6, 5, 6]);
        out.push(1, &system, &["Tidewell", "Radio bench", "v1", SECRETS[0], "SKU 1", "Bench"]);
        out.push(
            2,
            &[1, 2, 3, 4, 5, 9, 6, 3, 0, 10, 0],
            &["Tidewell", self.board, "r2", SECRETS[1], SECRETS[6], "middle"],
        );
        out.push(
            3,
            &[1, 3, 2, 3, 4, 3, 3, 3, 3, 0, 0, 0, 0, 0, 1, 0, 0, 0],
            &["Hutch", "v1", SECRETS[2], SECRETS[5]],
        );
        let mut processor = vec![1, 3, 0xC6, 2];
        processor.extend_from_slice(&[0xA9, 6, 3, 0, 0xFF, 0xFB, 0xEB, 0xBF]);
        processor.extend_from_slice(&[3, 0x80 | 11]);
        processor.extend_from_slice(&100_u16.to_le_bytes());
        processor.extend_from_slice(&3_800_u16.to_le_bytes());
        processor.extend_from_slice(&3_200_u16.to_le_bytes());
        processor.extend_from_slice(&[0x41, self.socket_byte, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 4, 5, 6]);
        processor.extend_from_slice(&[self.cores, self.cores, self.threads, 0xFC, 0, 0xC6, 0]);
        for count in [self.cores, self.cores, self.threads] {
            processor.extend_from_slice(&u16::from(count).to_le_bytes());
        }
        out.push(4, &processor, &["U3E1", "Wren", self.processor, SECRETS[3], SECRETS[7], "none"]);
        out.push(7, &[1, 0x82, 0x01, 0x00, 0x20, 0x00, 0x20, 0x20, 0, 0x20, 0, 0, 5, 5, 7], &["L3"]);
        out.push(9, &[1, 0xB1, 0x0D, 4, 4, 1, 0, 0x0C, 1, 0, 0, 1, 0], &["X1"]);
        out.push(9, &[1, 0xA5, 0x05, 3, 3, 2, 0, 0x0C, 1, 0, 0, 2, 0], &["X2"]);
        let mut array = vec![3, 3, 3];
        array.extend_from_slice(&(64 * 1024 * 1024_u32).to_le_bytes());
        array.extend_from_slice(&[0xFE, 0xFF]);
        array.extend_from_slice(&self.slots.to_le_bytes());
        array.extend_from_slice(&0_u64.to_le_bytes());
        out.push(16, &array, &[]);
        for place in 0..self.slots {
            let slot = format!("DIMM_{}", char::from(b'A' + u8::try_from(place).unwrap()));
            self.module(&mut out, &slot, self.modules.get(usize::from(place)));
        }
        out.push(11, &[1], &[SECRETS[8]]);
        out.finish()
    }

    fn module(&self, out: &mut Encoder, slot: &str, module: Option<&(u32, &str)>) {
        let (mib, part) = module.copied().unwrap_or((0, ""));
        let mut device = vec![9, 0, 0xFE, 0xFF];
        let (total, data) = if mib > 0 { (64_u16, 64_u16) } else { (0xFFFF, 0xFFFF) };
        device.extend_from_slice(&total.to_le_bytes());
        device.extend_from_slice(&data.to_le_bytes());
        let short = if mib >= 0x7FFF { 0x7FFF } else { u16::try_from(mib).unwrap() };
        device.extend_from_slice(&short.to_le_bytes());
        device.extend_from_slice(&[9, 0, 1, 2, 0x1A, 0x80, 0x40]);
        let speed = if mib > 0 { 2666_u16 } else { 0 };
        device.extend_from_slice(&speed.to_le_bytes());
        let strings: &[&str] =
            if mib > 0 { &[slot, "BANK 0", "Quillon", SECRETS[4], part] } else { &[slot, "BANK 0"] };
        let numbers: [u8; 4] = if mib > 0 { [3, 4, 0, 5] } else { [0, 0, 0, 0] };
        device.extend_from_slice(&numbers);
        device.push(if mib > 0 { 2 } else { 0 });
        device.extend_from_slice(&(if mib >= 0x7FFF { mib } else { 0 }).to_le_bytes());
        device.extend_from_slice(&(if mib > 0 { 2400_u16 } else { 0 }).to_le_bytes());
        for millivolts in [1200_u16, 1200, 1200] {
            device.extend_from_slice(&(if mib > 0 { millivolts } else { 0 }).to_le_bytes());
        }
        out.push(17, &device, strings);
    }

    /// A dump as the usual utilities write it: an entry point, then the table.
    pub(crate) fn dump(&self) -> Vec<u8> {
        let table = self.table();
        let mut out = survey::entry::write_entry(survey::entry::Version { major: 3, minor: 2 }, table.len());
        out.extend_from_slice(&table);
        out
    }
}

/// A module's own table of an invented DDR4 module: 8 GiB, two ranks, 2666 MT/s.
pub(crate) fn spd_ddr4() -> Vec<u8> {
    let mut out = vec![0_u8; 512];
    out[0] = 0x23;
    out[1] = 0x11;
    out[2] = 0x0C;
    out[3] = 2;
    // Eight banks of 4 Gbit dies, eight bits wide, two ranks, a bus of 64 bits.
    out[4] = 0x84;
    out[12] = 0x09;
    out[13] = 0x03;
    // 0.75 ns: 6 times 125 ps.
    out[18] = 6;
    let sum = survey::spd::crc(&out[..126]);
    out[126..128].copy_from_slice(&sum.to_le_bytes());
    out[325..329].copy_from_slice(b"SERL");
    out[329..349].copy_from_slice(b"QN26-8G-2R          ");
    out
}
