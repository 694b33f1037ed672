//! Pressing paste between lid and base: from the beads to the final film.

use crate::paste::contact::{Touch, constrain};
use crate::paste::field::{Field, Speeds};
use crate::paste::gap_shape::GapShape;
use crate::paste::pattern::{Bead, Pattern};
use crate::paste::pockets::{Pocket, find};
use crate::paste::rheology::{FlowLaw, Walls};
use crate::paste::tightening::Tightening;
use crate::refusal::{Refusal, not_negative, positive, within};

/// Everything the pressing needs.
#[derive(Debug, Clone, PartialEq)]
pub struct PressInput {
    /// Length of the lid, along x.
    pub length_m: f64,
    /// Width of the lid, along y.
    pub width_m: f64,
    /// Cells along length and width, 8 to 2048 each.
    pub cells: (usize, usize),
    /// How the faces differ from flat.
    pub shape: GapShape,
    /// How the paste flows.
    pub paste: FlowLaw,
    /// Thickness at which grains of filler lie between the faces and carry; 0 for none.
    pub filler_limit_m: f64,
    /// Volume of paste.
    pub volume_m3: f64,
    /// Where it is put.
    pub pattern: Pattern,
    /// Gap at which the lid meets the paste: the beads are taken as flattened to it.
    pub initial_gap_m: f64,
    /// How the force comes.
    pub tightening: Tightening,
    /// When to end at the latest.
    pub time_limit_s: f64,
    /// Share of the gap closing in a second below which the film counts as final.
    pub stall_per_s: f64,
    /// Whether a lid alike on all four sides is computed as a quarter.
    pub symmetry: Symmetry,
}

/// Use of symmetry. The answer is the same within the tolerance of the pressure solve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symmetry {
    /// Compute a quarter where lid, pattern and load allow it.
    Use,
    /// Compute the whole lid.
    Ignore,
}

impl PressInput {
    /// A flat lid with a centred load: the usual start, other fields to be changed after.
    ///
    /// # Example
    /// ```
    /// use physics::paste::{pattern::Pattern, press::{Go, PressInput, press}, rheology::FlowLaw};
    /// let mut input = PressInput::flat(0.03, 0.03, FlowLaw::bingham(100.0, 80.0), 60e-9, Pattern::Dot, 200.0);
    /// input.cells = (64, 64);
    /// let film = press(&input, &mut |_| Go::On)?;
    /// assert!(film.coverage > 0.5 && film.volume_drift < 1e-12);
    /// # Ok::<(), physics::refusal::Refusal>(())
    /// ```
    pub fn flat(
        length_m: f64,
        width_m: f64,
        paste: FlowLaw,
        volume_m3: f64,
        pattern: Pattern,
        force_n: f64,
    ) -> Self {
        Self {
            length_m,
            width_m,
            cells: (128, 128),
            shape: GapShape::Flat,
            paste,
            filler_limit_m: 0.0,
            volume_m3,
            pattern,
            initial_gap_m: 5e-4,
            tightening: Tightening::at_once(force_n),
            time_limit_s: 600.0,
            stall_per_s: 1e-4,
            symmetry: Symmetry::Use,
        }
    }

