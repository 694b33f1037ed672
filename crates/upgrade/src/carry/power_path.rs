//! The whole power path of the machine-to-be: from the wall to the processor, each loss named, each
//! temperature and current against its limit.

use physics::power::converter::{Load, Solved};
use physics::power::limits::{slowest_air, warmest_air};
use physics::supply::hold::hold_s;
use quantity::dimension::{
    CurrentDim, DurationDim, PowerDim, RatioDim, SpeedDim, TemperatureDifferenceDim, TemperatureDim,
};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::money::Money;
use quantity::reading::{Figure, Origin, Reading};

use crate::carry::assumption::{RAIL_12V, between};
use crate::carry::aux_current::{at_current, fed_pins, per_pin, pin_limit};
use crate::carry::power_gauge::{Ends, Gauge};
use crate::carry::stage_corner::Corner;
use crate::carry::stage_settle::narrowest;
use crate::carry::stages::{StageCapacity, burst_s, capacity, used_readings, warranted_readings};
use crate::carry::supply_load::{load, settle};
use crate::carry::wall::wall_power;
use crate::fit::finding::UsedReading;
use crate::gain::task::{speeds, widths};
use crate::machine::present::Machine;
use crate::machine::proposal::{Changes, Proposal};
use crate::route::score::{Energy, energy, gain};
use crate::route::search::point;

/// What a stream of power does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlowKind {
    /// It goes on towards the processor.
    Through,
    /// It leaves for something else that works.
    Branch,
    /// It is lost as heat.
    Loss,
}

/// A stream of power.
#[derive(Debug, Clone, PartialEq)]
pub struct Flow {
    /// Where it goes.
    pub name: String,
    /// What it does.
    pub kind: FlowKind,
    /// How much.
    pub power: Figure<PowerDim>,
}

/// The converter at the processor's sustained power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConverterFacts {
    /// Current to the processor.
    pub current: Figure<CurrentDim>,
    /// Share of the time in which an upper switch is on.
    pub duty: Figure<RatioDim>,
    /// Ripple in one inductor, peak to peak.
    pub phase_ripple: Figure<CurrentDim>,
    /// Ripple of all together, peak to peak.
    pub total_ripple: Figure<CurrentDim>,
    /// Ripple in the input capacitors, root mean square.
    pub input_ripple: Figure<CurrentDim>,
    /// Output power over input power.
    pub efficiency: Figure<RatioDim>,
}

/// What the air over the stages would have to be, everything else at one end of what is unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirNeeded {
    /// Warmest air in which they hold the processor; none where no air is cold enough.
    pub warmest: Option<Quantity<TemperatureDim>>,
    /// Slowest air that lets them hold it; none where no fan is fast enough.
    pub slowest: Option<Quantity<SpeedDim>>,
}

/// The power path.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerPath {
    /// What the machine-to-be is called.
    pub title: String,
    /// Its streams at steady full work, from the wall on: each loss and branch leaves the stream before.
    pub flows: Vec<Flow>,
    /// The converter; none where the heat runs away or the processor's power is unknown.
    pub converter: Option<ConverterFacts>,
    /// Every limit.
    pub gauges: Vec<Gauge>,
    /// What the stages hold.
    pub held: StageCapacity,
    /// Length of the processor's burst.
    pub burst_time: Figure<DurationDim>,
    /// What the air would have to be, at the bad end and at the good one; none where the processor's power is
    /// unknown.
    pub air: Option<(AirNeeded, AirNeeded)>,
    /// How long the supply bridges a gap in the mains at steady full work.
    pub hold: Figure<DurationDim>,
    /// Power at the wall and energy of a year, by the day's tasks.
    pub energy: Energy,
    /// What that energy costs.
    pub yearly_cost: Option<(Money, Money)>,
    /// Readings of the stages.
    pub readings: Vec<UsedReading>,
    /// The reading that narrows most what the stages hold.
    pub settle_stages: String,
    /// The reading that settles most about the supply.
    pub settle_supply: String,
}

/// Hold time at full load that a supply has where its sheet is silent, and the share of its capacitance
/// that age has left at worst.
///
/// # Source
/// Design guide of desktop power supplies for the ATX family: 16 to 17 ms at full load (from memory).
/// IEC 60384-4 calls an electrolytic capacitor worn out once it has lost a fifth or more (from memory).
const HOLD_S: f64 = 0.016;
const CAPACITANCE_LEFT: (f64, f64) = (0.8, 1.0);

/// Both corners solved.
struct Corners {
    good: Solved,
    good_at: Corner,
    /// None where the heat runs away.
    bad: Option<Solved>,
    bad_at: Corner,
}

