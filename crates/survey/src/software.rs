//! Firmware mode, operating system, security chip and encrypted disks: only what is needed to warn.

use crate::root::Root;

/// What an upgrade has to mind.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SoftwareFacts {
    /// Operating system, by its own name.
    pub system: Option<String>,
    /// Whether it was started by UEFI; none where neither can be told.
    pub uefi: Option<bool>,
    /// Whether there is a security chip.
    pub security_chip: Option<bool>,
    /// Whether a disk is encrypted; none where the kernel does not show its block devices.
    pub encrypted_disk: Option<bool>,
    /// Whole disks: name and size in bytes.
    pub disks: Vec<(String, u64)>,
}

/// Looks.
pub fn software(root: &Root) -> SoftwareFacts {
    let release = root.text("etc/os-release").or_else(|| root.text("usr/lib/os-release"));
    let system = release.and_then(|text| {
        text.lines()
            .find_map(|line| line.strip_prefix("PRETTY_NAME="))
            .map(|name| name.trim().trim_matches('"').to_owned())
            .filter(|name| !name.is_empty())
    });
    let firmware = root.has("sys/firmware");
    let blocks = root.list("sys/block");
    let encrypted = blocks.iter().any(|name| {
        root.text(&format!("sys/block/{name}/dm/uuid")).is_some_and(|uuid| uuid.starts_with("CRYPT-"))
    });
    // One entry for a disk: loops, memory disks and mapped devices are none.
    let disks = blocks
        .iter()
        .filter(|name| !["loop", "ram", "dm-", "zram", "md", "sr"].iter().any(|word| name.starts_with(word)))
        .filter_map(|name| Some((name.clone(), root.number(&format!("sys/block/{name}/size"))? * 512)))
        .filter(|(_, bytes)| *bytes > 0)
        .collect();
    SoftwareFacts {
        system,
        uefi: firmware.then(|| root.text("sys/firmware/efi/fw_platform_size").is_some()),
        security_chip: root.has("sys/class").then(|| {
            root.list("sys/class/tpm").iter().any(|chip| {
                // Read, so that a capture holds it.
                root.text(&format!("sys/class/tpm/{chip}/tpm_version_major")).is_some()
                    || root.has(&format!("sys/class/tpm/{chip}"))
            })
        }),
        encrypted_disk: (!blocks.is_empty()).then_some(encrypted),
        disks,
    }
}
