//! Stretches of a log: rows in a row under one load, and the one that counts.

use core::ops::Range;

use crate::proof::log::{Share, SoakLog, Track};

/// Rows under one load.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stretch {
    /// Name of the load; none for rest.
    pub load: Option<String>,
    /// Its rows.
    pub rows: Range<usize>,
}

/// A power above this share of the log's range is a load where the log does not name loads.
const LOAD_SHARE: f64 = 0.3;
/// Above this share it is the full load.
const FULL_SHARE: f64 = 0.8;
/// So many rows in a row make a stretch.
const LEAST_ROWS: usize = 3;
/// A stretch that keeps less than this share of the highest mean power is a light load.
pub const LIGHT_SHARE: f64 = 0.6;

/// What a log calls rows in which the load rests for seconds, to see whether a sensor that stands still lives. They belong to the load
/// they interrupt.
const DIP: &str = "dip";
/// So long after a dip, in seconds, temperatures and clocks are not yet what they were.
///
/// # Source
/// common practice, no source: some times what die and lid take to settle.
const RECOVERS_S: f64 = 15.0;

/// The rows of a log that are neither in a dip nor just behind one, of those given.
pub fn outside_dips(log: &SoakLog, rows: &Range<usize>) -> Vec<usize> {
    let dips = |row: usize| {
        let name = log.loads.get(row).copied().flatten();
        name.and_then(|name| log.load_names.get(usize::from(name))).is_some_and(|name| name == DIP)
    };
    let seconds = |row: usize| log.times.get(row).map_or(0.0, |time| time.si());
    let mut dipped_s = f64::NEG_INFINITY;
    rows.clone()
        .filter(|row| {
            if dips(*row) {
                dipped_s = seconds(*row);
            }
            seconds(*row) - dipped_s > RECOVERS_S
        })
        .collect()
}

/// What each row is called by its power, where the log names no loads.
fn by_power(log: &SoakLog) -> Vec<Option<String>> {
    let busy = Track::of(&log.shares, &Share::Busy);
    let value = |row: usize| {
        let power = log.power().and_then(|power| power.get(row).copied().flatten()).map(|power| power.si());
        power.or_else(|| busy.and_then(|busy| busy.get(row).copied().flatten()).map(|busy| busy.si()))
    };
    let values: Vec<Option<f64>> = (0..log.times.len()).map(value).collect();
    let known = || values.iter().flatten().copied();
    let (low, high) = (known().fold(f64::INFINITY, f64::min), known().fold(f64::NEG_INFINITY, f64::max));
    let mut last = None;
    values
        .into_iter()
        .map(|value| {
            let share = value.filter(|_| high > low).map(|value| (value - low) / (high - low));
            // A row without a value is like the one before it.
            if let Some(share) = share {
                last = match share {
                    share if share > FULL_SHARE => Some("full load".to_owned()),
                    share if share > LOAD_SHARE => Some("part load".to_owned()),
                    _ => None,
                };
            }
            last.clone()
        })
        .collect()
}

/// The log's stretches in their order; those of a few rows are passed over.
pub fn stretches(log: &SoakLog) -> Vec<Stretch> {
    let named = log.loads.iter().any(Option::is_some);
    let names: Vec<Option<String>> = if named {
        let mut last: Option<String> = None;
        log.loads
            .iter()
            .map(|load| {
                let name = load.and_then(|load| log.load_names.get(usize::from(load)));
                if name.is_none_or(|name| name != DIP) {
                    last = name.filter(|name| *name != "rest").cloned();
                }
                last.clone()
            })
            .collect()
    } else {
        by_power(log)
    };
    let mut out: Vec<Stretch> = Vec::new();
    let mut from = 0;
    for row in 1..=names.len() {
        if row == names.len() || names.get(row) != names.get(from) {
            if row - from >= LEAST_ROWS {
                let load = names.get(from).cloned().flatten();
                match out.last_mut() {
                    // A flicker of a row or two does not end a stretch.
                    Some(last) if last.load == load && from - last.rows.end < LEAST_ROWS => {
                        last.rows.end = row
                    }
                    _ => out.push(Stretch { load, rows: from..row }),
                }
            }
            from = row;
        }
    }
    out
}

/// Mean power of some rows in watts, else the mean share that the cores were busy.
fn effort(log: &SoakLog, rows: &Range<usize>) -> f64 {
    let mean =
        |values: Vec<f64>| (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64);
    let power = log
        .power()
        .and_then(|power| mean(power.get(rows.clone())?.iter().flatten().map(|power| power.si()).collect()));
    power
        .or_else(|| {
            let busy = Track::of(&log.shares, &Share::Busy)?;
            mean(busy.get(rows.clone())?.iter().flatten().map(|busy| busy.si()).collect())
        })
        .unwrap_or(0.0)
}

/// The stretch that counts: among those that keep at least half the highest power, the one that took most energy. A load
/// that a limit holds down takes less power than a short one before the limit came.
pub fn main_stretch<'s>(log: &SoakLog, stretches: &'s [Stretch]) -> Option<&'s Stretch> {
    let loads = || stretches.iter().filter(|stretch| stretch.load.is_some());
    let highest = loads().map(|stretch| effort(log, &stretch.rows)).fold(0.0, f64::max);
    let energy = |stretch: &Stretch| {
        let at = |row: usize| log.times.get(row).map_or(0.0, |time| time.si());
        effort(log, &stretch.rows) * (at(stretch.rows.end.saturating_sub(1)) - at(stretch.rows.start))
    };
    loads()
        .filter(|stretch| effort(log, &stretch.rows) >= 0.5 * highest)
        .max_by(|one, other| energy(one).total_cmp(&energy(other)))
}

/// Whether a stretch is a light load or rest, beside the highest of the log.
pub fn is_light(log: &SoakLog, stretches: &[Stretch], stretch: &Stretch) -> bool {
    let highest = stretches.iter().map(|other| effort(log, &other.rows)).fold(0.0, f64::max);
    effort(log, &stretch.rows) < LIGHT_SHARE * highest
}
