//! Newtonian squeeze flow between parallel plates: closed forms.

use core::f64::consts::PI;

use crate::refusal::{Refusal, positive, within};

/// What is pressed how hard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pressing {
    /// Viscosity.
    pub viscosity_pa_s: f64,
    /// Force.
    pub force_n: f64,
    /// Gap at the start.
    pub initial_gap_m: f64,
    /// Gap at the end.
    pub final_gap_m: f64,
}

impl Pressing {
    fn checked(&self) -> Result<(), Refusal> {
        positive("viscosity", self.viscosity_pa_s)?;
        positive("force", self.force_n)?;
        positive("final gap", self.final_gap_m)?;
        let wider = self.initial_gap_m >= self.final_gap_m;
        within("initial gap", self.initial_gap_m, wider, "at least the final gap")?;
        Ok(())
    }
}

/// Time for a disc that stays wholly wetted: `(3 pi eta R^4 / 4 F) (1/h^2 - 1/h0^2)`.
///
/// # Source
/// J. Stefan, Sitzungsberichte der Akademie der Wissenschaften Wien 69, 1874; from memory.
///
/// # Errors
/// A value that is not above zero, or gaps that grow.
pub fn disc_constant_area_s(pressing: &Pressing, radius_m: f64) -> Result<f64, Refusal> {
    pressing.checked()?;
    positive("plate radius", radius_m)?;
    Ok(area_time(pressing, radius_m, pressing.initial_gap_m, pressing.final_gap_m))
}

fn area_time(pressing: &Pressing, radius_m: f64, from_m: f64, to_m: f64) -> f64 {
    3.0 * PI * pressing.viscosity_pa_s * radius_m.powi(4) / (4.0 * pressing.force_n)
        * (to_m.powi(-2) - from_m.powi(-2))
}

fn volume_time(pressing: &Pressing, volume_m3: f64, from_m: f64, to_m: f64) -> f64 {
    3.0 * pressing.viscosity_pa_s * volume_m3 * volume_m3 / (8.0 * PI * pressing.force_n)
        * (to_m.powi(-4) - from_m.powi(-4))
}

/// Time for a blob that spreads and stays whole, and its radius at the end.
///
/// # Source
/// As [`disc_constant_area_s`] with `R^2 = V / (pi h)`.
///
/// # Errors
/// A value that is not above zero, or gaps that grow.
pub fn disc_constant_volume(pressing: &Pressing, volume_m3: f64) -> Result<(f64, f64), Refusal> {
    pressing.checked()?;
    positive("paste volume", volume_m3)?;
    let time = volume_time(pressing, volume_m3, pressing.initial_gap_m, pressing.final_gap_m);
    Ok((time, (volume_m3 / (PI * pressing.final_gap_m)).sqrt()))
}

/// A blob that first spreads to the edge of a disc, then runs over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoStage {
    /// Gap when the disc is wholly wetted.
    pub wetting_gap_m: f64,
    /// Time until then.
    pub wetting_s: f64,
    /// Time to the final gap.
    pub time_s: f64,
}

/// Both stages, one after the other.
///
/// # Errors
/// A value that is not above zero, or gaps that grow.
pub fn disc_two_stage(pressing: &Pressing, volume_m3: f64, radius_m: f64) -> Result<TwoStage, Refusal> {
    pressing.checked()?;
    positive("paste volume", volume_m3)?;
    positive("plate radius", radius_m)?;
    let wetting_gap_m = volume_m3 / (PI * radius_m * radius_m);
    let (h0, h) = (pressing.initial_gap_m, pressing.final_gap_m);
    let wetted_at = wetting_gap_m.clamp(h, h0);
    let wetting_s = volume_time(pressing, volume_m3, h0, wetted_at);
    let after = if wetting_gap_m > h { area_time(pressing, radius_m, wetted_at, h) } else { 0.0 };
    Ok(TwoStage { wetting_gap_m, wetting_s, time_s: wetting_s + after })
}

/// Shape factor of a wetted rectangle, `F = eta U L B^3 beta / h^3` with B the shorter side.
///
/// # Source
/// Poisson's equation on a rectangle, torsion-type series; equal to 0.421731 for a square.
pub fn rectangle_factor(long_m: f64, short_m: f64) -> f64 {
    let ratio = long_m / short_m;
    let sum: f64 = (0..100)
        .map(|idx| {
            let k = 2.0 * f64::from(idx) + 1.0;
            (k * PI * ratio / 2.0).tanh() / k.powi(5)
        })
        .sum();
    1.0 - 192.0 / PI.powi(5) / ratio * sum
}

/// Shape factor of a wetted rectangle and the time to the final gap.
///
/// # Errors
/// A value that is not above zero, or gaps that grow.
pub fn rectangle(pressing: &Pressing, one_m: f64, other_m: f64) -> Result<(f64, f64), Refusal> {
    pressing.checked()?;
    positive("plate length", one_m)?;
    positive("plate width", other_m)?;
    let (long, short) = (one_m.max(other_m), one_m.min(other_m));
    let factor = rectangle_factor(long, short);
    let time = pressing.viscosity_pa_s * long * short.powi(3) * factor / (2.0 * pressing.force_n)
        * (pressing.final_gap_m.powi(-2) - pressing.initial_gap_m.powi(-2));
    Ok((factor, time))
}
