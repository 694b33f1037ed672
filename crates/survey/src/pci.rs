//! Devices on the PCI bus: chipset bridge, graphics, storage, network, with the names of the system's list.

use std::collections::BTreeMap;

use crate::root::Root;

/// What a device is for, by the class code of the standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PciKind {
    /// The bridge to the chipset: class 06, host (00) or to the low-speed bus (01).
    Bridge,
    /// A display controller: class 03.
    Graphics,
    /// Mass storage: class 01.
    Storage,
    /// Network: class 02.
    Network,
}

impl PciKind {
    /// The word used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bridge => "bridge",
            Self::Graphics => "graphics",
            Self::Storage => "storage",
            Self::Network => "network",
        }
    }
}

/// One device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PciDevice {
    /// Address on the bus.
    pub address: String,
    /// What it is for.
    pub kind: PciKind,
    /// Maker's number.
    pub vendor: u16,
    /// Device's number.
    pub device: u16,
    /// Maker's and device's name, where the list has them.
    pub name: Option<String>,
    /// Lanes it runs at now, where the kernel says.
    pub lanes: Option<u16>,
    /// Whether the firmware shows its picture on it.
    pub boots_picture: bool,
}

impl PciDevice {
    /// Its name, or its numbers.
    pub fn title(&self) -> String {
        self.name.clone().unwrap_or_else(|| {
            format!("{:04x}:{:04x}, which the list does not name", self.vendor, self.device)
        })
    }
}

/// Where distributions keep the list of names.
const LISTS: [&str; 3] = ["usr/share/misc/pci.ids", "usr/share/hwdata/pci.ids", "usr/share/pci.ids"];

/// Names of the wanted devices. The list is walked once and not kept.
fn names(root: &Root, wanted: &[(u16, u16)]) -> BTreeMap<(u16, u16), String> {
    let mut out = BTreeMap::new();
    let Some(bytes) = LISTS.iter().find_map(|path| root.read(path).ok()) else { return out };
    let text = String::from_utf8_lossy(&bytes);
    let mut vendor: Option<(u16, &str)> = None;
    for line in text.lines() {
        if line.starts_with('#') || line.starts_with("\t\t") || line.is_empty() {
            continue;
        }
        // After the makers come the classes, which begin with a letter C.
        if line.starts_with("C ") {
            break;
        }
        let split = |line: &'_ str| -> Option<(u16, usize)> {
            Some((u16::from_str_radix(line.get(..4)?, 16).ok()?, 4))
        };
        if let Some(rest) = line.strip_prefix('\t') {
            let (Some((maker, maker_name)), Some((device, end))) = (vendor, split(rest)) else { continue };
            if wanted.contains(&(maker, device)) {
                out.insert((maker, device), format!("{maker_name} {}", rest[end..].trim()));
            }
        } else {
            vendor = split(line)
                .filter(|(number, _)| wanted.iter().any(|(maker, _)| maker == number))
                .map(|(number, end)| (number, line[end..].trim()));
        }
    }
    out
}

/// The devices that an upgrade is about.
pub fn devices(root: &Root) -> Vec<PciDevice> {
    const BASE: &str = "sys/bus/pci/devices";
    let mut out = Vec::new();
    for address in root.list(BASE).into_iter().take(1024) {
        let number = |file: &str| root.number(&format!("{BASE}/{address}/{file}"));
        let Some(class) = number("class") else { continue };
        let kind = match (class >> 16, (class >> 8) & 0xFF) {
            (0x06, 0x00 | 0x01) => PciKind::Bridge,
            (0x03, _) => PciKind::Graphics,
            (0x01, _) => PciKind::Storage,
            (0x02, _) => PciKind::Network,
            _ => continue,
        };
        let id = |file: &str| number(file).and_then(|value| u16::try_from(value).ok());
        let (Some(vendor), Some(device)) = (id("vendor"), id("device")) else { continue };
        let lanes = number("current_link_width")
            .and_then(|lanes| u16::try_from(lanes).ok())
            .filter(|lanes| *lanes > 0);
        let boots_picture = number("boot_vga") == Some(1);
        out.push(PciDevice { kind, vendor, device, name: None, lanes, boots_picture, address });
    }
    let wanted: Vec<(u16, u16)> = out.iter().map(|device| (device.vendor, device.device)).collect();
    let names = names(root, &wanted);
    for device in &mut out {
        device.name = names.get(&(device.vendor, device.device)).cloned();
    }
    out
}