/// The corner with the most used share among several, solved; the least for the good end.
fn corners(proposal: &Proposal<'_>, power: Interval<PowerDim>) -> Option<Corners> {
    let readings = warranted_readings(proposal);
    let solve = |corner: &Corner, power_w: f64| {
        corner.converter.solve(&Load { power_w, set_v: corner.set_v }, &corner.air)
    };
    let share = |corner: &Corner, solved: &Solved| {
        corner.limits.used(solved, corner.converter.count, corner.air.celsius).0
    };
    let mut good: Option<(f64, Solved, Corner)> = None;
    for corner in readings.strong() {
        let solved = solve(&corner, power.low().si()).ok()?;
        let share = share(&corner, &solved);
        if good.as_ref().is_none_or(|good| share < good.0) {
            good = Some((share, solved, corner));
        }
    }
    let mut bad: Option<(f64, Option<Solved>, Corner)> = None;
    for corner in readings.weak() {
        let solved = solve(&corner, power.high().si()).ok();
        let share = solved.as_ref().map_or(f64::INFINITY, |solved| share(&corner, solved));
        if bad.as_ref().is_none_or(|bad| share > bad.0) {
            bad = Some((share, solved, corner));
        }
    }
    let ((_, good, good_at), (_, bad, bad_at)) = (good?, bad?);
    Some(Corners { good, good_at, bad, bad_at })
}

impl Corners {
    fn figure<D: quantity::dimension::Dimension>(&self, of: impl Fn(&Solved) -> f64) -> Figure<D> {
        match &self.bad {
            Some(bad) => between(of(&self.good), of(bad)),
            None => Reading::Unknown,
        }
    }

    /// Both ends of something that grows towards the bad end; infinite where the heat runs away.
    fn ends(&self, of: impl Fn(&Solved, &Corner) -> f64) -> Ends {
        Ends {
            good: of(&self.good, &self.good_at),
            bad: self.bad.as_ref().map_or(f64::INFINITY, |bad| of(bad, &self.bad_at)),
        }
    }

    fn limit(&self, of: impl Fn(&Corner) -> f64) -> Ends {
        Ends { good: of(&self.good_at), bad: of(&self.bad_at) }
    }
}

const KELVIN: f64 = 273.15;

fn stage_gauges(corners: &Corners) -> Vec<Gauge> {
    let air = corners.limit(|corner| corner.air.celsius + KELVIN);
    let warm = |what: &str, of: fn(&Solved) -> f64, limit: fn(&Corner) -> f64, note: &'static str| {
        Gauge::below::<TemperatureDim, TemperatureDifferenceDim>(
            what,
            corners.ends(|solved, _| of(solved) + KELVIN),
            corners.limit(|corner| limit(corner) + KELVIN),
            air,
            note,
        )
    };
    let current =
        |what: &str, of: fn(&Solved, &Corner) -> f64, limit: fn(&Corner) -> f64, note: &'static str| {
            let none = Ends { good: 0.0, bad: 0.0 };
            Gauge::below::<CurrentDim, CurrentDim>(what, corners.ends(of), corners.limit(limit), none, note)
        };
    vec![
        warm(
            "upper switches",
            |solved| solved.temperatures.upper_c,
            |corner| corner.limits.junction_c,
            "steady full work; limit of the class",
        ),
        warm(
            "lower switches",
            |solved| solved.temperatures.lower_c,
            |corner| corner.limits.junction_c,
            "steady full work; limit of the class",
        ),
        warm(
            "inductors",
            |solved| solved.temperatures.inductor_c,
            |corner| corner.limits.inductor_c,
            "steady full work; limit of the class",
        ),
        warm(
            "board",
            |solved| solved.temperatures.board_c,
            |corner| corner.limits.board_c,
            "steady full work; limit of laminates",
        ),
        current(
            "a stage",
            |solved, corner| solved.stage_a(corner.converter.count),
            |corner| corner.limits.stage_a,
            "steady full work; rated current",
        ),
        current(
            "inductor peak",
            |solved, corner| solved.peak_a(corner.converter.count),
            |corner| corner.limits.peak_a,
            "steady full work; where the core saturates",
        ),
    ]
}

/// A gauge of two figures, the first of which must not pass the second; none where one is unknown.
fn gauge<D: quantity::dimension::Dimension>(
    what: &str,
    value: Figure<D>,
    limit: Figure<D>,
    note: &'static str,
) -> Option<Gauge> {
    let (value, limit) = (value.get()?, limit.get()?);
    let none = Ends { good: 0.0, bad: 0.0 };
    Some(Gauge::below::<D, D>(
        what,
        Ends { good: value.low().si(), bad: value.high().si() },
        Ends { good: limit.high().si(), bad: limit.low().si() },
        none,
        note,
    ))
}

