//! Before anything is switched off.

use crate::part::board::FirmwareVersion;
use crate::sheet::caution::{FIRMWARE_POWER, STATIC};
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// A back-up that has been read back.
pub fn back_up() -> Step {
    Step {
        gives: &[Fact::BackedUp],
        needs: &[Fact::MainsConnected],
        stop: Some("Without a back-up nothing that follows may touch firmware or drives."),
        ..Step::new(
            "back-up",
            20,
            Words {
                title: "Make a back-up and read one file back".into(),
                what: "Copy what matters to a drive that is then unplugged. Open one file from the copy."
                    .into(),
                why: "Firmware updates and new boards can lock or lose what is on the drives.",
                right: "A file opened from the copy looks as it should.",
                otherwise: "Make the copy on another drive before going on.",
            },
        )
    }
}

/// Recovery keys.
pub fn note_keys() -> Step {
    Step {
        gives: &[Fact::KeysNoted],
        needs: &[Fact::BackedUp, Fact::MainsConnected],
        stop: Some("A changed firmware or board makes the machine ask for this key."),
        ..Step::new("keys", 10, Words {
            title: "Write down the recovery key and licences".into(),
            what: "Show the disk encryption's recovery key in the operating system and write it on paper, away from this machine. \
Note which licences are bound to the board."
                .into(),
            why: "The key is sealed to firmware and processor; after the change the machine asks for it once.",
            right: "The paper's key has been compared group by group with the screen.",
            otherwise: "Do not go on: have the owner find the key first.",
        })
    }
}

/// Parts on the bench.
pub fn look_at_parts(list: &str) -> Step {
    Step {
        gives: &[Fact::PartsChecked],
        stop: Some("A wrong or damaged part is easier to return before it has been fitted."),
        cautions: vec![STATIC],
        ..Step::new(
            "parts",
            5,
            Words {
                title: "Compare the parts with the list".into(),
                what: format!(
                    "On the bench, in their bags: {list}. Compare the printing with this list; look at contacts, pins, screws and \
mounting set."
                ),
                why: "A missing screw found now costs a minute, found later an evening.",
                right: "Every part is there, undamaged, with the printing of the list.",
                otherwise: "Stop and exchange the part; photograph the damage.",
            },
        )
    }
}

/// The soak of the machine as it is.
pub fn soak_before() -> Step {
    Step {
        gives: &[Fact::SoakedBefore],
        needs: &[Fact::MainsConnected],
        ..Step::new(
            "soak-before",
            15,
            Words {
                title: "Soak the machine as it is".into(),
                what: "Run the soak and keep its log with this job. Note the room's temperature.".into(),
                why: "Without a before there is no proof of the after.",
                right: "The log has temperatures, clocks and, where the machine gives it, power.",
                otherwise: "If it stops on a temperature, keep the log: that is the fault to cure.",
            },
        )
    }
}

/// Firmware while the old processor is in.
pub fn update_firmware(version: &FirmwareVersion) -> Step {
    Step {
        gives: &[Fact::FirmwareReady],
        needs: &[Fact::BackedUp, Fact::KeysNoted, Fact::MainsConnected, Fact::OldProcessorIn],
        cautions: vec![FIRMWARE_POWER],
        stop: Some("With older firmware the new processor stays dark, and nothing can update it then."),
        tools: &["memory stick", "firmware file for exactly this board"],
        ..Step::new(
            "firmware",
            20,
            Words {
                title: format!("Update the firmware to {version} or later, old processor in"),
                what: format!(
                    "Check the board's name and revision. Put the maker's file for version {version} or later on a memory stick and update \
from the firmware's own page. Let it restart by itself, then read the version."
                ),
                why: "The installed version does not know the new processor.",
                right: "The first page shows the new version, and the machine starts as before.",
                otherwise: "If it does not start: wait ten minutes, then use the board's recovery as its manual says. Do not swap the processor.",
            },
        )
    }
}

/// Firmware without a processor.
pub fn update_firmware_without_processor(version: &FirmwareVersion) -> Step {
    Step {
        gives: &[Fact::FirmwareReady],
        needs: &[Fact::NewBoardIn, Fact::BoardPowered, Fact::MainsConnected],
        bars: &[Fact::Started],
        cautions: vec![FIRMWARE_POWER],
        stop: Some("With older firmware the new processor stays dark."),
        tools: &["memory stick", "firmware file for exactly this board"],
        ..Step::new(
            "firmware",
            20,
            Words {
                title: format!("Update the firmware to {version} or later through the marked port"),
                what: format!(
                    "Copy the maker's file for version {version} or later, named as its manual says, to a memory stick; put it in the marked \
port and hold the button. Do not touch anything while the light blinks."
                ),
                why: "The board is sold with a version that does not know this processor.",
                right: "The light goes out by itself.",
                otherwise: "If it blinks without end, name the file as the manual says and use a smaller, newly formatted stick.",
            },
        )
    }
}
