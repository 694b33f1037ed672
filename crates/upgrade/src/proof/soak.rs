//! Everything that one soak of a machine shows.

use quantity::dimension::Duration;

use crate::proof::diagnose::{Diagnosis, diagnose};
use crate::proof::expected::Expected;
use crate::proof::log::SoakLog;
use crate::proof::path::{NoPath, PathFound, path};
use crate::proof::rows::{Rows, rows};
use crate::proof::settled::{Settled, settled};
use crate::proof::signs_of::signs;
use crate::proof::stretch::{Stretch, main_stretch, stretches};

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

/// Reads a log against what is expected of its machine.
///
/// # Errors
/// The log has no load.
pub fn soak(log: &SoakLog, expected: &Expected) -> Result<SoakRead, NoSoak> {
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
    let share = settled_now
        .fan
        .zip(expected.full_speed.get())
        .map(|(fan, full)| fan.value.si() / full.middle().si().max(1e-9));
    let mut notes = Vec::new();
    let (path, rows) = match rows(log, expected) {
        Ok(rows) => {
            notes.extend(rows.notes.iter().cloned());
            (path(&rows, expected, share), Some(rows))
        }
        Err(error) => (Err(NoPath::Rows(error)), None),
    };
    let signs = signs(log, &stretches, (&settled_now, rest.as_ref()), path.as_ref().ok(), expected);
    let diagnosis = diagnose(signs, path.as_ref().ok(), expected);
    Ok(SoakRead { stretches, main, warmed_until, settled: settled_now, rest, path, diagnosis, rows, notes })
}
