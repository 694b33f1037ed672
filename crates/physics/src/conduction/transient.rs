//! How a stack warms after its power is switched on.

use core::ops::ControlFlow;

use crate::conduction::conjugate::{conjugate, norm};
use crate::conduction::cycle::Cycle;
use crate::conduction::grid::{Grid, Resolution};
use crate::conduction::level::Level;
use crate::conduction::runs::over_one;
use crate::conduction::stack::{ConductionError, Stack};

/// One moment. Temperatures are rises above the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since the power came on, in seconds.
    pub time_s: f64,
    /// Largest rise.
    pub most_k: f64,
    /// Mean rise where heat is made, by power.
    pub made_at_k: f64,
    /// Heat the stack holds, in joules.
    pub held_j: f64,
    /// Heat that has gone to the air, in joules.
    pub gone_j: f64,
}

/// What is wanted of a step response.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warming {
    /// Cells.
    pub cells: Resolution,
    /// Last moment, in seconds.
    pub until_s: f64,
    /// Error that one step may make, as a share of the largest rise; 1e-3 follows a curve within a hundredth.
    pub tolerance: f64,
    /// Threads.
    pub threads: usize,
}

/// Residual of each stage's equations.
const RESIDUAL: f64 = 1e-11;
/// First step, as a share of the whole time; it doubles from there as the error allows.
const FIRST_STEP: f64 = 1e-7;
/// Most steps, refused ones included.
const MOST_STEPS: usize = 100_000;

