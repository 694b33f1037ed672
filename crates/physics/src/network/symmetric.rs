//! Symmetric positive systems of equations.

use crate::dot::dot;

/// Solves by Cholesky's method; `None` where the matrix is not positive. `matrix` is row after row, its lower
/// half is read.
///
/// # Source
/// G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, section 4.2.
pub fn solve(mut matrix: Vec<f64>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let n = right.len();
    for i in 0..n {
        let (above, from) = matrix.split_at_mut(i * n);
        let row = from.get_mut(..n)?;
        for j in 0..i {
            let other = above.get(j * n..j * n + n)?;
            let known = dot(&row[..j], &other[..j]);
            row[j] = (row[j] - known) / other[j];
        }
        let value = row[i] - dot(&row[..i], &row[..i]);
        if value <= 0.0 || !value.is_finite() {
            return None;
        }
        row[i] = value.sqrt();
        right[i] = (right[i] - dot(&row[..i], &right[..i])) / row[i];
    }
    for i in (0..n).rev() {
        right[i] /= matrix[i * n + i];
        let value = right[i];
        for (cell, entry) in right[..i].iter_mut().zip(&matrix[i * n..i * n + i]) {
            *cell -= value * entry;
        }
    }
    Some(right)
}

#[cfg(test)]
mod tests {
    use super::solve;

    #[test]
    fn the_solution_solves() {
        // Hilbert's matrix of four rows with the solution of ones: exact rational arithmetic by hand.
        let matrix: Vec<f64> = (0..4).flat_map(|i| (0..4).map(move |j| 1.0 / f64::from(i + j + 1))).collect();
        let right = vec![25.0 / 12.0, 77.0 / 60.0, 57.0 / 60.0, 319.0 / 420.0];
        let found = solve(matrix, right).unwrap_or_default();
        assert!(found.len() == 4 && found.iter().all(|x| (x - 1.0).abs() < 1e-11), "{found:?}");
    }

    #[test]
    fn a_matrix_that_is_not_positive_has_no_answer() {
        assert_eq!(solve(vec![1.0, 2.0, 2.0, 1.0], vec![1.0, 1.0]), None);
    }
}
