//! Field by field against the operating system's own decoding utility.

use std::path::Path;
use std::process::Command;

use survey::survey::survey_dump;

use crate::encoder::Bench;

/// Output of the utility over a dump; none where it is not installed and this is no CI.
fn utility(dump: &[u8], name: &str) -> Option<String> {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.bin"));
    std::fs::write(&path, dump).unwrap();
    let run = ["dmidecode", "/usr/sbin/dmidecode"]
        .into_iter()
        .find_map(|program| Command::new(program).arg("--from-dump").arg(&path).output().ok());
    if run.is_none() {
        assert!(
            std::env::var_os("CI").is_none(),
            "dmidecode does not run: install the Debian package dmidecode"
        );
        eprintln!("skipped: dmidecode is not installed");
    }
    Some(String::from_utf8(run?.stdout).unwrap())
}

/// Values of a field in every section of a title.
fn values(text: &str, title: &str, field: &str) -> Vec<String> {
    text.split("\n\n")
        .filter(|section| section.lines().nth(1) == Some(title))
        .filter_map(|section| {
            section.lines().find_map(|line| line.strip_prefix('\t')?.strip_prefix(field)?.strip_prefix(": "))
        })
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_field_is_what_the_utility_prints() {
    let bench = Bench {
        modules: vec![(8192, "QN26-8G-2R"), (32_768, "QN26-32G-2R"), (16_384, "QN26-16G-1R")],
        ..Bench::default()
    };
    let dump = bench.dump();
    let Some(text) = utility(&dump, "fields") else { return };
    let table = survey_dump(&dump).unwrap().table.unwrap();
    let same = |title: &str, field: &str, ours: Vec<Option<String>>| {
        let theirs = values(&text, title, field);
        let ours: Vec<String> =
            ours.into_iter().map(|value| value.unwrap_or_else(|| "?".to_owned())).collect();
        assert_eq!(ours, theirs, "{title}, {field}\n{text}");
    };
    same("BIOS Information", "Vendor", vec![table.firmware.vendor.clone()]);
    same("BIOS Information", "Version", vec![table.firmware.version.clone()]);
    same("BIOS Information", "Release Date", vec![table.firmware.date.clone()]);
    same("System Information", "Manufacturer", vec![table.system.maker.clone()]);
    same("System Information", "Product Name", vec![table.system.product.clone()]);
    same("Base Board Information", "Manufacturer", vec![table.board.maker.clone()]);
    same("Base Board Information", "Product Name", vec![table.board.product.clone()]);
    same("Base Board Information", "Version", vec![table.board.version.clone()]);
    same("Chassis Information", "Type", vec![table.chassis.clone()]);
    let socket = &table.sockets[0];
    same("Processor Information", "Socket Designation", vec![socket.designation.clone()]);
    same("Processor Information", "Version", vec![socket.processor.clone()]);
    same("Processor Information", "Core Count", vec![socket.cores.map(|n| n.to_string())]);
    same("Processor Information", "Thread Count", vec![socket.threads.map(|n| n.to_string())]);
    same("Processor Information", "Max Speed", vec![socket.max_mhz.map(|n| format!("{n} MHz"))]);
    same("Processor Information", "Current Speed", vec![socket.start_mhz.map(|n| format!("{n} MHz"))]);
    same("Processor Information", "Voltage", vec![socket.volts.map(|volts| format!("{volts:.1} V"))]);
    same(
        "Cache Information",
        "Installed Size",
        vec![table.caches.first().map(|cache| size(cache.kib << 10))],
    );
    same(
        "System Slot Information",
        "Designation",
        table.slots.iter().map(|slot| slot.designation.clone()).collect(),
    );
    let usage = |used: Option<bool>| used.map(|used| if used { "In Use" } else { "Available" }.to_owned());
    same(
        "System Slot Information",
        "Current Usage",
        table.slots.iter().map(|slot| usage(slot.used)).collect(),
    );
    same("Physical Memory Array", "Maximum Capacity", vec![table.array.largest_bytes.map(size)]);
    same("Physical Memory Array", "Number Of Devices", vec![table.array.slots.map(|n| n.to_string())]);
    let filled: Vec<_> = table.modules.iter().filter(|module| module.bytes.is_some()).collect();
    let locators = table.modules.iter().map(|module| module.slot.clone()).collect();
    same("Memory Device", "Locator", locators);
    let sizes = table.modules.iter().map(|module| {
        if module.empty { Some("No Module Installed".to_owned()) } else { module.bytes.map(size) }
    });
    same("Memory Device", "Size", sizes.collect());
    same("Memory Device", "Part Number", filled.iter().map(|module| module.part.clone()).collect());
    same("Memory Device", "Speed", filled.iter().map(|m| m.speed_mts.map(|n| format!("{n} MT/s"))).collect());
    same(
        "Memory Device",
        "Configured Memory Speed",
        filled.iter().map(|m| m.running_mts.map(|n| format!("{n} MT/s"))).collect(),
    );
    same("Memory Device", "Rank", filled.iter().map(|module| module.ranks.map(|n| n.to_string())).collect());
    same(
        "Memory Device",
        "Configured Voltage",
        filled.iter().map(|m| m.millivolts.map(|n| format!("{:.1} V", f64::from(n) / 1e3))).collect(),
    );
    let kinds =
        table.modules.iter().map(|module| module.kind.as_ref().map(|kind| kind.to_uppercase())).collect();
    same("Memory Device", "Type", kinds);
}

fn size(bytes: u64) -> String {
    [(30, "GB"), (20, "MB"), (10, "kB")]
        .into_iter()
        .find(|(shift, _)| bytes >> shift > 0 && bytes & ((1 << shift) - 1) == 0)
        .map_or_else(|| format!("{bytes} bytes"), |(shift, unit)| format!("{} {unit}", bytes >> shift))
}

/// The standard's names of sockets: the library's against the utility's, for every byte both know.
#[test]
fn socket_names_are_the_utilitys() {
    let plain = |name: &str| -> String {
        name.to_lowercase().replace("socket", "").chars().filter(char::is_ascii_alphanumeric).collect()
    };
    let (mut same, mut compared) = (0, 0);
    for byte in 0x0F..=0x40_u8 {
        let bench = Bench { socket_byte: byte, ..Bench::default() };
        let dump = bench.dump();
        let Some(text) = utility(&dump, "socket") else { return };
        let theirs = values(&text, "Processor Information", "Upgrade").swap_remove(0);
        let table = survey_dump(&dump).unwrap().table.unwrap();
        assert_eq!(table.sockets[0].kind_byte, Some(byte));
        if let Some(ours) = &table.sockets[0].kind_name {
            compared += 1;
            same += u32::from(plain(ours) == plain(&theirs));
        }
    }
    // Spellings of a few old ones differ between the two.
    assert!(compared > 40 && same * 10 >= compared * 9, "{same} of {compared} alike");
}
