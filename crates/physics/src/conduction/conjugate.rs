//! Conjugate gradients under the multigrid cycle.

use core::ops::ControlFlow;

use crate::conduction::cycle::{Cycle, by_slab};
use crate::conduction::stack::ConductionError;

/// Most steps; a steady state needs ten to twenty-five, a step in time fewer.
const MOST_STEPS: usize = 300;

/// Sum of products, in one order of adding for any number of threads.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.chunks(4096).zip(b.chunks(4096)).map(|(a, b)| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>()).sum()
}

/// Length of a vector.
pub(crate) fn norm(vector: &[f64]) -> f64 {
    dot(vector, vector).sqrt()
}

/// Improves `x`, whose residual is given, until the residual is `tolerance` of `norm`: steps done and the
/// relative residual reached.
///
/// # Errors
/// Stopped by `watch`.
pub(crate) fn conjugate(
    cycle: &mut Cycle,
    threads: usize,
    x: &mut [f64],
    residual: &mut [f64],
    norm: f64,
    tolerance: f64,
    watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<(usize, f64), ConductionError> {
    let slab = cycle.finest().slab();
    let cells = x.len();
    let mut direction = vec![0.0; cells];
    let (mut z, mut product) = (vec![0.0; cells], vec![0.0; cells]);
    let relative_of = |residual: &[f64]| if norm > 0.0 { self::norm(residual) / norm } else { 0.0 };
    let (mut steps, mut relative, mut rho_before) = (0, relative_of(residual), 0.0);
    while relative > tolerance && steps < MOST_STEPS {
        cycle.precondition(residual, &mut z);
        let rho = dot(residual, &z);
        let beta = if steps == 0 { 0.0 } else { rho / rho_before };
        rho_before = rho;
        for (direction, z) in direction.iter_mut().zip(&z) {
            *direction = z + beta * *direction;
        }
        let (operator, along) = (cycle.finest(), &direction);
        by_slab(threads, slab, &mut product, |y, out| operator.apply_slab(y, along, out));
        let alpha = rho / dot(&direction, &product);
        for ((x, residual), (direction, product)) in
            x.iter_mut().zip(residual.iter_mut()).zip(direction.iter().zip(&product))
        {
            *x += alpha * direction;
            *residual -= alpha * product;
        }
        relative = relative_of(residual);
        steps += 1;
        if watch(relative).is_break() {
            return Err(ConductionError::Stopped { steps, residual: relative });
        }
    }
    Ok((steps, relative))
}
