//! A heat path as a few uniform layers, found from what its surface answers.
//!
//! A ladder of lumps has as many steps as the data have time constants, whether the path is lumped or
//! distributed, and its structure function is a staircase about the true curve. Here the layers themselves are
//! the unknown, as many as the data can tell apart.

use crate::dot::dot;
use crate::network::foster::Term;
use crate::network::symmetric::solve;
use crate::refusal::{Refusal, not_negative, positive, within};

/// A uniform layer that the heat passes in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Resistance in kelvin per watt.
    pub resistance_k_w: f64,
    /// Capacitance in joules per kelvin.
    pub capacitance_j_k: f64,
}

/// How layers are looked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// Most layers.
    pub most: usize,
    /// Shortest and longest time about which the terms know something, in seconds.
    pub times_s: (f64, f64),
    /// Uncertainty of the terms' answer at a rate, as a share of it.
    pub relative: f64,
    /// What is added to that, in kelvin per watt.
    pub absolute_k_w: f64,
}

/// Rates at which layers are compared with the terms, in each decade.
const RATES_A_DECADE: f64 = 4.0;
/// Logarithms of resistance and capacitance are held within about so many units of where they began, so that
/// what the data do not tell stays finite.
const HOLD: f64 = 4.0;
const FILM_HELD: f64 = 1e6;
/// Steps with which a cut is tried, and with which the best one is brought to rest.
const TRYING: usize = 8;
const RESTING: usize = 30;
/// A layer more must lessen the misfit by so much: two parameters, each at the logarithm of the number of
/// independent data (Schwarz's criterion).
const LEAST_GAIN: f64 = 2.0 * 3.7;

/// Answer of layers at a real rate, and its slopes over the logarithms of each layer's resistance and capacitance.
///
/// # Model
/// Each layer is a uniform RC line; at the real rate s, with `a = sqrt(s R C)`:
/// `Z' = (Z + R tanh(a)/a) / (1 + Z a tanh(a)/R)`, from the air upwards.
///
/// # Source
/// H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, section 3.7 (a slab between its
/// faces); from memory.
pub fn answer_k_w(layers: &[Layer], rate_1_s: f64, slopes: &mut [[f64; 2]]) -> f64 {
    let mut z = 0.0;
    let mut through = [1.0; MOST];
    for ((layer, slope), through) in layers.iter().zip(slopes.iter_mut()).zip(&mut through).rev() {
        let r = layer.resistance_k_w;
        let a = (rate_1_s * r * layer.capacitance_j_k).sqrt().max(1e-9);
        // Beyond this the hyperbolic tangent is one in doubles.
        let t = if a > 20.0 {
            1.0
        } else {
            let e = (-2.0 * a).exp_m1();
            -e / (2.0 + e)
        };
        let narrow = (1.0 - t) * (1.0 + t);
        let (u, v) = (r * t / a, a * t / r);
        let (top, bottom) = (z + u, 1.0 + z * v);
        // Both by the logarithm of a, of which each logarithm moves one half.
        let (du, dv) = (0.5 * r * (narrow - t / a), 0.5 * a * (t + a * narrow) / r);
        let moved = |du: f64, dv: f64| (du * bottom - top * z * dv) / (bottom * bottom);
        *slope = [moved(u + du, dv - v), moved(du, dv)];
        *through = narrow / (bottom * bottom);
        z = top / bottom;
    }
    // A layer moves the surface's answer through all layers above it.
    let mut passed = 1.0;
    for (slope, through) in slopes.iter_mut().zip(&through) {
        slope[0] *= passed;
        slope[1] *= passed;
        passed *= through;
    }
    z
}

/// What the terms answer at a rate, and how much it counts.
struct Wanted {
    rate_1_s: f64,
    answer_k_w: f64,
    weight_w_k: f64,
}

/// What the terms answer, at rates over the times that are known.
fn wanted(terms: &[Term], search: &Search) -> Vec<Wanted> {
    let (short, long) = search.times_s;
    let count = ((long / short).log10() * RATES_A_DECADE).ceil().clamp(4.0, 120.0) as usize;
    (0..=count)
        .map(|idx| {
            let rate_1_s = (short / long).powf(idx as f64 / count as f64) / short;
            let answer_k_w =
                terms.iter().map(|term| term.resistance_k_w / (1.0 + rate_1_s * term.time_constant_s)).sum();
            let weight_w_k = 1.0 / (search.relative * answer_k_w + search.absolute_k_w);
            Wanted { rate_1_s, answer_k_w, weight_w_k }
        })
        .collect()
}

