//! The board out and in.

use quantity::reading::Reading;

use crate::part::board::{Board, FormFactor};
use crate::sheet::caution::{COIN_CELL, SHARP_FINS, STATIC};
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// Take the old board out.
pub fn take_out(old: &Board) -> Step {
    Step {
        needs: &[Fact::Bonded, Fact::OldBoardIn],
        bars: &[Fact::MainsConnected, Fact::CoolerOn],
        takes: &[Fact::OldBoardIn, Fact::BoardPowered, Fact::BoardCabled, Fact::OldProcessorIn, Fact::OldMemoryIn],
        cautions: vec![STATIC, SHARP_FINS, COIN_CELL],
        tools: &["screwdriver, cross", "box for screws"],
        ..Step::new("board-out", 25, Words {
            title: format!("Take {} out", old.name),
            what: "Photograph, then pull every connector by its plug. Take the cards out. Undo the screws, count them, lift the board \
out by its edges with processor and memory in it; take the rear plate out."
                .into(),
            why: "What is photographed and counted goes back in the right place.",
            right: "Nothing hung on a cable; the number of screws is noted.",
            otherwise: "If it does not come, a screw is left, often one in the middle.",
        })
    }
}

/// Put the new board in.
pub fn put_in(new: &Board) -> Step {
    Step {
        needs: &[Fact::Bonded, Fact::PartsChecked],
        bars: &[Fact::MainsConnected, Fact::OldBoardIn, Fact::NewBoardIn],
        gives: &[Fact::NewBoardIn],
        cautions: vec![STATIC, SHARP_FINS],
        tools: &["screwdriver, cross"],
        stop: Some("A stand-off where the board has no hole shorts it."),
        ..Step::new(
            "board-in",
            25,
            Words {
                title: format!("Put {} in", new.name),
                what: format!(
                    "Snap its rear plate in. Set stand-offs for {} only where the board has holes. Lower the board, start all screws, then \
tighten them gently.",
                    new.form.get().map_or("its form factor", FormFactor::word)
                ),
                why: "One stand-off too many makes a short that kills the board at the first start.",
                right: "Each screw has a stand-off below it, and no stand-off is without a screw.",
                otherwise: "Take it out and compare hole by hole.",
            },
        )
    }
}

/// Connect main and auxiliary power to the board.
pub fn connect_power(board: &Board) -> Step {
    let connectors = board.aux_connectors.known().map_or(&[][..], Vec::as_slice);
    let aux: Vec<&str> = connectors.iter().map(|connector| connector.word()).collect();
    Step {
        needs: &[Fact::NewBoardIn, Fact::NewSupplyIn],
        bars: &[Fact::MainsConnected, Fact::BoardPowered],
        gives: &[Fact::BoardPowered],
        stop: Some("Modular cables of another supply can have other pins and destroy the board."),
        ..Step::new(
            "board-power",
            4,
            Words {
                title: "Connect main and auxiliary power to the board".into(),
                what: format!(
                    "Push the main connector and the auxiliary ones ({}) home until they click. Use only cables that came with this very \
supply.",
                    match (&board.aux_connectors, aux.is_empty()) {
                        (Reading::Unknown, _) => "look beside the processor for them".to_owned(),
                        (_, true) => "none on this board".to_owned(),
                        (_, false) => aux.join(", "),
                    }
                ),
                why: "A half-seated power connector burns.",
                right: "Each latch has clicked over its nose, and a light pull moves nothing.",
                otherwise: "Take it off, look for a bent contact, push it on straight.",
            },
        )
    }
}

/// Connect front panel, drives and cards.
pub fn connect_rest() -> Step {
    Step {
        needs: &[Fact::NewBoardIn, Fact::CoolerOn, Fact::NewMemoryIn],
        bars: &[Fact::MainsConnected, Fact::BoardCabled],
        gives: &[Fact::BoardCabled],
        ..Step::new("board-cables", 12, Words {
            title: "Connect front panel, drives and cards".into(),
            what: "Follow the photograph and the board's manual: power button, lights, ports, drives, case fans; then the cards, each with its \
power plug and screw."
                .into(),
            why: "The power button is two pins: on the wrong ones the machine looks dead.",
            right: "Every plug of the photograph is on again.",
            otherwise: "What has no place on this board stays off; note it for the hand-over.",
        })
    }
}
