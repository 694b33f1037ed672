//! Temperature and leakage that feed each other, and where they run away.

use crate::point::lambert::{lower, principal};
use crate::refusal::{Refusal, finite, not_negative, positive};

/// A chip whose leakage grows with its temperature, behind one thermal resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chip {
    /// Power that does not depend on temperature.
    pub dynamic_w: f64,
    /// Leakage at the reference temperature.
    pub leakage_w: f64,
    /// Reference temperature.
    pub reference_c: f64,
    /// Rise that makes leakage e times larger.
    pub scale_k: f64,
    /// Air.
    pub ambient_c: f64,
    /// Junction to air.
    pub resistance_k_w: f64,
}

/// Where the chip settles and where it would run away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settled {
    /// Temperature and total power at which it settles; none where it runs away.
    pub stable: Option<(f64, f64)>,
    /// Temperature above which it runs away; none where it runs away from the start.
    pub unstable_c: Option<f64>,
    /// Loop gain at the settled point: 1 is the edge.
    pub loop_gain: Option<f64>,
    /// Resistance at which it would just run away.
    pub critical_resistance_k_w: f64,
    /// Air temperature at which it would.
    pub critical_ambient_c: f64,
    /// Dynamic power at which it would.
    pub critical_dynamic_w: f64,
}

/// Natural logarithm of the loop's strength A; it runs away from `ln A = -1` on.
fn strength_ln(chip: &Chip) -> f64 {
    (chip.resistance_k_w * chip.leakage_w / chip.scale_k).ln()
        + (chip.ambient_c + chip.resistance_k_w * chip.dynamic_w - chip.reference_c) / chip.scale_k
}

/// Temperature and total power at which a chip settles, or `None` where it runs away: [`settle`] without
/// the critical values and without its checks, for solvers that call it often.
pub fn stable(chip: &Chip) -> Option<(f64, f64)> {
    let strength_ln = strength_ln(chip);
    if strength_ln >= -1.0 || !strength_ln.is_finite() {
        return None;
    }
    let celsius =
        chip.ambient_c + chip.resistance_k_w * chip.dynamic_w - chip.scale_k * principal(-strength_ln.exp());
    Some((celsius, (celsius - chip.ambient_c) / chip.resistance_k_w))
}

/// Fixed points of `T = Ta + R (Pd + P0 exp((T - T0) / Ts))`, and the tangency where they meet.
///
/// # Model
/// `T = Ta + R Pd - Ts W_k(-A)`, `A = (R P0 / Ts) exp((Ta + R Pd - T0) / Ts)`: k = 0 is stable, k = -1
/// is not, and both vanish for `A > 1/e`.
///
/// # Source
/// R. Stout, Beyond the Data Sheet: Demystifying Thermal Runaway, 2007 (tangency); Lambert W as in
/// [`crate::point::lambert`].
///
/// # Errors
/// A resistance, leakage or scale that is not above zero, a negative power, or no number.
pub fn settle(chip: &Chip) -> Result<Settled, Refusal> {
    not_negative("dynamic power", chip.dynamic_w)?;
    positive("leakage", chip.leakage_w)?;
    positive("leakage scale", chip.scale_k)?;
    positive("thermal resistance", chip.resistance_k_w)?;
    finite("reference temperature", chip.reference_c)?;
    finite("ambient temperature", chip.ambient_c)?;
    let (r, p0, ts) = (chip.resistance_k_w, chip.leakage_w, chip.scale_k);
    let base_c = chip.ambient_c + r * chip.dynamic_w;
    let strength_ln = strength_ln(chip);
    let (stable, unstable_c, loop_gain) = if strength_ln < -1.0 {
        let strength = strength_ln.exp();
        let (low, high) = (-principal(-strength), -lower(-strength));
        let stable_c = base_c + ts * low;
        (Some((stable_c, (stable_c - chip.ambient_c) / r)), Some(base_c + ts * high), Some(low))
    } else {
        (None, None, None)
    };
    let past = (chip.ambient_c - chip.reference_c) / ts;
    let critical_resistance_k_w = if chip.dynamic_w > 0.0 {
        ts / chip.dynamic_w * principal(chip.dynamic_w / p0 * (-1.0 - past).exp())
    } else {
        ts / p0 * (-1.0 - past).exp()
    };
    let edge_k = ts * (1.0 + (r * p0 / ts).ln());
    Ok(Settled {
        stable,
        unstable_c,
        loop_gain,
        critical_resistance_k_w,
        critical_ambient_c: chip.reference_c - r * chip.dynamic_w - edge_k,
        critical_dynamic_w: (chip.reference_c - chip.ambient_c - edge_k) / r,
    })
}
