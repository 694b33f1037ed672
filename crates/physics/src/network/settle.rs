//! Layers brought to where a record's rows and what is believed of layers leave least.

use crate::dot::dot;
use crate::network::layers::{Layer, MOST, answer_k_w};
use crate::network::prior::Prior;
use crate::network::spectrum::ByRates;
use crate::network::symmetric::solve;

/// A record's rows, by what a path answers at real rates.
#[derive(Debug, Clone, Copy)]
pub struct Rows<'r> {
    /// What each answer weighs in each row.
    pub by_rates: &'r ByRates,
    /// The rows.
    pub target: &'r [f64],
}

/// Beyond this many times its expectation what layers leave is no chance.
const CHANCE: f64 = 4.0;

impl Rows<'_> {
    /// A sum of squares that only chance and belief leave: what no layers reach tells how large a row's share is.
    ///
    /// # Source
    /// V. A. Morozov's discrepancy principle, Soviet Math. Dokl. 7, 414-417, 1966; from memory.
    pub fn enough(&self) -> f64 {
        let reached = self.by_rates.columns.len().min(self.target.len()) as f64;
        let beyond: f64 = self.target.iter().skip(self.by_rates.columns.len()).map(|row| row * row).sum();
        CHANCE * reached + beyond
    }
}

/// Damping to begin with, in shares of the diagonal.
const FIRST_DAMPING: f64 = 1e-2;
/// A step that lessens the sum of squares by a smaller share is the last.
const AT_REST: f64 = 1e-4;
/// No logarithm moves further in one step.
const FURTHEST: f64 = 1.5;
/// Dampings tried for one step.
const DAMPINGS: usize = 8;

/// What layers leave, and how that changes with each logarithm: resistance and capacitance of each layer in turn.
struct Seen {
    left: Vec<f64>,
    slopes: Vec<Vec<f64>>,
}

impl Seen {
    fn new(rows: usize, count: usize) -> Self {
        Self { left: vec![0.0; rows], slopes: vec![vec![0.0; rows]; count] }
    }

    /// Looks at layers; gives the sum of squares.
    fn look(&mut self, rows: &Rows<'_>, layers: &[Layer]) -> f64 {
        self.left.copy_from_slice(rows.target);
        for column in &mut self.slopes {
            column.fill(0.0);
        }
        let mut slopes = [[0.0; 2]; MOST];
        for (rate, column) in rows.by_rates.rates_1_s.iter().zip(&rows.by_rates.columns) {
            let answer = answer_k_w(layers, *rate, &mut slopes);
            for (cell, entry) in self.left.iter_mut().zip(column) {
                *cell -= answer * entry;
            }
            for (out, slope) in self.slopes.iter_mut().zip(slopes.as_flattened()) {
                for (cell, entry) in out.iter_mut().zip(column) {
                    *cell += slope * entry;
                }
            }
        }
        dot(&self.left, &self.left)
    }

    /// Normal matrix, row after row with its lower half, and right side of the next step.
    fn normal(&self, prior: &Prior, layers: &[Layer]) -> (Vec<f64>, Vec<f64>) {
        let n = self.slopes.len();
        let mut normal = vec![0.0; n * n];
        let mut right = vec![0.0; n];
        for (i, slopes) in self.slopes.iter().enumerate() {
            right[i] = dot(slopes, &self.left);
            for (cell, other) in normal[i * n..=i * n + i].iter_mut().zip(&self.slopes) {
                *cell = dot(slopes, other);
            }
        }
        let by = prior.slopes();
        for (idx, layer) in layers.iter().take(layers.len() - 1).enumerate() {
            let off = prior.off(idx, layer);
            let (r, c) = (2 * idx, 2 * idx + 1);
            normal[r * n + r] += by.resistance * by.resistance + by.slope * by.slope;
            normal[c * n + c] += by.slope * by.slope;
            normal[c * n + r] -= by.slope * by.slope;
            right[r] += off.slope * by.slope - off.resistance * by.resistance;
            right[c] -= off.slope * by.slope;
        }
        (normal, right)
    }
}

/// Moves layers to the least sum of squares; gives what is left of it. What the last layer, a film, stores is not moved.
///
/// # Model
/// Damped Gauss-Newton steps in the logarithms of resistance and capacitance.
///
/// # Source
/// D. W. Marquardt, J. Soc. Indust. Appl. Math. 11, 431-441, 1963; from memory.
pub fn settle(rows: &Rows<'_>, prior: &Prior, layers: &mut [Layer], steps: usize) -> f64 {
    let n = (2 * layers.len()).saturating_sub(1);
    let mut seen = Seen::new(rows.target.len(), n);
    let mut ahead = Seen::new(rows.target.len(), n);
    let mut here = seen.look(rows, layers) + prior.squares(layers);
    let mut damping = FIRST_DAMPING;
    for _ in 0..steps {
        let (normal, right) = seen.normal(prior, layers);
        let mut gained = 0.0;
        for _ in 0..DAMPINGS {
            let mut damped = normal.clone();
            for i in 0..n {
                damped[i * n + i] *= 1.0 + damping;
            }
            let Some(step) = solve(damped, right.clone()) else { break };
            let moved: Vec<Layer> = layers
                .iter()
                .zip(step.chunks(2))
                .map(|(layer, step)| {
                    let by = |place: usize| {
                        step.get(place).copied().unwrap_or(0.0).clamp(-FURTHEST, FURTHEST).exp()
                    };
                    Layer {
                        resistance_k_w: layer.resistance_k_w * by(0),
                        capacitance_j_k: layer.capacitance_j_k * by(1),
                    }
                })
                .collect();
            let there = ahead.look(rows, &moved) + prior.squares(&moved);
            if there < here {
                core::mem::swap(&mut seen, &mut ahead);
                gained = (here - there) / (1.0 + here);
                layers.copy_from_slice(&moved);
                here = there;
                damping = (damping * 0.15).max(1e-12);
                break;
            }
            damping *= 8.0;
        }
        if gained < AT_REST {
            break;
        }
    }
    here
}