/// What layers leave at each rate and how that changes with each logarithm, by their weights.
#[derive(Debug, Clone)]
struct Seen {
    left: Vec<f64>,
    slopes: Vec<Vec<f64>>,
}

impl Seen {
    /// Looks at layers; gives their misfit.
    fn look(&mut self, layers: &[Layer], wanted: &[Wanted]) -> f64 {
        let mut slopes = [[0.0; 2]; MOST];
        for (place, (left, at)) in self.left.iter_mut().zip(wanted).enumerate() {
            let found = answer_k_w(layers, at.rate_1_s, &mut slopes);
            *left = (at.answer_k_w - found) * at.weight_w_k;
            for (column, slope) in self.slopes.iter_mut().zip(slopes.as_flattened()) {
                column[place] = slope * at.weight_w_k;
            }
        }
        dot(&self.left, &self.left)
    }
}

/// Moves the layers to the least misfit; gives what is left of it.
fn settle(layers: &mut [Layer], wanted: &[Wanted], steps: usize) -> f64 {
    let n = 2 * layers.len();
    let began: Vec<Layer> = layers.to_vec();
    // The film at the end stays one: what it stores is not moved.
    let stiffness = |idx: usize, part: usize| {
        let film = idx + 1 == began.len() && part == 1;
        if film { FILM_HELD } else { 1.0 / (HOLD * HOLD) }
    };
    let off = |now: &Layer, then: &Layer| {
        [(now.resistance_k_w / then.resistance_k_w).ln(), (now.capacitance_j_k / then.capacitance_j_k).ln()]
    };
    let hold = |layers: &[Layer]| -> f64 {
        layers
            .iter()
            .zip(&began)
            .enumerate()
            .map(|(idx, (now, then))| {
                let [resistance, capacitance] = off(now, then);
                stiffness(idx, 0) * resistance * resistance + stiffness(idx, 1) * capacitance * capacitance
            })
            .sum()
    };
    let mut seen = Seen { left: vec![0.0; wanted.len()], slopes: vec![vec![0.0; wanted.len()]; n] };
    let mut ahead = seen.clone();
    let mut misfit = seen.look(layers, wanted);
    let mut here = misfit + hold(layers);
    let mut damping = 1e-2;
    for _ in 0..steps {
        let mut normal = vec![0.0; n * n];
        let mut right = vec![0.0; n];
        for (i, slopes) in seen.slopes.iter().enumerate() {
            right[i] = dot(slopes, &seen.left);
            for (cell, other) in normal[i * n..=i * n + i].iter_mut().zip(&seen.slopes) {
                *cell = dot(slopes, other);
            }
        }
        for (idx, (now, then)) in layers.iter().zip(&began).enumerate() {
            for (part, off) in off(now, then).into_iter().enumerate() {
                let i = 2 * idx + part;
                normal[i * n + i] += stiffness(idx, part);
                right[i] -= off * stiffness(idx, part);
            }
        }
        let mut gained = 0.0;
        for _ in 0..8 {
            let mut damped = normal.clone();
            for i in 0..n {
                damped[i * n + i] *= 1.0 + damping;
            }
            let Some(step) = solve(damped, right.clone()) else { break };
            let moved: Vec<Layer> = layers
                .iter()
                .zip(step.chunks_exact(2))
                .map(|(layer, step)| Layer {
                    resistance_k_w: layer.resistance_k_w * step[0].clamp(-1.5, 1.5).exp(),
                    capacitance_j_k: layer.capacitance_j_k * step[1].clamp(-1.5, 1.5).exp(),
                })
                .collect();
            let met = ahead.look(&moved, wanted);
            let there = met + hold(&moved);
            if there < here {
                core::mem::swap(&mut seen, &mut ahead);
                misfit = met;
                gained = (here - there) / (1.0 + here);
                layers.copy_from_slice(&moved);
                here = there;
                damping = (damping * 0.15).max(1e-12);
                break;
            }
            damping *= 8.0;
        }
        if gained < 1e-4 {
            break;
        }
    }
    misfit
}

