//! The time-constant spectrum behind a record of temperature and power.

use crate::dot::dot;
use crate::network::foster::Term;
use crate::network::nonneg::nonneg_least_squares;
use crate::network::record::{Bin, Binned};
use crate::refusal::{Refusal, within};

/// What is known about the air besides the record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature of the air and its standard uncertainty, in °C and kelvin; none where the record itself has
    /// to tell it by rows at rest.
    pub temperature_c: Option<(f64, f64)>,
    /// How much the air may drift over the record, as a standard uncertainty in kelvin.
    pub drift_k: f64,
}

/// A spectrum with what was found beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    /// Terms of the fine grid with a resistance above zero, fastest first.
    pub terms: Vec<Term>,
    /// Temperature of the air at the beginning in °C.
    pub air_c: f64,
    /// Drift of the air over the record in kelvin.
    pub drift_k: f64,
    /// What is left of each bin, in kelvin.
    pub left_k: Vec<f64>,
    /// What the fit says of each bin, in °C.
    pub fitted_c: Vec<f64>,
    /// Standard uncertainty that was given to each bin, in kelvin.
    pub weights_1_k: Vec<f64>,
    /// Shortest and longest time constant about which the record says something, in seconds.
    pub times_s: (f64, f64),
}

/// Time constants looked for in each decade.
const A_DECADE: f64 = 12.0;
/// Part of a sensor's step that stays as a fault where the temperature stands still.
const STEP_FAULT: f64 = 0.12;
/// The smallest uncertainty of a bin, as a share of the largest rise: power meters are no better.
const METER_FAULT: f64 = 1e-5;

/// Time constants beyond this share of the time since the first change look like a drift, and are left to it.
const LONGEST_SHARE: f64 = 0.7;
/// A power is the one before where it differs from it by less than this share of the range.
const AT_REST_SHARE: f64 = 0.05;
/// A time constant that would lessen the sum of weighted squares by less than this squared stays out.
const LEAST_PULL: f64 = 0.05;

/// What a network of unit resistance at each time constant answers to the record's power, bin by bin.
///
/// # Model
/// Within a bin the power is constant: `x(t) = P + (x0 - P) exp(-t / tau)`, averaged over the rows' times to
/// second order in their spread.
pub fn answers_w(binned: &Binned, power_before_w: f64, time_constant_s: f64) -> Vec<f64> {
    let mut state = power_before_w;
    binned
        .bins
        .iter()
        .map(|bin| {
            let spread = bin.variance_s2 / (time_constant_s * time_constant_s);
            let faded = (-bin.mean_s / time_constant_s).exp() * (1.0 + 0.5 * spread);
            let mean = bin.power_w + (state - bin.power_w) * faded.min(1.0);
            state = bin.power_w + (state - bin.power_w) * (-bin.length_s / time_constant_s).exp();
            mean
        })
        .collect()
}

/// The record in terms of what a path answers at real rates: `rows * answers` is what it would leave in each bin.
#[derive(Debug, Clone)]
pub struct ByRates {
    /// Rates in 1/s, rising.
    pub rates_1_s: Vec<f64>,
    /// For each rate the weight of its answer in each row, in units of the row's uncertainty.
    pub columns: Vec<Vec<f64>>,
}

/// Rates in each decade, and how many decades they reach beyond the times of the record.
const RATES_A_DECADE: f64 = 3.5;
const RATES_BEYOND: f64 = 1.2;
/// Time constants in each decade at which the rates' answers are matched to the record's.
const MATCHED_A_DECADE: f64 = 10.0;
/// Holds the weights of the answers small where the match does not need them.
const RIDGE: f64 = 1e-9;

/// Everything about the fit that does not depend on the temperatures.
#[derive(Debug, Clone)]
pub struct Prepared {
    grid_s: Vec<f64>,
    /// Columns, weighted, with a row for each of the two free values' priors.
    columns: Vec<Vec<f64>>,
    /// The free columns, at right angles and of unit length.
    free: Vec<Vec<f64>>,
    free_raw: Vec<Vec<f64>>,
    weights_1_k: Vec<f64>,
    times_s: (f64, f64),
    air: Air,
}

