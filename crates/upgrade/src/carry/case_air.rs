//! How much warmer the air at the cooler is than the room: measured, by the case's flow and the heat in it, or as is
//! common.

use physics::cooler::sink::{air_at, case_rise_k};
use quantity::dimension::{PowerDim, TemperatureDifferenceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::{between, scaled};
use crate::carry::cooler_air::density;
use crate::carry::stages::efficiency;
use crate::machine::proposal::Proposal;

/// Share of a case's fans' free flow that passes through a furnished case.
///
/// # Source
/// common practice, no source.
pub const FLOW_SHARE: (f64, f64) = (0.35, 0.75);

/// Share of the way from the air that enters the case to that which leaves it which the air at the cooler has come.
///
/// # Source
/// common practice, no source: fans in front blow some fresh air at it, none of it comes from outside alone.
const MIXED: (f64, f64) = (0.3, 0.9);

/// How much warmer the air in a closed case is at full work where neither it nor the case's flow is known, in kelvin.
///
/// # Source
/// common practice, no source.
const CASE_RISE_K: (f64, f64) = (4.0, 14.0);

/// Heat in the case: the processor and its stages, the board, memory and loads as they are now. The supply blows its own
/// heat out behind it.
pub fn heat(proposal: &Proposal<'_>) -> Figure<PowerDim> {
    let (worst, best) = efficiency(proposal.board());
    let processor = scaled(proposal.processor().sustained_power, 1.0 / best, 1.0 / worst);
    let zero: Figure<PowerDim> = Reading::Known(Interval::exact(Quantity::from_si(0.0)), Origin::Hand);
    let memory = proposal.now.memory.iter().fold(zero, |sum, kit| sum.with(kit.part.power, |a, b| a + b));
    let loads = proposal.now.loads.iter().fold(zero, |sum, load| sum.with(load.power, |a, b| a + b));
    let add = |a: Figure<PowerDim>, b: Figure<PowerDim>| a.with(b, |x, y| x + y);
    add(add(processor, proposal.board().own_power), add(memory, loads))
}

/// How much warmer the air leaves the case than it enters, by the case's fans and the heat in it.
///
/// # Model
/// [`case_rise_k`] with a share of the fans' free flow, in air as thin as at this height.
pub fn leaving(proposal: &Proposal<'_>) -> Figure<TemperatureDifferenceDim> {
    let (dense, thin) = density(proposal);
    proposal.case().air_flow.with(heat(proposal), |flow, heat| {
        let at = |heat_w: f64, flow_m3_s: f64, density_ratio: f64| {
            case_rise_k(heat_w, flow_m3_s, &air_at(30.0, density_ratio)).unwrap_or(0.0)
        };
        Interval::between(
            Quantity::from_si(at(heat.low().si(), flow.high().si() * FLOW_SHARE.1, dense)),
            Quantity::from_si(at(heat.high().si(), flow.low().si() * FLOW_SHARE.0, thin)),
        )
    })
}

/// How much warmer the air at the cooler is than the room.
pub fn rise(proposal: &Proposal<'_>) -> Figure<TemperatureDifferenceDim> {
    let by_flow = scaled(leaving(proposal), MIXED.0, MIXED.1);
    let measured = proposal.now.setting.case_air_rise;
    measured.or(by_flow).or(between(CASE_RISE_K.0, CASE_RISE_K.1))
}