/// The power path of the machine-to-be.
///
/// # Model
/// At steady full work: the processor at its sustained power, everything else at its own; bursts where a
/// gauge says so. Good and bad end are the two corners of [`crate::carry::stage_corner`]; a figure that is
/// unknown stays unknown through everything that rests on it.
pub fn power_path(proposal: &Proposal<'_>) -> PowerPath {
    let (processor, board, supply) = (proposal.processor(), proposal.board(), proposal.supply());
    let corners = processor.sustained_power.get().and_then(|power| corners(proposal, power));
    let pins = match (board.aux_connectors.known(), supply.aux_connectors.known()) {
        (Some(connectors), Some(plugs)) => fed_pins(connectors, plugs).0,
        _ => 0,
    };
    let supply_load = load(proposal);
    let outputs = supply_load.sustained;
    let wall = wall_power(supply, outputs, proposal.now.setting.mains);

    let held = capacity(proposal);
    let mut gauges: Vec<Gauge> = [
        gauge(
            "processor, for ever",
            processor.sustained_power,
            held.sustained,
            "against what the stages hold",
        ),
        gauge(
            "processor, burst",
            processor.burst_power,
            held.burst,
            "against what the stages hold, from rest",
        )
        .map(Gauge::in_bursts),
    ]
    .into_iter()
    .flatten()
    .collect();
    gauges.extend(corners.as_ref().map_or_else(Vec::new, stage_gauges));
    gauges.extend(
        [
            (pins > 0)
                .then(|| {
                    gauge(
                        "a 12 V pin",
                        per_pin(proposal, pins),
                        pin_limit(supply),
                        "burst, the best contact among worn ones; maker's data rule",
                    )
                    .map(Gauge::in_bursts)
                })
                .flatten(),
            gauge("supply, all outputs", outputs, supply_load.rated, "steady full work; label, less its age"),
            gauge(
                "supply, 12 V",
                supply_load.sustained_12v,
                supply_load.rail_12v,
                "steady full work; label, less its age",
            ),
            gauge("supply, burst", supply_load.burst, supply_load.rated_burst, "processor and cards at once")
                .map(Gauge::in_bursts),
        ]
        .into_iter()
        .flatten(),
    );

    PowerPath {
        title: format!("{}: {}", proposal.now.name, proposal.changes.title()),
        flows: flows(proposal, corners.as_ref(), pins, outputs, wall),
        converter: corners.as_ref().map(facts),
        gauges,
        held,
        burst_time: processor.burst_time.or(between(burst_s(processor).1, burst_s(processor).0)),
        air: processor.sustained_power.get().map(|power| air_needed(proposal, power)),
        hold: hold(proposal, outputs),
        energy: day(proposal),
        yearly_cost: None,
        readings: used_readings(proposal),
        settle_stages: narrowest(proposal),
        settle_supply: settle(proposal),
    }
    .priced(proposal.now)
}

fn facts(corners: &Corners) -> ConverterFacts {
    ConverterFacts {
        current: corners.figure(|solved| solved.output_a),
        duty: corners.figure(|solved| solved.duty),
        phase_ripple: corners.figure(|solved| solved.ripple.phase_a),
        total_ripple: corners.figure(|solved| solved.ripple.total_a),
        input_ripple: corners.figure(|solved| solved.ripple.input_rms_a),
        efficiency: corners.figure(Solved::efficiency),
    }
}

fn flows(
    proposal: &Proposal<'_>,
    corners: Option<&Corners>,
    pins: u32,
    outputs: Figure<PowerDim>,
    wall: Figure<PowerDim>,
) -> Vec<Flow> {
    let flow = |name: &str, kind, power| Flow { name: name.to_owned(), kind, power };
    let stages_in: Figure<PowerDim> = corners.map_or(Reading::Unknown, |c| c.figure(|solved| solved.input_w));
    let feed: Figure<PowerDim> = stages_in.map(|power| {
        let lost =
            |watts: f64, volts: f64| at_current(proposal, pins, watts / volts).map_or(0.0, |fed| fed.lost_w);
        // Worn contacts at the bad end; at the good end a fifth of that, which new ones come to.
        Interval::between(
            Quantity::from_si(0.2 * lost(power.low().si(), RAIL_12V.1)),
            Quantity::from_si(lost(power.high().si(), RAIL_12V.0)),
        )
    });
    let supply_loss = wall.with(outputs, |wall, outputs| {
        Interval::between(
            Quantity::from_si((wall.low().si() - outputs.low().si()).max(0.0)),
            Quantity::from_si((wall.high().si() - outputs.high().si()).max(0.0)),
        )
    });
    let mut flows = vec![
        flow("from the wall", FlowKind::Through, wall),
        flow("heat of the supply", FlowKind::Loss, supply_loss),
        flow("out of the supply", FlowKind::Through, outputs),
    ];
    for load in &proposal.now.loads {
        flows.push(Flow { name: load.name.clone(), kind: FlowKind::Branch, power: load.power });
    }
    let zero: Figure<PowerDim> = Reading::Known(Interval::exact(Quantity::from_si(0.0)), Origin::Hand);
    let memory = proposal.memory().iter().fold(zero, |sum, kit| sum.with(kit.power, |a, b| a + b));
    flows.push(flow("memory", FlowKind::Branch, memory));
    flows.push(flow("the board itself", FlowKind::Branch, proposal.board().own_power));
    flows.push(flow("wires and contacts", FlowKind::Loss, feed));
    flows.push(flow("into the power stages", FlowKind::Through, stages_in));
    if let Some(corners) = corners {
        let bad = corners.bad.map(|bad| bad.lost.named());
        for (place, (name, good_w)) in corners.good.lost.named().into_iter().enumerate() {
            let power = bad.map_or(Reading::Unknown, |bad| between(good_w, bad[place].1));
            flows.push(flow(name, FlowKind::Loss, power));
        }
    }
    flows.push(flow("into the processor", FlowKind::Through, proposal.processor().sustained_power));
    flows
}

