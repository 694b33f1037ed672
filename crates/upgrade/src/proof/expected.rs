//! What a sound machine of these parts would show in a soak.

use physics::cooler::sink::{air_at, case_rise_k};
use quantity::dimension::{
    FrequencyDim, HeatCapacityDim, PowerDim, RotationSpeedDim, TemperatureDim, ThermalResistanceDim,
};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::between;
use crate::carry::burst::{COOLER_J_KGK, COPPER_J_M3K};
use crate::carry::case_air::FLOW_SHARE;
use crate::carry::cooler_air::at_speed;
use crate::carry::heat::{air, heat_steps};
use crate::carry::point::{Binding, Surroundings, sustained};
use crate::carry::stages::binding_power;
use crate::carry::supply_load;
use crate::machine::present::{Machine, PasteState};
use crate::machine::proposal::Proposal;
use crate::part::cooler::{Cooler, CoolerBuild};

/// Resistances of the heat path's steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedSteps {
    /// Junction to lid: die, inner joint and lid.
    pub inner: Figure<ThermalResistanceDim>,
    /// The paste.
    pub paste: Figure<ThermalResistanceDim>,
    /// Cooler to the air it takes, at full fan speed.
    pub sink: Figure<ThermalResistanceDim>,
    /// Warming of the case's air for each watt of the processor.
    pub case_air: Figure<ThermalResistanceDim>,
}

/// Heat that the path's parts store.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedStores {
    /// Die.
    pub die: Figure<HeatCapacityDim>,
    /// Lid.
    pub lid: Figure<HeatCapacityDim>,
    /// Cooler, with its liquid where it has one.
    pub cooler: Figure<HeatCapacityDim>,
}

/// What is expected of a soak of a machine-to-be.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// What the machine is called, and what changed.
    pub title: String,
    /// Steps with the joint as the record says it is.
    pub planned: ExpectedSteps,
    /// Steps with a sound joint of the same paste.
    pub sound: ExpectedSteps,
    /// The lid alone, which is a part of what lies between junction and paste.
    pub lid: Figure<ThermalResistanceDim>,
    /// Stores.
    pub stores: ExpectedStores,
    /// Whether the joint is made anew by the changes.
    pub fresh_joint: bool,
    /// How long the joint has been there, where it is an old one.
    pub joint_state: Option<PasteState>,
    /// The cooler, for its fans and its build.
    pub cooler: Cooler,
    /// Full speed of its fan.
    pub full_speed: Figure<RotationSpeedDim>,
    /// Junction limit.
    pub junction_limit: Figure<TemperatureDim>,
    /// Power the processor may draw for ever, as its maker sets it.
    pub sustained_power: Figure<PowerDim>,
    /// Sustained clock of all cores.
    pub clock: Figure<FrequencyDim>,
    /// Power at that clock.
    pub power: Figure<PowerDim>,
    /// Junction at that clock.
    pub junction: Figure<TemperatureDim>,
    /// What binds, at the slow end and at the fast end.
    pub binding: Option<(Binding, Binding)>,
    /// Room that the plan reckons with.
    pub room: Figure<TemperatureDim>,
}

/// Heat capacity of silicon for its volume.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, table A.1 (2,330 kg/m3, 712 J/(kg K)); from memory.
const SILICON_J_M3K: f64 = 2_330.0 * 712.0;

/// Share of a liquid loop's mass that is water and glycol.
///
/// # Source
/// common practice, no source.
const LIQUID_SHARE: (f64, f64) = (0.1, 0.35);
/// Specific heat of water with glycol.
///
/// # Source
/// common practice, no source: between half-and-half and pure water.
const LIQUID_J_KGK: (f64, f64) = (3_300.0, 4_180.0);

fn case_air(proposal: &Proposal<'_>) -> Figure<ThermalResistanceDim> {
    let heat = supply_load::load(proposal).sustained;
    if let (Some(rise), Some(heat)) = (proposal.now.setting.case_air_rise.get(), heat.get()) {
        return between(rise.low().si() / heat.high().si(), rise.high().si() / heat.low().si());
    }
    let flow = proposal.case().air_flow.get();
    let at = |flow_m3_s: f64| case_rise_k(1.0, flow_m3_s, &air_at(30.0, 1.0)).ok();
    flow.and_then(|flow| {
        Some(between(at(flow.high().si() * FLOW_SHARE.1)?, at(flow.low().si() * FLOW_SHARE.0)?))
    })
    .unwrap_or(Reading::Unknown)
}

fn steps(proposal: &Proposal<'_>) -> ExpectedSteps {
    let heat = heat_steps(proposal);
    ExpectedSteps {
        inner: heat.inner.with(heat.lid, |inner, lid| inner + lid),
        paste: heat.paste,
        sink: heat.sink,
        case_air: case_air(proposal),
    }
}

