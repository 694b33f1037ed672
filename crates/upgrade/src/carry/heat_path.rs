//! The whole heat path of the machine-to-be: a staircase from die to room, what binds the clock, what lifting
//! it gains, how long a burst lasts, and what a warmer room does.

use quantity::dimension::{
    FrequencyDim, PowerDim, SoundLevelDim, TemperatureDifferenceDim, TemperatureDim, ThermalResistanceDim,
};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::between;
use crate::carry::burst::{BurstLength, burst};
use crate::carry::case_air;
use crate::carry::cooler_air::at_speed;
use crate::carry::heat::{HeatSteps, air, carried, heat_steps};
use crate::carry::point::{Binding, Surroundings, SustainedPoint, sustained};
use crate::carry::runaway::{Edge, edge};
use crate::carry::stages::binding_power;
use crate::machine::proposal::Proposal;

/// One step of the staircase.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatStep {
    /// What the heat passes.
    pub name: &'static str,
    /// Its resistance; none for the case's air, which goes with all heat in the case.
    pub resistance: Option<Figure<ThermalResistanceDim>>,
    /// What it takes in kelvin at the sustained power.
    pub rise: Figure<TemperatureDifferenceDim>,
    /// Share of the way from room to junction, at the cool end and at the hot end.
    pub share: Option<(f64, f64)>,
    /// What would make it less.
    pub cure: &'static str,
}

/// What lifting one limit alone would gain.
#[derive(Debug, Clone, PartialEq)]
pub struct Lifted {
    /// Limit.
    pub limit: Binding,
    /// Clock with it gone.
    pub clock: Figure<FrequencyDim>,
    /// Clock gained, at the slow end and at the fast one.
    pub gained: (Quantity<FrequencyDim>, Quantity<FrequencyDim>),
}

/// The machine in a room of one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InRoom {
    /// Room.
    pub room: Quantity<TemperatureDim>,
    /// Clock.
    pub clock: Figure<FrequencyDim>,
    /// Junction.
    pub junction: Figure<TemperatureDim>,
}

/// The machine at one fan speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtSpeed {
    /// Share of the full speed.
    pub share: f64,
    /// Noise.
    pub noise: Figure<SoundLevelDim>,
    /// Clock.
    pub clock: Figure<FrequencyDim>,
    /// Junction.
    pub junction: Figure<TemperatureDim>,
}

/// The heat path.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatPath {
    /// What the machine-to-be is called.
    pub title: String,
    /// Room.
    pub room: Figure<TemperatureDim>,
    /// Steps from the junction to the room.
    pub steps: Vec<HeatStep>,
    /// Junction's limit.
    pub limit: Figure<TemperatureDim>,
    /// The sustained point.
    pub point: SustainedPoint,
    /// What lifting each limit alone would gain.
    pub lifted: Vec<Lifted>,
    /// How near the heat is to running away, at the hot end.
    pub edge: Option<Edge>,
    /// How long the processor's burst power lasts from rest.
    pub burst: Option<BurstLength>,
    /// The machine in rooms from cold to hot.
    pub rooms: Vec<InRoom>,
    /// The machine at slower fans.
    pub speeds: Vec<AtSpeed>,
    /// How much warmer the air leaves the case than it enters, by its fans' flow and the heat in it.
    pub case_rise_by_flow: Figure<TemperatureDifferenceDim>,
    /// The reading that would settle most.
    pub settle: String,
}

/// Rooms for which the curve is computed, in °C.
const ROOMS_C: [f64; 8] = [10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0];
/// Fan speeds that are looked at, as shares of the full one.
const SPEEDS: [f64; 3] = [1.0, 0.75, 0.5];

fn around(proposal: &Proposal<'_>, resistance: Figure<ThermalResistanceDim>) -> Surroundings {
    Surroundings { resistance, air: air(proposal), stages: binding_power(proposal) }
}

/// What a resistance takes: the small one at the power of the fast end, the large one at that of the slow
/// end, which a limit may hold down.
fn rise(
    resistance: Figure<ThermalResistanceDim>,
    ends: Option<(Quantity<PowerDim>, Quantity<PowerDim>)>,
) -> Figure<TemperatureDifferenceDim> {
    match (resistance.get(), ends) {
        (Some(r), Some((slow, fast))) => between(r.low().si() * fast.si(), r.high().si() * slow.si()),
        _ => Reading::Unknown,
    }
}

