//! Conjugate gradients under the multigrid cycle.
//!
//! Directions and residuals are kept in single precision; after every few digits what they have found is added to the
//! answer and the residual is formed anew from it in double precision, the direction being kept.

use core::ops::{ControlFlow, Range};

use crate::conduction::cycle::{Cycle, Products};
use crate::conduction::level::Level;
use crate::conduction::product::Slabs;
use crate::conduction::products::single;
use crate::conduction::runs::{deal, each};
use crate::conduction::stack::ConductionError;
use crate::dot::dot;

/// Most steps; a steady state needs ten to twenty-five, a step in time fewer.
const MOST_STEPS: usize = 300;
/// By how much single precision brings the residual down before it is formed anew.
const DIGITS: f64 = 1e-4;
/// How far below what is asked single precision goes, for what it says of its residual is not exact.
const MARGIN: f64 = 0.8;

/// A right side: adds that of a row of y to what it is given.
pub(crate) type Rhs<'a> = &'a (dyn Fn(usize, &mut [f64]) + Sync);

/// Where the answer starts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Start {
    /// From zero, whatever stands in its place.
    Nothing,
    /// From what stands in its place.
    Guess,
}

/// What is asked of a solve.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Goal {
    /// Length of the right side.
    pub(crate) norm: f64,
    /// Residual against it.
    pub(crate) tolerance: f64,
}

/// Vectors of a solve, in single precision.
#[derive(Debug)]
pub(crate) struct Vectors {
    runs: Vec<Range<usize>>,
    slab: usize,
    residual: Vec<f32>,
    direction: Vec<f32>,
    next: Vec<f32>,
    product: Vec<f32>,
    change: Vec<f32>,
    sums: Vec<f64>,
    products: Vec<Products>,
}

impl Vectors {
    pub(crate) fn new(cycle: &Cycle) -> Self {
        let layout = cycle.finest().layout;
        let zeros = || vec![0.0_f32; layout.places()];
        Self {
            runs: cycle.runs().to_vec(),
            slab: layout.slab(),
            residual: zeros(),
            direction: zeros(),
            next: zeros(),
            product: zeros(),
            change: zeros(),
            sums: vec![0.0; layout.ny],
            products: vec![Products::default(); layout.ny],
        }
    }

    /// Improves `x` until the residual is the goal's: steps done and the relative residual reached.
    ///
    /// # Errors
    /// Stopped by `watch`.
    pub(crate) fn conjugate(
        &mut self,
        cycle: &mut Cycle,
        x: &mut [f64],
        rhs: Rhs<'_>,
        start: Start,
        goal: Goal,
        watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
    ) -> Result<(usize, f64), ConductionError> {
        let Goal { norm, tolerance } = goal;
        if norm == 0.0 {
            x.fill(0.0);
            return Ok((0, 0.0));
        }
        let mut scale = norm;
        let mut relative = match start {
            Start::Nothing => self.take_residual(cycle.finest(), None, rhs, scale),
            Start::Guess => self.take_residual(cycle.finest(), Some(x), rhs, scale),
        } / norm;
        let (mut steps, mut along) = (0, 0.0);
        let mut has_answer = start == Start::Guess;
        while relative > tolerance && steps < MOST_STEPS {
            let enough = (MARGIN * tolerance).max(DIGITS * relative);
            let before = steps;
            while relative > enough && steps < MOST_STEPS {
                let last = if along > 0.0 { &self.product } else { &self.residual };
                let (level, z) = cycle.precondition(&self.residual, last, &mut self.products);
                let with_rhs: f64 = self.products.iter().map(|sums| sums.with_rhs).sum();
                let with_last: f64 = self.products.iter().map(|sums| sums.with_last).sum();
                // The part of the last direction in the new one is taken out, whatever the residual went through.
                let beta = if along > 0.0 { -with_last / along } else { 0.0 };
                self.direct(level, z, beta as f32);
                along = self.sums.iter().sum();
                if along <= 0.0 || !along.is_finite() {
                    // Below what single precision tells apart: once more from the true residual.
                    along = 0.0;
                    break;
                }
                relative = self.walk((with_rhs / along) as f32, steps == before).sqrt() * scale / norm;
                steps += 1;
                if watch(relative).is_break() {
                    return Err(ConductionError::Stopped { steps, residual: relative });
                }
            }
            if steps == before {
                break;
            }
            self.add_change(x, scale, has_answer);
            has_answer = true;
            scale = relative * norm;
            relative = self.take_residual(cycle.finest(), Some(x), rhs, scale) / norm;
        }
        if !has_answer {
            x.fill(0.0);
        }
        Ok((steps, relative))
    }

