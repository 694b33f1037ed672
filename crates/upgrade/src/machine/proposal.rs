//! The machine-to-be: the machine with some of its parts changed.

use crate::machine::present::{Joint, Machine};
use crate::part::board::Board;
use crate::part::case::Case;
use crate::part::cooler::Cooler;
use crate::part::id::PartId;
use crate::part::library::Library;
use crate::part::memory::MemoryKit;
use crate::part::paste::Paste;
use crate::part::processor::Processor;
use crate::part::supply::Supply;

/// Changes to a machine. `None` keeps what is there.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Changes<'a> {
    /// Another processor.
    pub processor: Option<&'a Processor>,
    /// Another board.
    pub board: Option<&'a Board>,
    /// Other memory, in place of all that is there.
    pub memory: Option<&'a MemoryKit>,
    /// Another cooler.
    pub cooler: Option<&'a Cooler>,
    /// Paste for the joint; needed whenever the cooler comes off.
    pub paste: Option<&'a Paste>,
    /// Another supply.
    pub supply: Option<&'a Supply>,
    /// Another case.
    pub case: Option<&'a Case>,
}

impl Changes<'_> {
    /// Whether anything is changed.
    pub const fn any(&self) -> bool {
        self.processor.is_some()
            || self.board.is_some()
            || self.memory.is_some()
            || self.cooler.is_some()
            || self.paste.is_some()
            || self.supply.is_some()
            || self.case.is_some()
    }

    /// What the changes are called: the names of their parts, or "change nothing".
    pub fn title(&self) -> String {
        let names = [
            self.processor.map(|part| part.name.as_str()),
            self.board.map(|part| part.name.as_str()),
            self.memory.map(|part| part.name.as_str()),
            self.cooler.map(|part| part.name.as_str()),
            self.paste.map(|part| part.name.as_str()),
            self.supply.map(|part| part.name.as_str()),
            self.case.map(|part| part.name.as_str()),
        ];
        let names: Vec<&str> = names.into_iter().flatten().collect();
        if names.is_empty() { "change nothing".to_owned() } else { names.join(" + ") }
    }

    /// Ids of the parts, in the order of their kinds.
    pub fn ids(&self) -> Vec<PartId> {
        [
            self.processor.map(|part| &part.id),
            self.board.map(|part| &part.id),
            self.memory.map(|part| &part.id),
            self.cooler.map(|part| &part.id),
            self.paste.map(|part| &part.id),
            self.supply.map(|part| &part.id),
            self.case.map(|part| &part.id),
        ]
        .into_iter()
        .flatten()
        .cloned()
        .collect()
    }

    /// Whether the cooler has to come off.
    pub const fn lifts_cooler(&self) -> bool {
        self.processor.is_some() || self.board.is_some() || self.changes_cooler() || self.paste.is_some()
    }

    /// Whether another cooler is put on; other fans for the one that is there are none.
    pub const fn changes_cooler(&self) -> bool {
        matches!(self.cooler, Some(cooler) if !cooler.is_refit())
    }

    /// Whether the cooler that is there gets other fans.
    pub const fn changes_fans(&self) -> bool {
        matches!(self.cooler, Some(cooler) if cooler.is_refit())
    }
}

/// The machine-to-be: what the rules look at.
#[derive(Debug, Clone, Copy)]
pub struct Proposal<'a> {
    /// The machine as it is.
    pub now: &'a Machine,
    /// What changes.
    pub changes: Changes<'a>,
    /// The library, for chipsets and sockets.
    pub library: &'a Library,
}

impl<'a> Proposal<'a> {
    /// Processor of the machine-to-be.
    pub fn processor(&self) -> &'a Processor {
        self.changes.processor.unwrap_or(&self.now.processor.part)
    }

    /// Board of the machine-to-be.
    pub fn board(&self) -> &'a Board {
        self.changes.board.unwrap_or(&self.now.board.part)
    }

    /// Memory kits of the machine-to-be.
    pub fn memory(&self) -> Vec<&'a MemoryKit> {
        match self.changes.memory {
            Some(kit) => vec![kit],
            None => self.now.memory.iter().map(|fitted| &fitted.part).collect(),
        }
    }

    /// Cooler of the machine-to-be.
    pub fn cooler(&self) -> &'a Cooler {
        self.changes.cooler.unwrap_or(&self.now.cooler.part)
    }

    /// Supply of the machine-to-be.
    pub fn supply(&self) -> &'a Supply {
        self.changes.supply.unwrap_or(&self.now.supply.part)
    }

    /// Case of the machine-to-be.
    pub fn case(&self) -> &'a Case {
        self.changes.case.unwrap_or(&self.now.case.part)
    }

    /// The joint as it is now, where the cooler stays on; `None` where it is made anew.
    pub fn old_joint(&self) -> Option<&'a Joint> {
        (!self.changes.lifts_cooler()).then_some(&self.now.joint)
    }
}
