//! Intervals that stand in where nothing was read, each with why it is as wide as it is.

use quantity::dimension::Dimension;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Origin, Reading};

/// An estimated figure between two SI values.
pub fn between<D: Dimension>(low_si: f64, high_si: f64) -> Figure<D> {
    Reading::Known(
        Interval::between(Quantity::from_si(low_si), Quantity::from_si(high_si)),
        Origin::Estimated,
    )
}

/// Product of two intervals of non-negative plain numbers.
pub fn scaled<D: Dimension>(figure: Figure<D>, low: f64, high: f64) -> Figure<D> {
    figure.map(|value| {
        Interval::between(
            Quantity::from_si((value.low().si() * low).min(value.low().si() * high)),
            Quantity::from_si((value.high().si() * high).max(value.high().si() * low)),
        )
    })
}

/// Power of a processor at rest, all of it, in watts.
///
/// # Source
/// common practice, no source.
pub const AT_REST_W: (f64, f64) = (3.0, 15.0);

/// The 12 V output may lie within five per cent of its nominal value.
///
/// # Source
/// ATX12V power supply design guide, table of DC output voltage regulation (+12 VDC, ±5 %); from memory.
pub const RAIL_12V: (f64, f64) = (11.4, 12.6);
