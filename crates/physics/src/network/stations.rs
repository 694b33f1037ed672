//! The heat path of a known computer, fitted to a record: die, lid, paste, cooler and the air in the case as stations
//! whose sizes are about known beforehand.
//!
//! Layers found from a record alone do not say which of them is the paste. Here the stations are given, what is known of
//! each is its prior, and the record moves them: what it does not tell stays as wide as it was.

use crate::network::record::{Binned, Record, binned};
use crate::network::spectrum::uncertainties_k;
use crate::refusal::{Refusal, positive, within};
use crate::regression::least_squares::{End, least_squares};

/// A station's resistance or store.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Station {
    /// Junction to the lid's upper face, in kelvin per watt.
    Inner,
    /// Lid's face to the cooler's base: the paste.
    Paste,
    /// Base to the air that the cooler takes, at the speed its fan had at the end.
    Sink,
    /// Air in the case to the room: warming of the air for each watt.
    CaseAir,
    /// What the die stores, in joules per kelvin.
    DieStore,
    /// What the lid stores.
    LidStore,
    /// What the cooler stores.
    CoolerStore,
    /// What takes part in the case: air and the metal about it.
    CaseStore,
    /// Share of the cooler's resistance that is metal before its fins.
    MetalShare,
    /// Share of the cooler's store that is its base.
    BaseShare,
    /// Share of what lies between junction and lid's face that is behind the middle of the lid's store.
    LidShare,
}

/// How many stations there are.
pub const STATIONS: usize = 11;

impl Station {
    /// All, in the order of estimates.
    pub const ALL: [Self; STATIONS] = [
        Self::Inner,
        Self::Paste,
        Self::Sink,
        Self::CaseAir,
        Self::DieStore,
        Self::LidStore,
        Self::CoolerStore,
        Self::CaseStore,
        Self::MetalShare,
        Self::BaseShare,
        Self::LidShare,
    ];
}

/// What is known of a station before the record: normal in its logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Middle, in the station's unit.
    pub middle: f64,
    /// Standard deviation of its natural logarithm.
    pub spread: f64,
}

/// What stands beside the rows of a record; both as long as its rows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside<'r> {
    /// How many times the fins' film takes what it takes at the end of the record, by the fan's speed.
    pub film_times: &'r [f64],
    /// Temperature of the air that the cooler takes, in °C, where it was measured.
    pub case_air_c: Option<&'r [f64]>,
}

/// Stations that were fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Stations {
    /// Natural logarithms of the estimates, as [`Station::ALL`].
    pub logs: Vec<f64>,
    /// Their covariance, row after row.
    pub covariance: Vec<f64>,
    /// Root of the mean square of what the fit leaves, in kelvin.
    pub left_k: f64,
    /// The same in shares of what was expected of it: much above one where the stations cannot be right.
    pub misfit: f64,
    /// Time, measured and fitted temperature of each bin, in seconds and °C.
    pub curve: Vec<(f64, f64, f64)>,
}

impl Stations {
    /// Estimate of a station and the standard deviation of its logarithm.
    pub fn of(&self, station: Station) -> (f64, f64) {
        let place = station as usize;
        let n = Station::ALL.len();
        let variance = self.covariance.get(place * n + place).copied().unwrap_or(f64::INFINITY);
        (self.logs.get(place).map_or(f64::NAN, |log| log.exp()), variance.sqrt())
    }
}

/// Nodes: die, lid, base, fins, air in the case.
const NODES: usize = 5;
/// Steps to the middle of a bin and from there to its end.
const STEPS: (usize, usize) = (3, 2);
/// A model of five lumps is this far off, as a share of the rise, whatever it is fitted to: the tests measure it
/// against finer ladders.
const MODEL_FAULT: f64 = 0.012;
/// How far a sensor may be off, and how far the room may drift over the record where nobody said it, in kelvin.
const OFFSET_K: f64 = 20.0;
const DRIFT_K: f64 = 1.0;
/// What is left from bin to bin hangs together over so many of them.
const HANG_TOGETHER: f64 = 3.0;
const END: End = End { most_steps: 40, at_rest: 1e-5 };

struct Chain {
    /// Stores in J/K.
    stores: [f64; NODES],
    /// Conductances from each node to the next, the last to the outer air, in W/K.
    links: [f64; NODES],
    /// Nodes that take part: four where the case's air was measured.
    nodes: usize,

    film_k_w: f64,
}

