//! Conjugate gradients under the multigrid cycle.

use core::ops::ControlFlow;

use crate::conduction::cycle::Cycle;
use crate::conduction::runs::{over_one, over_slabs, over_two};
use crate::conduction::stack::ConductionError;
use crate::dot::dot;

/// Most steps; a steady state needs ten to twenty-five, a step in time fewer.
const MOST_STEPS: usize = 300;

/// Length of a vector.
pub(crate) fn norm(vector: &[f64]) -> f64 {
    dot(vector, vector).sqrt()
}

/// Length and largest part of the residual, slab by slab.
#[derive(Debug, Clone, Copy, Default)]
struct Size {
    squares: f64,
    most: f64,
}

impl Size {
    fn of(slab: &[f64]) -> Self {
        Self { squares: dot(slab, slab), most: slab.iter().fold(0.0_f64, |most, r| most.max(r.abs())) }
    }

    /// All slabs together, in their order.
    fn all(list: &[Self]) -> Self {
        list.iter().fold(Self::default(), |sum, one| Self {
            squares: sum.squares + one.squares,
            most: sum.most.max(one.most),
        })
    }
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
    let count = cells / slab;
    let mut direction = vec![0.0; cells];
    let mut product = vec![0.0; cells];
    let mut sums = vec![0.0; count];
    let mut units = vec![(); count];
    // Written before they are read, so that the system gives each page once.
    for vector in [&mut direction, &mut product] {
        over_one(threads, slab, vector, &mut units, |_, part| part.fill(0.0));
    }
    let mut sizes: Vec<Size> = residual.chunks(slab).map(Size::of).collect();
    let relative_of = |size: Size| if norm > 0.0 { size.squares.sqrt() / norm } else { 0.0 };
    let mut size = Size::all(&sizes);
    let (mut steps, mut relative, mut rho_before) = (0, relative_of(size), 0.0);
    while relative > tolerance && steps < MOST_STEPS {
        let z = cycle.precondition(residual, size.most);
        let at = |y: usize| y * slab..(y + 1) * slab;
        let seen = &*residual;
        over_slabs(threads, slab, &mut sums, |y| dot(&seen[at(y)], &z[at(y)]));
        let rho = size.most * sums.iter().sum::<f64>();
        let beta = if steps == 0 { 0.0 } else { rho / rho_before };
        rho_before = rho;
        let scale = size.most;
        over_one(threads, slab, &mut direction, &mut units, |y, direction| {
            for (direction, z) in direction.iter_mut().zip(&z[at(y)]) {
                *direction = scale * f64::from(*z) + beta * *direction;
            }
        });
        let (operator, along) = (cycle.finest(), &direction);
        over_one(threads, slab, &mut product, &mut sums, |y, out| {
            operator.apply_slab(y, along, out);
            dot(&along[at(y)], out)
        });
        let alpha = rho / sums.iter().sum::<f64>();
        let (along, product) = (&direction, &product);
        over_two(threads, slab, (&mut *x, &mut *residual), &mut sizes, |y, x, residual| {
            for (x, direction) in x.iter_mut().zip(&along[at(y)]) {
                *x += alpha * direction;
            }
            for (residual, product) in residual.iter_mut().zip(&product[at(y)]) {
                *residual -= alpha * product;
            }
            Size::of(residual)
        });
        size = Size::all(&sizes);
        relative = relative_of(size);
        steps += 1;
        if watch(relative).is_break() {
            return Err(ConductionError::Stopped { steps, residual: relative });
        }
    }
    Ok((steps, relative))
}
