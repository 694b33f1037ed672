//! How long a step of the pressing is.

use crate::paste::carried::Speeds;
use crate::paste::contact::{Touch, constrain};
use crate::paste::field::Field;
use crate::paste::input::PressInput;
use crate::paste::rheology::Walls;

/// Bare faces meet at this height: the roughness of ground faces, assumption.
const ROUGHNESS_M: f64 = 2e-7;
/// Largest share of a full cell's gap that closes in one step.
const GAP_STEP: f64 = 0.06;
/// Largest share of a cell that the front fills in one step; what is more spills on.
const FRONT_STEP: f64 = 1.0;
/// Largest change of the speed's logarithm expected in one step.
const SPEED_STEP: f64 = 0.3;
/// A step closes at most this many times the share of the gap that the one before closed: near its end a film that
/// yields slows down faster than two steps can tell.
const GROWTH: f64 = 1.5;
/// How often, and by how much at once, a step is made longer where the lid rests on something.
const STRETCHES: usize = 4;
const STRETCH: f64 = 8.0;
/// A lid that moves less in a step rests.
const REST_M: f64 = 1e-9;

/// Length of a step: what the paste moves by, and what the clock shows for it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step {
    pub(crate) travel_s: f64,
    pub(crate) clock_s: f64,
}

/// What a step's length is chosen by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StepFacts {
    pub(crate) dof: usize,
    pub(crate) time: f64,
    pub(crate) gap: f64,
    pub(crate) exponent: f64,
    pub(crate) fill_rate: f64,
    pub(crate) rate: f64,
    /// Largest share of a gap that the step before closed.
    pub(crate) closed: f64,
}

/// Time in which a gap shrinks by a factor at a speed that goes with a power of the gap.
pub(crate) fn power_time(gap: f64, shrink: f64, speed: f64, exponent: f64) -> f64 {
    let m = 1.0 - exponent;
    let log = m * shrink.ln();
    // (1 - e^log) / m, safe where m is near zero.
    let part = if log.abs() < 1e-8 { -shrink.ln() } else { -log.exp_m1() / m };
    gap / speed * part
}

/// How far the next step goes, and whether faces or grains touch at its end.
pub(crate) fn choose_step(
    input: &PressInput,
    walls: &Walls,
    field: &mut Field,
    speeds: &Speeds,
    facts: StepFacts,
) -> (Step, [f64; 3], Touch) {
    let StepFacts { dof, time, gap, exponent, fill_rate, rate, closed } = facts;
    let mut v = speeds.v;
    let most = GAP_STEP.min(GROWTH * closed);
    let mut dt = (most / rate.max(1e-300)).min(FRONT_STEP / fill_rate.max(1e-300));
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
    dt = dt.min(until_met(field, &v));
    let limit_m = input.filler_limit_m;
    let clock_of = |v: &[f64; 3], dt: f64| {
        let shrink = 1.0 - v[0] * dt / gap;
        if settled && v[0] > 0.0 && shrink > 0.0 { power_time(gap, shrink, v[0], exponent) } else { dt }
    };
    let clock = clock_of(&v, dt);
    if clock > limit {
        dt *= limit / clock;
    }
    // Farther than any cell of the lid moves there is nothing to touch.
    let farthest = |field: &Field, v: &[f64; 3]| {
        field.cells().map(|(_, x, y)| (v[0] + v[1] * x + v[2] * y).abs()).fold(0.0, f64::max)
    };
    if farthest(field, &v) * dt >= clearance(field, limit_m) {
        for _ in 0..STRETCHES {
            v = speeds.v;
            touch = constrain(&mut v, &speeds.compliance, dt, |see| {
                for (k, x, y) in field.cells() {
                    see([1.0, x, y], field.gap[k] - floor(field, k, limit_m));
                }
            });
            if touch == Touch::Free {
                break;
            }
            // What it rests on holds the lid back: the step may be as long as is right for the speeds that are left.
            let fill_rate = field.fluxes(walls, &v, dof);
            let slow = field.closing_rate(&v);
            let wish =
                (most / slow.max(1e-300)).min(FRONT_STEP / fill_rate.max(1e-300)).min(until_met(field, &v));
            let wish = wish.min(limit).min((0.05 * input.tightening.settled_s()).max(1e-9)).min(STRETCH * dt);
            if wish < 1.2 * dt {
                break;
            }
            dt = wish;
        }
        // On too small a patch of paste the pushes may not be found: then the step ends where the floor is met.
        for (k, x, y) in field.cells() {
            let clear = (field.gap[k] - floor(field, k, limit_m)).max(0.0);
            let speed = v[0] + v[1] * x + v[2] * y;
            if speed * dt > clear + 1e-8 {
                dt = clear / speed;
                touch = Touch::Touching;
            }
        }
    }
    if touch == Touch::Touching && !settled && farthest(field, &v) * dt < REST_M {
        // It rests on its edge until more load is on it.
        return (Step { travel_s: 0.0, clock_s: limit.min(0.01 * input.tightening.settled_s()) }, v, touch);
    }
    (Step { travel_s: dt, clock_s: clock_of(&v, dt).min(limit) }, v, touch)
}

/// Time until a tipping lid comes down on paste that it did not touch: it may not run through it.
fn until_met(field: &Field, v: &[f64; 3]) -> f64 {
    let bare = field.wet_cells().filter(|(k, _, _)| !field.live[*k] && field.column[*k] > 0.0);
    let times = bare.filter_map(|(k, x, y)| {
        let tilting = v[1] * x + v[2] * y;
        let speed = v[0] + tilting;
        let way = (field.gap[k] - (1.0 - GAP_STEP) * field.column[k]).max(0.01 * field.gap[k]);
        (speed > 0.0 && tilting > 0.5 * v[0].abs()).then(|| way / speed)
    });
    times.fold(f64::INFINITY, f64::min)
}

/// Lowest gap a cell may have: grains where there is paste, roughness where there is none.
pub(crate) fn floor(field: &Field, cell: usize, filler_limit_m: f64) -> f64 {
    if field.column[cell] > 0.05 * filler_limit_m { filler_limit_m.max(ROUGHNESS_M) } else { ROUGHNESS_M }
}

/// How far the lid may still sink before something touches.
pub(crate) fn clearance(field: &Field, filler_limit_m: f64) -> f64 {
    field
        .cells()
        .map(|(k, _, _)| field.gap[k] - floor(field, k, filler_limit_m))
        .fold(f64::INFINITY, f64::min)
        .max(0.0)
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
