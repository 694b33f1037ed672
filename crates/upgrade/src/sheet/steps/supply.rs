//! The supply out and in.

use crate::part::supply::Supply;
use crate::sheet::caution::SUPPLY_STAYS_SHUT;
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// Take the old supply out.
pub fn take_out(old: &Supply) -> Step {
    Step {
        needs: &[Fact::Bonded, Fact::OldSupplyIn, Fact::Drained],
        bars: &[Fact::MainsConnected],
        takes: &[Fact::OldSupplyIn, Fact::BoardPowered],
        cautions: vec![SUPPLY_STAYS_SHUT],
        tools: &["screwdriver, cross"],
        ..Step::new("supply-out", 12, Words {
            title: format!("Take {} out", old.name),
            what: "Pull all its plugs, at the board, at drives and cards. Undo the four screws at the back and lift it out whole, with all its \
cables."
                .into(),
            why: "Old cables left in the case are taken for the new ones, and their pins may differ.",
            right: "No cable of the old supply is left in the case.",
            otherwise: "Follow the cable that holds it to its other end.",
        })
    }
}

/// Put the new supply in.
pub fn put_in(new: &Supply) -> Step {
    Step {
        needs: &[Fact::PartsChecked, Fact::CaseOpen],
        bars: &[Fact::MainsConnected, Fact::OldSupplyIn, Fact::NewSupplyIn],
        gives: &[Fact::NewSupplyIn],
        cautions: vec![SUPPLY_STAYS_SHUT],
        tools: &["screwdriver, cross"],
        ..Step::new("supply-in", 15, Words {
            title: format!("Put {} in", new.name),
            what: "Slide it in with its fan to the open side, start all four screws, then tighten. Lay its cables; connect drives and cards.".into(),
            why: "It needs air, and its cables must stay off the fans.",
            right: "It sits square; every drive and card has its plug.",
            otherwise: "Turn it over if its fan faces a closed wall.",
        })
    }
}
