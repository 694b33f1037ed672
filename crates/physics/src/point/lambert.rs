//! The two real branches of the Lambert W function, the inverse of `w e^w`.
//!
//! # Source
//! R. M. Corless et al., On the Lambert W Function, Adv. Comput. Math. 5, 329-359, 1996: series at
//! the branch point (4.22) and Halley's step (5.9).

/// Principal branch for `x >= -1/e`; not a number below.
pub fn principal(x: f64) -> f64 {
    if x < -core::f64::consts::E.recip() {
        return if x > -core::f64::consts::E.recip() - 1e-15 { -1.0 } else { f64::NAN };
    }
    if x == 0.0 {
        return 0.0;
    }
    let start = if x < -0.25 {
        near_branch(x, 1.0)
    } else if x < 3.0 {
        // A rational first guess good to a few per cent here.
        x / (1.0 + x / (1.0 + 0.5 * x.max(-0.2)))
    } else {
        let log = x.ln();
        log - log.ln()
    };
    halley(x, start)
}

/// Lower branch for `-1/e <= x < 0`; not a number elsewhere.
pub fn lower(x: f64) -> f64 {
    if x >= 0.0 || x < -core::f64::consts::E.recip() - 1e-15 {
        return f64::NAN;
    }
    if x <= -core::f64::consts::E.recip() {
        return -1.0;
    }
    let start = if x < -0.25 {
        near_branch(x, -1.0)
    } else {
        let log = (-x).ln();
        log - (-log).ln()
    };
    halley(x, start)
}

fn near_branch(x: f64, side: f64) -> f64 {
    let p = side * (2.0 * (core::f64::consts::E * x + 1.0)).max(0.0).sqrt();
    -1.0 + p - p * p / 3.0 + 11.0 / 72.0 * p * p * p
}

fn halley(x: f64, start: f64) -> f64 {
    let mut w = start;
    for _ in 0..50 {
        let grown = w.exp();
        let miss = w * grown - x;
        let slope = grown * (w + 1.0);
        let step = miss / (slope - (w + 2.0) * miss / (2.0 * w + 2.0));
        if !step.is_finite() {
            break;
        }
        w -= step;
        if step.abs() <= 1e-15 * w.abs().max(1e-300) {
            break;
        }
    }
    w
}

#[cfg(test)]
mod tests {
    use super::{lower, principal};

    /// scipy 1.17.1, `scipy.special.lambertw(x, k).real`; 15 digits; independent of our iteration.
    #[test]
    fn values_agree_with_scipy() {
        for (x, expected) in [
            (1.0, 0.567_143_290_409_783_8),
            (-0.1, -0.111_832_559_158_962_97),
            (-0.3, -0.489_402_227_180_214_9),
            (10.0, 1.745_528_002_740_699_4),
            (1e6, 11.383_358_086_140_053),
        ] {
            assert!(
                (principal(x) - expected).abs() < 1e-13 * expected.abs().max(1.0),
                "{x}: {}",
                principal(x)
            );
        }
        for (x, expected) in [
            (-0.1, -3.577_152_063_957_297),
            (-0.3, -1.781_337_023_421_627_7),
            (-1e-5, -14.163_600_815_810_183),
        ] {
            assert!((lower(x) - expected).abs() < 1e-12 * expected.abs(), "{x}: {}", lower(x));
        }
    }

    #[test]
    fn both_undo_w_exp_w() {
        for idx in 1..400 {
            let x = -core::f64::consts::E.recip() * f64::from(idx) / 400.0;
            for w in [principal(x), lower(x)] {
                assert!((w * w.exp() - x).abs() < 1e-13, "{x}");
            }
        }
        assert!(principal(-1.0).is_nan() && lower(0.1).is_nan());
    }
}
