//! The rows of a log that a heat path can be found from.

use quantity::measure::Quantity;
use quantity::text::significant;

use crate::proof::expected::Expected;
use crate::proof::log::{Place, SoakLog, Track, Turning};
use crate::proof::still::living;

/// Rows that hang together, each with a temperature and a power.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rows {
    /// Times in seconds since the log began.
    pub times_s: Vec<f64>,
    /// Temperatures of the processor in °C.
    pub temperatures_c: Vec<f64>,
    /// Mean power since the row before, in watts.
    pub powers_w: Vec<f64>,
    /// How many times the fins' film takes what it takes at the end of the load, by the fan's speed.
    pub film_times: Vec<f64>,
    /// Air that the cooler takes in °C, where every row has it.
    pub case_air_c: Option<Vec<f64>>,
    /// Temperature of the room less its first, in kelvin; zeros where it was not logged.
    pub room_k: Vec<f64>,
    /// Power before the first row in watts.
    pub power_before_w: f64,
    /// Whether the rows begin at rest.
    pub at_rest: bool,
    /// What was left out and why.
    pub notes: Vec<String>,
}

/// Why no heat path can be found in a log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoRows {
    /// Nothing says how hot the processor is.
    #[error("the log has no temperature of the processor; log \"package °C\" or \"core 0 °C\"")]
    NoTemperature,
    /// Nothing says how much power it takes.
    #[error("the log has no power of the processor; log \"power W\" or \"energy J\"")]
    NoPower,
    /// The processor's temperature stands still although its power does not.
    #[error(
        "the processor's temperature stands still while its power moves; the sensor is frozen, find what else reports that temperature"
    )]
    Still,
    /// The rows that hang together are too few.
    #[error("no forty rows in a row have both a temperature and a power; log without gaps")]
    TooFew,
    /// Power is the same throughout.
    #[error("the power never changes by half; begin the log at rest, then load all cores")]
    NoStep,
}

/// A pause this many times the usual step, and at least so long in seconds, ends a run of rows.
const GAP_STEPS: f64 = 5.0;
const LEAST_GAP_S: f64 = 4.0;
/// Fewest rows that tell something.
const LEAST_ROWS: usize = 40;
/// How long it must be at rest before the first load, in seconds, and below which share of the range of power.
const REST_S: f64 = 20.0;
const REST_SHARE: f64 = 0.2;
/// Exponent of the film in the speed of its air: the middle of laminar and turbulent.
///
/// # Source
/// Incropera et al., eqs. 7.30 (Re^1/2) and 7.38 (Re^4/5); from memory.
const FILM_EXPONENT: f64 = 0.65;
/// Slower than this share of its speed at the end, a fan counts as so slow: still air cools too.
const SLOWEST: f64 = 0.1;

fn numbers<D>(values: &[Option<Quantity<D>>], offset: f64) -> Vec<Option<f64>> {
    values
        .iter()
        .map(|value| value.map(|value| value.si() - offset).filter(|value| value.is_finite()))
        .collect()
}

/// Fills what is missing between two known values by a straight line, and beyond them by the nearest.
fn filled(times: &[f64], values: &[Option<f64>]) -> Option<Vec<f64>> {
    let known: Vec<(f64, f64)> =
        times.iter().zip(values).filter_map(|(time, value)| Some((*time, (*value)?))).collect();
    let (first, last) = (known.first()?, known.last()?);
    let mut place = 0;
    let out = times.iter().map(|time| {
        while known.get(place + 1).is_some_and(|next| next.0 <= *time) {
            place += 1;
        }
        match (known.get(place), known.get(place + 1)) {
            _ if *time <= first.0 => first.1,
            _ if *time >= last.0 => last.1,
            (Some(low), Some(high)) => low.1 + (high.1 - low.1) * (time - low.0) / (high.0 - low.0),
            _ => last.1,
        }
    });
    Some(out.collect())
}

/// The longest run of rows without a gap in time, temperature or power.
fn longest_run(times: &[f64], both: &[bool]) -> (usize, usize) {
    let mut steps: Vec<f64> = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    let usual = steps.get(steps.len() / 2).copied().unwrap_or(1.0);
    let long = (GAP_STEPS * usual).max(LEAST_GAP_S);
    let (mut best, mut from, mut last) = ((0, 0), None::<usize>, None::<usize>);
    for (row, known) in both.iter().enumerate() {
        if !known {
            continue;
        }
        let breaks = last.is_some_and(|last| times[row] - times[last] > long);
        if breaks || from.is_none() {
            from = Some(row);
        }
        last = Some(row);
        let run = (from.unwrap_or(row), row + 1);
        if run.1 - run.0 > best.1 - best.0 {
            best = run;
        }
    }
    best
}

