//! Reading what software asks for.

use quantity::reading::{Origin, Reading};
use upgrade::machine::software::{BoundKeys, FirmwareMode, Software};

use crate::fields::Fields;

const MODES: [(&str, FirmwareMode); 2] = [("uefi", FirmwareMode::Uefi), ("legacy", FirmwareMode::Legacy)];

/// The section `[software]`.
pub fn software(fields: &mut Fields<'_, '_>) -> Software {
    let keys = |fields: &mut Fields<'_, '_>| {
        let disk_encryption = fields.truth("disk_encryption");
        let licence = fields.truth("licence");
        (disk_encryption.is_some() || licence.is_some()).then_some(BoundKeys { disk_encryption, licence })
    };
    Software {
        system: fields.text("system"),
        firmware_mode: fields.word("firmware_mode", &MODES),
        instruction_level: fields
            .count("instruction_level", 1, 4)
            .map(|level| u8::try_from(level).unwrap_or(4)),
        features: fields.texts("features"),
        bound_keys: Reading::from_option(fields.table("bound_keys", keys).flatten(), Origin::Hand),
    }
}
