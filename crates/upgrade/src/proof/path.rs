//! The heat path in a log: this machine's stations, and what the log alone tells.

use physics::network::path::{Bands, HeatPathFound, identify};
use physics::network::record::Record;
use physics::network::spectrum::Air;
use physics::network::stations::{Beside, Prior, STATIONS, Station, Stations, stations};
use quantity::dimension::{Dimension, Duration, RatioDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::{Figure, Reading};

use crate::proof::belief::{given, tempered, unsplit};
use crate::proof::case_air::AirTold;
use crate::proof::expected::Expected;
use crate::proof::rows::{NoRows, Rows};

/// An estimate with the band that holds it with nine chances in ten.
#[derive(Debug, PartialEq)]
pub struct Estimate<D> {
    /// Middle.
    pub value: Quantity<D>,
    /// From 5 % to 95 %.
    pub band: Interval<D>,
}

// Copies are cheap whatever the marker is: it is never stored.
impl<D> Clone for Estimate<D> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<D> Copy for Estimate<D> {}

/// 95 % of a normal deviate.
pub const NINETY: f64 = 1.645;

impl<D> Estimate<D> {
    /// An estimate with a standard uncertainty, in SI units.
    pub fn of_si(value: f64, uncertainty: f64) -> Self {
        let by = NINETY * uncertainty.abs();
        Self {
            value: Quantity::from_si(value),
            band: Interval::between(Quantity::from_si(value - by), Quantity::from_si(value + by)),
        }
    }

    /// Its standard uncertainty in SI units.
    pub fn uncertainty_si(&self) -> f64 {
        self.band.width_si() / (2.0 * NINETY)
    }
}

impl<D: Dimension> Estimate<D> {
    /// Value and band in words.
    pub fn words(&self) -> String {
        self.words_to(3)
    }

    /// Value and band in words, to so many significant digits.
    pub fn words_to(&self, digits: u32) -> String {
        let (value, band) = (self.value.rounded(digits), self.band.rounded(digits));
        if value == band { value } else { format!("{value} ({band})") }
    }
}

/// A step of the path: found, and expected of a sound machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepFound {
    /// What it is.
    pub name: &'static str,
    /// Found in the log; none where the log does not tell it apart.
    pub found: Option<Estimate<ThermalResistanceDim>>,
    /// Expected with a sound joint, at the fan's speed in the log.
    pub sound: Figure<ThermalResistanceDim>,
}

/// The heat path in a log.
#[derive(Debug, Clone, PartialEq)]
pub struct PathFound {
    /// Die and lid, paste, cooler, air in the case.
    pub steps: Vec<StepFound>,
    /// Junction to room: all of it.
    pub total: Estimate<ThermalResistanceDim>,
    /// Whether the air in the case was measured, so that it counts as given.
    pub air_measured: bool,
    /// Whether anything but times tells the cooler from the air in the case: a sensor, a thermometer, a soak with the side open.
    pub air_told: bool,
    /// The stations that were fitted.
    pub stations: Stations,
    /// What the priors of paste, cooler and air in the case were.
    pub priors: [Prior; STATIONS],
}

