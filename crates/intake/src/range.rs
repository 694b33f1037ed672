//! Ranges within which a figure of a desktop computer lies; outside it is a slip of the pen.
//!
//! # Source
//! common practice, no source: wide enough for every part ever sold, narrow enough for a wrong unit.

/// A closed range in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

impl Span {
    const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Whether a value lies within.
    pub fn holds(self, si: f64) -> bool {
        self.low <= si && si <= self.high
    }
}

/// Power of a processor, a supply, a load.
pub const POWER: Span = Span::new(0.1, 5_000.0);
/// Power that may be nothing: bursts, leakage.
pub const POWER_OR_NONE: Span = Span::new(0.0, 5_000.0);
/// Seconds to decades.
pub const TIME: Span = Span::new(0.0, 3.2e9);
/// A clock.
pub const CLOCK: Span = Span::new(1e6, 2e10);
/// A switching frequency.
pub const SWITCHING: Span = Span::new(1e4, 1e8);
/// A share from nothing to all.
pub const SHARE: Span = Span::new(0.0, 1.0);
/// A ratio of speeds.
pub const SPEED_RATIO: Span = Span::new(0.001, 1_000.0);
/// A junction limit.
pub const JUNCTION: Span = Span::new(313.15, 423.15);
/// A room, or air in a case.
pub const AIR: Span = Span::new(233.15, 353.15);
/// A rise in temperature.
pub const RISE: Span = Span::new(0.0, 200.0);
/// A memory's capacity.
pub const CAPACITY: Span = Span::new(1_048_576.0, 1.8e14);
/// A memory's transfer rate.
pub const RATE: Span = Span::new(1e8, 5e10);
/// A data rate.
pub const DATA_RATE: Span = Span::new(1e6, 1e13);
/// A voltage inside a computer.
pub const VOLTAGE: Span = Span::new(0.1, 60.0);
/// A current of one stage or fan.
pub const CURRENT: Span = Span::new(0.001, 500.0);
/// A length of a part.
pub const LENGTH: Span = Span::new(1e-6, 2.0);
/// An offset to either side.
pub const OFFSET: Span = Span::new(-0.2, 0.2);
/// A force on a lid.
pub const FORCE: Span = Span::new(1.0, 5_000.0);
/// A mass.
pub const MASS: Span = Span::new(0.001, 50.0);
/// A cooler's thermal resistance.
pub const RESISTANCE: Span = Span::new(0.001, 100.0);
/// A fan's speed in radians a second.
pub const FAN_SPEED: Span = Span::new(1.0, 3_000.0);
/// A sound level.
pub const NOISE: Span = Span::new(0.0, 120.0);
/// An air flow.
pub const FLOW: Span = Span::new(1e-6, 10.0);
/// A pressure of a fan.
pub const FAN_PRESSURE: Span = Span::new(0.1, 10_000.0);
/// A paste's yield stress.
pub const YIELD_STRESS: Span = Span::new(0.0, 100_000.0);
/// A paste's viscosity.
pub const VISCOSITY: Span = Span::new(0.001, 100_000.0);
/// A paste's conductivity.
pub const CONDUCTIVITY: Span = Span::new(0.01, 500.0);
/// A tube's volume.
pub const VOLUME: Span = Span::new(1e-11, 1e-3);
/// An inductance.
pub const INDUCTANCE: Span = Span::new(1e-9, 1e-2);
/// A height above sea level.
pub const ALTITUDE: Span = Span::new(-450.0, 9_000.0);
