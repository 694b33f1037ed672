//! Nonlinear least squares by damped Gauss-Newton steps.

use crate::dot::dot;
use crate::refusal::{Refusal, within};

/// Where a fit came to rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// Parameters.
    pub parameters: Vec<f64>,
    /// Sum of squared residuals.
    pub squares: f64,
    /// Inverse of the normal matrix, row after row: the parameters' covariance where each residual is in units of
    /// its own standard uncertainty. None where some combination of parameters is not told at all.
    pub covariance: Option<Vec<f64>>,
    /// Steps that were taken.
    pub steps: usize,
}

/// When a fit ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// Most steps.
    pub most_steps: usize,
    /// A step that lessens the misfit by a smaller share than this, twice in a row, is the last.
    pub at_rest: f64,
}

/// Damping to begin with, in shares of the largest slopes so far.
const FIRST_DAMPING: f64 = 1e-3;
const LARGEST_DAMPING: f64 = 1e16;
/// Central differences are taken over this share of a parameter: the cube root of the rounding.
const DIFFERENCE: f64 = 6e-6;

/// Moves parameters to the least sum of squared residuals, from a start.
///
/// # Model
/// Steps solve the damped linear problem by Householder reflections, so that the condition of the slopes is not
/// squared; each parameter is damped in units of its own largest slope so far; slopes by central differences. A start
/// far from the answer may end in another valley: try several.
///
/// # Source
/// J. J. Moré, The Levenberg-Marquardt algorithm: implementation and theory, Lecture Notes in Mathematics 630, 1978;
/// damping after H. B. Nielsen, IMM-REP-1999-05, Technical University of Denmark; both from memory.
///
/// # Errors
/// No parameters, fewer residuals than parameters, or a start at which a residual is not finite.
pub fn least_squares(
    start: &[f64],
    end: End,
    residuals: impl FnMut(&[f64]) -> Vec<f64>,
) -> Result<Settled, Refusal> {
    let residuals = core::cell::RefCell::new(residuals);
    let at = |at: &[f64]| (residuals.borrow_mut())(at);
    with_slopes(start, end, at, |at, count| slopes_at(at, count, &mut *residuals.borrow_mut()))
}

/// The same where slopes are known: for each parameter how every residual changes with it; given the parameters and the
/// number of residuals.
///
/// # Errors
/// As [`least_squares`].
pub fn with_slopes(
    start: &[f64],
    end: End,
    mut residuals: impl FnMut(&[f64]) -> Vec<f64>,
    mut slopes_of: impl FnMut(&[f64], usize) -> Vec<Vec<f64>>,
) -> Result<Settled, Refusal> {
    let n = start.len();
    within("parameters", n as f64, n > 0, "one or more")?;
    let mut at = start.to_vec();
    let mut left = residuals(&at);
    within("residuals", left.len() as f64, left.len() >= n, "as many as parameters or more")?;
    let mut squares = dot(&left, &left);
    within("misfit at the start", squares, squares.is_finite(), "finite")?;
    let mut scales = vec![0.0_f64; n];
    let (mut damping, mut growth) = (FIRST_DAMPING, 2.0);
    let (mut steps, mut quiet) = (0, 0);
    let mut slopes = slopes_of(&at, left.len());
    while steps < end.most_steps && quiet < 2 && damping < LARGEST_DAMPING {
        for (scale, column) in scales.iter_mut().zip(&slopes) {
            *scale = scale.max(dot(column, column).sqrt());
        }
        let Some(step) = damped_step(&slopes, &scales, damping, &left) else {
            damping *= growth;
            growth *= 2.0;
            continue;
        };
        let moved: Vec<f64> = at.iter().zip(&step).map(|(at, step)| at + step).collect();
        let there = residuals(&moved);
        let new = dot(&there, &there);
        // What the linear problem promised: the share of it that came true steers the damping.
        let mut linear = left.clone();
        for (column, step) in slopes.iter().zip(&step) {
            for (cell, slope) in linear.iter_mut().zip(column) {
                *cell += slope * step;
            }
        }
        let promised = squares - dot(&linear, &linear);
        steps += 1;
        if new.is_finite() && new < squares {
            let kept = if promised > 0.0 { ((squares - new) / promised).min(1.0) } else { 0.5 };
            quiet = if squares - new <= end.at_rest * squares { quiet + 1 } else { 0 };
            (at, left, squares) = (moved, there, new);
            damping *= (1.0 - (2.0 * kept - 1.0).powi(3)).max(1.0 / 3.0);
            growth = 2.0;
            slopes = slopes_of(&at, left.len());
        } else {
            let tiny = at.iter().zip(&step).all(|(at, step)| step.abs() <= 1e-15 * at.abs());
            if tiny {
                break;
            }
            damping *= growth;
            growth *= 2.0;
        }
    }
    let covariance = covariance(&slopes);
    Ok(Settled { parameters: at, squares, covariance, steps })
}

fn slopes_at(at: &[f64], count: usize, residuals: &mut impl FnMut(&[f64]) -> Vec<f64>) -> Vec<Vec<f64>> {
    let mut moved = at.to_vec();
    (0..at.len())
        .map(|idx| {
            let step = DIFFERENCE * if at[idx] == 0.0 { 1.0 } else { at[idx].abs() };
            moved[idx] = at[idx] + step;
            let above = residuals(&moved);
            moved[idx] = at[idx] - step;
            let below = residuals(&moved);
            moved[idx] = at[idx];
            let column = above.iter().zip(&below).map(|(above, below)| {
                let slope = (above - below) / (2.0 * step);
                if slope.is_finite() { slope } else { 0.0 }
            });
            column.chain(core::iter::repeat(0.0)).take(count).collect()
        })
        .collect()
}