    fn checked(&self) -> Result<(), Refusal> {
        positive("lid length", self.length_m)?;
        positive("lid width", self.width_m)?;
        within("lid length", self.length_m, (1e-3..=1.0).contains(&self.length_m), "0.001 to 1 m")?;
        within("lid width", self.width_m, (1e-3..=1.0).contains(&self.width_m), "0.001 to 1 m")?;
        for cells in [self.cells.0, self.cells.1] {
            within("cells", cells as f64, (8..=2048).contains(&cells), "8 to 2048 along a side")?;
        }
        self.paste.checked()?;
        not_negative("filler limit", self.filler_limit_m)?;
        positive("paste volume", self.volume_m3)?;
        positive("initial gap", self.initial_gap_m)?;
        within("initial gap", self.initial_gap_m, self.initial_gap_m <= 0.02, "at most 0.02 m")?;
        within(
            "initial gap",
            self.initial_gap_m,
            self.initial_gap_m > self.filler_limit_m,
            "above the filler limit",
        )?;
        let most = 0.5 * self.length_m * self.width_m * self.initial_gap_m.max(1e-3);
        within(
            "paste volume",
            self.volume_m3,
            self.volume_m3 <= most,
            "at most half of what goes under the lid",
        )?;
        within("gap shape", f64::NAN, false, "whole rows of finite heights below 0.01 m")
            .or_else(|refusal| if self.shape.is_sound() { Ok(0.0) } else { Err(refusal) })?;
        positive("time limit", self.time_limit_s)?;
        not_negative("stall rate", self.stall_per_s)?;
        if let Pattern::Layer { share } = self.pattern {
            within("share of the layer", share, share > 0.0 && share <= 1.0, "above 0 to 1")?;
        }
        if let Pattern::Custom(beads) = &self.pattern {
            positive("number of beads", beads.len() as f64)?;
            for (x, y) in beads.iter().flat_map(|bead| [bead.from_m, bead.to_m]) {
                within("x of a bead", x, x.abs() <= self.length_m / 2.0, "a place under the lid")?;
                within("y of a bead", y, y.abs() <= self.width_m / 2.0, "a place under the lid")?;
            }
        }
        self.tightening.clone().checked()?;
        Ok(())
    }

    fn is_quarter(&self) -> bool {
        self.symmetry == Symmetry::Use
            && self.cells.0.is_multiple_of(2)
            && self.cells.1.is_multiple_of(2)
            && self.shape.is_symmetric()
            && self.pattern.is_symmetric()
            && self.tightening.is_centred()
    }
}

/// How far the pressing is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Steps done.
    pub steps: usize,
    /// Time since first contact.
    pub time_s: f64,
    /// Gap in the middle of the lid.
    pub gap_m: f64,
    /// Share of the lid that paste covers.
    pub coverage: f64,
}

/// What the caller wants after a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Go {
    /// More.
    On,
    /// Stop here; the film so far is the answer.
    Stop,
}

/// Why the pressing ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The film is final: the paste carries the load and hardly moves.
    Stalled,
    /// The film is final: grains or faces carry the load.
    Touching,
    /// The time was over.
    TimeUp,
    /// The caller stopped it, or the steps ran out.
    Stopped,
}

/// One moment of the history.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since first contact.
    pub time_s: f64,
    /// Gap in the middle of the lid.
    pub gap_m: f64,
    /// Share of the lid that paste covers.
    pub coverage: f64,
    /// Mounting force.
    pub force_n: f64,
}

/// One picture of the film, on coarse cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// When, and how far.
    pub moment: Moment,
    /// Share of paste, row by row from the lower edge.
    pub fill: Vec<f32>,
}

/// The film at the end.
#[derive(Debug, Clone, PartialEq)]
pub struct PressOutcome {
    /// Why it ended.
    pub end: End,
    /// Cells in a row and rows of the maps.
    pub cells: (usize, usize),
    /// Size of the lid.
    pub size_m: (f64, f64),
    /// Height of paste in each cell, row by row from the lower edge; 0 where none is.
    pub thickness_m: Vec<f64>,
    /// Gap in each cell.
    pub gap_m: Vec<f64>,
    /// Share of each cell's gap that paste fills, 0 to 1.
    pub fill: Vec<f64>,
    /// Share of the lid that paste covers.
    pub coverage: f64,
    /// Volume that ran over the edge.
    pub overflow_m3: f64,
    /// Air shut in, largest first.
    pub pockets: Vec<Pocket>,
    /// The history: gap and coverage over time.
    pub history: Vec<Moment>,
    /// Cells in a row and rows of a frame.
    pub frame_cells: (usize, usize),
    /// Pictures of the way.
    pub frames: Vec<Frame>,
    /// Time at the end.
    pub time_s: f64,
    /// Steps taken.
    pub steps: usize,
    /// Volume in and over the edge against volume put, relative.
    pub volume_drift: f64,
}

