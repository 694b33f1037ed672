//! Old paste off, new paste on.

use crate::part::paste::Paste;
use crate::sheet::caution::SOLVENT;
use crate::sheet::fact::Fact;
use crate::sheet::step::{Step, Words};

/// Clean the lid of a processor that stays.
pub fn clean_lid() -> Step {
    Step {
        needs: &[Fact::Bonded, Fact::SocketClosed],
        bars: &[Fact::MainsConnected, Fact::CoolerOn, Fact::LidClean],
        gives: &[Fact::LidClean],
        cautions: vec![SOLVENT],
        tools: &["lint-free cloth", "isopropyl alcohol"],
        ..Step::new("clean-lid", 5, Words {
            title: "Clean the processor's lid".into(),
            what: "Wipe from the edge to the middle with a dry cloth, then with a few drops of alcohol on a fresh one. The processor \
stays in its closed socket."
                .into(),
            why: "Old paste under new keeps the faces apart.",
            right: "A white cloth stays white; the lid shines and is dry.",
            otherwise: "Let a drop soak for a minute and wipe again. Never scrape.",
        })
    }
}

/// Clean the face of a cooler that is used again.
pub fn clean_base() -> Step {
    Step {
        needs: &[Fact::Bonded],
        bars: &[Fact::MainsConnected, Fact::CoolerOn, Fact::BaseClean],
        gives: &[Fact::BaseClean],
        cautions: vec![SOLVENT],
        tools: &["lint-free cloth", "isopropyl alcohol"],
        ..Step::new("clean-base", 5, Words {
            title: "Clean the cooler's face".into(),
            what: "Wipe the old paste off with a dry cloth, then with a few drops of alcohol. Look along it against the light for dents.".into(),
            why: "Old paste under new keeps the faces apart.",
            right: "A white cloth stays white; the face is dry and smooth.",
            otherwise: "A dented or scratched face goes back or gets more paste; note it.",
        })
    }
}

/// Put paste.
pub fn put(paste: Option<&Paste>, amount: &str) -> Step {
    let name = paste.map_or("the paste", |paste| paste.name.as_str());
    Step {
        needs: &[Fact::NewProcessorIn, Fact::SocketClosed, Fact::LidClean, Fact::BaseClean],
        bars: &[Fact::MainsConnected, Fact::CoolerOn, Fact::PasteOn],
        gives: &[Fact::PasteOn],
        tools: &["thermal paste"],
        ..Step::new(
            "paste",
            3,
            Words {
                title: format!("Put {name} on the lid"),
                what: format!(
                    "Put {amount} in the middle of the lid. Do not touch it. The cooler presses it out."
                ),
                why: "Too little leaves dry places; too much only runs over the edge.",
                right: "It sits in the middle, as much as said above, and nothing is smeared or has a hair in it.",
                otherwise: "Wipe it off, clean, and put it again.",
            },
        )
    }
}

/// Paste that came on the cooler.
pub fn came_on_cooler() -> Step {
    Step {
        needs: &[Fact::NewProcessorIn, Fact::SocketClosed, Fact::LidClean],
        bars: &[Fact::MainsConnected, Fact::CoolerOn, Fact::PasteOn],
        gives: &[Fact::PasteOn],
        ..Step::new(
            "paste",
            1,
            Words {
                title: "Use the paste that is on the cooler".into(),
                what: "Take the cover off the cooler's face without touching the paste. Put none on the lid."
                    .into(),
                why: "Two pastes do not mix, and twice as much is too much.",
                right: "The paste on the face is whole and covers the lid's middle.",
                otherwise: "If it was touched: clean the face and put fresh paste on the lid.",
            },
        )
    }
}