/// Solves for the step; none where the slopes say nothing about a parameter.
fn damped_step(slopes: &[Vec<f64>], scales: &[f64], damping: f64, left: &[f64]) -> Option<Vec<f64>> {
    let (n, rows) = (slopes.len(), left.len());
    let mut columns: Vec<Vec<f64>> = slopes
        .iter()
        .enumerate()
        .map(|(idx, column)| {
            let mut column = column.clone();
            column.resize(rows + n, 0.0);
            // What nothing tells stays where it is.
            column[rows + idx] = damping.sqrt() * if scales[idx] > 0.0 { scales[idx] } else { 1.0 };
            column
        })
        .collect();
    let mut right: Vec<f64> = left.iter().map(|left| -left).collect();
    right.resize(rows + n, 0.0);
    let diagonal = triangular(&mut columns, Some(&mut right))?;
    back(&columns, &diagonal, &right)
}

/// Householder reflections: the upper triangle ends in the columns above their place, the mirrors from their place on;
/// the diagonal is given.
pub(crate) fn triangular(columns: &mut [Vec<f64>], mut right: Option<&mut Vec<f64>>) -> Option<Vec<f64>> {
    let n = columns.len();
    let mut diagonal = Vec::with_capacity(n);
    for place in 0..n {
        let (before, after) = columns.split_at_mut(place + 1);
        let mirror = before.last_mut()?.get_mut(place..)?;
        let norm = dot(mirror, mirror).sqrt();
        if norm == 0.0 || !norm.is_finite() {
            return None;
        }
        let alpha = if mirror[0] > 0.0 { -norm } else { norm };
        mirror[0] -= alpha;
        let length = dot(mirror, mirror);
        let others =
            after.iter_mut().map(Vec::as_mut_slice).chain(right.iter_mut().map(|right| right.as_mut_slice()));
        for other in others {
            let other = other.get_mut(place..)?;
            let times = 2.0 * dot(mirror, other) / length;
            for (cell, entry) in other.iter_mut().zip(mirror.iter()) {
                *cell -= times * entry;
            }
        }
        diagonal.push(alpha);
    }
    Some(diagonal)
}

fn back(columns: &[Vec<f64>], diagonal: &[f64], right: &[f64]) -> Option<Vec<f64>> {
    let n = diagonal.len();
    let mut step = vec![0.0; n];
    for row in (0..n).rev() {
        let known: f64 = (row + 1..n).map(|idx| columns[idx][row] * step[idx]).sum();
        step[row] = (right[row] - known) / diagonal[row];
    }
    step.iter().all(|step| step.is_finite()).then_some(step)
}

/// Inverse of the normal matrix from the triangle of the slopes.
fn covariance(slopes: &[Vec<f64>]) -> Option<Vec<f64>> {
    let n = slopes.len();
    let mut columns = slopes.to_vec();
    let diagonal = triangular(&mut columns, None)?;
    let largest = diagonal.iter().map(|entry| entry.abs()).fold(0.0, f64::max);
    if diagonal.iter().any(|entry| entry.abs() <= 1e-14 * largest) {
        return None;
    }
    let inverse: Vec<Vec<f64>> = (0..n)
        .map(|unit| {
            let right: Vec<f64> = (0..n).map(|row| if row == unit { 1.0 } else { 0.0 }).collect();
            back(&columns, &diagonal, &right)
        })
        .collect::<Option<_>>()?;
    Some(
        (0..n * n)
            .map(|cell| (0..n).map(|unit| inverse[unit][cell / n] * inverse[unit][cell % n]).sum())
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::{End, least_squares};

    const END: End = End { most_steps: 50, at_rest: 1e-14 };

    #[test]
    fn a_straight_line_has_its_textbook_covariance() {
        // y = a + b x at x = -1, 0, 1: variances 1/3 and 1/2, no covariance.
        let fit = least_squares(&[0.3, 0.3], END, |p| {
            [-1.0, 0.0, 1.0].iter().zip([1.0, 3.0, 5.0]).map(|(x, y)| p[0] + p[1] * x - y).collect()
        })
        .unwrap();
        assert!((fit.parameters[0] - 3.0).abs() < 1e-9 && (fit.parameters[1] - 2.0).abs() < 1e-9);
        let covariance = fit.covariance.unwrap();
        for (found, expected) in covariance.iter().zip([1.0 / 3.0, 0.0, 0.0, 0.5]) {
            assert!((found - expected).abs() < 1e-6, "{covariance:?}");
        }
    }

    #[test]
    fn a_parameter_that_nothing_tells_has_no_covariance() {
        let fit = least_squares(&[1.0, 1.0], END, |p| vec![p[0] - 2.0, p[0] - 2.0]).unwrap();
        assert_eq!(fit.covariance, None);
        assert!((fit.parameters[0] - 2.0).abs() < 1e-9);
    }

    #[test]
    fn a_start_that_means_nothing_is_refused() {
        assert!(least_squares(&[-1.0], END, |p| vec![p[0].sqrt()]).is_err());
        assert!(least_squares(&[], END, |_| vec![1.0]).is_err());
        assert!(least_squares(&[1.0, 2.0], END, |_| vec![1.0]).is_err());
    }
}