/// Largest side of a frame in cells.
const FRAME_SIDE: usize = 64;
/// A frame each time the gap has shrunk by this factor.
const FRAME_RATIO: f64 = 0.93;
/// Most frames.
const FRAME_COUNT: usize = 64;
/// Bare faces meet at this height: the roughness of ground faces, assumption.
const ROUGHNESS_M: f64 = 2e-7;
/// Steps after which the pressing is given up.
const STEPS: usize = 20_000;
/// Largest share of a full cell's gap that closes in one step.
const GAP_STEP: f64 = 0.06;
/// Largest share of a cell that the front fills in one step; what is more spills on.
const FRONT_STEP: f64 = 1.0;
/// Largest change of the speed's logarithm expected in one step.
const SPEED_STEP: f64 = 0.3;

/// Presses the paste until the film is final, the time is over or the caller stops it.
///
/// # Model
/// Thin-film flow `div(M grad p) = dh/dt` in the full cells, M from the flow law (`h^3 / 12 eta` without yield
/// stress), pressure zero at the front and the lid's edge; a stiff lid whose closing and tilting follow from
/// force and moments; cells fill from full neighbours. Left out: inertia, surface tension, slip, heating, back
/// pressure of shut-in air, paste that climbs outside the edge. See `docs/paste.md`.
///
/// # Source
/// Reynolds equation of lubrication, textbook; checks beside the tests in `tests/it/paste.rs`.
///
/// # Errors
/// A value out of range.
pub fn press(input: &PressInput, watch: &mut dyn FnMut(Progress) -> Go) -> Result<PressOutcome, Refusal> {
    input.checked()?;
    let walls = Walls::new(input.paste);
    let mut field = start(input);
    let dof = if field.copies > 1.0 { 1 } else { 3 };
    let volume_put = field.volume_m3();
    let shape_middle = middle_shape(input, &field);
    let mut lid = [0.0; 3];
    // The gap in the middle from the lid's own place, for the history.
    let gap_at = |lid: &[f64; 3]| input.initial_gap_m + shape_middle - lid[0];
    let mut run = Run { input, history: Vec::new(), frames: Vec::new(), next_frame: f64::INFINITY };
    let (mut time, mut steps) = (0.0_f64, 0_usize);
    let mut exponent = 5.0;
    let mut before: Option<(f64, f64, f64, f64)> = None;
    let mut is_first = true;
    let end = loop {
        let load = input.tightening.at(time);
        let force = [load.force_n, load.force_n * load.at_m.0, load.force_n * load.at_m.1];
        let settled = time >= input.tightening.settled_s();
        if field.mark_full() == 0 {
            let mut drop = field.drop_to_touch();
            let clear = clearance(&field, input.filler_limit_m);
            drop = drop.min(clear);
            field.lower(drop);
            lid[0] += drop;
            if field.mark_full() == 0 {
                break End::Touching;
            }
        }
        let Some(mut speeds) = field.solve(&walls, &force, dof) else {
            match (settled, input.tightening.next_after_s(time)) {
                (false, Some(next)) if next < input.time_limit_s => {
                    // The paste holds this load; go on a little later, when more is on it.
                    time = next.min(time + 0.02 * input.tightening.settled_s());
                    before = None;
                    continue;
                }
                _ => break End::Stalled,
            }
        };
        if is_first && !walls.is_newtonian() {
            // The flux pattern must be there before its mobility can be.
            for _ in 0..4 {
                field.fluxes(&speeds.v, dof);
                match field.solve(&walls, &force, dof) {
                    Some(next) => speeds = next,
                    None => break,
                }
            }
        }
        is_first = false;
        let gap = gap_at(&lid);
        if let Some((gap_before, speed_before, dt_guess, force_before)) = before.take()
            && speeds.v[0] > 0.0
        {
            let shrink = gap / gap_before;
            if shrink < 1.0 && force_before == load.force_n {
                exponent = ((speeds.v[0] / speed_before).ln() / shrink.ln()).clamp(-50.0, 5e4);
                // With the speed known at both ends the step's time follows from the power law between.
                time += power_time(gap_before, shrink, speed_before, exponent) - dt_guess;
            }
        }
        let fill_rate = field.fluxes(&speeds.v, dof);
        let coverage = run.note(
            &field,
            Moment { time_s: time, gap_m: gap, coverage: 0.0, force_n: load.force_n },
            steps,
        );
        if watch(Progress { steps, time_s: time, gap_m: gap, coverage }) == Go::Stop || steps >= STEPS {
            break End::Stopped;
        }
        if time >= input.time_limit_s * (1.0 - 1e-9) {
            break End::TimeUp;
        }
        let rate = field.closing_rate(&speeds.v);
        if settled && rate < input.stall_per_s {
            break End::Stalled;
        }
        let (dt, v, touch) =
            choose_step(input, &field, &speeds, StepFacts { dof, time, gap, exponent, fill_rate, rate });
        if touch == Touch::Touching && settled {
            let still = field.closing_rate(&v);
            if still * dt.travel_s < 1e-7 || still < input.stall_per_s {
                break End::Touching;
            }
        }
        if v != speeds.v {
            field.fluxes(&v, dof);
        }
        field.advance(&v, dt.travel_s);
        for (l, s) in lid.iter_mut().zip(&v) {
            *l += s * dt.travel_s;
        }
        before = Some((gap, v[0], dt.clock_s, load.force_n));
        time += dt.clock_s;
        steps += 1;
    };
    let load = input.tightening.at(time);
    let last = Moment { time_s: time, gap_m: gap_at(&lid), coverage: 0.0, force_n: load.force_n };
    Ok(run.finish(&field, last, end, steps, volume_put))
}

