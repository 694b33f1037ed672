//! Memory out and in.

use crate::part::memory::MemoryKit;
use crate::sheet::caution::STATIC;
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// Take the old modules out.
pub fn take_out() -> Step {
    Step {
        needs: &[Fact::Bonded, Fact::OldMemoryIn],
        bars: &[Fact::MainsConnected],
        takes: &[Fact::OldMemoryIn],
        cautions: vec![STATIC],
        ..Step::new("memory-out", 2, Words {
            title: "Take the memory modules out".into(),
            what: "Press the latches outwards and lift each module straight up. Note which slots they were in.".into(),
            why: "The slots that were used tell which ones the board fills first.",
            right: "No latch is broken; the modules lie on their bags.",
            otherwise: "A broken latch still holds if the module is pressed home; note it.",
        })
    }
}

/// Put the modules of the machine-to-be in.
pub fn put_in(kits: &[&MemoryKit]) -> Step {
    let modules: u32 = kits.iter().map(|kit| kit.modules).sum();
    Step {
        needs: &[Fact::Bonded, Fact::NewBoardIn],
        bars: &[Fact::MainsConnected, Fact::OldMemoryIn, Fact::NewMemoryIn],
        gives: &[Fact::NewMemoryIn],
        cautions: vec![STATIC],
        ..Step::new("memory-in", 3, Words {
            title: format!("Put {modules} memory module(s) in"),
            what: "Use the slots that the board's manual names first, usually every second one counted from the processor. Match the notch, press \
both ends until the latches click."
                .into(),
            why: "Two modules in the right slots use both channels; in the wrong ones only one.",
            right: "All latches are closed, and the contacts' edge is level along its length.",
            otherwise: "Take it out, look for dust in the slot, and press again evenly.",
        })
    }
}