fn stores(proposal: &Proposal<'_>) -> ExpectedStores {
    let package = &proposal.processor().package;
    let lid = package
        .lid_width
        .with(package.lid_depth, |w, d| (w.low().si() * d.low().si(), w.high().si() * d.high().si()))
        .with(package.lid_thickness, |(small, large), t| {
            Interval::between(
                Quantity::from_si(COPPER_J_M3K * small * t.low().si()),
                Quantity::from_si(COPPER_J_M3K * large * t.high().si()),
            )
        });
    let die = package.dies.first().map_or(Reading::Unknown, |die| {
        die.width.with(die.depth, |w, d| {
            let of = |area: f64| Quantity::from_si(SILICON_J_M3K * crate::carry::heat::DIE_M * area);
            Interval::between(of(w.low().si() * d.low().si()), of(w.high().si() * d.high().si()))
        })
    });
    let of_kilogram = if proposal.cooler().is_liquid_loop() {
        let mixed = |share: f64, liquid: f64, metal: f64| share * liquid + (1.0 - share) * metal;
        (
            mixed(LIQUID_SHARE.0, LIQUID_J_KGK.0, COOLER_J_KGK.0),
            mixed(LIQUID_SHARE.1, LIQUID_J_KGK.1, COOLER_J_KGK.1),
        )
    } else {
        COOLER_J_KGK
    };
    let cooler = proposal.cooler().mass.map(|mass| {
        Interval::between(
            Quantity::from_si(mass.low().si() * of_kilogram.0),
            Quantity::from_si(mass.high().si() * of_kilogram.1),
        )
    });
    ExpectedStores { die, lid, cooler }
}

/// What is expected of a soak of the machine-to-be.
///
/// # Model
/// Steps by [`heat_steps`], clock and what binds by [`sustained`]; a sound joint is one of the same paste, fresh. Stores
/// by volume and mass. The case's air by what was measured of it, else by its fans' flow.
pub fn expected(proposal: &Proposal<'_>) -> Expected {
    let mut fresh: Machine = proposal.now.clone();
    fresh.joint.state = Reading::Known(PasteState::Fresh, Origin::Estimated);
    let sound = Proposal { now: &fresh, ..*proposal };
    let heat = heat_steps(proposal);
    let around =
        Surroundings { resistance: heat.to_air(), air: air(proposal), stages: binding_power(proposal) };
    let point = sustained(proposal.processor(), &around);
    Expected {
        title: format!("{}: {}", proposal.now.name, proposal.changes.title()),
        planned: steps(proposal),
        sound: steps(&sound),
        lid: heat.lid,
        stores: stores(proposal),
        fresh_joint: proposal.old_joint().is_none(),
        joint_state: proposal.old_joint().and_then(|joint| joint.state.get()),
        cooler: proposal.cooler().clone(),
        full_speed: proposal.cooler().fans.as_ref().map_or(Reading::Unknown, |fans| fans.full_speed),
        junction_limit: proposal.processor().junction_limit,
        sustained_power: proposal.processor().sustained_power,
        clock: point.clock,
        power: point.power,
        junction: point.junction,
        binding: point.binding,
        room: proposal.now.setting.room,
    }
}

/// Slowest share of the full speed at which a cooler's law of speed is asked.
const SLOWEST: f64 = 0.15;
/// Where nobody logged the fan: firmware seldom lets one turn slower under full load.
///
/// # Source
/// common practice, no source.
const UNLOGGED_SHARE: f64 = 0.6;

impl Expected {
    /// The cooler at a share of its fan's full speed; where that is not known, from full speed to a slow one.
    pub fn sink_at(&self, share: Option<f64>) -> Figure<ThermalResistanceDim> {
        let slow = share.unwrap_or(UNLOGGED_SHARE).clamp(SLOWEST, 1.0);
        let times = at_speed(&self.cooler, slow).map_or((1.0, 1.0), |(times, _)| times);
        let low = if share.is_some() { times.0 } else { 1.0 };
        self.sound.sink.map(|sink| {
            Interval::between(
                Quantity::from_si(sink.low().si() * low),
                Quantity::from_si(sink.high().si() * times.1),
            )
        })
    }

    /// Whether a limit may bind by the plan.
    pub fn may_bind(&self, limit: Binding) -> bool {
        self.binding.is_some_and(|(slow, fast)| slow == limit || fast == limit)
    }

    /// Whether the cooler is surely or perhaps a liquid loop.
    pub fn has_pump(&self) -> bool {
        self.cooler.build.get().is_none_or(|build| build == CoolerBuild::LiquidLoop)
    }
}
