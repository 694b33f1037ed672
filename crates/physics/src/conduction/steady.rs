//! The steady state: conjugate gradients under a multigrid cycle.

use core::ops::{ControlFlow, Range};

use crate::conduction::assembly::{self, Extents};
use crate::conduction::conjugate::{Goal, Start, Vectors};
use crate::conduction::cycle::Cycle;
use crate::conduction::grid::{Grid, Resolution};
use crate::conduction::layout::Layout;
use crate::conduction::runs::{deal, each};
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
    let heat = assembly::heat(&grid, stack);
    let mut cycle = Cycle::new(assembly::operator(&grid, stack), threads);
    let mut x = vec![0.0; cycle.finest().layout.places()];
    let goal = Goal { norm: heat.norm(), tolerance: RESIDUAL };
    let (steps, residual) = {
        let mut vectors = Vectors::new(&cycle);
        let rhs = |y: usize, out: &mut [f64]| heat.add(y, 1.0, out);
        vectors.conjugate(&mut cycle, &mut x, &rhs, Start::Nothing, goal, watch)?
    };
    // A small even shift closes the balance that the residual leaves open.
    let level = cycle.finest();
    let made_w = heat.made_w();
    let grounds = level.grounds();
    let all_w_k = level.sum_of_widths(&grounds);
    let shift = (made_w - level.sum_by_width(&grounds, &x)) / all_w_k;
    each(deal(&mut x, cycle.runs(), level.layout.slab()), |part| {
        for x in part {
            *x += shift;
        }
    });
    let out_w = level.sum_by_width(&grounds, &x);
    let (rise_k, most_k) = read(&grid, stack, &x, cycle.runs());
    let imbalance = if made_w > 0.0 { (out_w / made_w - 1.0).abs() } else { 0.0 };
    Ok(Steady { grid, rise_k, most_k, steps, residual, imbalance })
}

/// All cells in the order in which people read, zero where a cell is nothing; and the largest.
fn read(grid: &Grid, stack: &Stack, x: &[f64], runs: &[Range<usize>]) -> (Vec<f64>, f64) {
    let (nx, ny, nz) = grid.cells();
    let layout = Layout::new(nx, ny, nz);
    let extents = Extents::new(grid, stack);
    let mut rise_k = vec![0.0; nx * ny * nz];
    let mut most_k = vec![0.0_f64; ny];
    let parts = deal(&mut rise_k, runs, nx * nz).into_iter().zip(deal(&mut most_k, runs, 1));
    each(runs.iter().zip(parts), |(run, (out, most))| {
        for ((y, out), most) in run.clone().zip(out.chunks_mut(nx * nz)).zip(most) {
            layout.read_slab(y, &x[y * layout.slab()..][..layout.slab()], out);
            for (out, layer) in out.chunks_mut(nx).zip(&grid.layer_of) {
                let is_there = extents.y[*layer][y];
                for (out, holds) in out.iter_mut().zip(&extents.x[*layer]) {
                    *out = if is_there && *holds { *out } else { 0.0 };
                    *most = most.max(*out);
                }
            }
        }
    });
    (rise_k, most_k.into_iter().fold(0.0, f64::max))
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
