//! The words that files use for each kind of choice. Parts that name themselves give their own.

use upgrade::machine::loads::LoadKind;
use upgrade::machine::present::PasteState;
use upgrade::part::board::{AuxConnector, FirmwareUpdate, FormFactor, LaneSource, StageClass};
use upgrade::part::case::RearOpening;
use upgrade::part::cooler::{CoolerBuild, Mounting};
use upgrade::part::memory::{Buffering, MemoryType};
use upgrade::part::processor::{Graphics, InnerJoint, Multiplier, Support};
use upgrade::part::socket::{Contacts, HoldDown};
use upgrade::part::supply::{Certificate, SupplyForm};

/// Words of a kind of choice.
pub type Words<T> = Vec<(&'static str, T)>;

fn named<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str) -> Words<T> {
    all.iter().map(|value| (word(*value), *value)).collect()
}

/// Yes or no.
pub const SUPPORT: [(&str, Support); 2] = [("yes", Support::Yes), ("no", Support::No)];
/// Free or fixed multiplier.
pub const MULTIPLIER: [(&str, Multiplier); 2] =
    [("locked", Multiplier::Locked), ("unlocked", Multiplier::Unlocked)];
/// Graphics in a processor.
pub const GRAPHICS: [(&str, Graphics); 2] = [("none", Graphics::None), ("present", Graphics::Present)];
/// What joins die and lid.
pub const INNER_JOINT: [(&str, InnerJoint); 3] =
    [("solder", InnerJoint::Solder), ("paste", InnerJoint::Paste), ("bare-die", InnerJoint::BareDie)];
/// Where contacts are.
pub const CONTACTS: [(&str, Contacts); 2] =
    [("land-grid", Contacts::LandGrid), ("pin-grid", Contacts::PinGrid)];
/// How a processor is held.
pub const HOLD_DOWN: [(&str, HoldDown); 3] = [
    ("lever-and-frame", HoldDown::LeverAndFrame),
    ("lever", HoldDown::Lever),
    ("screwed-frame", HoldDown::ScrewedFrame),
];
/// How firmware is updated.
pub const FIRMWARE_UPDATE: [(&str, FirmwareUpdate); 2] = [
    ("needs-processor", FirmwareUpdate::NeedsProcessor),
    ("without-processor", FirmwareUpdate::WithoutProcessor),
];
/// Buffering of modules.
pub const BUFFERING: [(&str, Buffering); 2] =
    [("unbuffered", Buffering::Unbuffered), ("registered", Buffering::Registered)];
/// Where lanes come from.
pub const LANE_SOURCE: [(&str, LaneSource); 2] =
    [("processor", LaneSource::Processor), ("chipset", LaneSource::Chipset)];
/// Auxiliary connectors.
pub const AUX: [(&str, AuxConnector); 2] =
    [("4-pin", AuxConnector::FourPin), ("8-pin", AuxConnector::EightPin)];
/// Rear openings.
pub const REAR_OPENING: [(&str, RearOpening); 2] =
    [("exchangeable", RearOpening::Exchangeable), ("fixed", RearOpening::Fixed)];

/// Memory types.
pub fn memory_types() -> Words<MemoryType> {
    named(&MemoryType::ALL, MemoryType::word)
}

/// Form factors.
pub fn forms() -> Words<FormFactor> {
    named(&FormFactor::ALL, FormFactor::word)
}

/// Classes of power stages.
pub fn stage_classes() -> Words<StageClass> {
    named(&StageClass::ALL, StageClass::word)
}

/// Builds of coolers.
pub fn cooler_builds() -> Words<CoolerBuild> {
    named(&CoolerBuild::ALL, CoolerBuild::word)
}

/// Ways to hold a cooler.
pub fn mountings() -> Words<Mounting> {
    named(&Mounting::ALL, Mounting::word)
}

/// Bodies of supplies.
pub fn supply_forms() -> Words<SupplyForm> {
    named(&SupplyForm::ALL, SupplyForm::word)
}

/// Certificates of supplies.
pub fn certificates() -> Words<Certificate> {
    named(&Certificate::ALL, Certificate::word)
}

/// States of paste.
pub fn paste_states() -> Words<PasteState> {
    named(&PasteState::ALL, PasteState::word)
}

/// Kinds of load.
pub fn load_kinds() -> Words<LoadKind> {
    named(&LoadKind::ALL, LoadKind::word)
}
