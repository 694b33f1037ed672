//! The last look, the cord and the first start.

use crate::sheet::caution::{CORD_OUT, UNPROVEN};
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// What must hold before the cord goes back in: whatever needs it out is done.
const BEFORE_CORD: &[Fact] = &[
    Fact::CaseOpen,
    Fact::Drained,
    Fact::NewBoardIn,
    Fact::NewSupplyIn,
    Fact::NewProcessorIn,
    Fact::SocketClosed,
    Fact::NewMemoryIn,
    Fact::CoolerOn,
    Fact::FanConnected,
    Fact::BoardPowered,
    Fact::BoardCabled,
];

/// Look over everything, cord in, start.
pub fn first_start() -> Step {
    Step {
        needs: &[
            Fact::CoolerOn,
            Fact::FanConnected,
            Fact::NewProcessorIn,
            Fact::SocketClosed,
            Fact::NewMemoryIn,
            Fact::NewBoardIn,
            Fact::NewSupplyIn,
            Fact::BoardPowered,
            Fact::BoardCabled,
            Fact::FirmwareReady,
            Fact::MainsConnected,
        ],
        gives: &[Fact::Started],
        takes: &[Fact::Drained],
        cautions: vec![UNPROVEN],
        stop: Some("If it does not start, go to \"the first start does nothing\" on this sheet."),
        ..Step::new("first-start", 5, Words {
            title: "Start, and go into the firmware".into(),
            what: "Start with only screen and keyboard connected. The first start can take minutes and restart by itself: wait. Go into the \
firmware's settings and read the processor's temperature."
                .into(),
            why: "In the firmware the load is small, so a bad joint shows before it does harm.",
            right: "The firmware names the new processor and all memory; the temperature settles below about 50 °C within two minutes.",
            otherwise: "Rising without end: switch off at once, pull the cord, look at the cooler. Nothing at all: the decision tree.",
        })
    }
}

/// Put the mains cord back.
pub fn connect_mains() -> Step {
    Step {
        needs: BEFORE_CORD,
        gives: &[Fact::MainsConnected],
        takes: &[Fact::Bonded, Fact::Drained],
        cautions: vec![CORD_OUT],
        ..Step::new("cord-in", 3, Words {
            title: "Look over everything, take the strap off, put the cord in".into(),
            what: "Count the tools and screws: none may be left inside. Every power plug has clicked, no wire touches a fan. Take the wrist \
strap off, then put the cord in."
                .into(),
            why: "From here on there is mains in the supply; hands stay out of the case.",
            right: "Nothing lies loose in the case; the standby light comes on.",
            otherwise: "Smell or smoke: pull the cord at the wall, and stop.",
        })
    }
}

/// Firmware settings.
pub fn set_firmware(notes: &str) -> Step {
    Step {
        needs: &[Fact::Started],
        gives: &[Fact::FirmwareSet],
        ..Step::new(
            "settings",
            6,
            Words {
                title: "Make the firmware's settings".into(),
                what: format!(
                    "Load the defaults, then set date, start order, the memory's own profile, and the fan curve.{notes} Save."
                ),
                why: "A changed processor resets settings; memory without its profile runs slow.",
                right: "After a restart the memory's rate is the one of the plan.",
                otherwise: "If it does not start with the profile, clear the settings and take the next slower rate.",
            },
        )
    }
}

/// Close the case.
pub fn close_case() -> Step {
    Step {
        needs: &[Fact::FirmwareSet],
        gives: &[Fact::Seen],
        takes: &[Fact::CaseOpen],
        tools: &["screwdriver, cross"],
        ..Step::new("close", 8, Words {
            title: "Start the system, look for every part, close the case".into(),
            what: "Start the operating system. Compare processor, memory, drives, network and sound with the plan. Then put the side panel on.".into(),
            why: "What is missing is found faster while the case is open.",
            right: "Everything of the list shows up, and no recovery key is asked for a second time.",
            otherwise: "A missing drive or card: shut down, pull the cord, look at its plug.",
        })
    }
}
