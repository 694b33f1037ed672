//! Coolers and pastes as one choice: what they cost and how well they carry heat.

use quantity::dimension::{PowerDim, ThermalResistanceDim};
use quantity::reading::Figure;

use crate::part::cooler::CoolerBuild;

/// A pair of cooler and paste, each by its place in the lists of options, kept as zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermalChoice {
    /// Cooler option.
    pub cooler: usize,
    /// Paste option.
    pub paste: usize,
    /// What both cost, resale taken off, in minor units.
    pub cost: i64,
    /// Risk points of the findings that rest on it.
    pub risk: u32,
    /// Minutes that it adds.
    pub minutes: u32,
    /// Noise at full speed in tenths of a decibel; zero where noise does not matter.
    pub noise: i64,
    /// Which memory kits it clears, as a number for each distinct pattern.
    pub clears: usize,
    /// How the cooler is built: what it does to the air over the power stages.
    pub build: Option<CoolerBuild>,
    /// What the power stages hold in that air, where it may bind.
    pub stages: Figure<PowerDim>,
    /// Junction to air.
    pub resistance: Figure<ThermalResistanceDim>,
}

impl ThermalChoice {
    /// Whether this choice is at least as good in everything, and better in something.
    ///
    /// Clock, gain and energy never get worse with a smaller resistance, so resistance stands for
    /// them; power stages see of the cooler only its build, so only like builds are compared.
    fn dominates(&self, other: &Self) -> bool {
        // An unknown resistance is beaten by nothing and beats nothing.
        let ends =
            |figure: &Figure<ThermalResistanceDim>| figure.get().map(|r| (r.low().si(), r.high().si()));
        let (Some(ours), Some(theirs)) = (ends(&self.resistance), ends(&other.resistance)) else {
            return false;
        };
        let no_worse = self.clears == other.clears
            && self.build == other.build
            && self.cost <= other.cost
            && self.risk <= other.risk
            && self.minutes <= other.minutes
            && self.noise <= other.noise
            && ours.0 <= theirs.0
            && ours.1 <= theirs.1;
        let same = self.cost == other.cost
            && self.risk == other.risk
            && self.minutes == other.minutes
            && self.noise == other.noise
            && ours == theirs;
        no_worse && (!same || (self.cooler, self.paste) < (other.cooler, other.paste))
    }
}

/// The choices that no other dominates, in their order. Of equal ones the first stays.
pub fn undominated(choices: &[ThermalChoice]) -> Vec<ThermalChoice> {
    choices.iter().filter(|choice| !choices.iter().any(|other| other.dominates(choice))).copied().collect()
}
