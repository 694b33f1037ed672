//! A captured tree of an invented machine.

use std::collections::BTreeMap;

use survey::root::Root;

use crate::encoder::{Bench, spd_ddr4};

/// Files of an invented machine, by their paths.
pub(crate) fn files() -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut put = |path: &str, bytes: &[u8]| {
        files.insert(path.to_owned(), bytes.to_vec());
    };
    let bench = Bench::default();
    put("sys/firmware/dmi/tables/DMI", &bench.table());
    put("sys/firmware/dmi/tables/smbios_entry_point", &bench.dump()[..24]);
    let flags = "fpu cx8 cmov mmx fxsr sse sse2 syscall cx16 lahf_lm popcnt pni sse4_1 sse4_2 ssse3 avx avx2 bmi1 bmi2 f16c fma abm movbe xsave";
    let mut cpuinfo = String::new();
    for thread in 0..8 {
        cpuinfo.push_str(&format!(
            "processor\t: {thread}\nvendor_id\t: WrenWrenWren\ncpu family\t: 6\nmodel\t\t: 42\nmodel name\t: Wren(R) Tern(TM) 1 Sedge CPU @ 3.20GHz\nstepping\t: 7\nsiblings\t: 8\ncpu cores\t: 4\nflags\t\t: {flags}\n\n"
        ));
        let at = format!("sys/devices/system/cpu/cpu{thread}");
        put(&format!("{at}/topology/core_id"), format!("{}\n", thread % 4).as_bytes());
        put(&format!("{at}/topology/physical_package_id"), b"0\n");
        put(
            &format!("{at}/cpufreq/cpuinfo_max_freq"),
            if thread % 4 == 0 { b"3900000\n" } else { b"3800000\n" },
        );
        put(&format!("{at}/cache/index3/level"), b"3\n");
        put(&format!("{at}/cache/index3/type"), b"Unified\n");
        put(&format!("{at}/cache/index3/size"), b"8192K\n");
        put(&format!("{at}/cache/index3/shared_cpu_list"), b"0-7\n");
    }
    put("proc/cpuinfo", cpuinfo.as_bytes());
    for (address, class, device) in
        [("0000:00:1f.0", "0x060100", "0x1001"), ("0000:01:00.0", "0x030000", "0x2002")]
    {
        let at = format!("sys/bus/pci/devices/{address}");
        put(&format!("{at}/class"), class.as_bytes());
        put(&format!("{at}/vendor"), b"0xabcd\n");
        put(&format!("{at}/device"), device.as_bytes());
        put(&format!("{at}/current_link_width"), b"16\n");
    }
    put("usr/share/misc/pci.ids", b"# names\nabcd  Alder Works\n\t1001  Bough bridge\n\t2002  Leaf picture card\n\t\tabcd 0001  other\nC 03  Display controller\n");
    put("sys/bus/i2c/devices/0-0050/eeprom", &spd_ddr4());
    put("sys/bus/i2c/devices/0-0051/eeprom", &spd_ddr4());
    put("sys/class/hwmon/hwmon0/name", b"benchtemp\n");
    put("sys/class/hwmon/hwmon0/temp1_input", b"41500\n");
    put("sys/class/hwmon/hwmon0/temp1_label", b"Package\n");
    put("sys/class/hwmon/hwmon0/fan1_input", b"1180\n");
    put("sys/class/powercap/zone:0/name", b"package-0\n");
    put("sys/firmware/efi/fw_platform_size", b"64\n");
    put("sys/class/tpm/tpm0/tpm_version_major", b"2\n");
    put("sys/block/nvme0n1/size", b"1953525168\n");
    put("sys/block/dm-0/dm/uuid", b"CRYPT-LUKS2-0123456789abcdef-disk\n");
    put("etc/os-release", b"NAME=Bench\nPRETTY_NAME=\"Bench system 3\"\n");
    files
}

#[test]
fn everything_in_a_tree_is_read() {
    let found = survey::survey::survey(&Root::files(files()));
    let table = found.table.as_ref().unwrap();
    assert_eq!(table.board.product.as_deref(), Some("Plover"));
    assert_eq!(found.topology.core_count(), 4);
    assert_eq!(found.topology.thread_count(), 8);
    // One favoured core is a few per cent faster and no kind of its own.
    assert_eq!(found.topology.cores.len(), 1);
    assert_eq!(found.topology.level, Some(3));
    assert_eq!(found.topology.signature.unwrap().to_string(), "6-42-7");
    assert_eq!(found.topology.caches[0].count, 1);
    assert_eq!(found.devices[0].name.as_deref(), Some("Alder Works Bough bridge"));
    assert_eq!(found.devices[1].lanes, Some(16));
    assert_eq!(found.modules.len(), 2);
    assert_eq!(found.sensors.len(), 2);
    assert_eq!(found.sensors.iter().find(|sensor| sensor.label == "Package").unwrap().raw, Some(41_500));
    assert_eq!(found.energy_zones, ["package-0"]);
    assert_eq!(found.software.uefi, Some(true));
    assert_eq!(found.software.security_chip, Some(true));
    assert_eq!(found.software.encrypted_disk, Some(true));
    assert_eq!(found.software.disks, [("nvme0n1".to_owned(), 1_953_525_168 * 512)]);
    assert_eq!(found.contradictions, Vec::<String>::new());
}

#[test]
fn what_cannot_be_read_names_the_command_that_would() {
    let mut without = files();
    without.retain(|path, _| !path.contains("dmi") && !path.contains("eeprom"));
    let found = survey::survey::survey(&Root::files(without));
    let missing: Vec<&str> = found.missing.iter().map(|missing| missing.what).collect();
    assert!(missing.iter().any(|what| what.contains("firmware table")), "{missing:?}");
    assert!(
        found
            .missing
            .iter()
            .any(|missing| missing.command.is_some_and(|command| command.contains("modprobe")))
    );
}

#[test]
fn sources_that_disagree_are_told() {
    let mut odd = files();
    odd.insert(
        "sys/firmware/dmi/tables/DMI".to_owned(),
        Bench { cores: 6, processor: "Heron 9 Gull", ..Bench::default() }.table(),
    );
    let found = survey::survey::survey(&Root::files(odd));
    assert!(found.contradictions.iter().any(|line| line.contains("6 cores")), "{:?}", found.contradictions);
    assert!(
        found.contradictions.iter().any(|line| line.contains("Heron 9 Gull")),
        "{:?}",
        found.contradictions
    );
}

#[test]
fn a_link_out_of_a_tree_is_not_followed() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("links");
    std::fs::create_dir_all(folder.join("proc")).unwrap();
    let link = folder.join("proc/cpuinfo");
    if !link.is_symlink() {
        std::os::unix::fs::symlink("/proc/cpuinfo", &link).unwrap();
    }
    let root = Root::folder(&folder).unwrap();
    assert_eq!(root.read("proc/cpuinfo"), Err(survey::root::Unread::Missing));
    assert_eq!(root.read("../../etc/passwd").ok(), None);
}