/// Takes the part along each of the unit vectors away.
fn without(free: &[Vec<f64>], column: &mut [f64]) {
    for one in free {
        let part = dot(one, column);
        for (cell, entry) in column.iter_mut().zip(one) {
            *cell -= part * entry;
        }
    }
}

/// Whether a bin is at the power that was there before.
fn at_rest(bin: &Bin, power_before_w: f64, range_w: f64) -> bool {
    (bin.power_w - power_before_w).abs() < AT_REST_SHARE * range_w
}

/// Standard uncertainty of each bin by its sensor and meter, in kelvin.
pub fn uncertainties_k(binned: &Binned) -> Vec<f64> {
    let temperatures = || binned.bins.iter().map(|bin| bin.temperature_c);
    let rise =
        temperatures().fold(f64::NEG_INFINITY, f64::max) - temperatures().fold(f64::INFINITY, f64::min);
    // A sensor that steps coarser than it scatters repeats its fault from row to row.
    let fault = if binned.scatter_k < 0.5 * binned.step_k { STEP_FAULT * binned.step_k } else { 0.0 };
    let row = binned.scatter_k.max(binned.step_k / 12.0_f64.sqrt());
    binned
        .bins
        .iter()
        .map(|bin| (row * row / bin.rows + fault * fault + (METER_FAULT * rise).powi(2)).sqrt())
        .collect()
}

/// Prepares the fit of a record.
///
/// # Errors
/// Fewer than eight bins, a power that never changes, or neither rows at rest nor a known temperature of the air.
pub fn prepare(binned: &Binned, power_before_w: f64, air: &Air) -> Result<Prepared, Refusal> {
    let bins = &binned.bins;
    within("bins", bins.len() as f64, bins.len() >= 8, "eight or more")?;
    let powers = || bins.iter().map(|bin| bin.power_w).chain([power_before_w]);
    let range = powers().fold(0.0, f64::max) - powers().fold(f64::INFINITY, f64::min);
    within("change of power", range, range > 0.0, "above zero")?;
    let told = air.temperature_c.is_some()
        || bins.first().is_some_and(|first| at_rest(first, power_before_w, range));
    within("rows at rest", 0.0, told, "one or more, where the air's temperature is not known besides")?;
    let weights: Vec<f64> =
        uncertainties_k(binned).into_iter().map(|uncertainty| 1.0 / uncertainty).collect();
    let (short, long) = (0.5 * binned.shortest_s, binned.span_s);
    let (first, last) = ((0.4 * short).log10(), (LONGEST_SHARE * long).log10());
    let count = (((last - first) * A_DECADE).ceil() as usize).clamp(8, 240);
    let grid: Vec<f64> =
        (0..=count).map(|idx| 10_f64.powf(first + (last - first) * idx as f64 / count as f64)).collect();
    let total: f64 = bins.iter().map(|bin| bin.length_s).sum();
    let mut at = 0.0;
    let mut ramp: Vec<f64> = bins
        .iter()
        .zip(&weights)
        .map(|(bin, weight)| {
            let middle = at + bin.mean_s;
            at += bin.length_s;
            weight * middle / total
        })
        .collect();
    let mut level = weights.clone();
    // The last two rows hold air and drift to what is known of them.
    level.extend([air.temperature_c.map_or(0.0, |(_, sd)| 1.0 / sd.max(1e-6)), 0.0]);
    ramp.extend([0.0, 1.0 / air.drift_k.max(1e-6)]);
    let free_raw = vec![level, ramp];
    let mut free: Vec<Vec<f64>> = Vec::new();
    for column in &free_raw {
        let mut column = column.clone();
        without(&free, &mut column);
        let norm = dot(&column, &column).sqrt().max(f64::MIN_POSITIVE);
        column.iter_mut().for_each(|cell| *cell /= norm);
        free.push(column);
    }
    let columns = grid
        .iter()
        .map(|tau| {
            let mut column: Vec<f64> = answers_w(binned, power_before_w, *tau)
                .into_iter()
                .zip(&weights)
                .map(|(answer, weight)| answer * weight)
                .chain([0.0, 0.0])
                .collect();
            without(&free, &mut column);
            without(&free, &mut column);
            column
        })
        .collect();
    Ok(Prepared {
        grid_s: grid,
        columns,
        free,
        free_raw,
        weights_1_k: weights,
        times_s: (short, long),
        air: *air,
    })
}