/// Length of a step: what the paste moves by, and what the clock shows for it.
#[derive(Debug, Clone, Copy)]
struct Step {
    travel_s: f64,
    clock_s: f64,
}

#[derive(Debug, Clone, Copy)]
struct StepFacts {
    dof: usize,
    time: f64,
    gap: f64,
    exponent: f64,
    fill_rate: f64,
    rate: f64,
}

/// Time in which a gap shrinks by a factor at a speed that goes with a power of the gap.
fn power_time(gap: f64, shrink: f64, speed: f64, exponent: f64) -> f64 {
    let m = 1.0 - exponent;
    let log = m * shrink.ln();
    // (1 - e^log) / m, safe where m is near zero.
    let part = if log.abs() < 1e-8 { -shrink.ln() } else { -log.exp_m1() / m };
    gap / speed * part
}

fn choose_step(
    input: &PressInput,
    field: &Field,
    speeds: &Speeds,
    facts: StepFacts,
) -> (Step, [f64; 3], Touch) {
    let StepFacts { dof, time, gap, exponent, fill_rate, rate } = facts;
    let mut v = speeds.v;
    let mut dt = (GAP_STEP / rate.max(1e-300)).min(FRONT_STEP / fill_rate.max(1e-300));
    if dof == 1 {
        dt = dt.min(SPEED_STEP / exponent.abs().max(1e-3) * gap / v[0].abs().max(1e-300));
    }
    // The load may not change much within a step, and a bend of it ends one.
    let mut limit = input.time_limit_s - time;
    if let Some(next) = input.tightening.next_after_s(time) {
        limit = limit.min((next - time).max(0.0)).max(1e-9);
        dt = dt.min((0.05 * input.tightening.settled_s()).max(1e-9));
    }
    let settled = time >= input.tightening.settled_s();
    let mut touch = Touch::Free;
    if dof == 1 {
        let clear = clearance(field, input.filler_limit_m);
        if v[0] * dt >= clear {
            touch = Touch::Touching;
            dt = (clear / v[0]).max(0.0);
            if clear <= 1e-12 {
                v[0] = 0.0;
            }
        }
        let shrink = 1.0 - v[0] * dt / gap;
        if settled && v[0] > 0.0 && shrink > 0.0 {
            let clock = power_time(gap, shrink, v[0], exponent);
            if clock <= limit || !clock.is_finite() {
                return (Step { travel_s: dt, clock_s: clock }, v, touch);
            }
            // Ends within the step: the shrink that just takes the time left.
            let m = 1.0 - exponent;
            let inner = -m * limit * v[0] / gap;
            let shrink = if m.abs() < 1e-8 { (-limit * v[0] / gap).exp() } else { (inner.ln_1p() / m).exp() };
            return (Step { travel_s: (1.0 - shrink) * gap / v[0], clock_s: limit }, v, Touch::Free);
        }
        dt = dt.min(limit);
        return (Step { travel_s: dt, clock_s: dt }, v, touch);
    }
    // A tilting lid has no one power law, but its middle nearly follows one while the load stands still.
    dt = dt.min(SPEED_STEP / exponent.abs().max(1e-3) * gap / v[0].abs().max(1e-300));
    let limit_m = input.filler_limit_m;
    let clock_of = |v: &[f64; 3], dt: f64| {
        let shrink = 1.0 - v[0] * dt / gap;
        if settled && v[0] > 0.0 && shrink > 0.0 { power_time(gap, shrink, v[0], exponent) } else { dt }
    };
    let clock = clock_of(&v, dt);
    if clock > limit {
        dt *= limit / clock;
    }
    touch = constrain(&mut v, &speeds.compliance, dt, |see| {
        for (k, x, y) in field.cells() {
            see([1.0, x, y], field.gap[k] - floor(field, k, limit_m));
        }
    });
    (Step { travel_s: dt, clock_s: clock_of(&v, dt).min(limit) }, v, touch)
}