/// Why there is no path.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoPath {
    /// The rows do not allow it.
    #[error("no heat path can be found")]
    Rows(#[from] NoRows),
    /// It does not begin at rest.
    #[error("the log does not begin at rest; begin with two minutes at rest, then load all cores")]
    NotAtRest,
    /// The fit refused.
    #[error("the heat path could not be fitted")]
    Fit(#[from] physics::refusal::Refusal),
}

/// What is taken for a station that nothing is known of: middle and spread of its logarithm.
///
/// # Source
/// common practice, no source: the range of desktop computers.
const UNKNOWN: [Prior; STATIONS] = [
    Prior { middle: 0.2, spread: 0.7 },
    Prior { middle: 0.08, spread: 0.9 },
    Prior { middle: 0.3, spread: 0.7 },
    Prior { middle: 0.1, spread: 0.7 },
    Prior { middle: 0.2, spread: 0.6 },
    Prior { middle: 12.0, spread: 0.4 },
    Prior { middle: 250.0, spread: 0.7 },
    Prior { middle: 400.0, spread: 1.0 },
    Prior { middle: 0.18, spread: 0.35 },
    Prior { middle: 0.3, spread: 0.35 },
    Prior { middle: 0.1, spread: 0.4 },
];

/// A fault moves paste, cooler and air by up to so much: the spread of their logarithms beyond what is expected.
const FAULT_SPREAD: f64 = 1.1;
/// No station is known better than this beforehand, by the spread of its logarithm.
const LEAST_SPREAD: f64 = 0.15;

fn prior<D>(figure: Figure<D>, unknown: Prior, fault: f64) -> Prior {
    let Some((low, high)) = figure.get().map(|value| (value.low().si(), value.high().si())) else {
        return unknown;
    };
    if !(low > 0.0 && high.is_finite()) {
        return unknown;
    }
    // The interval as three half standard deviations to each side: sheets are off by more than they admit.
    let own = ((high / low).ln() / 3.0).max(LEAST_SPREAD);
    Prior { middle: (low * high).sqrt(), spread: own.hypot(fault) }
}

/// What is known of each station before the log.
fn priors(expected: &Expected, fan_share: Option<f64>) -> [Prior; STATIONS] {
    let (steps, stores) = (&expected.sound, &expected.stores);
    let [inner, paste, sink, air, die, lid, cooler, case, metal, base, behind] = UNKNOWN;
    // Half of the lid lies behind the middle of what it stores.
    let lid_share = expected.lid.with(steps.inner, |lid, inner| {
        let half = |lid: f64, inner: f64| Quantity::from_si(0.5 * lid / inner);
        Interval::<RatioDim>::between(
            half(lid.low().si(), inner.high().si()),
            half(lid.high().si(), inner.low().si()),
        )
    });
    [
        prior(steps.inner, inner, 0.0),
        prior(steps.paste, paste, FAULT_SPREAD),
        prior(expected.sink_at(fan_share), sink, FAULT_SPREAD),
        prior(steps.case_air, air, FAULT_SPREAD),
        // The die's cores are a part of it, what lies about them joins in, and a sensor that follows by a second looks like
        // a larger store.
        prior(stores.die, die, 1.2),
        prior(stores.lid, lid, 0.15),
        prior(stores.cooler, cooler, 0.3),
        case,
        metal,
        base,
        prior(lid_share, behind, 0.2),
    ]
}

/// When the first row began: as long before it as the second stands behind it.
fn begins_s(times_s: &[f64]) -> f64 {
    match times_s {
        [first, second, ..] => first - (second - first),
        _ => 0.0,
    }
}

/// Resampled records behind the structure function's bands.
pub const RESAMPLES: usize = 40;
const SEED: u64 = 1;
/// How far a room may drift during a soak where it was not logged, in kelvin; and where it was.
const DRIFT_K: f64 = 1.0;
const DRIFT_LOGGED_K: f64 = 0.2;

/// What the rows tell without any knowledge of the machine: spectrum, layers, structure function with its bands.
///
/// Rows after a time are left out: where the fan follows the temperature the path is another one while it cools.
///
/// # Errors
/// The rows do not begin at rest, or tell nothing.
pub fn alone(rows: &Rows, until: Option<Duration>) -> Result<HeatPathFound, NoPath> {
    if !rows.at_rest {
        return Err(NoPath::NotAtRest);
    }
    let count = until.map_or(rows.times_s.len(), |until| {
        rows.times_s.iter().take_while(|time| **time <= until.si()).count()
    });
    // The room is taken off; the air in the case is a part of the path.
    let logged = rows.room_k.iter().any(|room| *room != 0.0);
    let temperatures: Vec<f64> =
        rows.temperatures_c.iter().zip(&rows.room_k).map(|(celsius, room)| celsius - room).collect();
    let record = Record {
        begins_s: begins_s(&rows.times_s),
        power_before_w: rows.power_before_w,
        times_s: rows.times_s.get(..count).unwrap_or(&[]),
        temperatures_c: temperatures.get(..count).unwrap_or(&[]),
        powers_w: rows.powers_w.get(..count).unwrap_or(&[]),
    };
    let air = Air { temperature_c: None, drift_k: if logged { DRIFT_LOGGED_K } else { DRIFT_K } };
    Ok(identify(&record, &air, &Bands { resamples: RESAMPLES, seed: SEED })?)
}

/// Finds the path in rows that begin at rest; `air` is what was read of the case's air beside the log.
///
/// # Model
/// The stations of this machine by [`physics::network::stations`], with priors by what is [expected](Expected) of it.
///
/// # Errors
/// The rows do not begin at rest, or cannot be fitted.
pub fn path(
    rows: &Rows,
    expected: &Expected,
    fan_share: Option<f64>,
    air: Option<&AirTold>,
) -> Result<PathFound, NoPath> {
    if !rows.at_rest {
        return Err(NoPath::NotAtRest);
    }
    let temperatures: Vec<f64> = if rows.case_air_c.is_some() {
        rows.temperatures_c.clone()
    } else {
        rows.temperatures_c.iter().zip(&rows.room_k).map(|(celsius, room)| celsius - room).collect()
    };
    let record = Record {
        begins_s: begins_s(&rows.times_s),
        power_before_w: rows.power_before_w,
        times_s: &rows.times_s,
        temperatures_c: &temperatures,
        powers_w: &rows.powers_w,
    };
    let beside = Beside { film_times: &rows.film_times, case_air_c: rows.case_air_c.as_deref() };
    let priors = priors(expected, fan_share);
    let air_measured = rows.case_air_c.is_some();
    let mut found = tempered(stations(&record, &beside, &priors)?, &priors);
    if !air_measured {
        found = unsplit(found);
        if let Some(air) = air {
            found = given(found, Station::CaseAir, air.k_w.ln(), air.uncertainty_k_w / air.k_w);
        }
    }
    let of = |station: Station| {
        let (value, spread) = found.of(station);
        let by = (NINETY * spread).exp();
        Estimate {
            value: Quantity::from_si(value),
            band: Interval::between(Quantity::from_si(value / by), Quantity::from_si(value * by)),
        }
    };
    let step = |name, station, sound| StepFound { name, found: Some(of(station)), sound };
    let steps = vec![
        step("die and lid", Station::Inner, expected.sound.inner),
        step("paste", Station::Paste, expected.sound.paste),
        step("cooler", Station::Sink, expected.sink_at(fan_share)),
        StepFound {
            name: "air in the case",
            found: (!air_measured).then(|| of(Station::CaseAir)),
            sound: expected.sound.case_air,
        },
    ];
    let total = total(&found, air_measured);
    let air_told = air_measured || air.is_some();
    Ok(PathFound { steps, total, air_measured, air_told, stations: found, priors })
}

/// Sum of the path's steps with the uncertainty of the sum, which is far smaller than that of its parts.
fn total(found: &Stations, air_measured: bool) -> Estimate<ThermalResistanceDim> {
    let parts: &[Station] = if air_measured {
        &[Station::Inner, Station::Paste, Station::Sink]
    } else {
        &[Station::Inner, Station::Paste, Station::Sink, Station::CaseAir]
    };
    let n = Station::ALL.len();
    let sum: f64 = parts.iter().map(|part| found.of(*part).0).sum();
    let mut variance = 0.0;
    for one in parts {
        for other in parts {
            let cell = *one as usize * n + *other as usize;
            variance += found.of(*one).0
                * found.of(*other).0
                * found.covariance.get(cell).copied().unwrap_or(f64::INFINITY);
        }
    }
    Estimate::of_si(sum, variance.max(0.0).sqrt())
}

impl PathFound {
    /// One of its steps.
    pub fn step(&self, name: &str) -> Option<&StepFound> {
        self.steps.iter().find(|step| step.name == name)
    }

    /// Whether a step is known at all in a sound machine.
    pub fn is_expected(&self) -> bool {
        self.steps.iter().all(|step| !matches!(step.sound, Reading::Unknown))
    }
}
