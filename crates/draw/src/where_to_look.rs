//! Small sketches of where in a machine a reading is taken.

/// A sketch for the reading that settles a rule; none where words are enough.
pub fn sketch(rule: &str) -> Option<&'static str> {
    Some(match rule {
        "power-stages" => STAGES,
        "aux-12v" => PLUGS,
        "cooler-height" => HEIGHT,
        "cooler-memory" => MODULES,
        "memory-type" | "memory-speed" | "memory-build" => LABEL,
        "socket" | "generation" | "firmware" => PRINTING,
        "supply-power" | "supply-cards" | "case-supply" => SUPPLY,
        _ => return None,
    })
}

const STAGES: &str = "    rear of the case
    | [L][L][L][L]        L  an inductor: a grey block, often with a number such as R22
    | [s][s][s][s]        s  switches between it and the socket: one body, or two or three
    | [L] .--------.      count the L beside the socket; look whether metal fins cover the s
    | [L] | socket |
    |     '--------'";

const PLUGS: &str = "    rear of the case
    |  .----.  <- beside the processor, at the board's upper edge
    |  |o o |     4 pins: two of them 12 V;  8 pins: four of them 12 V
    |  |o o |     count the pins of the board's connectors and of the plugs in them
    |  '----'";

const HEIGHT: &str = "    side panel  =====================
                   ^
                   |  measure this height, by ruler, panel off:
                   v  from the lid of the processor to the plane of the case's edge
    lid         _______
    board  ------------------------------";

const MODULES: &str = "      .-fins of the cooler-.
      |                    |   height free below the lowest fin
      '--------------------'   and above the slots
         |   |   |   |         height of a module above the board
    ---------------------- board";

const LABEL: &str = "    .----------------------------------.
    | [chip] [chip] [chip]  (label)    |   the label: size, rate, voltage, part number
    '---------. .----------------------'   beside the slots the board often prints the type
      contacts  ^ notch";

const PRINTING: &str = "    the board's name is printed large between the card slots or beside the memory;
    the firmware's version is on the first screen after switching on, or in its menu";

const SUPPLY: &str =
    "    the supply's label is on its side, often hidden by the case's wall: take the supply's screws out
    at the rear, never open the supply itself
    | +12 V | 37 A |  ->  the current on the 12 V line, and the total power";