/// Lowest gap a cell may have: grains where there is paste, roughness where there is none.
fn floor(field: &Field, cell: usize, filler_limit_m: f64) -> f64 {
    if field.column[cell] > 0.05 * filler_limit_m { filler_limit_m.max(ROUGHNESS_M) } else { ROUGHNESS_M }
}

fn clearance(field: &Field, filler_limit_m: f64) -> f64 {
    field
        .cells()
        .map(|(k, _, _)| field.gap[k] - floor(field, k, filler_limit_m))
        .fold(f64::INFINITY, f64::min)
        .max(0.0)
}

/// Shape heights, lowest put to zero.
fn lowest_shape(input: &PressInput, field: &Field) -> f64 {
    field
        .cells()
        .map(|(_, x, y)| input.shape.height_m(2.0 * x / input.length_m, 2.0 * y / input.width_m))
        .fold(f64::INFINITY, f64::min)
}

fn middle_shape(input: &PressInput, field: &Field) -> f64 {
    input.shape.height_m(0.0, 0.0) - lowest_shape(input, field)
}

/// The grid with the lid at its first gap and the paste put.
fn start(input: &PressInput) -> Field {
    let quarter = input.is_quarter();
    let mut field = if quarter {
        Field::new(input.cells.0 / 2, input.cells.1 / 2, (input.length_m / 2.0, input.width_m / 2.0), 4.0)
    } else {
        Field::new(input.cells.0, input.cells.1, (input.length_m, input.width_m), 1.0)
    };
    let lowest = lowest_shape(input, &field);
    let cells: Vec<(usize, f64, f64)> = field.cells().collect();
    for (k, x, y) in &cells {
        let height = input.shape.height_m(2.0 * x / input.length_m, 2.0 * y / input.width_m) - lowest;
        field.gap[*k] = input.initial_gap_m + height;
    }
    if let Pattern::Layer { share } = input.pattern {
        let (a, b) = (share * input.length_m / 2.0, share * input.width_m / 2.0);
        let part = |x: f64, a: f64, dx: f64| ((a - x.abs()) / dx + 0.5).clamp(0.0, 1.0);
        for (k, x, y) in &cells {
            field.column[*k] = part(*x, a, field.dx) * part(*y, b, field.dy);
        }
        let ones = field.volume_m3();
        for (k, _, _) in &cells {
            // Where the layer is thicker than the gap the lid starts higher.
            field.column[*k] *= input.volume_m3 / ones;
        }
        let over = cells.iter().map(|(k, _, _)| field.column[*k] - field.gap[*k]).fold(0.0, f64::max);
        field.lower(-over);
        return field;
    }
    let beads = input.pattern.beads(input.length_m, input.width_m);
    let away: Vec<f64> = cells
        .iter()
        .map(|(_, x, y)| {
            beads.iter().map(|bead: &Bead| bead.distance_m(*x, *y)).fold(f64::INFINITY, f64::min)
        })
        .collect();
    let cell = field.dx.max(field.dy);
    let paint = |field: &mut Field, radius: f64| {
        for ((k, _, _), away) in cells.iter().zip(&away) {
            field.column[*k] = field.gap[*k] * ((radius - away) / cell + 0.5).clamp(0.0, 1.0);
        }
        field.volume_m3()
    };
    // The width that holds the volume, by false position on volume over width squared.
    let (mut low, mut high) = (0.0, 2.0 * input.length_m.max(input.width_m));
    let mut radius = (input.volume_m3 / (4.0 * beads.len().max(1) as f64 * input.initial_gap_m)).sqrt();
    for _ in 0..40 {
        let found = paint(&mut field, radius);
        if (found / input.volume_m3 - 1.0).abs() < 1e-6 {
            break;
        }
        if found < input.volume_m3 {
            low = radius
        } else {
            high = radius
        }
        let mut next = radius * (input.volume_m3 / found.max(1e-300)).sqrt();
        if !(next > low && next < high) {
            next = 0.5 * (low + high);
        }
        radius = next;
    }
    let size = input.volume_m3 / field.volume_m3();
    for (k, _, _) in &cells {
        field.column[*k] *= size;
    }
    field
}

