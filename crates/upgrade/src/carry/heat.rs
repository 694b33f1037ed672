//! What heat the cooler of the machine-to-be carries away at the junction limit.

use physics::spreading::disc::closed_form;
use quantity::dimension::{Dimension, PowerDim, TemperatureDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::carry::assumption::between;
use crate::carry::cooler_air::cooler_to_air;
use crate::carry::joint::{inner_joint_mm2k_w, paste_joint_mm2k_w};
use crate::fit::finding::UsedReading;
use crate::machine::proposal::Proposal;
use crate::part::cooler::CoolerBuild;
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

/// Conductivity of the lid's copper in W/(m K).
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, appendix A, pure copper at 350 K; from memory.
pub const COPPER_W_MK: f64 = 395.0;

/// Air at the cooler.
pub fn air(proposal: &Proposal<'_>) -> Figure<TemperatureDim> {
    let rise = crate::carry::case_air::rise(proposal);
    proposal
        .now
        .setting
        .room
        .with(rise, |room, rise| Interval::between(room.low() + rise.low(), room.high() + rise.high()))
}

/// Share of a die that its cores take, where its sheet is silent.
///
/// # Source
/// common practice, no source.
pub const CORE_SHARE: (f64, f64) = (0.4, 1.0);

/// Area over which the cores make their heat, in square metres.
fn core_area_m2(processor: &Processor) -> Option<(f64, f64)> {
    let die = processor.package.dies.first()?;
    let (width, depth) = (die.width.get()?, die.depth.get()?);
    let share = die.core_area_share.get().map_or(CORE_SHARE, |share| (share.low().si(), share.high().si()));
    Some((width.low().si() * depth.low().si() * share.0, width.high().si() * depth.high().si() * share.1))
}

/// Thickness of a die.
///
/// # Source
/// common practice, no source.
pub const DIE_M: f64 = 0.7e-3;

/// Conductivity of silicon near 350 K in W/(m K).
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, table A.1; from memory.
pub const SILICON_W_MK: f64 = 120.0;

/// Area of the largest die, in square metres.
fn die_area_m2(processor: &Processor) -> Option<(f64, f64)> {
    let die = processor.package.dies.first()?;
    let (width, depth) = (die.width.get()?, die.depth.get()?);
    Some((width.low().si() * depth.low().si(), width.high().si() * depth.high().si()))
}

/// Area to which a die has spread the cores' heat at its upper face: by its thickness to each side, and no
/// further than the die goes.
fn spread_m2(cores_m2: f64, die_m2: f64) -> f64 {
    (cores_m2.sqrt() + 2.0 * DIE_M).powi(2).min(die_m2.max(cores_m2))
}

/// Conductivity and thickness of a lid that nobody measured, and its area in square metres.
///
/// # Source
/// common practice, no source: lids of desktop processors.
const UNKNOWN_LID_M: (f64, f64) = (1.5e-3, 3.5e-3);
const UNKNOWN_LID_M2: (f64, f64) = (700e-6, 1800e-6);

/// The heat path in steps, each junction-side first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatSteps {
    /// The die and what joins it to the lid.
    pub inner: Figure<ThermalResistanceDim>,
    /// The lid: through it and spreading in it.
    pub lid: Figure<ThermalResistanceDim>,
    /// The paste between lid and cooler.
    pub paste: Figure<ThermalResistanceDim>,
    /// The cooler, to the air that enters it, at full fan speed.
    pub sink: Figure<ThermalResistanceDim>,
}

impl HeatSteps {
    /// Junction to the cooler's base.
    pub fn to_base(&self) -> Figure<ThermalResistanceDim> {
        self.inner.with(self.lid, |a, b| a + b).with(self.paste, |a, b| a + b)
    }

    /// Junction to air.
    pub fn to_air(&self) -> Figure<ThermalResistanceDim> {
        self.to_base().with(self.sink, |a, b| a + b)
    }
}

/// Area and thickness of the lid at both ends.
fn lid(processor: &Processor) -> ((f64, f64), (f64, f64)) {
    let package = &processor.package;
    let area = package.lid_width.with(package.lid_depth, |width, depth| {
        (width.low().si() * depth.low().si(), width.high().si() * depth.high().si())
    });
    let thickness = package.lid_thickness.map(|t| (t.low().si(), t.high().si()));
    (area.get().unwrap_or(UNKNOWN_LID_M2), thickness.get().unwrap_or(UNKNOWN_LID_M))
}

