//! What a route is judged by.

use quantity::dimension::{DurationDim, EnergyDim, PowerDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

use crate::gain::energy::{WallPower, wall, yearly};
use crate::gain::task::{Speeds, ratios, saved, time_after};
use crate::machine::proposal::{Changes, Proposal};
use crate::machine::workload::{Attended, Task};

/// One task before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct TaskGain {
    /// Task.
    pub name: String,
    /// Time a day now.
    pub before: Figure<DurationDim>,
    /// Time a day after.
    pub after: Figure<DurationDim>,
    /// Time a day saved.
    pub saved: Figure<DurationDim>,
    /// Whether somebody waits for it.
    pub attended: Attended,
}

/// Gain of a machine-to-be over the machine as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Gain {
    /// Task by task.
    pub tasks: Vec<TaskGain>,
    /// Time saved a day in tasks that somebody waits for; unknown if one of them is.
    pub saved_a_day: Figure<DurationDim>,
    /// Time a day that tasks take after.
    pub busy_after: Figure<DurationDim>,
}

/// Gain of a machine-to-be over the machine as it is.
pub fn gain(now: &Speeds, then: &Speeds, changes: &Changes<'_>, tasks: &[Task]) -> Gain {
    let zero = Reading::Known(Interval::exact(Quantity::from_si(0.0)), Origin::Hand);
    let mut gain = Gain { tasks: Vec::with_capacity(tasks.len()), saved_a_day: zero, busy_after: zero };
    for task in tasks {
        let ratios = ratios(now, then, changes, task.widest);
        let estimated = |value| Reading::from_option(value, Origin::Estimated);
        let one = TaskGain {
            name: task.name.clone(),
            before: task.time_a_day,
            after: estimated(time_after(task, &ratios)),
            saved: estimated(saved(task, &ratios)),
            attended: task.attended,
        };
        if task.attended == Attended::Waited {
            gain.saved_a_day = gain.saved_a_day.with(one.saved, |a, b| a + b);
        }
        gain.busy_after = gain.busy_after.with(one.after, |a, b| a + b);
        gain.tasks.push(one);
    }
    gain
}

/// Energy at the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Energy {
    /// Power at work and at rest.
    pub power: WallPower,
    /// Energy of a year; unknown where hours or days are.
    pub yearly: Figure<EnergyDim>,
}

/// Energy of a machine-to-be.
pub fn energy(then: &Proposal<'_>, busy: Figure<DurationDim>) -> Energy {
    let setting = &then.now.setting;
    let power = wall(then, allowed_power(then), setting.mains);
    let yearly = match (busy, setting.days_a_year) {
        (Reading::Known(busy, _), Some(days)) => yearly(&power, busy, setting.hours_on, days),
        _ => Reading::Unknown,
    };
    Energy { power, yearly }
}

/// Objectives of a route in whole numbers; smaller is better for all but the time saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Objectives {
    /// Net cost in minor units of the plan's currency.
    pub cost: i64,
    /// Time saved a day in seconds, middle of its interval, negated.
    pub lost_s: i64,
    /// Energy of a year in watt-hours, middle of its interval; zero where hours or days are unknown.
    pub energy_wh: i64,
    /// Minutes at the bench.
    pub minutes: u32,
    /// Risk points.
    pub risk: u32,
    /// Noise at full speed in tenths of a decibel; zero where noise does not matter.
    pub noise: i64,
}

impl Objectives {
    /// Whether this is at least as good in every objective.
    pub const fn no_worse_than(&self, other: &Self) -> bool {
        self.cost <= other.cost
            && self.lost_s <= other.lost_s
            && self.energy_wh <= other.energy_wh
            && self.minutes <= other.minutes
            && self.risk <= other.risk
            && self.noise <= other.noise
    }

    /// Time saved a day in seconds.
    pub const fn saved_s(&self) -> i64 {
        -self.lost_s
    }
}

/// Power that firmware lets the processor draw for ever: its own limit or the stages', the smaller.
///
/// Slowing down for heat is not counted as a saving, so energy does not depend on the cooler.
pub fn allowed_power(proposal: &Proposal<'_>) -> Figure<PowerDim> {
    proposal.processor().sustained_power
}

/// Noise at full speed of the machine-to-be's cooler in tenths of a decibel; the loudest that the
/// reading allows, and 100 dB where nothing is known, so that an unknown is never the quietest.
pub fn noise(proposal: &Proposal<'_>) -> i64 {
    match &proposal.cooler().fans {
        None => 0,
        Some(fans) => fans.noise.get().map_or(1000, |noise| whole(noise.high().si() * 10.0)),
    }
}

/// A rounded whole number.
fn whole(value: f64) -> i64 {
    // Saturates at the ends of the range, which no objective of a real machine comes near.
    value.round() as i64
}

/// What a search needs of a gain: seconds saved a day that somebody waits for, and the busy time.
///
/// `None` where a reading is missing.
pub fn quick_gain(
    now: &Speeds,
    then: &Speeds,
    changes: &Changes<'_>,
    tasks: &[Task],
) -> Option<(f64, Interval<DurationDim>)> {
    let mut saved_s = 0.0;
    let mut busy = Interval::exact(Quantity::from_si(0.0));
    if !changes.any() {
        // What stays as it is takes as long as it does, however fast that is.
        for task in tasks {
            busy = busy + task.time_a_day.get()?;
        }
        return Some((0.0, busy));
    }
    for task in tasks {
        let ratios = ratios(now, then, changes, task.widest);
        if task.attended == Attended::Waited {
            saved_s += saved(task, &ratios)?.middle().si();
        }
        busy = busy + time_after(task, &ratios)?;
    }
    Some((saved_s, busy))
}

/// Objectives from their pieces, or `None` where hours and days are known but the energy is not.
pub fn objectives(
    now: &Proposal<'_>,
    power: &WallPower,
    gain: (f64, Interval<DurationDim>),
    rest: Rest,
) -> Option<Objectives> {
    let setting = &now.now.setting;
    let energy_wh = match setting.days_a_year.filter(|_| !setting.hours_on.is_unknown()) {
        Some(days) => {
            let energy = yearly(power, gain.1, setting.hours_on, days).get()?;
            whole(energy.middle().si() / 3600.0)
        }
        None => 0,
    };
    Some(Objectives {
        cost: rest.cost,
        lost_s: -whole(gain.0),
        energy_wh,
        minutes: rest.minutes,
        risk: rest.risk,
        noise: rest.noise,
    })
}

/// The objectives that need no computation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rest {
    /// Net cost in minor units.
    pub cost: i64,
    /// Minutes at the bench.
    pub minutes: u32,
    /// Risk points.
    pub risk: u32,
    /// Noise in tenths of a decibel; zero where it does not matter.
    pub noise: i64,
}
