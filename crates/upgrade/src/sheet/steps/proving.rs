//! Proof and hand-over.

use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// The soak after the work.
pub fn soak_after() -> Step {
    Step {
        needs: &[Fact::Seen],
        gives: &[Fact::SoakedAfter],
        ..Step::new("soak-after", 20, Words {
            title: "Soak the machine as it is now".into(),
            what: "Case closed, where it will stand. Run the same soak as before and compare the two. Note the room's temperature.".into(),
            why: "This is the proof: as fast and as cool as the plan said, or which joint is at fault.",
            right: "Clock and temperature lie within the plan's intervals, and no result was wrong.",
            otherwise: "Follow the diagnosis that the proof names; mostly it is the paste or the fan.",
        })
    }
}

/// Hand over.
pub fn hand_over() -> Step {
    Step {
        needs: &[Fact::SoakedAfter],
        ..Step::new("hand-over", 10, Words {
            title: "Hand over: record, old parts, warranty papers".into(),
            what: "Print the record. Give old parts back in their bags, with the papers. Say what to watch in the first week.".into(),
            why: "The next person at this machine will thank you.",
            right: "The owner has seen the machine run and has the record.",
            otherwise: "Leave nothing unsaid that did not go as planned.",
        })
    }
}
