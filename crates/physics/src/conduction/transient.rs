//! How a stack warms after its power is switched on.

use core::f64::consts::FRAC_1_SQRT_2;
use core::ops::ControlFlow;

use crate::conduction::assembly::{self, Heat};
use crate::conduction::conjugate::{Goal, Start, Vectors};
use crate::conduction::cycle::Cycle;
use crate::conduction::grid::{Grid, Resolution};
use crate::conduction::stack::{ConductionError, Stack};
use crate::dot::dot;

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

/// Residual of each stage's equations, as a share of the tolerance.
const RESIDUAL: f64 = 1e-4;
/// First step, as a share of the whole time; it grows from there as the error allows.
const FIRST_STEP: f64 = 1e-7;
/// Most steps, refused ones included.
const MOST_STEPS: usize = 100_000;
/// A step aims at this share of the error it may make.
const AIM: f64 = 0.9;
/// Bounds of a step against the one before.
const CHANGE: (f64, f64) = (0.2, 4.0);

/// Warming of a stack from the air's temperature, its sources switched on together and kept.
///
/// `capacity_j_m3k` is what a cubic metre of each layer takes for one kelvin (density times specific heat),
/// one figure for each layer. `watch` is told the share of the time that is done and may stop.
///
/// # Model
/// Cells as in the steady state. In time a trapezoid over 2 - sqrt(2) of the step and a backward difference over all of
/// it: second order and L-stable, so that a long step damps what it cannot follow. A third-order formula over the
/// same three slopes tells the error of a step, by whose cube root the next one is chosen. What a step loses to the air
/// is booked with the weights of its slopes, so made = held + gone to rounding. Interfaces hold no heat.
///
/// # Source
/// R. E. Bank et al., IEEE Transactions on Electron Devices 32 (1985), 1992 (the scheme); M. E. Hosea and L. F.
/// Shampine, Applied Numerical Mathematics 20 (1996), 21 (its error formula). From memory, rederived.
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
    checked(stack, capacity_j_m3k, wanted)?;
    let grid = Grid::new(stack, wanted.cells)?;
    let mut clock = Stages::new(&grid, stack, capacity_j_m3k, wanted);
    let places = clock.cycle.finest().layout.places();
    let zeros = || vec![0.0; places];
    let [mut rise, mut base, mut middle, mut end] = [zeros(), zeros(), zeros(), zeros()];
    let [mut slope, mut slope_middle, mut slope_end] = [clock.heat_slope(), zeros(), zeros()];
    let (mut time_s, mut gone_j, mut lost_w) = (0.0, 0.0, 0.0);
    let mut step_s = wanted.until_s * FIRST_STEP;
    let mut out = vec![clock.moment(0.0, &rise, 0.0)];
    // Weights of the slopes: w, w, d.
    let (d, w) = (1.0 - FRAC_1_SQRT_2, 0.5 * FRAC_1_SQRT_2);
    for _ in 0..MOST_STEPS {
        let left_s = wanted.until_s - time_s;
        if left_s <= 1e-9 * wanted.until_s {
            return Ok(out);
        }
        let this_s = step_s.min(left_s);
        clock.set_step(d * this_s);
        ahead(&rise, &[(&slope, d * this_s)], &mut base);
        ahead(&rise, &[(&slope, 2.0 * d * this_s)], &mut middle);
        clock.stage(&base, &mut middle, &mut slope_middle)?;
        ahead(&rise, &[(&slope, w * this_s), (&slope_middle, w * this_s)], &mut base);
        ahead(&middle, &[(&slope_middle, (1.0 - 2.0 * d) * this_s)], &mut end);
        clock.stage(&base, &mut end, &mut slope_end)?;
        let most = end.iter().copied().fold(0.0, f64::max);
        let of = [(1.0 - 4.0 * w) / 3.0, 1.0 / 3.0, -2.0 * d / 3.0];
        let error = slope
            .iter()
            .zip(&slope_middle)
            .zip(&slope_end)
            .fold(0.0_f64, |most, ((a, b), c)| most.max((of[0] * a + of[1] * b + of[2] * c).abs()));
        let share = this_s * error / (wanted.tolerance * most.max(f64::MIN_POSITIVE));
        step_s = this_s * (AIM * share.max(1e-9).cbrt().recip()).clamp(CHANGE.0, CHANGE.1);
        if share > 1.0 {
            continue;
        }
        let (lost_middle, lost_end) = (clock.leaving_w(&middle), clock.leaving_w(&end));
        gone_j += this_s * (w * (lost_w + lost_middle) + d * lost_end);
        time_s += this_s;
        lost_w = lost_end;
        core::mem::swap(&mut rise, &mut end);
        core::mem::swap(&mut slope, &mut slope_end);
        out.push(clock.moment(time_s, &rise, gone_j));
        if watch(time_s / wanted.until_s).is_break() {
            return Err(ConductionError::Stopped { steps: out.len() - 1, residual: 0.0 });
        }
    }
    refused("steps in time", MOST_STEPS as f64, "fewer: raise the tolerance or shorten the time")
}

fn refused<T>(what: &str, found: f64, expected: &'static str) -> Result<T, ConductionError> {
    Err(ConductionError::Figure { what: what.to_owned(), found, expected })
}

fn checked(stack: &Stack, capacity_j_m3k: &[f64], wanted: Warming) -> Result<(), ConductionError> {
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
    Ok(())
}