/// What is kept on the way.
struct Run<'a> {
    input: &'a PressInput,
    history: Vec<Moment>,
    frames: Vec<Frame>,
    next_frame: f64,
}

impl Run<'_> {
    fn note(&mut self, field: &Field, moment: Moment, steps: usize) -> f64 {
        let (mut fill, mut count) = (0.0, 0);
        for row in 1..=field.ny {
            for k in row * field.stride + 1..=row * field.stride + field.nx {
                fill += (field.column[k] / field.gap[k]).min(1.0);
                count += 1;
            }
        }
        let moment = Moment { coverage: fill / f64::from(count), ..moment };
        self.history.push(moment);
        if (steps == 0 || moment.gap_m < self.next_frame) && self.frames.len() + 1 < FRAME_COUNT {
            self.next_frame = moment.gap_m * FRAME_RATIO;
            self.frame(field, moment);
        }
        moment.coverage
    }

    fn frame_cells(&self) -> (usize, usize, usize) {
        let block = self.input.cells.0.max(self.input.cells.1).div_ceil(FRAME_SIDE);
        (block, self.input.cells.0.div_ceil(block), self.input.cells.1.div_ceil(block))
    }

    fn frame(&mut self, field: &Field, moment: Moment) {
        let (block, columns, rows) = self.frame_cells();
        let (nx, ny) = self.input.cells;
        let mut sums = vec![0.0_f32; columns * rows];
        let mut counts = vec![0.0_f32; columns * rows];
        for y in 0..ny {
            for x in 0..nx {
                let k = cell_of(field, self.input.cells, x, y);
                let slot = y / block * columns + x / block;
                sums[slot] += (field.column[k] / field.gap[k]).min(1.0) as f32;
                counts[slot] += 1.0;
            }
        }
        for (sum, count) in sums.iter_mut().zip(&counts) {
            *sum /= count;
        }
        self.frames.push(Frame { moment, fill: sums });
    }

    fn finish(
        mut self,
        field: &Field,
        last: Moment,
        end: End,
        steps: usize,
        volume_put: f64,
    ) -> PressOutcome {
        let coverage = self.note(field, last, usize::MAX);
        let last = Moment { coverage, ..last };
        self.frame(field, last);
        let cells = self.input.cells;
        let count = cells.0 * cells.1;
        let (mut thickness, mut gap, mut fill) =
            (Vec::with_capacity(count), Vec::with_capacity(count), Vec::with_capacity(count));
        for y in 0..cells.1 {
            for x in 0..cells.0 {
                let k = cell_of(field, cells, x, y);
                thickness.push(field.column[k].clamp(0.0, field.gap[k]));
                gap.push(field.gap[k]);
                fill.push((field.column[k] / field.gap[k]).clamp(0.0, 1.0));
            }
        }
        let (_, columns, rows) = self.frame_cells();
        let size = (self.input.length_m, self.input.width_m);
        let pockets = find(&fill, cells.0, cells.1, size.0 / cells.0 as f64, size.1 / cells.1 as f64);
        PressOutcome {
            end,
            cells,
            size_m: size,
            thickness_m: thickness,
            gap_m: gap,
            fill,
            coverage,
            overflow_m3: field.overflow_m3,
            pockets,
            history: self.history,
            frame_cells: (columns, rows),
            frames: self.frames,
            time_s: last.time_s,
            steps,
            volume_drift: ((field.volume_m3() + field.overflow_m3) / volume_put - 1.0).abs(),
        }
    }
}

