//! The time one task takes after a change.

use quantity::dimension::{DurationDim, FrequencyDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::Figure;

use crate::gain::memory::bandwidth;
use crate::gain::speed::{both, parallel, serial};
use crate::machine::proposal::{Changes, Proposal};
use crate::machine::workload::Task;
use crate::part::processor::Processor;

/// How much faster each kind of work becomes: new speed over old, smallest and largest.
///
/// `None` where a reading is missing that it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratios {
    /// Work of one core.
    pub serial: Option<(f64, f64)>,
    /// Work of all cores.
    pub parallel: Option<(f64, f64)>,
    /// Waiting for memory.
    pub memory: Option<(f64, f64)>,
}

/// A speed, slowest and fastest, for a width of task; 1 is one reference core.
pub type WidthSpeed = (Option<u32>, Option<(f64, f64)>);

/// Speeds of one machine, slowest and fastest that its readings allow.
#[derive(Debug, Clone, PartialEq)]
pub struct Speeds {
    /// One core.
    pub serial: Option<(f64, f64)>,
    /// All cores, for each width of task that occurs.
    pub parallel: Vec<WidthSpeed>,
    /// Memory.
    pub memory: Option<(f64, f64)>,
    /// Clock that all cores hold.
    pub clock: Figure<FrequencyDim>,
}

/// The widths of tasks that occur, each once.
pub fn widths(tasks: &[Task]) -> Vec<Option<u32>> {
    let mut widths: Vec<Option<u32>> = tasks.iter().map(|task| task.widest).collect();
    widths.sort_unstable();
    widths.dedup();
    widths
}

/// Speeds of all cores at a clock.
pub fn parallel_speeds(
    processor: &Processor,
    clock: Figure<FrequencyDim>,
    widths: &[Option<u32>],
) -> Vec<WidthSpeed> {
    let speed = |width: Option<u32>| both(|corner| parallel(processor, clock, width, corner));
    widths.iter().map(|width| (*width, speed(*width))).collect()
}

/// Speeds of a machine whose cores hold `clock`.
pub fn speeds(proposal: &Proposal<'_>, clock: Figure<FrequencyDim>, widths: &[Option<u32>]) -> Speeds {
    let processor = proposal.processor();
    Speeds {
        serial: both(|corner| serial(processor, corner)),
        parallel: parallel_speeds(processor, clock, widths),
        memory: both(|corner| bandwidth(proposal, corner)),
        clock,
    }
}

fn over(after: Option<(f64, f64)>, before: Option<(f64, f64)>) -> Option<(f64, f64)> {
    let (after, before) = (after?, before?);
    (before.0 > 0.0 && after.0 > 0.0).then(|| (after.0 / before.1, after.1 / before.0))
}

/// Ratios for one width of task.
///
/// # Model
/// Old and new processor are uncertain independently, except where the processor stays: its index
/// is then the same number before and after and drops out, only the clock counts.
pub fn ratios(now: &Speeds, then: &Speeds, changes: &Changes<'_>, widest: Option<u32>) -> Ratios {
    let memory = if changes.processor.is_none() && changes.memory.is_none() && changes.board.is_none() {
        Some((1.0, 1.0))
    } else {
        over(then.memory, now.memory)
    };
    if changes.processor.is_none() {
        let clock = then.clock.get().zip(now.clock.get()).map(|(after, before)| {
            // The same part in the same room: both clocks move together, end with end.
            let ends = [after.low() / before.low(), after.high() / before.high()];
            (ends[0].min(ends[1]), ends[0].max(ends[1]))
        });
        return Ratios { serial: Some((1.0, 1.0)), parallel: clock, memory };
    }
    let of = |speeds: &Speeds| {
        speeds.parallel.iter().find(|(width, _)| *width == widest).and_then(|(_, speed)| *speed)
    };
    Ratios { serial: over(then.serial, now.serial), parallel: over(of(then), of(now)), memory }
}

/// Time of the task in the machine-to-be.
///
/// # Model
/// Each share of the present time is divided by the ratio of its own speed (Amdahl's argument with
/// four kinds of work); the share that waits elsewhere stays. A share that is zero needs no ratio.
///
/// # Source
/// G. M. Amdahl, AFIPS Spring Joint Computer Conference 30, 483-485, 1967.
pub fn time_after(task: &Task, ratios: &Ratios) -> Option<Interval<DurationDim>> {
    let time = task.time_a_day.get()?;
    let mut factor = (0.0, 0.0);
    let parts = [
        (task.serial, ratios.serial),
        (task.parallel, ratios.parallel),
        (task.memory, ratios.memory),
        (task.elsewhere, Some((1.0, 1.0))),
    ];
    for (share, ratio) in parts {
        let share = share.get()?;
        if share.high().si() <= 0.0 {
            continue;
        }
        let (slowest, fastest) = ratio?;
        factor.0 += share.low().si() / fastest;
        factor.1 += share.high().si() / slowest;
    }
    Interval::new(
        Quantity::from_si(time.low().si() * factor.0),
        Quantity::from_si(time.high().si() * factor.1),
    )
}

/// Time saved, worst and best; the present time's own uncertainty is common to both sides.
pub fn saved(task: &Task, ratios: &Ratios) -> Option<Interval<DurationDim>> {
    let time = task.time_a_day.get()?;
    let one = Task {
        time_a_day: task
            .time_a_day
            .map(|time| Interval::exact(Quantity::from_si(time.middle().si().max(1e-9)))),
        ..task.clone()
    };
    let after = time_after(&one, ratios)?;
    let middle = time.middle().si().max(1e-9);
    let shares = (1.0 - after.high().si() / middle, 1.0 - after.low().si() / middle);
    let ends = [
        time.low().si() * shares.0,
        time.high().si() * shares.0,
        time.low().si() * shares.1,
        time.high().si() * shares.1,
    ];
    let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Interval::new(Quantity::from_si(low), Quantity::from_si(high))
}
