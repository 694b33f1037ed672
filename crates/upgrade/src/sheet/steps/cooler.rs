//! The cooler off and on.

use crate::part::cooler::{Cooler, Mounting};
use crate::part::processor::Support;
use crate::sheet::caution::{HOT, LIQUID, SHARP_FINS, TWIST};
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// Take the old cooler off.
pub fn take_off(cooler: &Cooler) -> Step {
    let how = match cooler.mounting.get() {
        Some(Mounting::PushPins) => "Turn each of the four pins a quarter against the clock and pull it up",
        Some(Mounting::Screws) => "Loosen the screws crosswise, two turns each, until all are free",
        Some(Mounting::Clip) => "Press the clip off its nose on the side without a lever first",
        Some(Mounting::Lever) => "Swing the lever over and unhook both sides",
        None => {
            "Look how it is held: screws are loosened crosswise, push pins turned a quarter against the clock, a clip pressed off its nose, a lever swung over"
        }
    };
    Step {
        needs: &[Fact::Bonded, Fact::CoolerCold, Fact::CoolerOn],
        bars: &[Fact::MainsConnected],
        takes: &[Fact::CoolerOn, Fact::FanConnected, Fact::PasteOn],
        cautions: vec![HOT, SHARP_FINS, TWIST],
        tools: match cooler.mounting.get() {
            Some(Mounting::Screws) => &["screwdriver, cross"],
            Some(Mounting::PushPins | Mounting::Clip) => &["screwdriver, flat"],
            Some(Mounting::Lever) => &[],
            None => &["screwdriver, cross", "screwdriver, flat"],
        },
        ..Step::new(
            "cooler-off",
            8,
            Words {
                title: format!("Take {} off", cooler.name),
                what: format!(
                    "Pull the fan's plug off its header by the plug, not by the wires. {how}. Twist the cooler to and fro, then lift it."
                ),
                why: "A joint that is twisted loose leaves the processor where it is.",
                right: "The cooler comes away freely; the processor stays in its socket.",
                otherwise: "If the processor hangs on the cooler: stop, open the hold-down, slide a thin card between them. Do not pull.",
            },
        )
    }
}

/// Put the cooler of the machine-to-be on.
pub fn put_on(cooler: &Cooler) -> Step {
    let how = match cooler.mounting.get() {
        Some(Mounting::PushPins) => {
            "Set all four pins, then press two opposite ones home at the same time, then the other two"
        }
        Some(Mounting::Screws) => {
            "Start all screws by two turns, then tighten crosswise, one turn each, until they stop"
        }
        Some(Mounting::Clip) => "Hook the side without a lever first, then press the other side down",
        Some(Mounting::Lever) => "Hook both sides, then swing the lever over",
        None => "Fix it the way it was held before, evenly from opposite sides",
    };
    let mut cautions = vec![SHARP_FINS];
    if cooler.is_liquid_loop() {
        cautions.push(LIQUID);
    }
    Step {
        needs: &[Fact::Bonded, Fact::NewProcessorIn, Fact::SocketClosed, Fact::PasteOn, Fact::NewBoardIn],
        bars: &[Fact::MainsConnected, Fact::CoolerOn],
        gives: &[Fact::CoolerOn],
        cautions,
        tools: match cooler.mounting.get() {
            Some(Mounting::Screws) | None => &["screwdriver, cross"],
            Some(Mounting::Clip) => &["screwdriver, flat"],
            Some(Mounting::PushPins | Mounting::Lever) => &[],
        },
        stop: Some("A cooler that rocks or sits askew overheats the processor within seconds."),
        ..Step::new(
            "cooler-on",
            12,
            Words {
                title: format!("Put {} on", cooler.name),
                what: format!(
                    "Peel the film off its face if there is one. Lower it straight down without sliding. {how}."
                ),
                why: "Pressing it down evenly lets the paste run out evenly; sliding leaves air.",
                right: "It does not rock; all pins or screws are equally deep; a gentle twist moves nothing.",
                otherwise: "Take it off again, look at the paste's print, clean, put new paste, and start over.",
            },
        )
    }
}

/// Where the cooler is while its fans are swapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Swapped {
    /// It stays on the processor.
    On,
    /// It is off already.
    Off,
}

/// Swap the fans of a cooler that stays.
pub fn swap_fans(cooler: &Cooler, swapped: Swapped) -> Step {
    let (needs, gives): (&'static [Fact], &'static [Fact]) = match swapped {
        Swapped::On => (&[Fact::Bonded, Fact::PartsChecked, Fact::CoolerOn], &[Fact::FanConnected]),
        Swapped::Off => (&[Fact::Bonded, Fact::PartsChecked], &[]),
    };
    let plug = match swapped {
        Swapped::On => " Then the plug goes on the header marked for the processor's fan.",
        Swapped::Off => "",
    };
    Step {
        needs,
        bars: &[Fact::MainsConnected],
        gives,
        cautions: vec![SHARP_FINS],
        ..Step::new(
            "fans",
            10,
            Words {
                title: format!("Swap the fans: {}", cooler.name),
                what: format!(
                    "Note which way the old fan blows: an arrow on its frame, or else air leaves at the side of the struts. Unplug it, spring its \
clips off outwards and lift it away without levering on the fins; blow dust out of them. Hang the new fan the same way round.{plug}"
                ),
                why: "A fan that blows against the case's air, or from the wrong side, carries less than the old one did.",
                right: "It sits flat, turns freely by a finger, and no wire touches the blades.",
                otherwise: "The clips do not reach: it is a fan of another size or thickness; put the old one back.",
            },
        )
    }
}

/// Plug the fan in.
pub fn connect_fan(cooler: &Cooler) -> Step {
    let pump = if cooler.is_liquid_loop() {
        " The pump goes on the header its manual names, at full speed."
    } else {
        ""
    };
    Step {
        needs: &[Fact::CoolerOn],
        bars: &[Fact::MainsConnected, Fact::FanConnected],
        gives: &[Fact::FanConnected],
        stop: Some("Without its fan the processor overheats."),
        ..Step::new(
            "fan",
            2,
            Words {
                title: "Put the fan's plug on the processor's fan header".into(),
                what: format!(
                    "Push the plug on the header marked for the processor's fan. Turn the fan by a finger: no wire may touch it.{pump}"
                ),
                why: "Firmware stops machines whose fan it does not see, or worse, does not.",
                right: "The plug is fully on, keyed side matching; the fan turns freely.",
                otherwise: "Tie the wires away from the blades.",
            },
        )
    }
}

/// Whether paste came on the cooler.
pub fn brings_paste(cooler: &Cooler) -> bool {
    cooler.paste_applied.get() == Some(Support::Yes)
}