/// Warming of a stack from the air's temperature, its sources switched on together and kept.
///
/// `capacity_j_m3k` is what a cubic metre of each layer takes for one kelvin (density times specific heat),
/// one figure for each layer. `watch` is told the share of the time that is done and may stop.
///
/// # Model
/// Cells as in the steady state. In time two equal diagonally implicit stages, gamma = 1 - 1/sqrt(2): second
/// order and L-stable, so that a long step damps what it cannot follow. The first-order answer of the same
/// stages tells the error of a step; steps halve and double, and the multigrid levels are kept while they stay.
/// What a step's stages lose to the air is booked with their weights, so made = held + gone to the solver's
/// residual. Interfaces hold no heat.
///
/// # Source
/// R. Alexander, SIAM Journal on Numerical Analysis 14 (1977), 1006: diagonally implicit, L-stable methods.
/// From memory.
///
/// # Errors
/// A stack that cannot be solved, a capacity or time that is not above zero, or stopped.
pub fn warming(
    stack: &Stack,
    capacity_j_m3k: &[f64],
    wanted: Warming,
    watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<Vec<Moment>, ConductionError> {
    stack.checked()?;
    let refused = |what: &str, found: f64, expected| {
        Err(ConductionError::Figure { what: what.to_owned(), found, expected })
    };
    if capacity_j_m3k.len() != stack.layers.len() {
        return refused("number of capacities", capacity_j_m3k.len() as f64, "one for each layer");
    }
    for (layer, capacity) in stack.layers.iter().zip(capacity_j_m3k) {
        if !(capacity.is_finite() && *capacity > 0.0) {
            return refused(&format!("capacity of {}", layer.name), *capacity, "a number above zero");
        }
    }
    for (what, value) in [("time", wanted.until_s), ("tolerance", wanted.tolerance)] {
        if !(value.is_finite() && value > 0.0) {
            return refused(what, value, "a number above zero");
        }
    }
    let grid = Grid::new(stack, wanted.cells)?;
    let (level, heat) = grid.system(stack);
    let capacity = grid.capacity(stack, capacity_j_m3k);
    let gamma = 1.0 - core::f64::consts::FRAC_1_SQRT_2;
    let mut clock = Stages::new(level, capacity, heat, wanted.threads);
    let mut rise = vec![0.0; clock.heat.len()];
    let (mut time_s, mut gone_j) = (0.0, 0.0);
    let mut step_s = wanted.until_s * FIRST_STEP;
    let mut out = vec![clock.moment(0.0, &rise, 0.0)];
    for _ in 0..MOST_STEPS {
        let left_s = wanted.until_s - time_s;
        if left_s <= 1e-9 * wanted.until_s {
            return Ok(out);
        }
        let this_s = step_s.min(left_s);
        let shift = clock.shifted(gamma * this_s);
        let first = clock.stage(&shift, &rise, &rise, 0.0)?;
        let second = clock.stage(&shift, &rise, &first, (1.0 - gamma) / gamma)?;
        // Difference of the two answers: gamma h (f2 - f1), f by the stages themselves.
        let most = second.iter().copied().fold(0.0, f64::max);
        let error = rise
            .iter()
            .zip(first.iter().zip(&second))
            .map(|(old, (first, second))| (second - old - (first - old) / gamma).abs())
            .fold(0.0, f64::max);
        let share = error / (wanted.tolerance * most.max(f64::MIN_POSITIVE));
        if share > 1.0 {
            step_s = 0.5 * this_s;
            continue;
        }
        gone_j += this_s * ((1.0 - gamma) * clock.leaving_w(&first) + gamma * clock.leaving_w(&second));
        time_s += this_s;
        rise = second;
        out.push(clock.moment(time_s, &rise, gone_j));
        if watch(time_s / wanted.until_s).is_break() {
            return Err(ConductionError::Stopped { steps: out.len() - 1, residual: 0.0 });
        }
        if share < 0.2 {
            step_s = 2.0 * this_s;
        }
    }
    refused("steps in time", MOST_STEPS as f64, "fewer: raise the tolerance or shorten the time")
}

/// The system, and the levels of the step they were made for.
struct Stages {
    level: Level,
    capacity_j_k: Vec<f64>,
    heat: Vec<f64>,
    made_w: f64,
    threads: usize,
    kept: Option<(f64, Cycle)>,
}

impl Stages {
    fn new(level: Level, capacity_j_k: Vec<f64>, heat: Vec<f64>, threads: usize) -> Self {
        let made_w = heat.iter().sum();
        Self { level, capacity_j_k, heat, made_w, threads, kept: None }
    }

    /// Capacities over a time as conductances, exactly as the operator rounds them.
    fn shifted(&mut self, over_s: f64) -> Vec<f64> {
        let sinks = self.level.sink.iter().zip(&self.capacity_j_k);
        let shifted: Vec<f32> =
            sinks.map(|(sink, capacity)| (f64::from(*sink) + capacity / over_s) as f32).collect();
        let shift =
            shifted.iter().zip(&self.level.sink).map(|(s, sink)| f64::from(*s) - f64::from(*sink)).collect();
        if self.kept.as_ref().is_none_or(|(of, _)| *of != over_s) {
            let mut level = self.level.clone();
            level.sink = shifted;
            level.finish();
            self.kept = Some((over_s, Cycle::new(level, self.threads)));
        }
        shift
    }

    /// One stage: `(A + S) u = q + S (old + weight (from - old))`.
    fn stage(
        &mut self,
        shift: &[f64],
        old: &[f64],
        from: &[f64],
        weight: f64,
    ) -> Result<Vec<f64>, ConductionError> {
        let Some((_, cycle)) = self.kept.as_mut() else { return Ok(old.to_vec()) };
        let rhs: Vec<f64> = self
            .heat
            .iter()
            .zip(shift)
            .zip(old.iter().zip(from))
            .map(|((heat, shift), (old, from))| heat + shift * (old + weight * (from - old)))
            .collect();
        let mut x = from.to_vec();
        let mut residual = vec![0.0; x.len()];
        let slab = cycle.finest().slab();
        let mut units = vec![(); residual.len() / slab];
        over_one(self.threads, slab, &mut residual, &mut units, |y, out| {
            cycle.finest().apply_slab(y, &x, out)
        });
        for (residual, rhs) in residual.iter_mut().zip(&rhs) {
            *residual = rhs - *residual;
        }
        let go_on = &mut |_| ControlFlow::Continue(());
        conjugate(cycle, self.threads, &mut x, &mut residual, norm(&rhs), RESIDUAL, go_on)?;
        Ok(x)
    }

    fn leaving_w(&self, rise: &[f64]) -> f64 {
        rise.iter().zip(&self.level.sink).map(|(rise, sink)| rise * f64::from(*sink)).sum()
    }

    fn moment(&self, time_s: f64, rise: &[f64], gone_j: f64) -> Moment {
        let sum = |of: &[f64]| rise.iter().zip(of).map(|(rise, of)| rise * of).sum::<f64>();
        let made_at_k = if self.made_w > 0.0 { sum(&self.heat) / self.made_w } else { 0.0 };
        let most_k = rise.iter().copied().fold(0.0, f64::max);
        Moment { time_s, most_k, made_at_k, held_j: sum(&self.capacity_j_k), gone_j }
    }
}
