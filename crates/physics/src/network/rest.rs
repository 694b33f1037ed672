//! Layers brought to rest on the record itself.
//!
//! Layers are looked for at real rates, where a trial costs next to nothing; but there all errors hang together, and the
//! fit does not know how. Here the same layers are moved to where the record's own rows leave least.

use crate::network::layers::{Layer, MOST, answer_k_w};
use crate::network::spectrum::ByRates;
use crate::regression::least_squares::{End, with_slopes};

/// Logarithms are held within about so many units of where they began, where the record does not tell.
const HOLD: f64 = 3.0;
/// What stores all of the heat is held to a share of the resistance of about this; what stores a hundredth, to ten times
/// as much.
///
/// # Source
/// Our own: metal conducts. Where the record tells otherwise its rows outweigh it; without it a slab before a film far
/// larger, which no record tells from a lump, takes what the joint before it has.
const METAL_SHARE: f64 = 0.02;
const END: End = End { most_steps: 25, at_rest: 1e-5 };

/// Moves layers to the least misfit with the record; none where that means nothing.
pub fn rest(layers: &[Layer], by_rates: &ByRates, target: &[f64]) -> Option<Vec<Layer>> {
    let n = (2 * layers.len()).saturating_sub(1);
    let film_j_k = layers.last()?.capacitance_j_k;
    // The film's store stays.
    let start: Vec<f64> = layers
        .iter()
        .flat_map(|layer| [layer.resistance_k_w.ln(), layer.capacitance_j_k.ln()])
        .take(n)
        .collect();
    let total: f64 = layers.iter().map(|layer| layer.resistance_k_w).sum();
    let stored: f64 = layers.iter().map(|layer| layer.capacitance_j_k).sum();
    // Shares of the whole resistance, by shares of what is stored; without the film.
    let metal = |layers: &[Layer]| -> Vec<f64> {
        let inner = layers.get(..layers.len() - 1).unwrap_or(&[]);
        inner.iter().map(|one| one.resistance_k_w / total * (one.capacitance_j_k / stored).sqrt()).collect()
    };
    let of = |at: &[f64]| -> Vec<Layer> {
        at.chunks(2)
            .map(|pair| Layer {
                resistance_k_w: pair.first().map_or(0.0, |log| log.exp()),
                capacitance_j_k: pair.get(1).map_or(film_j_k, |log| log.exp()),
            })
            .collect()
    };
    let residuals = |at: &[f64]| -> Vec<f64> {
        let now = of(at);
        let mut left: Vec<f64> = target.iter().map(|target| -target).collect();
        let mut slopes = [[0.0; 2]; MOST];
        for (rate, column) in by_rates.rates_1_s.iter().zip(&by_rates.columns) {
            let answer = answer_k_w(&now, *rate, &mut slopes);
            for (cell, entry) in left.iter_mut().zip(column) {
                *cell += answer * entry;
            }
        }
        left.extend(at.iter().zip(&start).map(|(at, start)| (at - start) / HOLD));
        // What stores much is metal, which conducts: its resistance is small where the record does not say otherwise.
        left.extend(metal(&now).into_iter().map(|part| part / METAL_SHARE));
        left
    };
    let slopes_of = |at: &[f64], count: usize| -> Vec<Vec<f64>> {
        let now = of(at);
        let mut out = vec![vec![0.0; count]; n];
        let mut slopes = [[0.0; 2]; MOST];
        for (rate, column) in by_rates.rates_1_s.iter().zip(&by_rates.columns) {
            answer_k_w(&now, *rate, &mut slopes);
            for (out, slope) in out.iter_mut().zip(slopes.as_flattened()) {
                for (cell, entry) in out.iter_mut().zip(column) {
                    *cell += slope * entry;
                }
            }
        }
        for (place, column) in out.iter_mut().enumerate() {
            if let Some(cell) = column.get_mut(target.len() + place) {
                *cell = 1.0 / HOLD;
            }
        }
        let from = target.len() + n;
        for (place, part) in metal(&now).into_iter().enumerate() {
            out[2 * place][from + place] = part / METAL_SHARE;
            out[2 * place + 1][from + place] = 0.5 * part / METAL_SHARE;
        }
        out
    };
    let fit = with_slopes(&start, END, residuals, slopes_of).ok()?;
    let good = fit.parameters.iter().all(|log| log.is_finite() && log.abs() < 80.0);
    good.then(|| of(&fit.parameters))
}