/// The layers that answer as the terms do: as few as meet the terms within their uncertainty.
///
/// # Model
/// One layer and a film to begin with; then each layer in turn is cut in two, once with more capacitance before and once
/// behind, all are moved to the least misfit by damped Gauss-Newton steps, and the best cut stays if it
/// lessens the misfit by more than chance would. What is faster or slower than the known times is not told.
///
/// # Source
/// The answer of layers: [`answer_k_w`]. Number of layers: G. Schwarz, Annals of Statistics 6, 461-464, 1978. The
/// combination is our own; the tests measure it against exact columns.
///
/// # Errors
/// No terms, no layers or more than twelve, or times that do not rise.
pub fn layers(terms: &[Term], search: &Search) -> Result<Vec<Layer>, Refusal> {
    crate::network::foster::checked(terms)?;
    within("layers", search.most as f64, (1..=MOST).contains(&search.most), "1 to 12")?;
    let (short, long) = search.times_s;
    positive("shortest time", short)?;
    within("longest time", long, long > 2.0 * short && long.is_finite(), "above the shortest")?;
    positive("relative uncertainty", search.relative)?;
    not_negative("absolute uncertainty", search.absolute_k_w)?;
    let wanted = wanted(terms, search);
    let total: f64 = terms.iter().map(|term| term.resistance_k_w).sum();
    let weighted: f64 = terms.iter().map(|term| term.resistance_k_w * term.time_constant_s).sum();
    // A line of resistance R and capacitance C has the mean time constant R C / 3; behind it lies a film, which
    // stores nothing: heat always leaves by one.
    let mut best = vec![
        Layer { resistance_k_w: 0.5 * total, capacitance_j_k: 2.0 * weighted / (total * total) },
        Layer { resistance_k_w: 0.5 * total, capacitance_j_k: FILM_SHARE * weighted / (total * total) },
    ];
    let mut misfit = settle(&mut best, &wanted, RESTING);
    while best.len() < search.most {
        let mut found: Option<(Vec<Layer>, f64)> = None;
        for cut in 0..best.len() - 1 {
            for ratio in CUTS {
                let mut tried = best.clone();
                let whole = tried[cut];
                let part = |share: f64| Layer {
                    resistance_k_w: 0.5 * whole.resistance_k_w,
                    capacitance_j_k: whole.capacitance_j_k * share,
                };
                tried[cut] = part(1.0 / (1.0 + ratio));
                tried.insert(cut + 1, part(ratio / (1.0 + ratio)));
                let left = settle(&mut tried, &wanted, TRYING);
                if found.as_ref().is_none_or(|found| left < found.1) {
                    found = Some((tried, left));
                }
            }
        }
        let Some((mut tried, _)) = found else { break };
        let left = settle(&mut tried, &wanted, RESTING);
        if left >= misfit - LEAST_GAIN {
            break;
        }
        (best, misfit) = (tried, left);
    }
    Ok(best)
}

/// Capacitance of the film, in shares of what the layers before it begin with.
const FILM_SHARE: f64 = 1e-7;
/// Most layers that are looked for.
pub const MOST: usize = 12;
/// How much more capacitance lies behind a cut than before it.
const CUTS: [f64; 2] = [0.03, 30.0];

/// Corner points of the cumulative structure function of layers: sums of resistance and capacitance, with the
/// origin.
pub fn corners(layers: &[Layer]) -> Vec<(f64, f64)> {
    let mut at = (0.0, 0.0);
    let mut out = vec![at];
    for layer in layers {
        at = (at.0 + layer.resistance_k_w, at.1 + layer.capacitance_j_k);
        out.push(at);
    }
    out
}

/// Resistance at which a capacitance is reached; the whole where it never is.
pub fn resistance_at_k_w(layers: &[Layer], capacitance_j_k: f64) -> f64 {
    let mut left = capacitance_j_k;
    let mut sum = 0.0;
    for layer in layers {
        if left <= layer.capacitance_j_k {
            return sum + layer.resistance_k_w * (left / layer.capacitance_j_k).max(0.0);
        }
        left -= layer.capacitance_j_k;
        sum += layer.resistance_k_w;
    }
    sum
}

/// Capacitance met up to a resistance.
pub fn capacitance_at_j_k(layers: &[Layer], resistance_k_w: f64) -> f64 {
    let mut left = resistance_k_w;
    let mut sum = 0.0;
    for layer in layers {
        sum += layer.capacitance_j_k * (left / layer.resistance_k_w).clamp(0.0, 1.0);
        left -= layer.resistance_k_w;
    }
    sum
}
