//! A processor's sensor that stands still while the power does not.

use core::ops::Range;

use quantity::dimension::{Duration, DurationDim, Power, PowerDim, TemperatureDim};
use quantity::measure::Quantity;

use crate::proof::log::SoakLog;

/// Fewest rows, and seconds, for which a reading has stood still before it is doubted.
const LEAST_ROWS: usize = 20;
const LEAST_S: f64 = 10.0;
/// Watts between the tenth of the rows with the least power and the tenth with the most, from which on a reading
/// had to move: a processor's path takes 0.1 K/W and more, so these are two whole kelvins.
///
/// # Source
/// common practice, no source.
const MOVED_W: f64 = 20.0;

/// Rows in which a reading stood still although it had to move.
#[derive(Debug, Clone, PartialEq)]
pub struct Still {
    /// The rows.
    pub rows: Range<usize>,
    /// How long they last.
    pub time: Quantity<DurationDim>,
    /// How far the power moved meanwhile.
    pub moved: Quantity<PowerDim>,
}

/// The first rows in which a temperature stood still while the power moved; none where it lived.
///
/// A sensor that shows nothing below some temperature looks the same, and tells as little there.
pub fn still(
    times: &[Duration],
    temperatures: &[Option<Quantity<TemperatureDim>>],
    powers: &[Option<Power>],
) -> Option<Still> {
    let mut from = 0;
    temperatures.chunk_by(|one, next| one.is_some() && one == next).find_map(|run| {
        let rows = from..from + run.len();
        from = rows.end;
        let time = *times.get(rows.end - 1)? - *times.get(rows.start)?;
        if run.len() < LEAST_ROWS || time.si() < LEAST_S {
            return None;
        }
        let mut known: Vec<f64> =
            powers.get(rows.clone())?.iter().flatten().map(|power| power.si()).collect();
        known.sort_by(f64::total_cmp);
        let tenth = known.len() / 10;
        let moved = known.iter().rev().nth(tenth)? - known.get(tenth)?;
        (moved >= MOVED_W).then(|| Still { rows, time, moved: Quantity::from_si(moved) })
    })
}

/// A processor's temperature without the rows in which it stood still although it had to move; all of it where
/// the log has no power.
pub fn living(
    log: &SoakLog,
    temperatures: &[Option<Quantity<TemperatureDim>>],
) -> Vec<Option<Quantity<TemperatureDim>>> {
    let mut out = temperatures.to_vec();
    while let Some(found) = log.power().and_then(|power| still(&log.times, &out, power)) {
        out.get_mut(found.rows).unwrap_or_default().fill(None);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::still;
    use quantity::measure::Quantity;

    fn found(
        kelvins: impl Fn(usize) -> f64,
        watts: impl Fn(usize) -> f64,
    ) -> Option<core::ops::Range<usize>> {
        let times: Vec<_> = (0..100).map(|row| Quantity::from_si(row as f64)).collect();
        let temperatures: Vec<_> = (0..100).map(|row| Some(Quantity::from_si(kelvins(row)))).collect();
        let powers: Vec<_> = (0..100).map(|row| Some(Quantity::from_si(watts(row)))).collect();
        still(&times, &temperatures, &powers).map(|still| still.rows)
    }

    #[test]
    fn only_a_reading_that_had_to_move_is_doubted() {
        let step = |row: usize| if row < 40 { 5.0 } else { 65.0 };
        assert_eq!(found(|_| 300.0, step), Some(0..100), "frozen throughout");
        assert_eq!(found(|row| if row < 30 { 299.0 - (row % 2) as f64 } else { 300.0 }, step), Some(30..100));
        assert_eq!(found(|row| if row < 40 { 300.0 } else { 330.0 }, step), None, "it answers");
        assert_eq!(found(|_| 300.0, |row| 60.0 + (row % 5) as f64), None, "steady load");
        assert_eq!(found(|_| 300.0, |row| if row == 50 { 90.0 } else { 5.0 }), None, "one blink of power");
    }
}
