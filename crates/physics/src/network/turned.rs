//! A record's rows turned into as few as there are unknowns, once for all fits of the same columns.

use crate::dot::dot;
use crate::network::spectrum::ByRates;
use crate::regression::least_squares::triangular;

/// Columns as a triangle, with what turns a target the same way.
///
/// # Model
/// Orthogonal reflections leave every sum of squares as it is: `|A x - t|` is `|R x - Q't|` and a rest that no `x` moves.
///
/// # Source
/// G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, section 5.3.2; from memory.
#[derive(Debug, Clone)]
pub struct Turned {
    /// The columns, each ending at its diagonal; as they came where they are no fewer than the rows.
    pub by_rates: ByRates,
    mirrors: Vec<Vec<f64>>,
}

impl Turned {
    /// Turns the columns.
    pub fn of(by_rates: ByRates) -> Self {
        let rows = by_rates.columns.first().map_or(0, Vec::len);
        let mut mirrors = by_rates.columns.clone();
        if rows <= by_rates.columns.len() {
            return Self { by_rates, mirrors: Vec::new() };
        }
        let Some(diagonal) = triangular(&mut mirrors, None) else {
            return Self { by_rates, mirrors: Vec::new() };
        };
        let columns = mirrors
            .iter()
            .zip(diagonal)
            .enumerate()
            .map(|(place, (mirror, diagonal))| mirror.iter().take(place).copied().chain([diagonal]).collect())
            .collect();
        Self { by_rates: ByRates { rates_1_s: by_rates.rates_1_s, columns }, mirrors }
    }

    /// Turns a target: one entry for each column, and behind them the length of what none of them reaches.
    pub fn target(&self, mut target: Vec<f64>) -> Vec<f64> {
        if self.mirrors.is_empty() {
            return target;
        }
        for (place, mirror) in self.mirrors.iter().enumerate() {
            let (Some(mirror), Some(cells)) = (mirror.get(place..), target.get_mut(place..)) else {
                continue;
            };
            let times = 2.0 * dot(mirror, cells) / dot(mirror, mirror);
            for (cell, entry) in cells.iter_mut().zip(mirror) {
                *cell -= times * entry;
            }
        }
        let rest = target.split_off(self.mirrors.len());
        target.push(dot(&rest, &rest).sqrt());
        target
    }
}

#[cfg(test)]
mod tests {
    use super::Turned;
    use crate::network::spectrum::ByRates;

    #[test]
    fn every_misfit_stays_as_it_was() {
        let columns = vec![vec![1.0, 2.0, 3.0, 5.0], vec![2.0, -1.0, 0.5, 4.0]];
        let target = vec![3.0, 1.0, -2.0, 7.0];
        let misfit = |columns: &[Vec<f64>], target: &[f64], x: [f64; 2]| -> f64 {
            let mut left: Vec<f64> = target.to_vec();
            for (column, x) in columns.iter().zip(x) {
                left.iter_mut().zip(column).for_each(|(cell, entry)| *cell -= x * entry);
            }
            left.iter().map(|cell| cell * cell).sum()
        };
        let turned = Turned::of(ByRates { rates_1_s: vec![1.0, 2.0], columns: columns.clone() });
        let short = turned.target(target.clone());
        assert_eq!(short.len(), 3);
        for x in [[0.0, 0.0], [1.0, -2.0], [0.3, 0.9]] {
            let (long, short) = (misfit(&columns, &target, x), misfit(&turned.by_rates.columns, &short, x));
            assert!((long - short).abs() < 1e-12 * long, "{long} {short}");
        }
    }
}
