//! What heat the cooler of the machine-to-be carries away at the junction limit.

use physics::paste::bond_line::thickness_m;
use quantity::dimension::{PowerDim, TemperatureDifferenceDim, TemperatureDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::carry::assumption::between;
use crate::fit::finding::UsedReading;
use crate::machine::present::PasteState;
use crate::machine::proposal::Proposal;
use crate::part::cooler::Cooler;
use crate::part::paste::Paste;
use crate::part::processor::{InnerJoint, Processor};

/// Heat carried at the junction limit, and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct CarriedHeat {
    /// Heat carried with the junction at its limit.
    pub power: Figure<PowerDim>,
    /// Junction to air.
    pub resistance: Figure<ThermalResistanceDim>,
    /// Air at the cooler.
    pub air: Figure<TemperatureDim>,
    /// Further readings.
    pub readings: Vec<UsedReading>,
    /// The reading that would settle it.
    pub settle: String,
}

/// How much warmer the air in a closed case is at full work where nobody measured it, in kelvin.
///
/// # Source
/// common practice, no source.
const CASE_RISE_K: (f64, f64) = (4.0, 14.0);

/// Temperature rise at which makers state the heat a cooler carries, in kelvin.
///
/// # Source
/// common practice, no source.
const RATING_RISE_K: (f64, f64) = (40.0, 60.0);

/// Thermal resistance of unit area of what joins die and lid, in mm2 K/W.
///
/// # Source
/// common practice, no source.
const fn inner_joint_mm2k_w(joint: Option<InnerJoint>) -> (f64, f64) {
    match joint {
        Some(InnerJoint::Solder) => (3.0, 8.0),
        Some(InnerJoint::Paste) => (10.0, 25.0),
        Some(InnerJoint::BareDie) => (0.0, 0.0),
        None => (3.0, 25.0),
    }
}

/// Thermal resistance of unit area of a fresh joint of an unknown paste, in mm2 K/W.
///
/// # Source
/// common practice, no source.
const UNKNOWN_PASTE_MM2K_W: (f64, f64) = (4.0, 20.0);

/// What the two boundaries of a joint add, in mm2 K/W.
///
/// # Source
/// common practice, no source.
const BOUNDARIES_MM2K_W: (f64, f64) = (0.5, 3.0);

/// How many times a joint's resistance is that of a fresh one.
///
/// # Source
/// common practice, no source.
const fn wear(state: PasteState) -> (f64, f64) {
    match state {
        PasteState::Fresh => (1.0, 1.0),
        PasteState::Reused => (1.5, 4.0),
        PasteState::PumpedOut => (2.0, 5.0),
        PasteState::Dried => (2.5, 7.0),
        PasteState::Missing => (12.0, 40.0),
    }
}

/// Thermal resistance of unit area of a fresh joint, in mm2 K/W.
///
/// # Model
/// Thickness by the bond-line scaling law at the cooler's pressure on the lid, no thinner than the
/// filler's grains, over the paste's conductivity, plus the boundaries.
///
/// # Source
/// R. S. Prasher et al., J. Heat Transfer 125(6), 1170-1177, 2003 (constants from memory).
fn fresh_joint_mm2k_w(paste: Option<&Paste>, processor: &Processor, cooler: &Cooler) -> (f64, f64) {
    let known = || {
        let paste = paste?;
        let (conductivity, stress) = (paste.conductivity.get()?, paste.yield_stress.get()?);
        let force = cooler.force.get()?;
        let lid_m2 = processor.package.lid_width.get()?.middle().si()
            * processor.package.lid_depth.get()?.middle().si();
        let grains = paste.filler_size.get().map_or(0.0, |size| size.low().si());
        let thickness =
            |stress: f64, force: f64| thickness_m(stress, force / lid_m2).ok().map(|t| t.max(grains));
        let thin = thickness(stress.low().si(), force.high().si())?;
        let thick = thickness(stress.high().si(), force.low().si())?;
        Some((
            thin / conductivity.high().si() * 1e6 + BOUNDARIES_MM2K_W.0,
            thick / conductivity.low().si() * 1e6 + BOUNDARIES_MM2K_W.1,
        ))
    };
    known().unwrap_or(UNKNOWN_PASTE_MM2K_W)
}

/// Thermal resistance of unit area of the joint of the machine-to-be, in mm2 K/W.
fn paste_joint_mm2k_w(proposal: &Proposal<'_>) -> (f64, f64) {
    let (paste, wear) = match proposal.old_joint() {
        Some(joint) => {
            let worn = joint.state.get().map_or((1.0, 7.0), wear);
            (joint.paste.as_ref(), worn)
        }
        None => (proposal.changes.paste, wear(PasteState::Fresh)),
    };
    let fresh = fresh_joint_mm2k_w(paste, proposal.processor(), proposal.cooler());
    (fresh.0 * wear.0, fresh.1 * wear.1)
}

