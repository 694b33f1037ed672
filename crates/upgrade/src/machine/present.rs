//! The machine as it is now.

use quantity::dimension::{DurationDim, VolumeDim};
use quantity::money::Money;
use quantity::reading::{Figure, Reading};

use crate::machine::loads::Load;
use crate::machine::setting::Setting;
use crate::machine::software::Software;
use crate::machine::wishes::Wishes;
use crate::machine::workload::Workload;
use crate::part::board::{Board, FirmwareVersion};
use crate::part::case::Case;
use crate::part::cooler::Cooler;
use crate::part::memory::MemoryKit;
use crate::part::paste::Paste;
use crate::part::processor::Processor;
use crate::part::supply::Supply;

/// One desktop computer: its parts with their age, its firmware, software, surroundings and work.
///
/// The parts are values, not ids: a reading set by hand on this machine overrules the library's
/// figure for that part without touching the library.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Readable id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Who owns it and what for, in a sentence.
    pub story: String,
    /// Processor.
    pub processor: Fitted<Processor>,
    /// Board.
    pub board: Fitted<Board>,
    /// Installed firmware of the board.
    pub firmware: Reading<FirmwareVersion>,
    /// Memory kits, in the order of their slots.
    pub memory: Vec<Fitted<MemoryKit>>,
    /// Cooler.
    pub cooler: Fitted<Cooler>,
    /// Paste between lid and cooler.
    pub joint: Joint,
    /// Supply.
    pub supply: Fitted<Supply>,
    /// Case.
    pub case: Fitted<Case>,
    /// Graphics cards, drives and other loads.
    pub loads: Vec<Load>,
    /// Firmware mode, operating system and what software needs.
    pub software: Software,
    /// Room, altitude, hours and energy price.
    pub setting: Setting,
    /// What it does.
    pub workload: Workload,
    /// What its owner wants.
    pub wishes: Wishes,
}

/// A part in the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted<T> {
    /// The part, with readings of this very piece where there are some.
    pub part: T,
    /// How long it has been at work.
    pub age: Figure<DurationDim>,
    /// What this very piece would bring; overrules the library's resale price.
    pub resale: Option<Money>,
    /// What is wrong with it, such as a bent pin.
    pub faults: Vec<String>,
}

impl<T> Fitted<T> {
    /// A part of unknown age, without faults.
    pub const fn plain(part: T) -> Self {
        Self { part, age: Reading::Unknown, resale: None, faults: Vec::new() }
    }
}

/// The paste between lid and cooler.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Which paste it is; unknown for what a maker put on.
    pub paste: Option<Paste>,
    /// Its state.
    pub state: Reading<PasteState>,
    /// How long it has been there.
    pub age: Figure<DurationDim>,
    /// How much was put, where known.
    pub amount: Figure<VolumeDim>,
}

/// States of the paste between lid and cooler.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PasteState {
    /// Newly put, as it should be.
    Fresh,
    /// Newly put, but too much: what does not run out stays as a thicker film.
    TooMuch,
    /// Newly put, but too little to reach the die's rim.
    TooLittle,
    /// New paste over what was left of the old.
    OverRemains,
    /// Lifted and put back without new paste.
    Reused,
    /// Dried out.
    Dried,
    /// Squeezed out from the middle by warming and cooling.
    PumpedOut,
    /// None at all.
    Missing,
}

impl PasteState {
    /// All states, best first.
    pub const ALL: [Self; 8] = [
        Self::Fresh,
        Self::TooMuch,
        Self::TooLittle,
        Self::OverRemains,
        Self::Reused,
        Self::PumpedOut,
        Self::Dried,
        Self::Missing,
    ];

    /// The word used in files, pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fresh => "fresh",
            Self::TooMuch => "too much",
            Self::TooLittle => "too little",
            Self::OverRemains => "over remains",
            Self::Reused => "reused",
            Self::Dried => "dried",
            Self::PumpedOut => "pumped out",
            Self::Missing => "missing",
        }
    }
}