    /// Residual of `x`, kept over `scale`; gives its length.
    fn take_residual(&mut self, level: &Level, x: Option<&[f64]>, rhs: Rhs<'_>, scale: f64) -> f64 {
        let (slab, ny) = (self.slab, level.layout.ny);
        let residuals = deal(&mut self.residual, &self.runs, slab);
        let sums = deal(&mut self.sums, &self.runs, 1);
        each(self.runs.iter().zip(residuals.into_iter().zip(sums)), |(run, (residual, sums))| {
            let (mut right, mut product) = (vec![0.0; slab], vec![0.0; slab]);
            for ((y, residual), sum) in run.clone().zip(residual.chunks_mut(slab)).zip(sums) {
                right.fill(0.0);
                rhs(y, &mut right);
                if let Some(x) = x {
                    let at = |y: usize| &x[y * slab..(y + 1) * slab];
                    let slabs = Slabs {
                        own: at(y),
                        before: (y > 0).then(|| at(y - 1)),
                        after: (y + 1 < ny).then(|| at(y + 1)),
                    };
                    level.apply(y, &slabs, &mut product);
                    for (right, product) in right.iter_mut().zip(&product) {
                        *right -= product;
                    }
                }
                *sum = dot(&right, &right);
                for (residual, right) in residual.iter_mut().zip(&right) {
                    *residual = (right / scale) as f32;
                }
            }
        });
        self.sums.iter().sum::<f64>().sqrt()
    }

    /// The next direction, its product with the operator, and the products of both row by row of y.
    fn direct(&mut self, level: &Level, z: &[f32], beta: f32) {
        let slab = self.slab;
        let old = &self.direction;
        let nexts = deal(&mut self.next, &self.runs, slab);
        let products = deal(&mut self.product, &self.runs, slab);
        let sums = deal(&mut self.sums, &self.runs, 1);
        let jobs = self.runs.iter().zip(nexts).zip(products.into_iter().zip(sums));
        each(jobs, |((run, next), (product, sums))| {
            let ny = level.layout.ny;
            let form = |y: usize, out: &mut [f32]| {
                let at = y * slab..(y + 1) * slab;
                if beta == 0.0 {
                    out.copy_from_slice(&z[at]);
                } else {
                    for ((out, z), old) in out.iter_mut().zip(&z[at.clone()]).zip(&old[at]) {
                        *out = z + beta * old;
                    }
                }
            };
            // What other runs form beside this one is formed here too.
            let edge = |y: Option<usize>| {
                y.filter(|y| *y < ny).map(|y| {
                    let mut out = vec![0.0; slab];
                    form(y, &mut out);
                    out
                })
            };
            let (before, after) = (edge(run.start.checked_sub(1)), edge(Some(run.end)));
            form(run.start, &mut next[..slab]);
            for (place, (product, sum)) in product.chunks_mut(slab).zip(sums).enumerate() {
                if let Some(out) = next.chunks_mut(slab).nth(place + 1) {
                    form(run.start + place + 1, out);
                }
                let at = |place: usize| next.get(place * slab..(place + 1) * slab);
                let own = &next[place * slab..(place + 1) * slab];
                let slabs = Slabs {
                    own,
                    before: place.checked_sub(1).map_or(before.as_deref(), at),
                    after: at(place + 1).or(after.as_deref()),
                };
                level.apply(run.start + place, &slabs, product);
                *sum = single(own, product);
            }
        });
        core::mem::swap(&mut self.direction, &mut self.next);
    }

    /// A step along the direction; gives the square of the residual's length.
    fn walk(&mut self, alpha: f32, is_first: bool) -> f64 {
        let slab = self.slab;
        let (direction, product) = (&self.direction, &self.product);
        let changes = deal(&mut self.change, &self.runs, slab);
        let residuals = deal(&mut self.residual, &self.runs, slab);
        let sums = deal(&mut self.sums, &self.runs, 1);
        let jobs = self.runs.iter().zip(changes).zip(residuals.into_iter().zip(sums));
        each(jobs, |((run, change), (residual, sums))| {
            let parts = change.chunks_mut(slab).zip(residual.chunks_mut(slab)).zip(sums);
            for (y, ((change, residual), sum)) in run.clone().zip(parts) {
                let at = y * slab..(y + 1) * slab;
                if is_first {
                    for (change, direction) in change.iter_mut().zip(&direction[at.clone()]) {
                        *change = alpha * direction;
                    }
                } else {
                    for (change, direction) in change.iter_mut().zip(&direction[at.clone()]) {
                        *change += alpha * direction;
                    }
                }
                for (residual, product) in residual.iter_mut().zip(&product[at]) {
                    *residual -= alpha * product;
                }
                *sum = single(residual, residual);
            }
        });
        self.sums.iter().sum()
    }

    /// What single precision has found goes to the answer.
    fn add_change(&self, x: &mut [f64], scale: f64, has_answer: bool) {
        let change = &self.change;
        let slab = self.slab;
        each(self.runs.iter().zip(deal(x, &self.runs, slab)), |(run, x)| {
            let change = &change[run.start * slab..run.end * slab];
            if has_answer {
                for (x, change) in x.iter_mut().zip(change) {
                    *x += scale * f64::from(*change);
                }
            } else {
                for (x, change) in x.iter_mut().zip(change) {
                    *x = scale * f64::from(*change);
                }
            }
        });
    }
}