/// Conductivity of the lid's copper in W/(m K).
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, appendix A, pure copper at 350 K; from memory.
const COPPER_W_MK: f64 = 395.0;

/// Air at the cooler.
pub fn air(proposal: &Proposal<'_>) -> Figure<TemperatureDim> {
    let setting = &proposal.now.setting;
    let rise: Figure<TemperatureDifferenceDim> =
        setting.case_air_rise.or(between(CASE_RISE_K.0, CASE_RISE_K.1));
    setting
        .room
        .with(rise, |room, rise| Interval::between(room.low() + rise.low(), room.high() + rise.high()))
}

/// Base of the cooler to air at full fan speed.
pub fn cooler_to_air(cooler: &Cooler) -> Figure<ThermalResistanceDim> {
    let from_rating = cooler.rated_heat.map(|heat| {
        Interval::between(
            Quantity::from_si(RATING_RISE_K.0 / heat.high().si()),
            Quantity::from_si(RATING_RISE_K.1 / heat.low().si()),
        )
    });
    cooler.resistance.or(from_rating)
}

/// Area over which the cores make their heat, in square metres.
fn core_area_m2(processor: &Processor) -> Option<(f64, f64)> {
    let die = processor.package.dies.first()?;
    let (width, depth) = (die.width.get()?, die.depth.get()?);
    let share = die.core_area_share.get().map_or((0.4, 1.0), |share| (share.low().si(), share.high().si()));
    Some((width.low().si() * depth.low().si() * share.0, width.high().si() * depth.high().si() * share.1))
}

/// Junction to the cooler's base.
///
/// # Model
/// Inner joint over the cores' area; the lid as a disc of the cores' area that spreads into a
/// half-space of copper, mean temperature, `0.4732 / (k sqrt(A))`; paste over three times the cores'
/// area, which is what the lid has spread it to. Each end of each interval is taken at its worst and best.
///
/// # Source
/// Isothermal-to-isoflux constriction of a square on a half-space, mean: 0.4732 / (k sqrt(A))
/// (Yovanovich, Muzychka, Culham 1999).
pub fn junction_to_base(proposal: &Proposal<'_>) -> Figure<ThermalResistanceDim> {
    let processor = proposal.processor();
    let Some((small, large)) = core_area_m2(processor) else { return Reading::Unknown };
    let inner = inner_joint_mm2k_w(processor.package.inner_joint.get());
    let paste = paste_joint_mm2k_w(proposal);
    let spreading = |area: f64| 0.4732 / (COPPER_W_MK * area.sqrt());
    let at = |joint: f64, paste: f64, area: f64| {
        joint * 1e-6 / area + spreading(area) + paste * 1e-6 / (3.0 * area)
    };
    between(at(inner.0, paste.0, large), at(inner.1, paste.1, small))
}

/// Junction to air.
pub fn junction_to_air(proposal: &Proposal<'_>) -> Figure<ThermalResistanceDim> {
    junction_to_base(proposal).with(cooler_to_air(proposal.cooler()), |a, b| a + b)
}

/// Power carried at the junction limit.
pub fn carried_power(proposal: &Proposal<'_>) -> Figure<PowerDim> {
    let limit = proposal.processor().junction_limit;
    limit.with(air(proposal), |limit, air| (limit, air)).with(junction_to_air(proposal), |(limit, air), r| {
        Interval::between(
            Quantity::from_si((limit.low() - air.high()).si().max(0.0) / r.high().si()),
            Quantity::from_si((limit.high() - air.low()).si().max(0.0) / r.low().si()),
        )
    })
}

/// Heat carried at the junction limit.
pub fn carried(proposal: &Proposal<'_>) -> CarriedHeat {
    let (processor, cooler) = (proposal.processor(), proposal.cooler());
    let (air, sink) = (air(proposal), cooler_to_air(cooler));
    let resistance = junction_to_air(proposal);
    let power = carried_power(proposal);
    let settle = if proposal.now.setting.room.is_unknown() {
        "The temperature of the room in summer."
    } else if sink.is_unknown() {
        "The cooler's thermal resistance, from its sheet, or a soak on this machine."
    } else if processor.junction_limit.is_unknown() {
        "The junction limit on the processor's sheet."
    } else if processor.package.dies.is_empty() {
        "The size of the processor's die."
    } else {
        "The temperature of the air at the cooler under load, by thermometer."
    };
    let readings = vec![UsedReading {
        what: "cooler to air at full speed".to_owned(),
        value: sink.known().map_or_else(|| "unknown".to_owned(), |r| r.rounded(3)),
        origin: sink.origin(),
    }];
    CarriedHeat { power, resistance, air, readings, settle: settle.to_owned() }
}