/// The computed cell that stands for a cell of the lid.
fn cell_of(field: &Field, cells: (usize, usize), x: usize, y: usize) -> usize {
    let fold = |i: usize, n: usize| {
        if field.copies > 1.0 { if i >= n / 2 { i - n / 2 } else { n / 2 - 1 - i } } else { i }
    };
    (fold(y, cells.1) + 1) * field.stride + fold(x, cells.0) + 1
}

impl PressOutcome {
    /// Gap in the middle of the lid at a time, between the moments of the history, both in logarithms.
    pub fn gap_at_m(&self, time_s: f64) -> Option<f64> {
        let after = self.history.partition_point(|moment| moment.time_s < time_s);
        let (b, a) = (self.history.get(after)?, after.checked_sub(1).and_then(|k| self.history.get(k)));
        let Some(a) = a.filter(|a| a.time_s > 0.0) else { return Some(b.gap_m) };
        let part = (time_s / a.time_s).ln() / (b.time_s / a.time_s).ln();
        Some((a.gap_m.ln() * (1.0 - part) + b.gap_m.ln() * part).exp())
    }

    /// Thickness of the thinnest and thickest filled cell.
    pub fn thickness_range_m(&self) -> Option<(f64, f64)> {
        let filled =
            self.thickness_m.iter().zip(&self.fill).filter(|(_, fill)| **fill > 0.98).map(|(t, _)| *t);
        filled.fold(None, |range, t| match range {
            None => Some((t, t)),
            Some((low, high)) => Some((low.min(t), high.max(t))),
        })
    }

    /// Force over the lid's area at the end.
    pub fn mean_pressure_pa(&self) -> f64 {
        let force = self.history.last().map_or(0.0, |moment| moment.force_n);
        force / (self.size_m.0 * self.size_m.1)
    }
}

#[cfg(test)]
mod tests {
    use super::power_time;

    #[test]
    fn time_of_a_step_follows_the_power_law() {
        // dh/dt = -h^5 from 1 to 0.5: t = (0.5^-4 - 1) / 4 = 3.75.
        assert!((power_time(1.0, 0.5, 1.0, 5.0) - 3.75).abs() < 1e-12);
        // dh/dt = -h: t = ln 2.
        assert!((power_time(1.0, 0.5, 1.0, 1.0) - core::f64::consts::LN_2).abs() < 1e-12);
    }
}
