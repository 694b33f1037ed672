//! A heat path identified from a record: network, layers, structure function with bands, and what stays unknown.

use crate::network::cauer::{Rung, from_foster};
use crate::network::foster::Term;
use crate::network::layers::{Layer, resistance_at_k_w};
use crate::network::prior::Prior;
use crate::network::record::{Record, binned};
use crate::network::search::search;
use crate::network::settle::{Rows, settle};
use crate::network::spectrum::{Air, Spectrum, prepare};
use crate::network::turned::Turned;
use crate::refusal::{Refusal, within};

/// A point of the cumulative structure function with its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Capacitance met from the heated node on, in joules per kelvin.
    pub capacitance_j_k: f64,
    /// Resistance at which it is reached, in kelvin per watt.
    pub resistance_k_w: f64,
    /// Lower and upper end of the band, in kelvin per watt.
    pub band_k_w: (f64, f64),
}

/// An identified heat path.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatPathFound {
    /// Exponentials, fastest first; neighbours of the fine grid as one.
    pub terms: Vec<Term>,
    /// The ladder that has them.
    pub rungs: Vec<Rung>,
    /// Uniform layers, from the heated node to the air.
    pub layers: Vec<Layer>,
    /// Cumulative structure function, by rising capacitance.
    pub curve: Vec<CurvePoint>,
    /// Whole resistance in kelvin per watt, and its band.
    pub total_k_w: f64,
    /// Band of the whole resistance.
    pub total_band_k_w: (f64, f64),
    /// Resistance that settles before the first row: what it is made of is unknown.
    pub too_fast_k_w: f64,
    /// Capacitance below which nothing is known, in joules per kelvin.
    pub too_fast_j_k: f64,
    /// Resistance of time constants beyond half of the record: its size is a guess of the fit.
    pub too_slow_k_w: f64,
    /// Air at the beginning in °C, as fitted.
    pub air_c: f64,
    /// Drift of the air in kelvin, as fitted.
    pub drift_k: f64,
    /// Root of the mean square of what the fit leaves, in kelvin.
    pub left_k: f64,
    /// Scatter of one row in kelvin.
    pub scatter_k: f64,
    /// Step of the sensor in kelvin; zero where it shows none.
    pub step_k: f64,
}

/// How bands are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bands {
    /// Resampled records; none gives no band.
    pub resamples: usize,
    /// Seed of the draws.
    pub seed: u64,
}

/// Points of the curve.
const POINTS: usize = 120;
/// Neighbouring bins that are drawn together, for what is left hangs together.
const BLOCK: usize = 4;
/// Steps with which the layers of a resampled record are brought to rest.
const STEPS: usize = 12;

/// Draws: SplitMix64.
///
/// # Source
/// G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom number generators, OOPSLA 2014; from memory.
struct Draw(u64);

impl Draw {
    const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count.max(1) as u64).unwrap_or(0)
    }

    /// About normal, from twelve uniform draws.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| (self.next() >> 11) as f64 / (1_u64 << 53) as f64).sum::<f64>() - 6.0
    }
}

