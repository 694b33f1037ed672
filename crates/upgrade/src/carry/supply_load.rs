//! What the supply has to carry, and what it can at its age.

use quantity::dimension::{DurationDim, PowerDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::scaled;
use crate::carry::stages::efficiency;
use crate::machine::proposal::Proposal;

/// Load of the supply and what it can carry.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyLoad {
    /// All outputs, everything at steady full work.
    pub sustained: Figure<PowerDim>,
    /// Of it at 12 V: all but memory and half the board.
    pub sustained_12v: Figure<PowerDim>,
    /// All outputs while processor and cards burst at once.
    pub burst: Figure<PowerDim>,
    /// Continuous power of the supply, at its age.
    pub rated: Figure<PowerDim>,
    /// Continuous power at 12 V, at its age.
    pub rail_12v: Figure<PowerDim>,
    /// Power for a burst, at its age.
    pub rated_burst: Figure<PowerDim>,
}

/// Share of its power a supply may lose in a year of work.
///
/// # Source
/// common practice, no source.
const LOSS_A_YEAR: (f64, f64) = (0.0, 0.02);

/// What a supply holds for a tenth of a second beyond its rating.
///
/// # Source
/// common practice, no source.
const SHORT_TIME: (f64, f64) = (1.0, 1.25);

const SECONDS_A_YEAR: f64 = 31_557_600.0;

/// Shares of a rating that are left at an age; the whole range of ages where it is unknown.
fn left(age: Figure<DurationDim>) -> (f64, f64) {
    match age {
        Reading::Known(age, _) => (
            (1.0 - LOSS_A_YEAR.1 * age.high().si() / SECONDS_A_YEAR).max(0.5),
            1.0 - LOSS_A_YEAR.0 * age.low().si() / SECONDS_A_YEAR,
        ),
        // Ten years: the longest that supplies are warranted for.
        Reading::Unknown => (1.0 - LOSS_A_YEAR.1 * 10.0, 1.0),
    }
}

/// Load and capacity of the supply in the machine-to-be.
pub fn load(proposal: &Proposal<'_>) -> SupplyLoad {
    let (processor, board, supply) = (proposal.processor(), proposal.board(), proposal.supply());
    let (worst, best) = efficiency(board);
    let through_stages = |power: Figure<PowerDim>| scaled(power, 1.0 / best, 1.0 / worst);
    let zero: Figure<PowerDim> = Reading::Known(Interval::exact(Quantity::from_si(0.0)), Origin::Hand);
    let memory = proposal.memory().iter().fold(zero, |sum, kit| sum.with(kit.power, |a, b| a + b));
    let loads = proposal.now.loads.iter().fold(zero, |sum, load| sum.with(load.power, |a, b| a + b));
    let bursts = proposal
        .now
        .loads
        .iter()
        .fold(zero, |sum, load| sum.with(load.burst_power.or(load.power), |a, b| a + b));
    let add = |a: Figure<PowerDim>, b: Figure<PowerDim>| a.with(b, |x, y| x + y);
    let steady = through_stages(processor.sustained_power);
    let peak = through_stages(processor.burst_power.or(processor.sustained_power));
    let aged = if proposal.changes.supply.is_some() { (1.0, 1.0) } else { left(proposal.now.supply.age) };
    let rated = scaled(supply.rated_power, aged.0, aged.1);
    SupplyLoad {
        sustained: add(add(steady, board.own_power), add(memory, loads)),
        sustained_12v: add(add(steady, scaled(board.own_power, 0.5, 0.5)), loads),
        burst: add(add(peak, board.own_power), add(memory, bursts)),
        rated,
        rail_12v: scaled(supply.rail_12v_power, aged.0, aged.1),
        rated_burst: scaled(rated, SHORT_TIME.0, SHORT_TIME.1),
    }
}

/// The reading that would settle what is unknown about load or supply.
pub fn settle(proposal: &Proposal<'_>) -> String {
    let (processor, board, supply) = (proposal.processor(), proposal.board(), proposal.supply());
    let memory_unknown = proposal.memory().iter().any(|kit| kit.power.is_unknown());
    let load_unknown = proposal.now.loads.iter().any(|load| load.power.is_unknown());
    let missing = [
        (processor.sustained_power.is_unknown(), format!("The power limits of {}.", processor.name)),
        (board.own_power.is_unknown(), format!("The own power of {}, from its sheet.", board.name)),
        (memory_unknown, "The power of the memory kit, from its sheet.".to_owned()),
        (load_unknown, "The power of each card and drive, from its label.".to_owned()),
        (supply.rated_power.is_unknown(), "The table on the supply's label.".to_owned()),
        (supply.rail_12v_power.is_unknown(), "The 12 V line of the table on the supply's label.".to_owned()),
    ];
    missing.into_iter().find(|(is_missing, _)| *is_missing).map_or_else(
        || "The machine's power at the wall under full load, by an energy meter.".to_owned(),
        |(_, settle)| settle,
    )
}
