//! From a log's columns to its tracks, with a look at what no single row shows.

use core::ops::Range;

use quantity::dimension::Power;
use quantity::measure::Quantity;
use quantity::text::significant;
use upgrade::proof::log::{About, Meter, Place, Share, SoakLog, Track};
use upgrade::proof::still::still;

use crate::problem::{Problems, Severity};
use crate::soak_log::heading::Kind;
use crate::soak_log::table::Table;

/// A pause this many times the usual step, and at least so long in seconds, is a gap.
const GAP_STEPS: f64 = 5.0;
const LEAST_GAP_S: f64 = 1.0;
/// A sensor that never moves while another one moved by so many kelvin is doubted, if it had so many rows.
const OTHERS_MOVED_K: f64 = 8.0;
const ROWS_TO_DOUBT: usize = 20;

fn typed<D>(values: &[Option<f64>]) -> Vec<Option<Quantity<D>>> {
    values.iter().map(|value| value.map(Quantity::from_si)).collect()
}

/// The log out of its table.
pub(super) fn log(about: About, table: Table, problems: &mut Problems<'_>) -> SoakLog {
    let heading = table.spans.first().cloned().unwrap_or(0..0);
    gaps(&table, problems);
    frozen(&table, &heading, problems);
    let mut log = SoakLog {
        about,
        times: table.times.iter().map(|time| Quantity::from_si(*time)).collect(),
        loads: table.loads,
        load_names: table.load_names,
        unread: table.unread,
        ..SoakLog::default()
    };
    let mut energy = None;
    let mut held_times = Vec::new();
    for (heading, values) in table.columns {
        match heading.kind {
            Kind::Temperature(what) => log.temperatures.push(Track { what, values: typed(&values) }),
            Kind::Power(what) => log.powers.push(Track { what, values: typed(&values) }),
            Kind::Clock(what) => log.clocks.push(Track { what, values: typed(&values) }),
            Kind::Turning(what) => log.turning.push(Track { what, values: typed(&values) }),
            Kind::Share(what) => log.shares.push(Track { what, values: typed(&values) }),
            Kind::Work => log.work_per_s = values,
            Kind::Errors => log.errors = values,
            Kind::HeldTimes(core) => held_times.push((core, values)),
            Kind::Energy => energy = Some(slope(&table.times, &values)),
            Kind::Time | Kind::Load => {}
        }
    }
    counted(&mut log, &held_times, &table.spans, problems);
    if let Some(values) = energy
        && log.power().is_none()
    {
        log.powers.push(Track { what: Meter::Package, values: typed(&values) });
    }
    if log.power().is_none_or(|power| power.iter().all(Option::is_none)) {
        problems.add(
            heading.clone(),
            "power",
            Severity::Warning,
            "the log has no power of the processor: temperatures can be compared, but no resistance found"
                .to_owned(),
            Some("log \"power W\" or \"energy J\"".to_owned()),
        );
    } else if let Some(power) = log.power() {
        holes(power.iter().map(Option::is_none), &table.spans, "power", problems);
    }
    if let Some(power) = log.power() {
        stand_still(&log, power, &table.spans, problems);
    }
    if !log.temperatures.iter().any(|track| matches!(track.what, Place::Package | Place::Core(_))) {
        problems.add(
            heading,
            "package",
            Severity::Warning,
            "no temperature of the processor, neither its package's nor a core's: nothing can be said of its heat path".to_owned(),
            Some("say which column it is by --column OURS=THEIRS, with \"package °C\" as ours".to_owned()),
        );
    }
    log
}

/// Power from a counter of energy: none where the counter fell.
fn slope(times: &[f64], energy: &[Option<f64>]) -> Vec<Option<f64>> {
    let mut out = Vec::with_capacity(times.len());
    let mut last: Option<(f64, f64)> = None;
    for (time, energy) in times.iter().zip(energy) {
        let now = energy.map(|energy| (*time, energy));
        out.push(match (last, now) {
            (Some(last), Some(now)) if now.1 >= last.1 => Some((now.1 - last.1) / (now.0 - last.0)),
            _ => None,
        });
        last = now.or(last);
    }
    // The first row has no row before it; it is as the second.
    if let [first @ None, Some(second), ..] = out.as_mut_slice() {
        *first = Some(*second);
    }
    out
}

fn gaps(table: &Table, problems: &mut Problems<'_>) {
    let steps = || table.times.windows(2).map(|pair| pair[1] - pair[0]);
    let mut sorted: Vec<f64> = steps().collect();
    sorted.sort_by(f64::total_cmp);
    let Some(usual) = sorted.get(sorted.len() / 2).copied() else { return };
    let long = (GAP_STEPS * usual).max(LEAST_GAP_S);
    let found: Vec<(usize, f64)> = steps().enumerate().filter(|(_, step)| *step > long).collect();
    if let Some((row, step)) = found.first() {
        let total: f64 = found.iter().map(|(_, step)| step).sum();
        let more = match found.len() {
            1 => String::new(),
            count => format!(" ({count} gaps, {} s together)", significant(total, 3)),
        };
        let message = format!(
            "a gap of {} s before this row, where {} s are usual{more}; nothing is assumed about it",
            significant(*step, 3),
            significant(usual, 3)
        );
        let span = table.spans.get(row + 1).cloned().unwrap_or(0..0);
        problems.add(span, "time", Severity::Warning, message, None);
    }
}

