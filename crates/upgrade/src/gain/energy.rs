//! Energy of a year before and after: work takes less time, often at more power.

use quantity::dimension::{DurationDim, EnergyDim, PowerDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::{AT_REST_W, between, scaled};
use crate::carry::stages::efficiency;
use crate::carry::wall::{Mains, wall_power};
use crate::machine::proposal::Proposal;

/// Share of its full power that graphics, drives and the rest draw at rest.
///
/// # Source
/// common practice, no source.
const LOADS_AT_REST: (f64, f64) = (0.05, 0.25);

/// Power at the wall while the processor works and while the machine rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallPower {
    /// All cores at work; other loads at rest, for they are the same before and after.
    pub busy: Figure<PowerDim>,
    /// At rest.
    pub idle: Figure<PowerDim>,
}

/// Wall power of the machine-to-be, its processor drawing `busy_power` at work.
pub fn wall(proposal: &Proposal<'_>, busy_power: Figure<PowerDim>, mains: Mains) -> WallPower {
    let zero: Figure<PowerDim> = Reading::Known(Interval::exact(Quantity::from_si(0.0)), Origin::Hand);
    let add = |a: Figure<PowerDim>, b: Figure<PowerDim>| a.with(b, |x, y| x + y);
    let memory = proposal.memory().iter().fold(zero, |sum, kit| add(sum, kit.power));
    let loads = proposal.now.loads.iter().fold(zero, |sum, load| add(sum, load.power));
    let rest = add(add(proposal.board().own_power, memory), scaled(loads, LOADS_AT_REST.0, LOADS_AT_REST.1));
    let (worst, best) = efficiency(proposal.board());
    let through = |power| scaled(power, 1.0 / best, 1.0 / worst);
    WallPower {
        busy: wall_power(proposal.supply(), add(rest, through(busy_power)), mains),
        idle: wall_power(proposal.supply(), add(rest, through(between(AT_REST_W.0, AT_REST_W.1))), mains),
    }
}

/// Energy of a year at the wall.
///
/// # Model
/// Hours at work at busy power, the rest of the hours on at rest. Work alone and work waited for
/// count alike. Left out: the machine being switched off earlier because it is done earlier.
pub fn yearly(
    power: &WallPower,
    busy_a_day: Interval<DurationDim>,
    hours_on: Figure<DurationDim>,
    days_a_year: u16,
) -> Figure<EnergyDim> {
    power.busy.with(power.idle, |busy, idle| (busy, idle)).with(hours_on, |(busy, idle), on| {
        let day = |busy_w: f64, idle_w: f64, busy_s: f64, on_s: f64| {
            busy_w * busy_s.min(on_s) + idle_w * (on_s - busy_s).max(0.0)
        };
        let days = f64::from(days_a_year);
        Interval::between(
            Quantity::from_si(
                days * day(busy.low().si(), idle.low().si(), busy_a_day.low().si(), on.low().si()),
            ),
            Quantity::from_si(
                days * day(busy.high().si(), idle.high().si(), busy_a_day.high().si(), on.high().si()),
            ),
        )
    })
}