impl Prepared {
    /// Writes the record in terms of answers at real rates.
    ///
    /// # Model
    /// What a network of one time constant does in a bin is a sum over rates of weights times `1 / (1 + s tau)`, matched
    /// for time constants from far below to far above those of the record. A path is a sum of time constants, so its
    /// bins are the same sum over its own answers, which uniform layers have in closed form.
    pub fn by_rates(&self, binned: &Binned, power_before_w: f64) -> ByRates {
        let (short, long) = self.times_s;
        let decades = (long / short).log10() + 2.0 * RATES_BEYOND;
        let count = (decades * RATES_A_DECADE).ceil() as usize;
        let first = -long.log10() - RATES_BEYOND;
        let rates_1_s: Vec<f64> =
            (0..=count).map(|idx| 10_f64.powf(first + decades * idx as f64 / count as f64)).collect();
        let matched = (decades * MATCHED_A_DECADE).ceil() as usize;
        let taus: Vec<f64> = (0..=matched)
            .map(|idx| 10_f64.powf(short.log10() - RATES_BEYOND + decades * idx as f64 / matched as f64))
            .collect();
        // Orthogonal directions in the space of the matched time constants, with the ridge below them.
        let rows = taus.len() + rates_1_s.len();
        let mut basis: Vec<Vec<f64>> = Vec::with_capacity(rates_1_s.len());
        let mut upper: Vec<Vec<f64>> = Vec::with_capacity(rates_1_s.len());
        for (place, rate) in rates_1_s.iter().enumerate() {
            let mut column = vec![0.0; rows];
            for (cell, tau) in column.iter_mut().zip(&taus) {
                *cell = 1.0 / (1.0 + rate * tau);
            }
            column[taus.len() + place] = RIDGE;
            let mut along = vec![0.0; place + 1];
            for _ in 0..2 {
                for (one, along) in basis.iter().zip(&mut along) {
                    let part = dot(one, &column);
                    *along += part;
                    for (cell, entry) in column.iter_mut().zip(one) {
                        *cell -= part * entry;
                    }
                }
            }
            let norm = dot(&column, &column).sqrt();
            along[place] = norm;
            column.iter_mut().for_each(|cell| *cell /= norm);
            basis.push(column);
            upper.push(along);
        }
        // The record's answers along each direction, then through the triangle to the rates.
        let count_rows = self.weights_1_k.len() + 2;
        let mut columns = vec![vec![0.0; count_rows]; rates_1_s.len()];
        for (idx, tau) in taus.iter().enumerate() {
            let mut answer: Vec<f64> = answers_w(binned, power_before_w, *tau)
                .into_iter()
                .zip(&self.weights_1_k)
                .map(|(answer, weight)| answer * weight)
                .chain([0.0, 0.0])
                .collect();
            without(&self.free, &mut answer);
            for (column, one) in columns.iter_mut().zip(&basis) {
                let times = one[idx];
                for (cell, entry) in column.iter_mut().zip(&answer) {
                    *cell += times * entry;
                }
            }
        }
        for place in (0..columns.len()).rev() {
            let (before, from) = columns.split_at_mut(place + 1);
            let Some(column) = before.last_mut() else { break };
            for (later, upper) in from.iter().zip(upper.get(place + 1..).unwrap_or(&[])) {
                let times = upper[place];
                for (cell, entry) in column.iter_mut().zip(later) {
                    *cell -= times * entry;
                }
            }
            column.iter_mut().for_each(|cell| *cell /= upper[place][place]);
        }
        ByRates { rates_1_s, columns }
    }

