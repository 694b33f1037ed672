//! Everything that one soak of a machine shows.

use quantity::dimension::Duration;

use crate::proof::case_air::{by_open_side, by_thermometer};
use crate::proof::diagnose::{Diagnosis, diagnose};
use crate::proof::expected::Expected;
use crate::proof::log::SoakLog;
use crate::proof::path::{NoPath, PathFound, path};
use crate::proof::rows::{Rows, rows};
use crate::proof::settled::{Settled, settled};
use crate::proof::signs_of::signs;
use crate::proof::stretch::{Stretch, is_light, main_stretch, stretches};

/// A soak that was read against its machine.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakRead {
    /// Stretches of the log.
    pub stretches: Vec<Stretch>,
    /// The one that counts.
    pub main: Stretch,
    /// When it ended, where it was the first load after the rest: until then the machine only warmed.
    pub warmed_until: Option<Duration>,
    /// What settled at its end.
    pub settled: Settled,
    /// What had settled at rest before it.
    pub rest: Option<Settled>,
    /// The heat path, or why there is none.
    pub path: Result<PathFound, NoPath>,
    /// What is wrong.
    pub diagnosis: Diagnosis,
    /// The rows from which it was found.
    pub rows: Option<Rows>,
    /// What was left out, and why.
    pub notes: Vec<String>,
}

/// Why a log shows nothing at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoSoak {
    /// There is no load in it.
    #[error(
        "the log has no load: nothing in it says when the processor worked; log \"power W\", \"busy %\" or \"load\""
    )]
    NoLoad,
}

/// The path in a log with the side of the case open, and the share of its full speed that the fan had.
fn opened(log: &SoakLog, expected: &Expected) -> Result<(PathFound, Option<f64>), String> {
    let read = soak(log, expected, None).map_err(|error| error.to_string())?;
    let share = fan_share(&read.settled, expected);
    match read.path {
        Ok(path) if path.air_measured => {
            Err("it has the air in the case as a column; leave that out, or use it alone".to_owned())
        }
        Ok(path) => Ok((path, share)),
        Err(error) => {
            Err(core::error::Error::source(&error).map_or_else(|| error.to_string(), ToString::to_string))
        }
    }
}

/// Share of its full speed that the cooler's fan had at the end of the load.
fn fan_share(settled: &Settled, expected: &Expected) -> Option<f64> {
    settled
        .fan
        .zip(expected.full_speed.get())
        .map(|(fan, full)| fan.value.si() / full.middle().si().max(1e-9))
}

/// Reads a log against what is expected of its machine.
///
/// `open` is a log of the same soak with the side of the case open, where there is one: it tells the cooler from the air in the case.
///
/// # Errors
/// The log has no load.
pub fn soak(log: &SoakLog, expected: &Expected, open: Option<&SoakLog>) -> Result<SoakRead, NoSoak> {
    let stretches = stretches(log);
    let main = main_stretch(log, &stretches).cloned().ok_or(NoSoak::NoLoad)?;
    let settled_now = settled(log, &main.rows);
    let is_first = !stretches.iter().any(|one| one.load.is_some() && one.rows.end <= main.rows.start);
    let warmed_until = log.times.get(main.rows.end.saturating_sub(1)).copied().filter(|_| is_first);
    let rest = stretches
        .iter()
        .filter(|stretch| stretch.load.is_none() && stretch.rows.end <= main.rows.start)
        .max_by_key(|stretch| stretch.rows.len())
        .map(|stretch| settled(log, &stretch.rows));
    let share = fan_share(&settled_now, expected);
    let mut notes = Vec::new();
    let until = stretches
        .iter()
        .find(|one| one.rows.start >= main.rows.end && one.load.is_some() && is_light(log, &stretches, one))
        .map_or(log.times.len(), |one| one.rows.start);
    let (path, rows) = match rows(log, until, expected) {
        Ok(rows) => {
            notes.extend(rows.notes.iter().cloned());
            let thermometer = by_thermometer(log, &settled_now);
            let mut found = path(&rows, expected, share, thermometer.as_ref());
            notes.extend(thermometer.map(|told| told.words));
            if let (Ok(closed), Some(open)) = (&found, open) {
                match opened(open, expected) {
                    _ if closed.air_measured => {
                        notes.push("the log has the air in the case itself, so the one with the side open adds nothing".to_owned());
                    }
                    Ok((path_open, share_open)) => {
                        let told = by_open_side((closed, share), (&path_open, share_open), expected);
                        found = path(&rows, expected, share, Some(&told));
                        notes.push(told.words);
                    }
                    Err(why) => notes.push(format!("the log with the side open tells nothing: {why}")),
                }
            }
            (found, Some(rows))
        }
        Err(error) => (Err(NoPath::Rows(error)), None),
    };
    let signs = signs(log, &stretches, (&settled_now, rest.as_ref()), path.as_ref().ok(), expected);
    let diagnosis = diagnose(signs, path.as_ref().ok(), expected);
    Ok(SoakRead { stretches, main, warmed_until, settled: settled_now, rest, path, diagnosis, rows, notes })
}