/// Rows in which something is missing.
fn holes(
    missing: impl Iterator<Item = bool>,
    spans: &[Range<usize>],
    column: &str,
    problems: &mut Problems<'_>,
) {
    let rows: Vec<usize> = missing.enumerate().filter(|(_, is)| *is).map(|(row, _)| row).collect();
    if let Some(first) = rows.first() {
        let message = match rows.len() {
            1 => format!("{column} is missing in this row"),
            count => format!("{column} is missing in {count} rows, this one first"),
        };
        let span = spans.get(*first).cloned().unwrap_or(0..0);
        problems.add(span, column, Severity::Warning, message, None);
    }
}

/// Counts of how often heat held a core down: where none rose, nothing was held by the junction; where one rose, the
/// log does not say for how long.
fn counted(
    log: &mut SoakLog,
    counts: &[(u16, Vec<Option<f64>>)],
    spans: &[Range<usize>],
    problems: &mut Problems<'_>,
) {
    let has_share = log.shares.iter().any(|track| track.what == Share::HeldByJunction);
    let rise = |values: &[Option<f64>]| {
        let known = || values.iter().enumerate().filter_map(|(row, value)| Some((row, (*value)?)));
        let first = known().next()?.1;
        let rows = known().find(|(_, value)| *value > first)?.0;
        Some((rows, known().next_back()?.1 - first))
    };
    let rises: Vec<_> = counts.iter().filter_map(|(core, values)| Some((core, rise(values)?))).collect();
    if let Some((core, (row, times))) = rises.first().filter(|_| !has_share) {
        let more = if rises.len() > 1 { format!(" ({} cores in all)", rises.len()) } else { String::new() };
        let message = format!(
            "heat held core {core} down {} times from this row on{more}; the system counts how often, not how long",
            significant(*times, 4)
        );
        let span = spans.get(*row).cloned().unwrap_or(0..0);
        problems.add(span, "held by junction", Severity::Warning, message, None);
    }
    if rises.is_empty() && !has_share {
        let told = |row: usize| counts.iter().any(|(_, values)| values.get(row).is_some_and(Option::is_some));
        let values: Vec<_> =
            (0..log.times.len()).map(|row| told(row).then(|| Quantity::from_si(0.0))).collect();
        if values.iter().any(Option::is_some) {
            log.shares.push(Track { what: Share::HeldByJunction, values });
        }
    }
}

/// Processor's sensors that stand still while the power does not.
fn stand_still(log: &SoakLog, power: &[Option<Power>], spans: &[Range<usize>], problems: &mut Problems<'_>) {
    for track in &log.temperatures {
        let name = match track.what {
            Place::Core(core) => format!("core {core}"),
            Place::Package => "package".to_owned(),
            _ => continue,
        };
        let Some(found) = still(&log.times, &track.values, power) else { continue };
        let reading = track.values.get(found.rows.start).copied().flatten();
        let message = format!(
            "the sensor \"{name}\" says {} from this row on for {}, while the power moved by {}: it is frozen there, or shows nothing below that",
            reading.map_or_else(String::new, |reading| reading.rounded(4)),
            found.time.rounded(3),
            found.moved.rounded(3)
        );
        let span = spans.get(found.rows.start).cloned().unwrap_or(0..0);
        let help = "nothing is read from those rows; find what else reports that temperature".to_owned();
        problems.add(span, &name, Severity::Warning, message, Some(help));
    }
}

fn frozen(table: &Table, heading: &Range<usize>, problems: &mut Problems<'_>) {
    let range = |values: &[Option<f64>]| {
        let known = || values.iter().flatten().copied();
        (known().count(), known().fold(f64::INFINITY, f64::min), known().fold(f64::NEG_INFINITY, f64::max))
    };
    let temperatures =
        || table.columns.iter().filter(|(heading, _)| matches!(heading.kind, Kind::Temperature(_)));
    let moved =
        temperatures().map(|(_, values)| range(values)).map(|(_, low, high)| high - low).fold(0.0, f64::max);
    for (column, values) in temperatures() {
        let (count, low, high) = range(values);
        // Rooms and boards may well stand still; a processor under a step cannot.
        let Kind::Temperature(place) = &column.kind else { continue };
        let must_move = matches!(place, Place::Package | Place::Core(_));
        if must_move && count >= ROWS_TO_DOUBT && low == high && moved > OTHERS_MOVED_K {
            let message = format!(
                "the sensor \"{}\" says {} °C in all {count} rows while another moved by {} K: it is frozen",
                column.written,
                significant(low - 273.15, 4),
                significant(moved, 3)
            );
            problems.add(
                heading.clone(),
                &column.written,
                Severity::Warning,
                message,
                Some("leave it out, or find what else reports that temperature".to_owned()),
            );
        }
    }
    let power = table.columns.iter().find(|(heading, _)| heading.kind == Kind::Power(Meter::Package));
    if let Some((column, values)) = power {
        let (count, low, high) = range(values);
        if count >= ROWS_TO_DOUBT && low == high && moved > 3.0 * OTHERS_MOVED_K {
            let message = format!(
                "power stands at {} W in all {count} rows while a temperature moved by {} K: the log starts after the step, or the meter is frozen",
                significant(low, 4),
                significant(moved, 3)
            );
            problems.add(heading.clone(), &column.written, Severity::Warning, message, None);
        }
    }
}
