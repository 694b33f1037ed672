//! Least squares with coefficients that are not below zero.
//!
//! # Source
//! C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, 1974, ch. 23 (algorithm NNLS). The passive
//! columns are kept orthogonal by Gram-Schmidt steps done twice, since neighbouring time constants make
//! columns that differ in the last digits only.

use crate::dot::dot;

/// Where rounding begins, as a share of the target's length: the least pull for data without noise.
pub const ROUNDING: f64 = 1e-13;

/// The coefficients that come nearest to `target`, none below zero; `columns` are equally long. A column comes in
/// only while it pulls by more than `least_pull`: with rows weighted by their uncertainty, a pull of p lessens the
/// sum of squares by about p squared.
pub fn nonneg_least_squares(columns: &[Vec<f64>], target: &[f64], least_pull: f64) -> Vec<f64> {
    let mut found = vec![0.0; columns.len()];
    let mut passive = Chosen {
        columns,
        target,
        places: Vec::new(),
        basis: Vec::new(),
        upper: Vec::new(),
        right: Vec::new(),
    };
    // Columns that came in and left at once: rounding let them in. They wait till another one has stayed.
    let mut waiting: Vec<usize> = Vec::new();
    let norms: Vec<f64> =
        columns.iter().map(|column| dot(column, column).sqrt().max(f64::MIN_POSITIVE)).collect();
    let scale = dot(target, target).sqrt();
    for _ in 0..3 * columns.len() {
        let residual = residual(columns, target, &found);
        let best = (0..columns.len())
            .filter(|idx| !passive.places.contains(idx) && !waiting.contains(idx))
            .map(|idx| (idx, dot(&columns[idx], &residual) / norms[idx]))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((entering, pull)) = best else { break };
        if pull <= least_pull {
            break;
        }
        passive.add(entering);
        loop {
            let solution = passive.solution();
            if solution.iter().all(|value| *value > 0.0) {
                for (idx, value) in passive.places.iter().zip(solution) {
                    found[*idx] = value;
                }
                break;
            }
            // As far towards the new solution as everything stays at or above zero.
            let step = passive
                .places
                .iter()
                .zip(&solution)
                .filter(|(_, value)| **value <= 0.0)
                .map(|(idx, value)| found[*idx] / (found[*idx] - value))
                .fold(1.0, f64::min);
            for (idx, value) in passive.places.iter().zip(&solution) {
                found[*idx] += step * (value - found[*idx]);
            }
            let before = passive.places.len();
            passive.keep(|idx| found[idx] > 1e-14 * scale);
            for (idx, value) in found.iter_mut().enumerate() {
                if !passive.places.contains(&idx) {
                    *value = 0.0;
                }
            }
            if passive.places.is_empty() || passive.places.len() == before {
                break;
            }
        }
        if passive.places.contains(&entering) {
            waiting.clear();
        } else {
            waiting.push(entering);
        }
    }
    found
}

fn residual(columns: &[Vec<f64>], target: &[f64], found: &[f64]) -> Vec<f64> {
    let mut left = target.to_vec();
    for (column, value) in columns.iter().zip(found).filter(|(_, value)| **value != 0.0) {
        for (cell, entry) in left.iter_mut().zip(column) {
            *cell -= value * entry;
        }
    }
    left
}

/// The chosen columns and their orthogonal directions, which stay while columns are only added behind them.
struct Chosen<'c> {
    columns: &'c [Vec<f64>],
    target: &'c [f64],
    places: Vec<usize>,
    basis: Vec<Vec<f64>>,
    /// For each column its parts along the directions up to its own.
    upper: Vec<Vec<f64>>,
    /// The target's parts along the directions.
    right: Vec<f64>,
}

impl Chosen<'_> {
    fn add(&mut self, idx: usize) {
        let mut column = self.columns[idx].clone();
        let mut upper = vec![0.0; self.places.len() + 1];
        for _ in 0..2 {
            for (one, upper) in self.basis.iter().zip(&mut upper) {
                let part = dot(one, &column);
                *upper += part;
                for (cell, entry) in column.iter_mut().zip(one) {
                    *cell -= part * entry;
                }
            }
        }
        let norm = dot(&column, &column).sqrt().max(f64::MIN_POSITIVE);
        upper[self.places.len()] = norm;
        column.iter_mut().for_each(|cell| *cell /= norm);
        self.right.push(dot(&column, self.target));
        self.basis.push(column);
        self.upper.push(upper);
        self.places.push(idx);
    }

    /// Leaves columns out; those behind the first of them are made orthogonal anew.
    fn keep(&mut self, stays: impl Fn(usize) -> bool) {
        let sound = self.places.iter().take_while(|idx| stays(**idx)).count();
        let behind = self.places.split_off(sound);
        self.basis.truncate(sound);
        self.upper.truncate(sound);
        self.right.truncate(sound);
        for idx in behind.into_iter().filter(|idx| stays(*idx)) {
            self.add(idx);
        }
    }

    /// Plain least squares over the chosen columns.
    fn solution(&self) -> Vec<f64> {
        let count = self.places.len();
        let mut out = self.right.clone();
        for row in (0..count).rev() {
            let known: f64 = (row + 1..count).map(|idx| self.upper[idx][row] * out[idx]).sum();
            out[row] = (out[row] - known) / self.upper[row][row];
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::nonneg_least_squares;

    #[test]
    fn a_negative_coefficient_becomes_zero() {
        // Two columns at right angles: the second would need -1, so it stays out and the first keeps 2.
        let columns = [vec![1.0, 0.0, 0.0], vec![0.0, 1.0, 0.0]];
        assert_eq!(nonneg_least_squares(&columns, &[2.0, -1.0, 5.0], 1e-12), [2.0, 0.0]);
    }

    #[test]
    fn a_mixture_is_taken_apart() {
        let columns: Vec<Vec<f64>> =
            (1..6).map(|k| (0..20).map(|t| (-f64::from(t) / f64::from(k)).exp()).collect()).collect();
        let target: Vec<f64> = columns[0].iter().zip(&columns[3]).map(|(a, b)| 2.0 * a + 0.5 * b).collect();
        let found = nonneg_least_squares(&columns, &target, 1e-13);
        for (value, expected) in found.iter().zip([2.0, 0.0, 0.0, 0.5, 0.0]) {
            assert!((value - expected).abs() < 1e-9, "{found:?}");
        }
    }
}
