//! The processor out and in, by kind of socket.

use crate::part::processor::Processor;
use crate::part::socket::{Contacts, HoldDown, Socket};
use crate::sheet::caution::{Caution, PINS, SOCKET_SPRINGS, STATIC};
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

fn cautions(socket: Option<&Socket>) -> Vec<Caution> {
    match socket.map(|socket| socket.contacts) {
        Some(Contacts::LandGrid) => vec![STATIC, SOCKET_SPRINGS],
        Some(Contacts::PinGrid) => vec![STATIC, PINS],
        None => vec![STATIC, SOCKET_SPRINGS, PINS],
    }
}

fn opening(socket: Option<&Socket>) -> &'static str {
    match socket.map(|socket| socket.hold_down) {
        Some(HoldDown::LeverAndFrame) => "Press the lever down and out, swing it up, open the frame",
        Some(HoldDown::Lever) => "Press the lever out and swing it straight up",
        Some(HoldDown::ScrewedFrame) => {
            "Loosen the frame's screws in the order printed on it, then open the frame"
        }
        None => "Open the hold-down as the board's manual shows",
    }
}

fn closing(socket: Option<&Socket>) -> &'static str {
    match socket.map(|socket| socket.hold_down) {
        Some(HoldDown::LeverAndFrame) => {
            "Lower the frame over the lid's edge and press the lever home under its hook; it needs some force"
        }
        Some(HoldDown::Lever) => "Hold the processor down with a finger and press the lever home",
        Some(HoldDown::ScrewedFrame) => {
            "Lower the frame and tighten its screws in the order printed on it, a little at a time"
        }
        None => "Close the hold-down as the board's manual shows",
    }
}

/// Take the old processor out.
pub fn take_out(old: &Processor, socket: Option<&Socket>) -> Step {
    Step {
        needs: &[Fact::Bonded, Fact::OldProcessorIn, Fact::FirmwareReady],
        bars: &[Fact::MainsConnected, Fact::CoolerOn],
        takes: &[Fact::OldProcessorIn, Fact::SocketClosed],
        cautions: cautions(socket),
        ..Step::new(
            "processor-out",
            4,
            Words {
                title: format!("Take {} out", old.name),
                what: format!(
                    "Wipe the lid so that no paste falls into the socket. {}. Lift the processor straight up by its edges and put it in its \
tray or on conductive foam.",
                    opening(socket)
                ),
                why: "Straight up keeps every contact as it is.",
                right: match socket.map(|socket| socket.contacts) {
                    Some(Contacts::PinGrid) => {
                        "The socket's holes are clean, and the pins of the old one stand straight in their rows."
                    }
                    Some(Contacts::LandGrid) | None => {
                        "The socket is clean, and all contacts shine in the same direction."
                    }
                },
                otherwise: "A bent contact or pin, or paste in the socket: stop, photograph it, and ask before going on.",
            },
        )
    }
}

/// Put the processor of the machine-to-be in.
pub fn put_in(new: &Processor, socket: Option<&Socket>) -> Step {
    let marks = match socket.map(|socket| socket.contacts) {
        Some(Contacts::LandGrid) => {
            "Match the triangle and the two notches with those of the socket and lower it straight in"
        }
        Some(Contacts::PinGrid) => {
            "Match the triangle with that of the socket and let it fall in by its own weight"
        }
        None => "Match the marks of processor and socket and lower it straight in",
    };
    Step {
        needs: &[Fact::Bonded, Fact::PartsChecked, Fact::FirmwareReady],
        bars: &[Fact::MainsConnected, Fact::CoolerOn, Fact::OldProcessorIn, Fact::NewProcessorIn],
        gives: &[Fact::NewProcessorIn, Fact::SocketClosed, Fact::LidClean],
        cautions: cautions(socket),
        stop: Some("A processor that does not lie flat must not be clamped."),
        ..Step::new(
            "processor-in",
            5,
            Words {
                title: format!("Put {} in", new.name),
                what: format!(
                    "{marks}. It must lie flat all round. {}. Wipe fingerprints off its lid.",
                    closing(socket)
                ),
                why: "A turned or tilted processor bends contacts when it is clamped.",
                right: "It lay flat before closing and does not move now; the mark is in the right corner.",
                otherwise: "Open again, lift it out, look at contacts and marks. Never press.",
            },
        )
    }
}
