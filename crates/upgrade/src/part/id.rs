//! Names by which parts, sockets and generations refer to each other.

use core::fmt;

/// The readable id of a part, such as `orrin-tern-6`.
///
/// Ids are lower-case words and numbers joined by `-`; the reading side checks that.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(Box<str>);

impl PartId {
    /// The id with this text.
    pub fn new(text: &str) -> Self {
        Self(text.into())
    }

    /// Its text.
    pub fn text(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for PartId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// The kinds of part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Processor.
    Processor,
    /// Chipset of a board.
    Chipset,
    /// Main board.
    Board,
    /// Kit of memory modules.
    Memory,
    /// Cooler of the processor.
    Cooler,
    /// Thermal paste.
    Paste,
    /// Power supply.
    Supply,
    /// Case.
    Case,
}

impl Kind {
    /// All kinds, in the order in which they are listed.
    pub const ALL: [Self; 8] = [
        Self::Processor,
        Self::Chipset,
        Self::Board,
        Self::Memory,
        Self::Cooler,
        Self::Paste,
        Self::Supply,
        Self::Case,
    ];

    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Processor => "processor",
            Self::Chipset => "chipset",
            Self::Board => "board",
            Self::Memory => "memory",
            Self::Cooler => "cooler",
            Self::Paste => "paste",
            Self::Supply => "supply",
            Self::Case => "case",
        }
    }
}
