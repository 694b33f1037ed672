//! Efficiency that a supply's certificate promises.

use crate::refusal::{Refusal, not_negative, positive};

/// Levels of the certificate, lowest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Lowest.
    Standard,
    /// Second.
    Bronze,
    /// Third.
    Silver,
    /// Fourth.
    Gold,
    /// Fifth.
    Platinum,
    /// Highest.
    Titanium,
}

/// Columns of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// 115 V, supplies inside a computer.
    Volts115,
    /// 230 V in Europe, supplies inside a computer.
    Volts230Europe,
    /// 230 V, redundant supplies.
    Volts230Redundant,
}

/// Shares of the rated power at which the certificate promises an efficiency.
pub const LOAD_POINTS: [f64; 4] = [0.1, 0.2, 0.5, 1.0];

/// Least efficiency at [`LOAD_POINTS`]; none where the certificate says nothing.
///
/// # Source
/// The certification programme's table of efficiency levels, read in a secondary source (a review
/// article's reproduction). Some cells are not in it: they are none.
pub const fn table(level: Level, column: Column) -> [Option<f64>; 4] {
    use Column::{Volts115, Volts230Europe, Volts230Redundant};
    use Level::{Bronze, Gold, Platinum, Silver, Standard, Titanium};
    match (column, level) {
        (Volts115, Standard) => [None, Some(0.80), Some(0.80), Some(0.80)],
        (Volts115, Bronze) => [None, Some(0.82), Some(0.85), Some(0.82)],
        (Volts115, Silver) => [None, Some(0.85), Some(0.88), Some(0.85)],
        (Volts115, Gold) => [None, Some(0.87), Some(0.90), Some(0.87)],
        (Volts115, Platinum) => [None, Some(0.90), Some(0.92), Some(0.89)],
        (Volts115, Titanium) => [Some(0.90), Some(0.92), Some(0.94), Some(0.90)],
        (Volts230Europe, Standard) => [None, Some(0.82), Some(0.85), Some(0.82)],
        (Volts230Europe, Bronze) => [None, Some(0.85), Some(0.88), Some(0.85)],
        (Volts230Europe, Silver) => [None, Some(0.87), Some(0.90), Some(0.87)],
        (Volts230Europe, Gold) => [None, Some(0.90), Some(0.92), Some(0.89)],
        (Volts230Europe, Platinum) => [None, Some(0.92), Some(0.94), Some(0.90)],
        (Volts230Europe, Titanium) => [Some(0.90), Some(0.94), Some(0.96), Some(0.94)],
        (Volts230Redundant, Standard) => [None; 4],
        (Volts230Redundant, Bronze) => [None, Some(0.81), Some(0.85), Some(0.81)],
        (Volts230Redundant, Silver) => [None, Some(0.85), Some(0.89), Some(0.85)],
        (Volts230Redundant, Gold) => [None, Some(0.88), Some(0.92), Some(0.88)],
        (Volts230Redundant, Platinum) => [None, Some(0.90), Some(0.94), Some(0.91)],
        (Volts230Redundant, Titanium) => [Some(0.90), Some(0.94), Some(0.96), Some(0.91)],
    }
}

/// Least efficiency at a load, linear between the points; none outside what is promised.
///
/// # Errors
/// A rating that is not above zero, or a load below zero.
pub fn least_efficiency(
    level: Level,
    column: Column,
    rated_w: f64,
    load_w: f64,
) -> Result<Option<f64>, Refusal> {
    positive("rated power", rated_w)?;
    not_negative("load", load_w)?;
    let share = load_w / rated_w;
    let promised = table(level, column);
    let points =
        LOAD_POINTS.iter().zip(promised).filter_map(|(load, least)| least.map(|least| (*load, least)));
    let mut below: Option<(f64, f64)> = None;
    for (load, least) in points {
        if share == load {
            return Ok(Some(least));
        }
        if let Some((low, low_least)) = below
            && low < share
            && share < load
        {
            return Ok(Some(low_least + (least - low_least) * (share - low) / (load - low)));
        }
        below = Some((load, least));
    }
    Ok(None)
}