/// The heat path of the machine-to-be in steps.
///
/// # Model
/// Die and inner joint: the cores' area in a plate of the die's silicon, the joint as a film on it. Lid: the
/// area to which the die has spread the heat spreads in a plate of copper whose upper face has
/// one temperature, mean over the cores. Paste: what it adds when it lies between that plate and a cooler's
/// base of one temperature, which is more than its resistance over the lid's area, for the heat passes
/// where the cores are. Cooler from its fins, sheet or rating. A die without a lid has its paste over the
/// die. Each end of each interval is taken at its worst and best together.
///
/// # Source
/// Spreading: [`physics::spreading::disc`] (S. Lee et al. 1995), whose mean lies within -1.3 to +6.7 % of
/// the exact rectangle.
pub fn heat_steps(proposal: &Proposal<'_>) -> HeatSteps {
    let processor = proposal.processor();
    let sink = cooler_to_air(proposal);
    let Some((small, large)) = core_area_m2(processor) else {
        let unknown = Reading::Unknown;
        return HeatSteps { inner: unknown, lid: unknown, paste: unknown, sink };
    };
    let inner = inner_joint_mm2k_w(processor.package.inner_joint.get());
    let paste = paste_joint_mm2k_w(proposal);
    // The die spreads the cores' heat before the joint; a bare die's joint is the paste itself.
    let die = die_area_m2(processor).unwrap_or((small, large));
    let inner_at = |joint: f64, source: f64, die: f64| {
        let film = 1e6 / joint.max(1e-3);
        closed_form(source, die.max(source), DIE_M, SILICON_W_MK, film)
            .map_or(joint * 1e-6 / source, |(mean, _)| mean)
    };
    let inner_figure = between(inner_at(inner.0, large, die.1), inner_at(inner.1, small, die.0));
    let (small, large) = (spread_m2(small, die.0), spread_m2(large, die.1));
    if processor.package.inner_joint.get() == Some(InnerJoint::BareDie) {
        let nothing = between(0.0, 0.0);
        let paste = between(paste.0 * 1e-6 / large, paste.1 * 1e-6 / small);
        return HeatSteps { inner: inner_figure, lid: nothing, paste, sink };
    }
    let (lid_m2, lid_m) = lid(processor);
    // Lid alone, its upper face at one temperature; and with the paste between it and such a face.
    let ends = |source_m2: f64, paste_mm2k_w: f64, worse: fn(f64, f64) -> bool| {
        let mut found: Option<(f64, f64)> = None;
        for area in [lid_m2.0, lid_m2.1] {
            for thick in [lid_m.0, lid_m.1] {
                let area = area.max(source_m2);
                let mean =
                    |film: f64| closed_form(source_m2, area, thick, COPPER_W_MK, film).map(|(mean, _)| mean);
                let (Ok(alone), Ok(both)) = (mean(PERFECT_FILM_W_M2K), mean(1e6 / paste_mm2k_w)) else {
                    continue;
                };
                let both = (alone, both - alone);
                // A thicker lid spreads better but is a longer way: every corner is looked at.
                if found.is_none_or(|found| worse(both.0 + both.1, found.0 + found.1)) {
                    found = Some(both);
                }
            }
        }
        found
    };
    let (best, worst) =
        (ends(large, paste.0, |new, old| new < old), ends(small, paste.1, |new, old| new > old));
    let (Some(best), Some(worst)) = (best, worst) else {
        return HeatSteps { inner: inner_figure, lid: Reading::Unknown, paste: Reading::Unknown, sink };
    };
    HeatSteps { inner: inner_figure, lid: between(best.0, worst.0), paste: between(best.1, worst.1), sink }
}

/// Film that stands for a face of one temperature.
const PERFECT_FILM_W_M2K: f64 = 1e9;

/// Junction to the cooler's base.
pub fn junction_to_base(proposal: &Proposal<'_>) -> Figure<ThermalResistanceDim> {
    heat_steps(proposal).to_base()
}

/// Junction to air.
pub fn junction_to_air(proposal: &Proposal<'_>) -> Figure<ThermalResistanceDim> {
    heat_steps(proposal).to_air()
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
    let processor = proposal.processor();
    let (air, sink) = (air(proposal), cooler_to_air(proposal));
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
    fn used<D: Dimension>(what: &str, figure: Figure<D>) -> UsedReading {
        UsedReading {
            what: what.to_owned(),
            value: figure.known().map_or_else(|| "unknown".to_owned(), |value| value.rounded(3)),
            origin: figure.origin(),
        }
    }
    let cooler = proposal.cooler();
    let mut readings = vec![used(
        match cooler.build.get() {
            Some(CoolerBuild::Fanless) => "cooler to air, without a fan",
            Some(CoolerBuild::LiquidLoop) => "plate to air at full speed, through liquid and radiator",
            _ => "cooler to air at full speed",
        },
        sink,
    )];
    if let Some(liquid) = cooler.liquid.as_ref().filter(|_| cooler.resistance.is_unknown()) {
        readings.push(used("plate to liquid", liquid.plate_resistance));
        readings.push(used("radiator to air", liquid.radiator_resistance));
        readings.push(used("liquid the pump moves", liquid.flow));
    }
    if proposal.now.setting.case_air_rise.is_unknown() {
        readings.push(used("air that the case's fans move", proposal.case().air_flow));
    }
    CarriedHeat { power, resistance, air, readings, settle: settle.to_owned() }
}
