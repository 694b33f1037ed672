//! How long a burst lasts before the junction reaches its limit.

use crate::refusal::{Refusal, finite, not_negative, positive};

/// A heat path with two stores: lid and cooler. The die stores next to nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stores {
    /// Junction to lid.
    pub junction_to_lid_k_w: f64,
    /// Lid to the cooler's metal: paste and base.
    pub lid_to_cooler_k_w: f64,
    /// Cooler's metal to the air.
    pub cooler_to_air_k_w: f64,
    /// Heat capacity of the lid.
    pub lid_j_k: f64,
    /// Heat capacity of the cooler.
    pub cooler_j_k: f64,
}

/// Junction temperature above the air after a time at `burst_w`, begun in the steady state of `before_w`.
///
/// # Model
/// Two nodes, linear; solved by their two modes.
pub fn rise_after_k(stores: &Stores, before_w: f64, burst_w: f64, seconds: f64) -> f64 {
    let (r1, r2, r3) = (stores.junction_to_lid_k_w, stores.lid_to_cooler_k_w, stores.cooler_to_air_k_w);
    // dT/dt = A T + b, T above the air.
    let (a, b) = (-1.0 / (r2 * stores.lid_j_k), 1.0 / (r2 * stores.lid_j_k));
    let (c, d) = (1.0 / (r2 * stores.cooler_j_k), -(1.0 / r2 + 1.0 / r3) / stores.cooler_j_k);
    let half = 0.5 * (a + d);
    let root = (0.25 * (a - d) * (a - d) + b * c).sqrt();
    let (fast, slow) = (half - root, half + root);
    // Deviation from the burst's steady state at the start.
    let missing_w = burst_w - before_w;
    let (lid, cooler) = (-missing_w * (r2 + r3), -missing_w * r3);
    // Components along both modes, by the projection of the lid's row.
    let along_slow = ((a - fast) * lid + b * cooler) / (slow - fast);
    let along_fast = lid - along_slow;
    let lid_now =
        burst_w * (r2 + r3) + along_slow * (slow * seconds).exp() + along_fast * (fast * seconds).exp();
    burst_w * r1 + lid_now
}

/// Seconds until the junction reaches a rise above the air; none where it never does.
///
/// # Errors
/// A resistance or heat capacity that is not above zero, a power below zero, or no number.
pub fn seconds_to(
    stores: &Stores,
    before_w: f64,
    burst_w: f64,
    limit_rise_k: f64,
) -> Result<Option<f64>, Refusal> {
    not_negative("junction to lid", stores.junction_to_lid_k_w)?;
    for (name, value) in [
        ("lid to cooler", stores.lid_to_cooler_k_w),
        ("cooler to air", stores.cooler_to_air_k_w),
        ("heat capacity of the lid", stores.lid_j_k),
        ("heat capacity of the cooler", stores.cooler_j_k),
    ] {
        positive(name, value)?;
    }
    not_negative("power before", before_w)?;
    not_negative("burst power", burst_w)?;
    finite("limit", limit_rise_k)?;
    let all = stores.junction_to_lid_k_w + stores.lid_to_cooler_k_w + stores.cooler_to_air_k_w;
    if burst_w * all <= limit_rise_k {
        return Ok(None);
    }
    if rise_after_k(stores, before_w, burst_w, 0.0) >= limit_rise_k {
        return Ok(Some(0.0));
    }
    let (mut early, mut late) = (0.0, 1.0);
    while rise_after_k(stores, before_w, burst_w, late) < limit_rise_k {
        early = late;
        late *= 2.0;
        if late > 1e9 {
            return Ok(None);
        }
    }
    // 50 halvings reach the last digits.
    for _ in 0..50 {
        let middle = 0.5 * (early + late);
        if rise_after_k(stores, before_w, burst_w, middle) < limit_rise_k {
            early = middle
        } else {
            late = middle
        }
    }
    Ok(Some(0.5 * (early + late)))
}

#[cfg(test)]
mod tests {
    use super::{Stores, rise_after_k, seconds_to};

    const STORES: Stores = Stores {
        junction_to_lid_k_w: 0.1,
        lid_to_cooler_k_w: 0.08,
        cooler_to_air_k_w: 0.25,
        lid_j_k: 14.0,
        cooler_j_k: 380.0,
    };

    /// A second way: the same two equations by small explicit steps.
    #[test]
    fn the_modes_are_what_small_steps_come_to() {
        let (before, burst) = (10.0, 140.0);
        let (mut lid, mut cooler) = (before * 0.33, before * 0.25);
        let dt = 1e-3;
        for step in 0..120_000 {
            let seconds = f64::from(step) * dt;
            if step % 20_000 == 0 {
                let exact = rise_after_k(&STORES, before, burst, seconds);
                assert!(
                    (exact - (lid + burst * 0.1)).abs() < 0.02,
                    "{seconds} s: {exact}, steps {}",
                    lid + burst * 0.1
                );
            }
            let over = (lid - cooler) / 0.08;
            lid += dt * (burst - over) / 14.0;
            cooler += dt * (over - cooler / 0.25) / 380.0;
        }
    }

    #[test]
    fn the_limit_is_reached_when_said_or_never() {
        let seconds = seconds_to(&STORES, 10.0, 200.0, 60.0).unwrap().unwrap();
        assert!((rise_after_k(&STORES, 10.0, 200.0, seconds) - 60.0).abs() < 1e-6);
        assert_eq!(seconds_to(&STORES, 10.0, 100.0, 60.0).unwrap(), None);
        assert_eq!(seconds_to(&STORES, 10.0, 700.0, 60.0).unwrap(), Some(0.0));
        assert!(seconds_to(&Stores { lid_j_k: 0.0, ..STORES }, 1.0, 2.0, 3.0).is_err());
    }
}
