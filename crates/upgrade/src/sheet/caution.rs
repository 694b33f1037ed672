//! Cautions, by the signal words of ANSI Z535.6.

/// Signal words.
///
/// # Source
/// Definitions: ANSI Z535.4-2007, 4.14.1 to 4.14.4; that Z535.6 uses the same ones is from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Signal {
    /// A hazard that, if not avoided, will result in death or serious injury.
    Danger,
    /// A hazard that, if not avoided, could result in death or serious injury.
    Warning,
    /// A hazard that, if not avoided, could result in minor or moderate injury.
    Caution,
    /// Practices not related to injury: damage to the machine or to data.
    Notice,
}

impl Signal {
    /// The word as it is printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }
}

/// A caution beside a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// Signal word.
    pub signal: Signal,
    /// The hazard, what it does and how it is avoided.
    pub text: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// What stands at the head of every job sheet.
pub const DEFER: &str = "Defer to the makers' instructions for each part and to local codes. Fixed wiring is work for a \
licensed electrician. If something does not look as described, stop.";

/// Mains inside the supply.
pub const SUPPLY_STAYS_SHUT: Caution = Caution {
    signal: Signal::Danger,
    text: "Never open the supply. Its capacitors hold a deadly voltage long after the cord is out.",
    source: "common practice, no source",
};

/// Pull the cord.
pub const CORD_OUT: Caution = Caution {
    signal: Signal::Warning,
    text: "Electric shock, and damage by standby power. Pull the mains cord; a switch at the back is not enough.",
    source: "common practice, no source",
};

/// Static.
pub const STATIC: Caution = Caution {
    signal: Signal::Notice,
    text: "Static kills parts below what a hand can feel. Stay bonded to the bare metal of the case by a wrist strap \
with its 1 megohm resistor. Without a strap: touch bare metal before each part, stay on one spot, hold parts by \
their edges. Never bond yourself to a live or opened supply.",
    source: "ANSI/ESD S20.20-2007 (strap system below 35 megohm) and ANSI/ESD S1.1 (1 megohm in the cord); \
the practice of IEC 61340-5-1 from memory",
};

/// Hot metal.
pub const HOT: Caution = Caution {
    signal: Signal::Caution,
    text: "Burns. The cooler can stay hot for minutes. Touch its side with the back of a finger first.",
    source: "common practice, no source",
};

/// Fins.
pub const SHARP_FINS: Caution = Caution {
    signal: Signal::Caution,
    text: "Cuts. Fins and case edges are sharp. Hold the cooler at its base or fan frame.",
    source: "common practice, no source",
};

/// Solvent.
pub const SOLVENT: Caution = Caution {
    signal: Signal::Warning,
    text: "Fire. Isopropyl alcohol vapour ignites from 12 °C on. Use a few drops on a cloth, open a window, keep flames and \
sparks away, let it dry before power comes back.",
    source: "NIOSH Pocket Guide, isopropyl alcohol: flash point 53 °F (11.7 °C)",
};

/// Twist before lift.
pub const TWIST: Caution = Caution {
    signal: Signal::Notice,
    text: "Old paste glues. Twist the cooler to and fro until it slides, then lift: a straight pull can tear a processor \
with pins out of its closed socket.",
    source: "common practice, no source",
};

/// Contacts in the socket.
pub const SOCKET_SPRINGS: Caution = Caution {
    signal: Signal::Notice,
    text: "The springs in the socket bend at a touch and cannot be bent back well. Nothing but the processor goes in there.",
    source: "common practice, no source",
};

/// Pins.
pub const PINS: Caution = Caution {
    signal: Signal::Notice,
    text: "The pins bend at a touch. Hold the processor by its edges, and never press it in: it falls in by its own weight.",
    source: "common practice, no source",
};

/// Coin cell.
pub const COIN_CELL: Caution = Caution {
    signal: Signal::Warning,
    text: "Swallowed coin cells burn through the gullet within hours. Keep the cell from children; do not short or charge it.",
    source: "common practice, no source",
};

/// Firmware.
pub const FIRMWARE_POWER: Caution = Caution {
    signal: Signal::Notice,
    text: "Power lost during the update can leave the board dead. Use only the file for exactly this board and revision.",
    source: "common practice, no source",
};

/// Unproven cooler.
pub const UNPROVEN: Caution = Caution {
    signal: Signal::Notice,
    text: "Until the cooler is proven do not load the machine. Watch the temperature from the first minute and be ready to \
switch off.",
    source: "common practice, no source",
};

/// Heavy parts.
pub const LIQUID: Caution = Caution {
    signal: Signal::Warning,
    text: "Liquid on live parts. Look at hoses and fittings before the cord goes in; if anything is wet, stop.",
    source: "common practice, no source",
};
