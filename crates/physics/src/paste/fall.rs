//! A lid that no paste carries: it falls, tilting about what it rests on, until paste carries it again.

use crate::paste::contact::{constrain, multiply, product};
use crate::paste::field::Field;
use crate::paste::step::floor;

/// Most moves until paste is met: each brings one more place of contact or the paste.
const MOVES: usize = 60;
/// A lid that moves less rests.
const REST_M: f64 = 1e-10;

/// Lets the lid fall under a load (force and its two moments) until paste touches it; whether it does.
///
/// `lid` is told how far it sank and turned.
///
/// # Model
/// The way down is that of a stiff lid on an even, weak cushion, with frictionless contact at the floor; the time it
/// takes counts as none. Where a screw is tightened on the other side, the lid turns about the edge it rests on.
pub(crate) fn fall(
    field: &mut Field,
    lid: &mut [f64; 3],
    load: &[f64; 3],
    dof: usize,
    filler_limit_m: f64,
) -> bool {
    let (x2, y2, count) = field
        .cells()
        .fold((0.0, 0.0, 0.0), |(x2, y2, count), (_, x, y)| (x2 + x * x, y2 + y * y, count + 1.0));
    let mut compliance = [[0.0; 3]; 3];
    compliance[0][0] = 1.0;
    if dof > 1 {
        compliance[1][1] = count / x2;
        compliance[2][2] = count / y2;
    }
    for _ in 0..MOVES {
        let mut v = multiply(&compliance, load);
        let way = to_paste(field, &v);
        // Where no paste lies in the way, far enough that the floor is met.
        let reach =
            if way.is_finite() { way } else { longest_gap(field) / v[0].abs().max(f64::MIN_POSITIVE) };
        constrain(&mut v, &compliance, reach, |see| {
            for (k, x, y) in field.cells() {
                see([1.0, x, y], field.gap[k] - floor(field, k, filler_limit_m));
            }
        });
        let time = reach.min(to_paste(field, &v));
        let farthest =
            field.cells().map(|(_, x, y)| (product(&[1.0, x, y], &v) * time).abs()).fold(0.0, f64::max);
        if !time.is_finite() || farthest < REST_M {
            return false;
        }
        let moved: Vec<(usize, f64)> =
            field.cells().map(|(k, x, y)| (k, product(&[1.0, x, y], &v) * time)).collect();
        for (k, by) in moved {
            field.gap[k] -= by;
        }
        for (place, speed) in lid.iter_mut().zip(&v) {
            *place += speed * time;
        }
        if field.mark_full() > 0 {
            return true;
        }
    }
    false
}

/// Time until the lid meets paste at these speeds.
fn to_paste(field: &Field, v: &[f64; 3]) -> f64 {
    field
        .cells()
        .filter(|(k, _, _)| field.column[*k] > 0.0)
        .filter_map(|(k, x, y)| {
            let speed = product(&[1.0, x, y], v);
            (speed > 0.0).then(|| (field.gap[k] - field.column[k]).max(0.0) / speed)
        })
        .fold(f64::INFINITY, f64::min)
}

fn longest_gap(field: &Field) -> f64 {
    field.cells().map(|(k, _, _)| field.gap[k]).fold(0.0, f64::max)
}