impl Chain {
    fn of(logs: &[f64], air_is_known: bool) -> Self {
        let value = |station: Station| logs.get(station as usize).map_or(f64::NAN, |log| log.exp());
        let metal_share = value(Station::MetalShare).min(0.9);
        let base_share = value(Station::BaseShare).min(0.9);
        let sink = value(Station::Sink);
        let cooler = value(Station::CoolerStore);
        let metal_k_w = metal_share * sink;
        let lid_k_w = value(Station::LidShare).min(0.9) * value(Station::Inner);
        Self {
            stores: [
                value(Station::DieStore),
                value(Station::LidStore),
                base_share * cooler,
                (1.0 - base_share) * cooler,
                value(Station::CaseStore),
            ],
            links: [
                1.0 / (value(Station::Inner) - lid_k_w),
                1.0 / (lid_k_w + value(Station::Paste)),
                1.0 / metal_k_w,
                0.0,
                1.0 / value(Station::CaseAir),
            ],
            nodes: if air_is_known { NODES - 1 } else { NODES },
            film_k_w: sink - metal_k_w,
        }
    }

    /// Solves `(weight * stores + conductances) T = right` for the nodes that take part; `right` becomes T.
    fn solve(&self, weight: f64, right: &mut [f64; NODES]) {
        let n = self.nodes;
        let mut diagonal = [0.0; NODES];
        let mut above = 0.0;
        for (entry, (store, link)) in diagonal.iter_mut().zip(self.stores.iter().zip(&self.links)).take(n) {
            *entry = weight * store + above + link;
            above = *link;
        }
        for idx in 1..n {
            let times = self.links[idx - 1] / diagonal[idx - 1];
            diagonal[idx] -= times * self.links[idx - 1];
            right[idx] += times * right[idx - 1];
        }
        for idx in (0..n).rev() {
            let below = if idx + 1 < n { self.links[idx] * right[idx + 1] } else { 0.0 };
            right[idx] = (right[idx] + below) / diagonal[idx];
        }
    }

    /// Heat that comes in from outside the chain: power at the die, air at its other end.
    fn inflow(&self, power_w: f64, air_c: f64) -> [f64; NODES] {
        let mut heat = [0.0; NODES];
        heat[0] = power_w;
        heat[self.nodes - 1] += self.links[self.nodes - 1] * air_c;
        heat
    }

    /// One step of the L-stable two-stage rule of second order.
    fn step(&self, at: &mut [f64; NODES], step_s: f64, heat: &[f64; NODES]) {
        const GAMMA: f64 = 1.0 - core::f64::consts::FRAC_1_SQRT_2;
        let weight = 1.0 / (GAMMA * step_s);
        let stage = |from: &[f64; NODES]| {
            let mut right = [0.0; NODES];
            for idx in 0..self.nodes {
                right[idx] = weight * self.stores[idx] * from[idx] + heat[idx];
            }
            self.solve(weight, &mut right);
            right
        };
        let first = stage(at);
        let mut from = *at;
        for (from, first) in from.iter_mut().zip(&first) {
            *from += (1.0 - GAMMA) / GAMMA * (first - *from);
        }
        *at = stage(&from);
    }
}

/// Means over each bin's rows of what stands beside a record.
fn by_bin(binned: &Binned, values: &[f64]) -> Vec<f64> {
    let mut rows = values.iter().copied();
    binned
        .bins
        .iter()
        .map(|bin| {
            let count = bin.rows as usize;
            rows.by_ref().take(count).sum::<f64>() / bin.rows.max(1.0)
        })
        .collect()
}

/// Temperatures of the die at the middle of each bin.
fn march(
    logs: &[f64],
    binned: &Binned,
    power_before_w: f64,
    film_times: &[f64],
    air_c: &dyn Fn(usize, f64) -> f64,
    air_is_known: bool,
) -> Vec<f64> {
    let mut chain = Chain::of(logs, air_is_known);
    let mut at = [0.0; NODES];
    let mut now_s = 0.0;
    let mut out = Vec::with_capacity(binned.bins.len());
    for (idx, bin) in binned.bins.iter().enumerate() {
        chain.links[3] = 1.0 / (chain.film_k_w * film_times.get(idx).copied().unwrap_or(1.0));
        if idx == 0 {
            // Long before the record nothing moved.
            at = chain.inflow(power_before_w, air_c(0, 0.0));
            chain.solve(0.0, &mut at);
        }
        let heat = |chain: &Chain, time_s: f64| chain.inflow(bin.power_w, air_c(idx, time_s));
        let mean_s = bin.mean_s.min(bin.length_s);
        for (long_s, steps, end) in [(mean_s, STEPS.0, false), (bin.length_s - mean_s, STEPS.1, true)] {
            if long_s > 0.0 {
                let inflow = heat(&chain, now_s + 0.5 * long_s);
                for _ in 0..steps {
                    chain.step(&mut at, long_s / steps as f64, &inflow);
                }
            }
            now_s += long_s;
            if !end {
                out.push(at[0]);
            }
        }
    }

    out
}

