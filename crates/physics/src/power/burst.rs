//! Temperatures of the stages during a burst: from a steady state, at a new load, after some seconds.

use crate::air::film::Air;
use crate::power::body::{Heat, Paths, Temperatures};
use crate::power::converter::{Converter, Load, PowerError};
use crate::refusal::not_negative;

/// Temperatures after `seconds` at the burst's load, beginning in the steady state of `before`.
///
/// # Model
/// Four nodes with heat capacities. Heat is a straight line in temperature and the film coefficients
/// keep their value from before the burst (they would grow: the answer lies on the hot side), so the
/// equations are linear and solved exactly by their modes; duty is taken at the end's temperatures, by
/// one correction. A growing mode is no error here: a burst may end before it matters.
///
/// # Errors
/// A converter, load, air or time out of range, or no steady state to begin from.
pub fn after(
    converter: &Converter,
    before: &Load,
    burst: &Load,
    air: &Air,
    seconds: f64,
) -> Result<Temperatures, PowerError> {
    let start = converter.solve(before, air)?.temperatures;
    let from = From { start, film_at: start };
    after_unchecked(converter, &from, burst, air, not_negative("burst time", seconds)?)
}

/// Where a burst begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct From {
    /// Temperatures before it.
    pub start: Temperatures,
    /// Temperatures at which the films take heat while it lasts: those before it give the hot side of
    /// the answer, those of the limits its cool side.
    pub film_at: Temperatures,
}

/// [`after`] from known temperatures: what searches call many times.
///
/// # Errors
/// A load out of range.
pub(crate) fn after_unchecked(
    converter: &Converter,
    from: &From,
    burst: &Load,
    air: &Air,
    seconds: f64,
) -> Result<Temperatures, PowerError> {
    let (output_a, output_v) = converter.output(burst)?;
    let start = &from.start;
    let paths = converter.paths(air, &from.film_at);
    let body = &converter.body;
    let capacity = [body.switch_j_k, body.switch_j_k, body.inductor_j_k, body.board_j_k];
    let mut end = *start;
    for _ in 0..2 {
        let heat = converter.at(output_a, output_v, &end)?.heat;
        end = march(&paths, &heat, &capacity, start, air.celsius, seconds);
        // Beyond this the parts are gone, and the straight line with them.
        if !end.hottest_c().is_finite() || end.hottest_c() > 5_000.0 {
            return Ok(Temperatures::all(f64::INFINITY));
        }
    }
    Ok(end)
}

/// Exact solution of `C dT/dt = q - K T` after a time, K symmetric.
fn march(
    paths: &Paths,
    heat: &Heat,
    capacity: &[f64; 4],
    start: &Temperatures,
    air_c: f64,
    seconds: f64,
) -> Temperatures {
    let to_board = [paths.upper, paths.lower, paths.inductor];
    let to_air = [0.0, 0.0, paths.inductor_air, paths.board_air];
    let root = capacity.map(f64::sqrt);
    let mut matrix = [[0.0; 4]; 4];
    for idx in 0..3 {
        matrix[idx][idx] = (to_board[idx] + to_air[idx] - heat.slope_w_k[idx]) / capacity[idx];
        let coupling = -to_board[idx] / (root[idx] * root[3]);
        matrix[idx][3] = coupling;
        matrix[3][idx] = coupling;
    }
    matrix[3][3] = (to_board.iter().sum::<f64>() + to_air[3] - heat.slope_w_k[3]) / capacity[3];
    let (rates, modes) = eigen(matrix);
    let from = start.list();
    let mut now = [0.0; 4];
    for (rate, mode) in rates.iter().zip(&modes) {
        let (mut amplitude, mut drive) = (0.0, 0.0);
        for idx in 0..4 {
            amplitude += mode[idx] * root[idx] * from[idx];
            drive += mode[idx] * (heat.at_zero_w[idx] + to_air[idx] * air_c) / root[idx];
        }
        let decay = rate * seconds;
        // (1 - exp(-x)) / x without loss of digits near zero.
        let gathered = if decay.abs() < 1e-12 { seconds } else { -(-decay).exp_m1() / decay * seconds };
        let value = amplitude * (-decay).exp() + drive * gathered;
        for idx in 0..4 {
            now[idx] += mode[idx] * value / root[idx];
        }
    }
    Temperatures { upper_c: now[0], lower_c: now[1], inductor_c: now[2], board_c: now[3] }
}

/// Eigenvalues of a symmetric matrix and its orthonormal eigenvectors, one a row.
///
/// # Source
/// C. G. J. Jacobi's rotations, as in G. H. Golub, C. F. Van Loan, Matrix Computations, section 8.5.
fn eigen(mut a: [[f64; 4]; 4]) -> ([f64; 4], [[f64; 4]; 4]) {
    let mut v = [[0.0; 4]; 4];
    for (idx, row) in v.iter_mut().enumerate() {
        row[idx] = 1.0;
    }
    for _ in 0..16 {
        let off: f64 =
            (0..4).flat_map(|p| (p + 1..4).map(move |q| (p, q))).map(|(p, q)| a[p][q] * a[p][q]).sum();
        let diagonal: f64 = (0..4).map(|p| a[p][p] * a[p][p]).sum();
        if off <= 1e-30 * diagonal {
            break;
        }
        for p in 0..3 {
            for q in p + 1..4 {
                rotate(&mut a, &mut v, p, q);
            }
        }
    }
    ([a[0][0], a[1][1], a[2][2], a[3][3]], v)
}

fn rotate(a: &mut [[f64; 4]; 4], v: &mut [[f64; 4]; 4], p: usize, q: usize) {
    if a[p][q] == 0.0 {
        return;
    }
    let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
    let t = theta.signum() / (theta.abs() + theta.hypot(1.0));
    let t = if theta == 0.0 { 1.0 } else { t };
    let c = 1.0 / t.hypot(1.0);
    let s = t * c;
    for row in a.iter_mut() {
        let (x, y) = (row[p], row[q]);
        row[p] = c * x - s * y;
        row[q] = s * x + c * y;
    }
    for k in 0..4 {
        let (x, y) = (a[p][k], a[q][k]);
        a[p][k] = c * x - s * y;
        a[q][k] = s * x + c * y;
        let (x, y) = (v[p][k], v[q][k]);
        v[p][k] = c * x - s * y;
        v[q][k] = s * x + c * y;
    }
}
