//! How fast a processor works through serial and through parallel work.

use physics::scaling::universal::capacity;
use quantity::dimension::{FrequencyDim, RatioDim};
use quantity::interval::Interval;
use quantity::reading::{Figure, Reading};

use crate::carry::assumption::between;
use crate::part::processor::{CoreGroup, Processor};

/// One end of everything that is uncertain about a processor's speed.
///
/// Speed rises with index, clock and second-thread gain and falls with contention and coherency,
/// so the slowest and the fastest processor the readings allow are these two corners.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corner {
    /// Slowest that the readings allow.
    Slow,
    /// Fastest that the readings allow.
    Fast,
}

impl Corner {
    /// The end of an interval that belongs to this corner for a figure that speeds up.
    pub fn of<D>(self, interval: Interval<D>) -> f64 {
        match self {
            Self::Slow => interval.low().si(),
            Self::Fast => interval.high().si(),
        }
    }

    /// The end of an interval that belongs to this corner for a figure that slows down.
    pub fn against<D>(self, interval: Interval<D>) -> f64 {
        match self {
            Self::Slow => interval.high().si(),
            Self::Fast => interval.low().si(),
        }
    }
}

/// Share of work that waits its turn where nothing is known of the processor.
///
/// # Source
/// common practice, no source; between the two published fits of N. J. Gunther, Guerrilla Capacity
/// Planning, 2007 (0.028 and 0.058) and none.
fn contention(processor: &Processor) -> Figure<RatioDim> {
    processor.scaling.contention.or(between(0.0, 0.058))
}

/// Coherency cost where nothing is known of the processor; same source.
fn coherency(processor: &Processor) -> Figure<RatioDim> {
    processor.scaling.coherency.or(between(0.0, 0.0002))
}

/// Speed-up of a core by its second thread where nothing is known.
///
/// # Source
/// common practice, no source.
fn second_thread_gain(processor: &Processor) -> Figure<RatioDim> {
    processor.scaling.second_thread_gain.or(between(0.10, 0.35))
}

/// Speed of one core alone; 1 is the library's reference core. Unknown where no index is known.
pub fn serial(processor: &Processor, corner: Corner) -> Option<f64> {
    let speeds = processor.cores.iter().filter_map(|group| group.index.get()).map(|index| corner.of(index));
    speeds.reduce(f64::max)
}

/// Speed of all cores together on work as wide as `widest` threads; 1 is one reference core.
///
/// # Model
/// Every core runs at its index scaled from its boost clock to the clock it holds under sustained
/// load; faster cores are filled first; threads beyond the cores bring the second-thread gain;
/// the sum over n workers is scaled by the Universal Scalability Law's efficiency C(n)/n.
/// Left out: cores of different kinds waiting for each other at barriers.
///
/// # Source
/// N. J. Gunther, Guerrilla Capacity Planning, Springer 2007, ch. 4.
pub fn parallel(
    processor: &Processor,
    sustained: Figure<FrequencyDim>,
    widest: Option<u32>,
    corner: Corner,
) -> Option<f64> {
    let clock = sustained.get().map(|clock| corner.of(clock))?;
    let base = processor.cores.first()?.base_clock.get().map(|clock| corner.of(clock))?;
    let mut groups: Vec<(f64, &CoreGroup)> = Vec::with_capacity(processor.cores.len());
    for group in &processor.cores {
        let boost = group.boost_clock.get().map(|clock| corner.against(clock))?;
        let own_base = group.base_clock.get().map(|clock| corner.of(clock))?;
        let held = (own_base * clock / base).min(boost);
        groups.push((corner.of(group.index.get()?) * held / boost, group));
    }
    groups.sort_by(|a, b| b.0.total_cmp(&a.0));
    let gain = second_thread_gain(processor).get().map_or(0.0, |gain| corner.of(gain));
    let mut workers_left = widest.unwrap_or(u32::MAX);
    let mut workers = 0_u32;
    let mut speed = 0.0;
    for (core_speed, group) in &groups {
        let cores = group.count.min(workers_left);
        workers_left -= cores;
        workers += cores;
        speed += f64::from(cores) * core_speed;
    }
    for (core_speed, group) in &groups {
        let seconds = (group.count * group.threads_per_core.saturating_sub(1)).min(workers_left);
        workers_left -= seconds;
        speed += f64::from(seconds) * core_speed * gain;
    }
    let sigma = contention(processor).get().map_or(0.0, |share| corner.against(share));
    let kappa = coherency(processor).get().map_or(0.0, |share| corner.against(share));
    Some(speed * efficiency(workers, sigma, kappa)?)
}

/// Relative capacity of n workers over n, by the Universal Scalability Law.
fn efficiency(workers: u32, contention: f64, coherency: f64) -> Option<f64> {
    let n = f64::from(workers.max(1));
    capacity(contention, coherency, n).ok().map(|capacity| capacity / n)
}

/// Both corners of a speed as an interval, or unknown.
pub fn both(speed: impl Fn(Corner) -> Option<f64>) -> Option<(f64, f64)> {
    Some((speed(Corner::Slow)?, speed(Corner::Fast)?))
}

/// Clock that all cores hold where no operating point can be computed: between base and boost.
pub fn clock_without_point(processor: &Processor) -> Figure<FrequencyDim> {
    let Some(first) = processor.cores.first() else { return Reading::Unknown };
    first.base_clock.with(first.boost_clock, |base, boost| Interval::between(base.low(), boost.high()))
}