    /// Temperatures of the bins in units of their uncertainty, without what air and drift could be.
    pub fn target(&self, temperatures_c: &[f64]) -> Vec<f64> {
        let mut target: Vec<f64> = temperatures_c
            .iter()
            .zip(&self.weights_1_k)
            .map(|(temperature, weight)| temperature * weight)
            .chain([self.air.temperature_c.map_or(0.0, |(value, sd)| value / sd.max(1e-6)), 0.0])
            .collect();
        without(&self.free, &mut target);
        target
    }

    /// Fits temperatures of the bins, in °C.
    ///
    /// # Model
    /// The rise is a sum of exponentials with resistances that are not below zero on a fine grid of time constants
    /// (the discrete form of the time-constant spectrum), over the air's temperature and its slow drift, each held
    /// to what is known of it.
    ///
    /// # Source
    /// V. Szekely, T. Van Bien, Solid-State Electronics 31, 1988; JEDEC JESD51-14, 2010; non-negative
    /// least squares: C. L. Lawson, R. J. Hanson 1974.
    pub fn fit(&self, binned: &Binned, power_before_w: f64, temperatures_c: &[f64]) -> Spectrum {
        let raw: Vec<f64> = temperatures_c
            .iter()
            .zip(&self.weights_1_k)
            .map(|(temperature, weight)| temperature * weight)
            .chain([self.air.temperature_c.map_or(0.0, |(value, sd)| value / sd.max(1e-6)), 0.0])
            .collect();
        let mut target = raw.clone();
        without(&self.free, &mut target);
        let found = nonneg_least_squares(&self.columns, &target, LEAST_PULL);
        let terms: Vec<Term> = self
            .grid_s
            .iter()
            .zip(&found)
            .filter(|(_, resistance)| **resistance > 0.0)
            .map(|(tau, resistance)| Term { resistance_k_w: *resistance, time_constant_s: *tau })
            .collect();
        let mut rises = vec![0.0; temperatures_c.len()];
        for term in &terms {
            for (rise, answer) in
                rises.iter_mut().zip(answers_w(binned, power_before_w, term.time_constant_s))
            {
                *rise += term.resistance_k_w * answer;
            }
        }
        // What is left belongs to the air: two unknowns by their normal equations.
        let rest: Vec<f64> = raw
            .iter()
            .zip(rises.iter().zip(&self.weights_1_k).map(|(rise, weight)| rise * weight).chain([0.0, 0.0]))
            .map(|(raw, rise)| raw - rise)
            .collect();
        let (air_c, drift_k) = match self.free_raw.as_slice() {
            [level, ramp] => {
                let (ll, lr, rr) = (dot(level, level), dot(level, ramp), dot(ramp, ramp));
                let (l, r) = (dot(level, &rest), dot(ramp, &rest));
                let det = ll * rr - lr * lr;
                ((l * rr - r * lr) / det, (r * ll - l * lr) / det)
            }
            _ => (0.0, 0.0),
        };
        let total: f64 = binned.bins.iter().map(|bin| bin.length_s).sum();
        let mut at = 0.0;
        let fitted: Vec<f64> = binned
            .bins
            .iter()
            .zip(&rises)
            .map(|(bin, rise)| {
                let middle = at + bin.mean_s;
                at += bin.length_s;
                air_c + drift_k * middle / total + rise
            })
            .collect();
        Spectrum {
            terms,
            air_c,
            drift_k,
            left_k: temperatures_c.iter().zip(&fitted).map(|(measured, fit)| measured - fit).collect(),
            fitted_c: fitted,
            weights_1_k: self.weights_1_k.clone(),
            times_s: self.times_s,
        }
    }
}

impl Spectrum {
    /// Resistance from the heated node to the air.
    pub fn total_k_w(&self) -> f64 {
        self.terms.iter().map(|term| term.resistance_k_w).sum()
    }

    /// Resistance of everything that settles within a time.
    pub fn within_k_w(&self, time_s: f64) -> f64 {
        self.terms.iter().map(|term| term.resistance_k_w * -(-time_s / term.time_constant_s).exp_m1()).sum()
    }
}