/// What the air would have to be at the bad end and at the good one.
fn air_needed(proposal: &Proposal<'_>, power: Interval<PowerDim>) -> (AirNeeded, AirNeeded) {
    let readings = warranted_readings(proposal);
    // Where no air would do, none is cold enough: infinitely cold, infinitely fast.
    let at = |corner: Corner, power_w: f64| {
        let load = Load { power_w, set_v: corner.set_v };
        let warmest = warmest_air(&corner.converter, &load, &corner.air, &corner.limits).ok().flatten();
        let slowest = slowest_air(&corner.converter, &load, &corner.air, &corner.limits).ok().flatten();
        (warmest.unwrap_or(f64::NEG_INFINITY), slowest.unwrap_or(f64::INFINITY))
    };
    let bad = readings.weak().map(|corner| at(corner, power.high().si()));
    let good = readings.strong().map(|corner| at(corner, power.low().si()));
    let needed = |(warmest, slowest): (f64, f64)| AirNeeded {
        warmest: warmest.is_finite().then(|| Quantity::from_si(warmest + KELVIN)),
        slowest: slowest.is_finite().then(|| Quantity::from_si(slowest)),
    };
    (
        needed(bad.fold((f64::INFINITY, 0.0), |(warm, slow), (w, s)| (warm.min(w), slow.max(s)))),
        needed(
            good.fold((f64::NEG_INFINITY, f64::INFINITY), |(warm, slow), (w, s)| (warm.max(w), slow.min(s))),
        ),
    )
}

fn hold(proposal: &Proposal<'_>, outputs: Figure<PowerDim>) -> Figure<DurationDim> {
    let supply = proposal.supply();
    let given = supply.hold_time.or(between(HOLD_S, HOLD_S));
    let left = if proposal.changes.supply.is_some() { (1.0, 1.0) } else { CAPACITANCE_LEFT };
    given.with(supply.rated_power, |given, rated| (given, rated)).with(outputs, |(given, rated), load| {
        let at =
            |given: f64, rated: f64, load: f64, left: f64| hold_s(given, rated, load, left).unwrap_or(0.0);
        Interval::between(
            Quantity::from_si(at(given.low().si(), rated.low().si(), load.high().si(), left.0)),
            Quantity::from_si(at(given.high().si(), rated.high().si(), load.low().si(), left.1)),
        )
    })
}

/// Energy of the machine-to-be by the day's tasks.
fn day(proposal: &Proposal<'_>) -> Energy {
    let tasks = &proposal.now.workload.tasks;
    let widths = widths(tasks);
    let now = Proposal { changes: Changes::default(), ..*proposal };
    let speeds = |of: &Proposal<'_>| speeds(of, point(of).clock, &widths);
    let gain = gain(&speeds(&now), &speeds(proposal), &proposal.changes, tasks);
    energy(proposal, gain.busy_after)
}

impl PowerPath {
    /// With the price of a year's energy, where the machine's owner gave one.
    fn priced(mut self, machine: &Machine) -> Self {
        self.yearly_cost =
            machine.setting.energy_price.zip(self.energy.yearly.get()).map(|(price, energy)| {
                let cost = |joules: f64| {
                    let minor = price.minor() as f64 * joules / 3.6e6;
                    // Saturates at the ends of the range, which no year of a desktop computer comes near.
                    Money::from_minor(minor.round() as i64, price.currency())
                };
                (cost(energy.low().si()), cost(energy.high().si()))
            });
        self
    }
}