fn steps(
    proposal: &Proposal<'_>,
    heat: &HeatSteps,
    ends: Option<(Quantity<PowerDim>, Quantity<PowerDim>)>,
) -> Vec<HeatStep> {
    let step = |name, resistance, cure| HeatStep {
        name,
        resistance: Some(resistance),
        rise: rise(resistance, ends),
        share: None,
        cure,
    };
    let case = air(proposal).with(proposal.now.setting.room, |air, room| {
        let ends = ((air.low() - room.low()).si().max(0.0), (air.high() - room.high()).si().max(0.0));
        Interval::between(Quantity::from_si(ends.0), Quantity::from_si(ends.1))
    });
    let mut steps = vec![
        step("die to lid", heat.inner, "none at the bench: it is the processor's own"),
        step("lid", heat.lid, "none at the bench: it is the processor's own"),
        step("paste", heat.paste, "fresh paste, the right amount, and even pressure"),
        step("cooler", heat.sink, "a stronger cooler, a faster fan, or clean fins"),
        HeatStep {
            name: "air in the case",
            resistance: None,
            rise: case,
            share: None,
            cure: "more air through the case",
        },
    ];
    let all = steps.iter().map(|step| step.rise.get()).collect::<Option<Vec<_>>>();
    if let Some(all) = all {
        let low: f64 = all.iter().map(|rise| rise.low().si()).sum();
        let high: f64 = all.iter().map(|rise| rise.high().si()).sum();
        for (step, rise) in steps.iter_mut().zip(all) {
            step.share = (low > 0.0 && high > 0.0).then(|| (rise.low().si() / low, rise.high().si() / high));
        }
    }
    steps
}

/// What each limit gone alone would give.
fn lifted(proposal: &Proposal<'_>, around: &Surroundings, point: &SustainedPoint) -> Vec<Lifted> {
    let (Some(clock), Some((slow, fast))) = (point.clock.get(), point.binding) else { return Vec::new() };
    let mut limits = vec![slow, fast];
    limits.sort_unstable();
    limits.dedup();
    let without = |limit: Binding| {
        let mut processor = proposal.processor().clone();
        let mut around = *around;
        match limit {
            Binding::Clock => return None,
            Binding::SustainedPower => processor.sustained_power = between(5_000.0, 5_000.0),
            Binding::PowerStages => around.stages = Reading::Unknown,
            Binding::Junction => processor.junction_limit = between(1_273.15, 1_273.15),
        }
        sustained(&processor, &around).clock.get()
    };
    limits
        .into_iter()
        .filter_map(|limit| {
            let gone = without(limit)?;
            Some(Lifted {
                limit,
                clock: Reading::Known(gone, Origin::Estimated),
                gained: (gone.low() - clock.low(), gone.high() - clock.high()),
            })
        })
        .collect()
}

/// The heat path of the machine-to-be.
///
/// # Model
/// Steps of [`heat_steps`] at the sustained power of [`sustained`], at full fan speed; an unknown figure
/// stays unknown through everything that rests on it. Burst: two stores of heat, lid and cooler.
pub fn heat_path(proposal: &Proposal<'_>) -> HeatPath {
    let processor = proposal.processor();
    let heat = heat_steps(proposal);
    let around = around(proposal, heat.to_air());
    let point = sustained(processor, &around);
    // Where no point can be computed, at the power its maker allows.
    let allowed = processor.sustained_power.get().map(|power| (power.high(), power.low()));
    let ends = point.power_ends.or(allowed);
    let rooms = proposal.now.setting.room.with(around.air, |room, air| (room, air)).get().map_or_else(
        Vec::new,
        |(room, air)| {
            ROOMS_C
                .into_iter()
                .map(|celsius| {
                    // The case warms its air by as much as in the room that was named.
                    let at = |room_now: Quantity<TemperatureDim>, air_now: Quantity<TemperatureDim>| {
                        celsius + 273.15 + (air_now - room_now).si()
                    };
                    let air = between(at(room.low(), air.low()), at(room.high(), air.high()));
                    let point = sustained(processor, &Surroundings { air, ..around });
                    InRoom {
                        room: Quantity::from_si(celsius + 273.15),
                        clock: point.clock,
                        junction: point.junction,
                    }
                })
                .collect()
        },
    );
    let speeds = SPEEDS
        .into_iter()
        .filter_map(|share| {
            let (times, noise) = at_speed(proposal.cooler(), share)?;
            let sink = heat.sink.map(|sink| {
                Interval::between(
                    Quantity::from_si(sink.low().si() * times.0),
                    Quantity::from_si(sink.high().si() * times.1),
                )
            });
            let resistance = HeatSteps { sink, ..heat }.to_air();
            let point = sustained(processor, &Surroundings { resistance, ..around });
            Some(AtSpeed { share, noise, clock: point.clock, junction: point.junction })
        })
        .collect();
    HeatPath {
        title: format!("{}: {}", proposal.now.name, proposal.changes.title()),
        room: proposal.now.setting.room,
        steps: steps(proposal, &heat, ends),
        limit: processor.junction_limit,
        lifted: lifted(proposal, &around, &point),
        edge: edge(processor, &around),
        burst: burst(proposal, &heat),
        rooms,
        speeds,
        case_rise_by_flow: case_air::leaving(proposal),
        settle: carried(proposal).settle,
        point,
    }
}