/// Takes the rows that hang together out of a log, of its first `until`: a load on a few cores heats one place of the die, to which the path is
/// another one.
///
/// # Errors
/// The log has no temperature, no power, too few rows that hang together, or a power that never changes.
pub fn rows(log: &SoakLog, until: usize, expected: &Expected) -> Result<Rows, NoRows> {
    let hottest = log.hottest().ok_or(NoRows::NoTemperature)?;
    let powers = numbers(log.power().ok_or(NoRows::NoPower)?, 0.0);
    let trusted = living(log, &hottest);
    let still = trusted.iter().zip(&hottest).filter(|(one, other)| one != other).count();
    let temperatures = numbers(&trusted, 273.15);
    if temperatures.iter().all(Option::is_none) {
        return Err(if still > 0 { NoRows::Still } else { NoRows::NoTemperature });
    }
    if powers.iter().all(Option::is_none) {
        return Err(NoRows::NoPower);
    }
    let times: Vec<f64> = log.times.iter().map(|time| time.si()).collect();
    let both: Vec<bool> =
        temperatures.iter().zip(&powers).take(until).map(|(t, p)| t.is_some() && p.is_some()).collect();
    let (from, to) = longest_run(&times, &both);
    let mut out = Rows::default();
    let whole = both.len();
    if whole < times.len() {
        out.notes.push(format!(
            "the heat path is read from the log's first {} s: later loads leave cores at rest, and heat the die in places only",
            significant(times.get(whole).copied().unwrap_or(0.0), 4)
        ));
    }
    if still > 0 {
        out.notes.push(format!(
            "{still} rows in which the processor's temperature stood still while its power moved are not read"
        ));
    }
    if to - from < whole {
        let missing = whole - (to - from);
        out.notes
            .push(format!("{missing} of {whole} rows before or behind a gap are left out of the heat path"));
    }
    let air = Track::of(&log.temperatures, &Place::CaseAir).map(|air| numbers(air, 273.15));
    let room =
        Track::of(&log.temperatures, &Place::Room).and_then(|room| filled(&times, &numbers(room, 273.15)));
    let fan = Track::of(&log.turning, &Turning::Fan(1)).and_then(|fan| filled(&times, &numbers(fan, 0.0)));
    let air = air.and_then(|air| {
        let known = air.iter().filter(|value| value.is_some()).count();
        if known * 2 < whole {
            return None;
        }
        filled(&times, &air)
    });
    let mut held = 0;
    let mut before_s = if from > 0 { times[from - 1] } else { times[from] };
    let mut energy_j = 0.0;
    let mut picked = Vec::new();
    for row in from..to {
        let step_s = times[row] - before_s;
        before_s = times[row];
        // What a row without a power took is taken as the one behind it; its energy is not lost.
        let power = powers[row].or_else(|| powers[row..to].iter().flatten().next().copied()).unwrap_or(0.0);
        energy_j += power * step_s;
        let since_s = times[row] - out.times_s.last().copied().unwrap_or(times[row] - step_s);
        match temperatures[row] {
            Some(temperature) if both[row] => {
                out.times_s.push(times[row]);
                out.temperatures_c.push(temperature);
                out.powers_w.push(if since_s > 0.0 { energy_j / since_s } else { power });
                picked.push(row);
                energy_j = 0.0;
            }
            _ => held += 1,
        }
    }
    if held > 0 {
        out.notes.push(format!("{held} rows without a temperature or a power are passed over"));
    }
    if out.times_s.len() < LEAST_ROWS {
        return Err(if still > 0 { NoRows::Still } else { NoRows::TooFew });
    }
    beside(&mut out, &picked, fan.as_deref(), air.as_deref(), room.as_deref(), expected);
    rest(&mut out)?;
    Ok(out)
}

fn beside(
    out: &mut Rows,
    picked: &[usize],
    fan: Option<&[f64]>,
    air: Option<&[f64]>,
    room: Option<&[f64]>,
    expected: &Expected,
) {
    let take = |values: &[f64]| -> Vec<f64> {
        picked.iter().map(|row| values.get(*row).copied().unwrap_or(f64::NAN)).collect()
    };
    out.case_air_c = air.map(take);
    let room = room.map(take);
    out.room_k = room.map_or_else(
        || vec![0.0; picked.len()],
        |room| room.iter().map(|celsius| celsius - room.first().copied().unwrap_or(0.0)).collect(),
    );
    let has_fan = expected.cooler.fans.is_some();
    let speeds = fan.map(take).filter(|speeds| has_fan && speeds.iter().any(|speed| *speed > 0.0));
    out.film_times = match speeds {
        Some(speeds) => {
            let end = speed_under_load(&speeds, &out.powers_w);
            speeds.iter().map(|speed| (speed / end).max(SLOWEST).powf(-FILM_EXPONENT)).collect()
        }
        None => vec![1.0; picked.len()],
    };
}

/// Mean speed over the later half of the rows at nearly the highest power.
fn speed_under_load(speeds: &[f64], powers: &[f64]) -> f64 {
    let highest = powers.iter().copied().fold(0.0, f64::max);
    let loaded: Vec<f64> = speeds
        .iter()
        .zip(powers)
        .filter(|(_, power)| **power > 0.8 * highest)
        .map(|(speed, _)| *speed)
        .collect();
    let later = loaded.get(loaded.len() / 2..).unwrap_or(&[]);
    (later.iter().sum::<f64>() / later.len().max(1) as f64).max(1e-3)
}

/// Whether the rows begin at rest, and the power they begin with.
fn rest(out: &mut Rows) -> Result<(), NoRows> {
    let (low, high) = out
        .powers_w
        .iter()
        .fold((f64::INFINITY, 0.0_f64), |(low, high), power| (low.min(*power), high.max(*power)));
    if high - low < 0.5 * high {
        return Err(NoRows::NoStep);
    }
    let limit = low + REST_SHARE * (high - low);
    let quiet = out.powers_w.iter().take_while(|power| **power < limit).count();
    let first_s = out.times_s.first().copied().unwrap_or(0.0);
    let rest_s = out.times_s.get(quiet.saturating_sub(1)).copied().unwrap_or(first_s) - first_s;
    out.at_rest = quiet >= 5 && rest_s >= REST_S;
    let before = out.powers_w.get(..quiet).unwrap_or(&[]);
    out.power_before_w =
        if before.is_empty() { low } else { before.iter().sum::<f64>() / before.len() as f64 };
    if !out.at_rest {
        out.notes.push(format!(
            "the log does not begin with {} s at rest, so what the heat path was before is not known",
            significant(REST_S, 2)
        ));
    }
    Ok(())
}
