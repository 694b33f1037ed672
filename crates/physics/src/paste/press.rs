//! Pressing paste between lid and base: from the beads to the final film.

use crate::paste::contact::Touch;
use crate::paste::fall::fall;
use crate::paste::film::{End, Moment, PressOutcome, Run};
use crate::paste::input::PressInput;
use crate::paste::rheology::Walls;
use crate::paste::start::{middle_shape, start};
use crate::paste::step::{StepFacts, choose_step, power_time};
use crate::refusal::Refusal;

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

/// Steps after which the pressing is given up.
const STEPS: usize = 20_000;
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
    let mut run = Run::new(input);
    let (mut time, mut steps) = (0.0_f64, 0_usize);
    let mut exponent = 5.0;
    let mut before: Option<(f64, f64, f64, f64)> = None;
    let mut is_first = true;
    let mut closed = f64::INFINITY;
    let end = loop {
        let load = input.tightening.at(time);
        let force = [load.force_n, load.force_n * load.at_m.0, load.force_n * load.at_m.1];
        let settled = time >= input.tightening.settled_s();
        if field.mark_full() == 0 && !fall(&mut field, &mut lid, &force, dof, input.filler_limit_m) {
            match (settled, input.tightening.next_after_s(time)) {
                // It rests on the floor under this load; the next one may turn it.
                (false, Some(next)) if next < input.time_limit_s => {
                    time = next;
                    before = None;
                    continue;
                }
                _ => break End::Touching,
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
                field.fluxes(&walls, &speeds.v, dof);
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
        let fill_rate = field.fluxes(&walls, &speeds.v, dof);
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
        let (dt, v, touch) = choose_step(
            input,
            &walls,
            &mut field,
            &speeds,
            StepFacts { dof, time, gap, exponent, fill_rate, rate, closed },
        );
        if touch == Touch::Touching && settled {
            let still = field.closing_rate(&v);
            if still * dt.travel_s < 1e-7 || still < input.stall_per_s {
                break End::Touching;
            }
        }
        if dof > 1 || v != speeds.v {
            field.fluxes(&walls, &v, dof);
        }
        field.advance(&v, dt.travel_s);
        for (l, s) in lid.iter_mut().zip(&v) {
            *l += s * dt.travel_s;
        }
        // While screws are turned the lid stops and goes.
        closed = if settled { (field.closing_rate(&v) * dt.travel_s).max(1e-6) } else { f64::INFINITY };
        before = Some((gap, v[0], dt.clock_s, load.force_n));
        time += dt.clock_s;
        steps += 1;
    };
    let load = input.tightening.at(time);
    let last = Moment { time_s: time, gap_m: gap_at(&lid), coverage: 0.0, force_n: load.force_n };
    Ok(run.finish(&field, last, end, steps, volume_put))
}