/// The system with the grounds of the present step.
struct Stages {
    cycle: Cycle,
    vectors: Vectors,
    heat: Heat,
    made_w: f64,
    /// What a kelvin takes, by cell.
    capacity_j_k: Vec<f64>,
    held_j_k: f64,
    /// The same by row of cells, over the width along x.
    capacity_j_km: Vec<f64>,
    /// To the air, by row of cells, without the step's capacities.
    film: Vec<f32>,
    film_w_k: f64,
    /// What the step's capacities come to as grounds, exactly as the operator has them.
    shift: Vec<f64>,
    over_s: f64,
    threads: usize,
    tolerance: f64,
}

impl Stages {
    fn new(grid: &Grid, stack: &Stack, capacity_j_m3k: &[f64], wanted: Warming) -> Self {
        let cycle = Cycle::new(assembly::operator(grid, stack), wanted.threads);
        let heat = assembly::heat(grid, stack);
        let capacity_j_km = assembly::capacity(grid, stack, capacity_j_m3k);
        let level = cycle.finest();
        let mut capacity_j_k = vec![0.0; level.layout.places()];
        level.add_widths(&capacity_j_km, &mut capacity_j_k);
        let film = level.grounds();
        Self {
            vectors: Vectors::new(&cycle),
            film_w_k: level.sum_of_widths(&film),
            film,
            shift: vec![0.0; capacity_j_km.len()],
            made_w: heat.made_w(),
            held_j_k: capacity_j_k.iter().sum(),
            capacity_j_k,
            capacity_j_km,
            heat,
            cycle,
            over_s: 0.0,
            threads: wanted.threads,
            tolerance: (RESIDUAL * wanted.tolerance).clamp(1e-11, 1e-6),
        }
    }

    /// Slopes at the start: all heat stays where it is made.
    fn heat_slope(&self) -> Vec<f64> {
        let mut slope = vec![0.0; self.capacity_j_k.len()];
        let slab = self.cycle.finest().layout.slab();
        for (y, slope) in slope.chunks_mut(slab).enumerate() {
            self.heat.add(y, 1.0, slope);
        }
        for (slope, capacity) in slope.iter_mut().zip(&self.capacity_j_k) {
            *slope = if *capacity > 0.0 { *slope / capacity } else { 0.0 };
        }
        slope
    }

    /// Makes the operator that of stages over this time.
    fn set_step(&mut self, over_s: f64) {
        if self.over_s == over_s {
            return;
        }
        self.over_s = over_s;
        let grounds = self.film.iter().zip(&self.capacity_j_km);
        let grounds: Vec<f32> =
            grounds.map(|(film, capacity)| (f64::from(*film) + capacity / over_s) as f32).collect();
        for ((shift, ground), film) in self.shift.iter_mut().zip(&grounds).zip(&self.film) {
            *shift = f64::from(*ground) - f64::from(*film);
        }
        self.cycle.set_ground(&grounds, self.threads);
    }

    /// One stage: the temperatures `end` that came from `base` at their own slope, which is told too. `end` holds a
    /// guess.
    fn stage(&mut self, base: &[f64], end: &mut [f64], slope: &mut [f64]) -> Result<(), ConductionError> {
        let level = self.cycle.finest();
        let mut held_w = vec![0.0; base.len()];
        level.add_widths(&self.shift, &mut held_w);
        for (held, base) in held_w.iter_mut().zip(base) {
            *held *= base;
        }
        let slab = level.layout.slab();
        let heat = &self.heat;
        let rhs = |y: usize, out: &mut [f64]| {
            out.copy_from_slice(&held_w[y * slab..(y + 1) * slab]);
            heat.add(y, 1.0, out);
        };
        let mut row = vec![0.0; slab];
        let square = (0..level.layout.ny).map(|y| {
            rhs(y, &mut row);
            dot(&row, &row)
        });
        let goal = Goal { norm: square.sum::<f64>().sqrt(), tolerance: self.tolerance };
        let go_on = &mut |_| ControlFlow::Continue(());
        self.vectors.conjugate(&mut self.cycle, end, &rhs, Start::Guess, goal, go_on)?;
        // A small even shift closes the balance that the residual leaves open.
        let held: f64 =
            end.iter().zip(base).zip(&self.capacity_j_k).map(|((end, base), c)| c * (end - base)).sum();
        let open_w = self.made_w - self.leaving_w(end) - held / self.over_s;
        let shift = open_w / (self.held_j_k / self.over_s + self.film_w_k);
        for (((end, base), slope), capacity) in end.iter_mut().zip(base).zip(slope).zip(&self.capacity_j_k) {
            if *capacity > 0.0 {
                *end += shift;
                *slope = (*end - base) / self.over_s;
            }
        }
        Ok(())
    }

    fn leaving_w(&self, rise: &[f64]) -> f64 {
        self.cycle.finest().sum_by_width(&self.film, rise)
    }

    fn moment(&self, time_s: f64, rise: &[f64], gone_j: f64) -> Moment {
        let level = self.cycle.finest();
        let slab = level.layout.slab();
        let mut row = vec![0.0; slab];
        let mut by_heat = 0.0;
        for (y, rise) in rise.chunks(slab).enumerate() {
            row.fill(0.0);
            self.heat.add(y, 1.0, &mut row);
            by_heat += dot(rise, &row);
        }
        Moment {
            time_s,
            most_k: rise.iter().copied().fold(0.0, f64::max),
            made_at_k: if self.made_w > 0.0 { by_heat / self.made_w } else { 0.0 },
            held_j: dot(rise, &self.capacity_j_k),
            gone_j,
        }
    }
}

/// `out` = `from` and `slopes` times their times.
fn ahead(from: &[f64], slopes: &[(&[f64], f64)], out: &mut [f64]) {
    out.copy_from_slice(from);
    for (slope, time_s) in slopes {
        for (out, slope) in out.iter_mut().zip(*slope) {
            *out += time_s * slope;
        }
    }
}
