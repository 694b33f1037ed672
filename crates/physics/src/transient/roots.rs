//! Roots of `z tan z = Bi`.

use core::f64::consts::PI;

/// The first `count` roots, one in each interval from `n pi` to `n pi + pi/2`.
///
/// Solved for the distance from `n pi` as `z sin z = Bi cos z`, which has no poles.
pub fn wall_roots(biot: f64, count: usize) -> Vec<f64> {
    (0..count)
        .map(|n| {
            let start = n as f64 * PI;
            let (mut low, mut high) = (0.0, PI / 2.0);
            // sin and cos of n pi + x are those of x times the same sign, which drops out.
            for _ in 0..70 {
                let x = 0.5 * (low + high);
                if (start + x) * x.sin() - biot * x.cos() < 0.0 {
                    low = x;
                } else {
                    high = x;
                }
            }
            start + 0.5 * (low + high)
        })
        .collect()
}
