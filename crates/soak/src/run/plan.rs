//! What a run shall be, and whether it may be at all.

use std::time::Duration;

use crate::guard::Watched;
use crate::run::worker::Core;
use crate::schedule::Schedule;
use crate::sensors::limit::{Limit, TooHigh, limit};
use crate::sensors::sampler::Sampler;
use crate::width::Width;

/// Longest run.
pub const LONGEST: Duration = Duration::from_secs(24 * 3600);
/// Longest run without a sensor.
pub const LONGEST_BLIND: Duration = Duration::from_secs(300);
/// Most rows a second.
pub const MOST_ROWS_HZ: f64 = 100.0;

/// A bit that is flipped on purpose, to see that it is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trial {
    /// Place of the worker.
    pub worker: usize,
    /// Which bit.
    pub bit: u32,
}

/// What a run shall be.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What runs when.
    pub schedule: Schedule,
    /// Cores that work.
    pub cores: Vec<Core>,
    /// Rows a second.
    pub rows_hz: f64,
    /// Width of registers.
    pub width: Width,
    /// Memory of each worker, in bytes.
    pub memory: usize,
    /// The core's own cache, in bytes.
    pub cache: usize,
    /// Under a steady load sensors that have stood still for so many seconds are asked by a dip: [`crate::dip::STILL_S`].
    pub still_s: f64,
    /// A bit to flip one second into the load.
    pub trial: Option<Trial>,
}

/// Whether a run rests on sensors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watch {
    /// It must.
    Sensors,
    /// A person said that it may go without.
    Blind,
}

/// Seconds as people say them.
fn minutes(seconds: f64) -> String {
    if seconds < 120.0 {
        format!("{seconds:.0} s")
    } else if seconds < 7200.0 {
        format!("{:.0} min", seconds / 60.0)
    } else {
        format!("{:.0} h", seconds / 3600.0)
    }
}

/// Why a run is refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// No sensor of the processor.
    #[error(
        "no temperature sensor of the processor can be read here, so nothing would stop a run that gets too hot"
    )]
    NoSensor,
    /// Too long.
    #[error(
        "a run of {} with its rests is too long: at most {}{}", minutes(*wanted_s), minutes(*most_s as f64),
        if *most_s == LONGEST_BLIND.as_secs() { " where nothing watches the heat" } else { "" }
    )]
    TooLong {
        /// What was asked for.
        wanted_s: f64,
        /// The most.
        most_s: u64,
    },
    /// A rate that cannot be.
    #[error("{wanted} rows a second cannot be had: give 0.1 to {MOST_ROWS_HZ}")]
    Rate {
        /// What was asked for.
        wanted: f64,
    },
    /// No core.
    #[error("no core is left to work on")]
    NoCore,
    /// A limit that is too high.
    #[error(transparent)]
    Limit(#[from] TooHigh),
}

/// The sensors that a run rests on, each with its limit and what that rests on.
///
/// # Errors
/// There is none and nobody said that it may go without; a given limit is too high.
pub fn watched(
    sampler: &Sampler,
    given: Option<f64>,
    watch: Watch,
) -> Result<Vec<(Watched, Limit)>, Refused> {
    let own = sampler.thermometers().iter().filter(|one| one.of_processor);
    let found: Vec<(Watched, Limit)> = own
        .map(|one| {
            let limit = limit(one.critical, one.highest, given)?;
            let heading = one.heading.clone();
            Ok((Watched { heading, column: one.column, limit: limit.celsius }, limit))
        })
        .collect::<Result<_, TooHigh>>()?;
    if found.is_empty() && watch == Watch::Sensors { Err(Refused::NoSensor) } else { Ok(found) }
}

impl Plan {
    /// Whether the run may be.
    ///
    /// # Errors
    /// It is too long, too fast, or has no core.
    pub fn checked(&self, watched: usize) -> Result<(), Refused> {
        let most = if watched == 0 { LONGEST_BLIND } else { LONGEST };
        let wanted_s = self.schedule.length_s();
        if wanted_s.is_nan() || wanted_s > most.as_secs_f64() {
            return Err(Refused::TooLong { wanted_s, most_s: most.as_secs() });
        }
        if !(0.1..=MOST_ROWS_HZ).contains(&self.rows_hz) {
            return Err(Refused::Rate { wanted: self.rows_hz });
        }
        if self.cores.is_empty() { Err(Refused::NoCore) } else { Ok(()) }
    }
}
