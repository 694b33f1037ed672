//! Fitting the Universal Scalability Law to measured throughput.

use crate::refusal::{Refusal, positive, within};
use crate::scaling::universal::relative;

/// A fitted law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Contention.
    pub contention: f64,
    /// Coherency.
    pub coherency: f64,
    /// Throughput of one processor.
    pub single_throughput: f64,
    /// Sum of squared residuals.
    pub residual_squares: f64,
}

/// Least squares in throughput, with contention and coherency not below zero.
///
/// # Model
/// The throughput of one is linear in the model, so it is eliminated; what is left, in contention
/// and coherency, is minimised by Gauss-Newton steps with halving from several starts, on the
/// inside and on each edge of the allowed quarter plane. The smallest of all is taken.
///
/// # Source
/// N. J. Gunther, Guerrilla Capacity Planning, Springer 2007, ch. 5; elimination of linear
/// parameters: G. H. Golub, V. Pereyra, SIAM J. Numer. Anal. 10, 1973.
///
/// # Errors
/// Fewer than three points, unequal lengths, or a value that is not above zero.
pub fn fit(processors: &[f64], throughput: &[f64]) -> Result<Fitted, Refusal> {
    let count = processors.len() as f64;
    within(
        "points",
        count,
        processors.len() >= 3 && processors.len() == throughput.len(),
        "three or more pairs",
    )?;
    for (n, x) in processors.iter().zip(throughput) {
        within("processors", *n, *n >= 1.0, "at least 1")?;
        positive("throughput", *x)?;
    }
    let mut best: Option<Fitted> = None;
    for (a, b) in [(0.05, 0.0005), (0.0, 0.0), (0.3, 0.0), (0.01, 0.01), (0.5, 0.001), (0.9, 0.1)] {
        for free in [[true, true], [true, false], [false, true], [false, false]] {
            let start = [if free[0] { a } else { 0.0 }, if free[1] { b } else { 0.0 }];
            let found = descend(processors, throughput, start, free);
            if best.is_none_or(|best| found.residual_squares < best.residual_squares) {
                best = Some(found);
            }
        }
    }
    best.ok_or(Refusal { name: "points", found: count, expected: "three or more pairs" })
}

/// Best single throughput and residual squares for given contention and coherency.
fn eliminated(processors: &[f64], throughput: &[f64], at: [f64; 2]) -> Fitted {
    let (mut top, mut bottom) = (0.0, 0.0);
    for (n, x) in processors.iter().zip(throughput) {
        let capacity = relative(at[0], at[1], *n);
        top += capacity * x;
        bottom += capacity * capacity;
    }
    let single = top / bottom;
    let squares =
        processors.iter().zip(throughput).map(|(n, x)| (x - single * relative(at[0], at[1], *n)).powi(2));
    Fitted { contention: at[0], coherency: at[1], single_throughput: single, residual_squares: squares.sum() }
}

fn descend(processors: &[f64], throughput: &[f64], start: [f64; 2], free: [bool; 2]) -> Fitted {
    let mut at = start;
    let mut here = eliminated(processors, throughput, at);
    let mut damping = 1e-3;
    for _ in 0..200 {
        // Normal equations of all three parameters; the linear one is kept so that steps see its coupling.
        let mut normal = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        for (n, x) in processors.iter().zip(throughput) {
            let capacity = relative(at[0], at[1], *n);
            let single = here.single_throughput;
            let slope = -single * capacity * capacity / n;
            let row = [
                if free[0] { slope * (n - 1.0) } else { 0.0 },
                if free[1] { slope * n * (n - 1.0) } else { 0.0 },
                capacity,
            ];
            let residual = x - single * capacity;
            for i in 0..3 {
                right[i] += row[i] * residual;
                for j in 0..3 {
                    normal[i][j] += row[i] * row[j];
                }
            }
        }
        let mut improved = false;
        for _ in 0..40 {
            let mut damped = normal;
            for i in 0..3 {
                damped[i][i] = if normal[i][i] > 0.0 { normal[i][i] * (1.0 + damping) } else { 1.0 };
            }
            let Some(step) = solve(damped, right) else { break };
            let next = [(at[0] + step[0]).max(0.0), (at[1] + step[1]).max(0.0)];
            let there = eliminated(processors, throughput, next);
            if there.residual_squares < here.residual_squares {
                improved = true;
                at = next;
                here = there;
                damping = (damping * 0.2).max(1e-12);
                break;
            }
            damping *= 4.0;
        }
        if !improved {
            break;
        }
    }
    here
}

/// Solves three equations by elimination with pivoting.
fn solve(mut matrix: [[f64; 3]; 3], mut right: [f64; 3]) -> Option<[f64; 3]> {
    for column in 0..3 {
        let pivot =
            (column..3).max_by(|a, b| matrix[*a][column].abs().total_cmp(&matrix[*b][column].abs()))?;
        if matrix[pivot][column].abs() < f64::MIN_POSITIVE {
            return None;
        }
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        for row in column + 1..3 {
            let factor = matrix[row][column] / matrix[column][column];
            let above = matrix[column];
            for (cell, above) in matrix[row].iter_mut().zip(above).skip(column) {
                *cell -= factor * above;
            }
            right[row] -= factor * right[column];
        }
    }
    for row in (0..3).rev() {
        let known: f64 = (row + 1..3).map(|idx| matrix[row][idx] * right[idx]).sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    right.iter().all(|value| value.is_finite()).then_some(right)
}