/// Fits the stations of a known computer to a record.
///
/// # Model
/// Five lumps in a row, the heat entering at the die; the fins' film follows the fan; the outer air drifts evenly. Before the
/// record everything is steady at its first power. The most likely estimates under the priors and their
/// covariance there (Laplace's approximation), widened where more is left than the sensor explains. Left out: heat
/// that goes through the socket into the board, and fins that are warmer near the base than the mean.
///
/// # Source
/// Lumps in a row: Cauer's network as in JEDEC JESD51-14, 2010. The approximation: D. J. C. MacKay, Information Theory,
/// Inference, and Learning Algorithms, 2003, ch. 27; from memory.
///
/// # Errors
/// A record that cannot be binned, priors that are not above zero, rows beside it that are not as many.
pub fn stations(
    record: &Record<'_>,
    beside: &Beside<'_>,
    priors: &[Prior; STATIONS],
) -> Result<Stations, Refusal> {
    for prior in priors {
        positive("prior", prior.middle)?;
        positive("spread of a prior", prior.spread)?;
    }
    let rows = record.times_s.len();
    let equal = beside.film_times.len() == rows && beside.case_air_c.is_none_or(|air| air.len() == rows);
    within("rows", rows as f64, equal, "as many in each column")?;
    let thinned = binned(record)?;
    let film_times = by_bin(&thinned, beside.film_times);
    let known_air = beside.case_air_c.map(|air| by_bin(&thinned, air));
    let total_s: f64 = thinned.bins.iter().map(|bin| bin.length_s).sum();
    let sensor = uncertainties_k(&thinned);
    let first_c = thinned.bins.first().map_or(0.0, |bin| bin.temperature_c);
    let rise = thinned.bins.iter().map(|bin| (bin.temperature_c - first_c).abs()).fold(0.0, f64::max);
    let weights: Vec<f64> = sensor
        .iter()
        .map(|sensor| 1.0 / (HANG_TOGETHER * (sensor * sensor + (MODEL_FAULT * rise).powi(2))).sqrt())
        .collect();
    let count = Station::ALL.len();
    // Behind the stations: level of the outer air or offset of the sensor, and the room's drift.
    let level_c = if known_air.is_some() { 0.0 } else { first_c };
    let mut start: Vec<f64> = priors.iter().map(|prior| prior.middle.ln()).collect();
    start.extend([0.0, 0.0]);
    let model = |at: &[f64]| {
        let (level, drift) =
            (at.get(count).copied().unwrap_or(0.0), at.get(count + 1).copied().unwrap_or(0.0));
        let air = |idx: usize, time_s: f64| match &known_air {
            Some(air) => air.get(idx).copied().unwrap_or(level_c),
            None => level_c + level * OFFSET_K + drift * DRIFT_K * time_s / total_s,
        };
        let offset = if known_air.is_some() { level * OFFSET_K } else { 0.0 };
        let mut out = march(at, &thinned, record.power_before_w, &film_times, &air, known_air.is_some());
        out.iter_mut().for_each(|value| *value += offset);
        out
    };
    let fit = least_squares(&start, END, |at| {
        let fitted = model(at);
        let data = fitted
            .iter()
            .zip(&thinned.bins)
            .zip(&weights)
            .map(|((fitted, bin), weight)| (fitted - bin.temperature_c) * weight);
        let held = at.iter().zip(priors).map(|(at, prior)| (at - prior.middle.ln()) / prior.spread);
        data.chain(held)
            .chain([at.get(count).copied().unwrap_or(0.0), at.get(count + 1).copied().unwrap_or(0.0)])
            .collect()
    })?;
    let fitted = model(&fit.parameters);
    let left: Vec<f64> =
        fitted.iter().zip(&thinned.bins).map(|(fitted, bin)| bin.temperature_c - fitted).collect();
    let bins = left.len().max(1) as f64;
    let square = left.iter().map(|left| left * left).sum::<f64>() / bins;
    let misfit = (HANG_TOGETHER
        * left.iter().zip(&weights).map(|(left, weight)| (left * weight).powi(2)).sum::<f64>()
        / bins)
        .sqrt();
    let whole = fit.covariance.ok_or(Refusal {
        name: "what the record tells of the stations",
        found: 0.0,
        expected: "something",
    })?;
    let widened = misfit.max(1.0).powi(2);
    let covariance = (0..count * count)
        .map(|cell| whole.get(cell / count * (count + 2) + cell % count).copied().unwrap_or(0.0) * widened)
        .collect();
    let mut end_s = record.begins_s;
    let curve = thinned
        .bins
        .iter()
        .zip(&fitted)
        .map(|(bin, fitted)| {
            let at_s = end_s + bin.mean_s;
            end_s += bin.length_s;
            (at_s, bin.temperature_c, *fitted)
        })
        .collect();
    let logs = fit.parameters.into_iter().take(count).collect();
    Ok(Stations { logs, covariance, left_k: square.sqrt(), misfit, curve })
}