/// Identifies the heat path behind a record.
///
/// # Model
/// Record to bins, bins to the time-constant spectrum ([`crate::network::spectrum`]), spectrum to the ladder
/// ([`from_foster`]); bins also to uniform layers, [looked for](search) on the record's own rows with what is
/// [believed](Prior) of layers where these tell nothing; layers to the structure function. Bands: what the fit
/// leaves is drawn again in blocks, with the air's own uncertainty and the belief's, and the layers are brought to rest anew; the 5 % and
/// 95 % quantiles are the band. They hold what the record's noise does and the belief allows, not what the model leaves out: heat that
/// goes other ways, and a cooler whose resistance changes with its fan; nor another number of layers.
///
/// # Source
/// JEDEC JESD51-14, 2010. Resampling: B. Efron, R. J. Tibshirani, An Introduction to the Bootstrap, 1993, ch. 8 and 9;
/// from memory.
///
/// # Errors
/// A record that cannot be binned, a power that never changes, or air that neither the record nor the caller
/// tells.
pub fn identify(record: &Record<'_>, air: &Air, bands: &Bands) -> Result<HeatPathFound, Refusal> {
    let thinned = binned(record)?;
    let prepared = prepare(&thinned, record.power_before_w, air)?;
    let temperatures: Vec<f64> = thinned.bins.iter().map(|bin| bin.temperature_c).collect();
    let spectrum = prepared.fit(&thinned, record.power_before_w, &temperatures);
    let total_k_w = spectrum.total_k_w();
    within("resistance found", total_k_w, total_k_w > 0.0, "above zero")?;
    let turned = Turned::of(prepared.by_rates(&thinned, record.power_before_w));
    let prior = Prior::about(total_k_w);
    let target = turned.target(prepared.target(&temperatures));
    let rows = Rows { by_rates: &turned.by_rates, target: &target };
    let weighted: f64 = spectrum.terms.iter().map(|term| term.resistance_k_w * term.time_constant_s).sum();
    let found = search(&rows, &prior, weighted / total_k_w);
    let too_fast_k_w = spectrum.within_k_w(thinned.shortest_s);
    let whole_j_k: f64 = found.iter().map(|layer| layer.capacitance_j_k).sum();
    let least_j_k = (thinned.shortest_s / spectrum.total_k_w()).min(0.01 * whole_j_k).max(1e-9);
    let capacitances: Vec<f64> = (0..POINTS)
        .map(|idx| least_j_k * (whole_j_k / least_j_k).powf(idx as f64 / (POINTS - 1) as f64))
        .collect();
    let mut draws = Vec::new();
    let mut totals = Vec::new();
    let mut draw = Draw(bands.seed);
    let sum = |layers: &[Layer]| layers.iter().map(|layer| layer.resistance_k_w).sum::<f64>();
    for _ in 0..bands.resamples {
        let again = resampled(&spectrum, &mut draw);
        let off = air.temperature_c.map_or(0.0, |(_, sd)| sd * draw.normal());
        let shifted: Vec<f64> = again.iter().map(|value| value + off).collect();
        // As many layers as were found, moved to where this record and this belief have them.
        let target = turned.target(prepared.target(&shifted));
        let prior = Prior {
            shifts: found.iter().map(|_| [draw.normal(), draw.normal()]).collect(),
            ..Prior::about(total_k_w)
        };
        let mut layers = found.clone();
        settle(&Rows { by_rates: &turned.by_rates, target: &target }, &prior, &mut layers, STEPS);
        totals.push(total_k_w + sum(&layers) - sum(&found));
        draws.push(capacitances.iter().map(|c| resistance_at_k_w(&layers, *c)).collect::<Vec<f64>>());
    }
    let curve = capacitances
        .iter()
        .enumerate()
        .map(|(idx, capacitance)| {
            let resistance = resistance_at_k_w(&found, *capacitance);
            let mut all: Vec<f64> = draws.iter().filter_map(|draw| draw.get(idx).copied()).collect();
            CurvePoint {
                capacitance_j_k: *capacitance,
                resistance_k_w: resistance,
                band_k_w: band(&mut all, resistance),
            }
        })
        .collect();
    let terms = merged(&spectrum.terms);
    let square: f64 = spectrum.left_k.iter().map(|left| left * left).sum();
    Ok(HeatPathFound {
        rungs: from_foster(&terms)?,
        terms,
        curve,
        total_k_w,
        total_band_k_w: band(&mut totals, total_k_w),
        too_fast_k_w,
        too_fast_j_k: thinned.shortest_s / too_fast_k_w.max(1e-9),
        too_slow_k_w: spectrum
            .terms
            .iter()
            .filter(|term| term.time_constant_s > 0.5 * thinned.span_s)
            .map(|term| term.resistance_k_w)
            .sum(),
        layers: found,
        air_c: spectrum.air_c,
        drift_k: spectrum.drift_k,
        left_k: (square / spectrum.left_k.len() as f64).sqrt(),
        scatter_k: thinned.scatter_k,
        step_k: thinned.step_k,
    })
}

/// 5 % and 95 % of the draws, stretched to hold the value itself.
fn band(draws: &mut [f64], value: f64) -> (f64, f64) {
    draws.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let idx = (share * draws.len().saturating_sub(1) as f64).round() as usize;
        draws.get(idx).copied().unwrap_or(value)
    };
    (at(0.05).min(value), at(0.95).max(value))
}

/// What the fit says, with what it left drawn again, each in shares of its uncertainty.
fn resampled(spectrum: &Spectrum, draw: &mut Draw) -> Vec<f64> {
    let left: Vec<f64> =
        spectrum.left_k.iter().zip(&spectrum.weights_1_k).map(|(left, weight)| left * weight).collect();
    let mut out = Vec::with_capacity(left.len());
    while out.len() < left.len() {
        let from = draw.below(left.len());
        let sign = if draw.next() & 1 == 0 { 1.0 } else { -1.0 };
        for step in 0..BLOCK {
            let idx = out.len();
            let (Some(fitted), Some(weight)) = (spectrum.fitted_c.get(idx), spectrum.weights_1_k.get(idx))
            else {
                break;
            };
            let taken = left.get((from + step) % left.len()).copied().unwrap_or(0.0);
            out.push(fitted + sign * taken / weight);
        }
    }
    out
}

/// Neighbours on the grid as one term: resistances added, time constants averaged by them.
fn merged(fine: &[Term]) -> Vec<Term> {
    let mut out: Vec<Term> = Vec::new();
    let mut last_s = 0.0;
    for term in fine {
        match out.last_mut() {
            Some(before) if term.time_constant_s < 1.3 * last_s => {
                let total = before.resistance_k_w + term.resistance_k_w;
                let log = (before.time_constant_s.ln() * before.resistance_k_w
                    + term.time_constant_s.ln() * term.resistance_k_w)
                    / total;
                *before = Term { resistance_k_w: total, time_constant_s: log.exp() };
            }
            _ => out.push(*term),
        }
        last_s = term.time_constant_s;
    }
    out
}

impl HeatPathFound {
    /// Differential structure function: resistance so far, and the slope of capacitance over resistance in
    /// watt seconds per square kelvin, layer by layer.
    pub fn differential(&self) -> Vec<(f64, f64)> {
        let mut passed = 0.0;
        self.layers
            .iter()
            .map(|layer| {
                let from = passed;
                passed += layer.resistance_k_w;
                (from, layer.capacitance_j_k / layer.resistance_k_w)
            })
            .collect()
    }
}
