//! The steady state: conjugate gradients under a multigrid cycle.

use core::ops::ControlFlow;

use crate::conduction::conjugate::{conjugate, norm};
use crate::conduction::cycle::Cycle;
use crate::conduction::grid::{Grid, Resolution};
use crate::conduction::stack::{ConductionError, Stack};

/// A solved stack. Temperatures are rises above the air.
#[derive(Debug, Clone, PartialEq)]
pub struct Steady {
    /// Grid.
    pub grid: Grid,
    /// Rise of each cell in kelvin; y slowest, then z, then x; zero in cells that are nothing.
    pub rise_k: Vec<f64>,
    /// Largest rise.
    pub most_k: f64,
    /// Steps of the solver.
    pub steps: usize,
    /// Residual against the right side.
    pub residual: f64,
    /// Heat that leaves against heat that is made, relative.
    pub imbalance: f64,
}

/// Residual at which the solve ends.
pub const RESIDUAL: f64 = 1e-8;

/// Solves a stack.
///
/// # Model
/// Finite volumes on lines through all edges; faces of two conductivities in series; a source in the lowest
/// cells of its layer; a cell outside its layer is nothing. Second order in the cell size.
/// `watch` is told the relative residual after each step and may stop it. The answer does not depend on
/// the number of threads: each slab is computed alike, and sums are taken in one order.
///
/// # Source
/// Finite volumes: S. V. Patankar, Numerical Heat Transfer and Fluid Flow, 1980. Cell-centred multigrid
/// with piecewise constant transfers: P. Wesseling, An Introduction to Multigrid Methods, 1992. From memory.
///
/// # Errors
/// A stack that cannot be solved, or stopped.
pub fn solve(
    stack: &Stack,
    wanted: Resolution,
    threads: usize,
    watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<Steady, ConductionError> {
    stack.checked()?;
    let grid = Grid::new(stack, wanted)?;
    let (level, mut residual) = grid.system(stack);
    let made_w: f64 = residual.iter().sum();
    let mut cycle = Cycle::new(level, threads);
    let cells = residual.len();
    let mut x = vec![0.0; cells];
    // Written before it is read, so that the system gives each page once.
    x.fill(0.0);
    let norm = norm(&residual);
    let (steps, relative) = conjugate(&mut cycle, threads, &mut x, &mut residual, norm, RESIDUAL, watch)?;
    // A small even shift closes the balance that the residual leaves open.
    let out_w: f64 = x.iter().zip(&cycle.finest().sink).map(|(x, sink)| x * f64::from(*sink)).sum();
    let all_sink: f64 = cycle.finest().sink.iter().map(|sink| f64::from(*sink)).sum();
    let shift = (made_w - out_w) / all_sink;
    let is_cell: Vec<bool> = {
        let level = cycle.finest();
        (0..cells).map(|at| level.diagonal[at] != 1.0 || level.sink[at] > 0.0 || level.gz[at] > 0.0).collect()
    };
    for (x, is_cell) in x.iter_mut().zip(&is_cell) {
        if *is_cell {
            *x += shift;
        } else {
            *x = 0.0;
        }
    }
    let out_w: f64 = x.iter().zip(&cycle.finest().sink).map(|(x, sink)| x * f64::from(*sink)).sum();
    let imbalance = if made_w > 0.0 { (out_w / made_w - 1.0).abs() } else { 0.0 };
    let most_k = x.iter().copied().fold(0.0, f64::max);
    Ok(Steady { grid, rise_k: x, most_k, steps, residual: relative, imbalance })
}

impl Steady {
    /// Rise of the lower face's cells of a layer, rows from the lower edge: what a map draws. Cells that the
    /// layer does not have are not numbers.
    pub fn map_k(&self, layer: usize) -> Vec<f64> {
        let (nx, ny, _) = self.grid.cells();
        let z = self.grid.layer_of.iter().position(|of| *of == layer).unwrap_or(0);
        let mut out = Vec::with_capacity(nx * ny);
        for y in 0..ny {
            for x in 0..nx {
                let rise = self.rise_k[self.grid.at(x, y, z)];
                out.push(if rise > 0.0 { rise } else { f64::NAN });
            }
        }
        out
    }

    /// Mean rise over a rectangle of a layer's lower cells.
    pub fn mean_k(&self, layer: usize, x_m: (f64, f64), y_m: (f64, f64)) -> f64 {
        let (nx, ny, _) = self.grid.cells();
        let z = self.grid.layer_of.iter().position(|of| *of == layer).unwrap_or(0);
        let (mut sum, mut area) = (0.0, 0.0);
        for y in 0..ny {
            let (y0, y1) = (self.grid.y_m[y], self.grid.y_m[y + 1]);
            for x in 0..nx {
                let (x0, x1) = (self.grid.x_m[x], self.grid.x_m[x + 1]);
                let (mx, my) = (0.5 * (x0 + x1), 0.5 * (y0 + y1));
                if mx > x_m.0 && mx < x_m.1 && my > y_m.0 && my < y_m.1 {
                    let part = (x1 - x0) * (y1 - y0);
                    sum += part * self.rise_k[self.grid.at(x, y, z)];
                    area += part;
                }
            }
        }
        if area > 0.0 { sum / area } else { 0.0 }
    }
}
