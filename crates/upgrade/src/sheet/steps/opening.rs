//! Switching off, draining, opening, bonding.

use crate::sheet::caution::{CORD_OUT, HOT, SHARP_FINS, STATIC, SUPPLY_STAYS_SHUT};
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// Shut down.
pub fn shut_down() -> Step {
    Step {
        gives: &[Fact::ShutDown],
        needs: &[Fact::PartsChecked],
        ..Step::new(
            "shut-down",
            3,
            Words {
                title: "Shut the machine down".into(),
                what: "Shut down from the operating system, fully, not to sleep.".into(),
                why: "A sleeping machine still feeds memory and board.",
                right: "Fans stand still and no light is on but that of standby.",
                otherwise: "Hold the power button until everything stops.",
            },
        )
    }
}

/// Cord out, capacitors drained.
pub fn pull_cord() -> Step {
    Step {
        needs: &[Fact::ShutDown],
        gives: &[Fact::Drained],
        takes: &[Fact::MainsConnected],
        cautions: vec![CORD_OUT, SUPPLY_STAYS_SHUT],
        stop: Some("Nothing inside may be touched while the cord is in."),
        ..Step::new("cord-out", 2, Words {
            title: "Pull the mains cord and press the power button".into(),
            what: "Pull the cord out of the supply, then all other cables. Press the power button and hold it for ten seconds.".into(),
            why: "The button drains what the supply's capacitors still feed to the board.",
            right: "The board's standby light is out. Fans may twitch once.",
            otherwise: "If a light stays on, another cable feeds the machine: pull it.",
        })
    }
}

/// Open the case and bond.
pub fn open_case() -> Step {
    Step {
        needs: &[Fact::Drained],
        bars: &[Fact::MainsConnected],
        gives: &[Fact::CaseOpen, Fact::Bonded],
        cautions: vec![STATIC, SHARP_FINS],
        tools: &["screwdriver, cross", "wrist strap with 1 megohm resistor"],
        ..Step::new("open", 5, Words {
            title: "Open the case and bond yourself to it".into(),
            what: "Take off the side panel, lay the machine on its side, clip the wrist strap to bare metal of the case. Photograph every \
connector that will come off."
                .into(),
            why: "What is at one potential cannot spark. The photograph answers every question later.",
            right: "The clip grips bare metal, the strap touches skin.",
            otherwise: "Without a strap: bare metal before every part, no walking, no synthetic sleeves.",
        })
    }
}

/// Let the cooler cool.
pub fn let_cool() -> Step {
    Step {
        needs: &[Fact::CaseOpen],
        gives: &[Fact::CoolerCold],
        cautions: vec![HOT],
        ..Step::new(
            "cool-down",
            5,
            Words {
                title: "Let the cooler get hand-warm".into(),
                what: "Feel the cooler's side. Hand-warm is best: paste lets go easier than when it is cold."
                    .into(),
                why: "Hot metal burns; cold paste glues.",
                right: "You can leave a finger on it.",
                otherwise: "Wait five minutes more.",
            },
        )
    }
}
