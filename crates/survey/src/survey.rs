//! One look at everything.

use crate::entry::{Version, dump, entry};
use crate::pci::{PciDevice, devices};
use crate::root::{Root, Unread};
use crate::sensors::{Sensor, energy_zones, sensors};
use crate::smbios::{Table, table};
use crate::software::{SoftwareFacts, software};
use crate::spd::{Checksum, Spd, decode};
use crate::topology::{Topology, topology};

/// Something that could not be read, and how to get at it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// What.
    pub what: &'static str,
    /// Why.
    pub why: String,
    /// A command that would add it, where one would.
    pub command: Option<&'static str>,
}

/// Everything that was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey {
    /// The firmware's table.
    pub table: Option<Table>,
    /// The processor as the kernel sees it.
    pub topology: Topology,
    /// Devices.
    pub devices: Vec<PciDevice>,
    /// What the memory modules say of themselves, by the kernel's name of their place.
    pub modules: Vec<(String, Spd)>,
    /// Sensors.
    pub sensors: Vec<Sensor>,
    /// Zones whose energy is counted.
    pub energy_zones: Vec<String>,
    /// Software.
    pub software: SoftwareFacts,
    /// What could not be read.
    pub missing: Vec<Missing>,
    /// What does not agree with something else.
    pub contradictions: Vec<String>,
}

const TABLE: &str = "sys/firmware/dmi/tables/DMI";
const ENTRY: &str = "sys/firmware/dmi/tables/smbios_entry_point";

/// Reads a machine's files.
pub fn survey(root: &Root) -> Survey {
    let mut out = Survey { topology: topology(root), ..Survey::default() };
    firmware_table(root, &mut out);
    out.devices = devices(root);
    memory(root, &mut out);
    out.sensors = sensors(root);
    out.energy_zones = energy_zones(root);
    out.software = software(root);
    if out.sensors.is_empty() {
        out.missing.push(Missing {
            what: "sensors",
            why: "the kernel shows none".to_owned(),
            command: Some("sudo modprobe -a coretemp k10temp nct6775"),
        });
    }
    compare(&mut out);
    out
}

/// Reads a dump of a firmware table alone.
///
/// # Errors
/// There is an entry point in it, but it is damaged or points outside.
pub fn survey_dump(bytes: &[u8]) -> Result<Survey, crate::entry::EntryError> {
    let (version, bytes) = dump(bytes)?;
    let mut out = Survey { table: Some(table(bytes, version)), ..Survey::default() };
    out.missing.push(Missing {
        what: "everything but the firmware's table",
        why: "a dump holds nothing else".to_owned(),
        command: Some("reseat survey --capture machine.tar.gz"),
    });
    compare(&mut out);
    Ok(out)
}

fn firmware_table(root: &Root, out: &mut Survey) {
    let version: Option<Version> =
        root.read(ENTRY).ok().and_then(|bytes| entry(&bytes).ok()).map(|entry| entry.version);
    match root.read(TABLE) {
        Ok(bytes) => out.table = Some(table(&bytes, version)),
        Err(Unread::Forbidden) => {
            out.missing.push(Missing {
                what: "firmware table: board, memory slots and modules",
                why: "only the administrator may read it".to_owned(),
                command: Some("sudo reseat survey"),
            });
            out.table = kernels_extract(root);
        }
        Err(Unread::Missing | Unread::Failed) => {
            let why = if root.has("sys/class/dmi/id") {
                "the kernel shows an extract only"
            } else {
                "this machine's firmware gives none to the kernel"
            };
            out.missing.push(Missing {
                what: "firmware table: board, memory slots and modules",
                why: why.to_owned(),
                command: None,
            });
            out.table = kernels_extract(root);
        }
    }
}

/// The few strings of the table that the kernel shows everybody.
fn kernels_extract(root: &Root) -> Option<Table> {
    let word = |name: &str| root.text(&format!("sys/class/dmi/id/{name}")).filter(|text| !text.is_empty());
    let mut table = Table::default();
    table.firmware.vendor = word("bios_vendor");
    table.firmware.version = word("bios_version");
    table.firmware.date = word("bios_date");
    table.system.maker = word("sys_vendor");
    table.system.product = word("product_name");
    table.board.maker = word("board_vendor");
    table.board.product = word("board_name");
    table.board.version = word("board_version");
    let any =
        table.firmware.version.is_some() || table.system.product.is_some() || table.board.product.is_some();
    any.then_some(table)
}

fn memory(root: &Root, out: &mut Survey) {
    const BASE: &str = "sys/bus/i2c/devices";
    let mut forbidden = false;
    for place in root.list(BASE).into_iter().take(1024) {
        // Only devices that a driver of memory tables has taken have this file.
        for file in ["eeprom", "spd5118-nvmem"] {
            match root.read(&format!("{BASE}/{place}/{file}")) {
                Ok(bytes) => match decode(&bytes) {
                    Ok(spd) => out.modules.push((place.clone(), spd)),
                    Err(_) => continue,
                },
                Err(Unread::Forbidden) => forbidden = true,
                Err(_) => continue,
            }
        }
    }
    if forbidden {
        out.missing.push(Missing {
            what: "the memory modules' own tables",
            why: "only the administrator may read them".to_owned(),
            command: Some("sudo reseat survey"),
        });
    } else if out.modules.is_empty() {
        out.missing.push(Missing {
            what: "the memory modules' own tables",
            why: "no driver has taken them".to_owned(),
            command: Some("sudo modprobe -a i2c_dev ee1004 spd5118"),
        });
    }
}

/// Where two sources speak of one thing and do not agree.
fn compare(out: &mut Survey) {
    for (place, spd) in &out.modules {
        if spd.checksum == Checksum::Wrong {
            out.contradictions.push(format!(
                "The table of the memory module at {place} has a wrong checksum: its figures are not sure."
            ));
        }
    }
    let Some(table) = &out.table else { return };
    let socket = table.sockets.iter().find(|socket| socket.populated).or_else(|| table.sockets.first());
    if let (Some(socket), Some(name)) = (socket, &out.topology.name)
        && let Some(firmware) = &socket.processor
        && crate::recognise::score(firmware, name) < crate::recognise::OFFERED
    {
        out.contradictions.push(format!("The processor calls itself \"{name}\", the firmware's table says \"{firmware}\". What it says itself is taken."));
    }
    let cores = out.topology.core_count();
    if let Some(said) = socket.and_then(|socket| socket.cores)
        && cores > 0
        && u32::from(said) != cores
    {
        out.contradictions.push(format!(
            "The firmware's table says {said} cores, the kernel counts {cores}. Some may be switched off in the firmware."
        ));
    }
    let in_slots: Vec<u64> = table.modules.iter().filter_map(|module| module.bytes).collect();
    let by_themselves: u64 = out.modules.iter().filter_map(|(_, spd)| spd.bytes).sum();
    if !in_slots.is_empty()
        && out.modules.len() == in_slots.len()
        && by_themselves != in_slots.iter().sum::<u64>()
    {
        out.contradictions.push(
            "The memory modules say another size of themselves than the firmware's table does.".to_owned(),
        );
    }
}
