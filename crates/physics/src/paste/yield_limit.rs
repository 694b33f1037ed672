//! Where a paste with a yield stress stops: limiting gaps.

use core::f64::consts::PI;

use crate::refusal::{Refusal, not_negative, positive};

fn checked(yield_stress_pa: f64, force_n: f64) -> Result<(), Refusal> {
    not_negative("yield stress", yield_stress_pa)?;
    positive("force", force_n)?;
    Ok(())
}

/// Gap at which a wholly wetted disc stops: `2 pi Y R^3 / (3 F)`.
///
/// # Errors
/// A value out of range.
pub fn disc_constant_area_m(yield_stress_pa: f64, force_n: f64, radius_m: f64) -> Result<f64, Refusal> {
    checked(yield_stress_pa, force_n)?;
    positive("plate radius", radius_m)?;
    Ok(2.0 * PI * yield_stress_pa * radius_m.powi(3) / (3.0 * force_n))
}

/// Gap and radius at which a blob that stays whole stops: `[2 Y V^1.5 / (3 sqrt(pi) F)]^(2/5)`.
///
/// # Source
/// G. H. Meeten, Rheologica Acta 39, 399-408, 2000; from memory, rederived.
///
/// # Errors
/// A value out of range.
pub fn disc_constant_volume_m(
    yield_stress_pa: f64,
    force_n: f64,
    volume_m3: f64,
) -> Result<(f64, f64), Refusal> {
    checked(yield_stress_pa, force_n)?;
    positive("yield stress", yield_stress_pa)?;
    positive("paste volume", volume_m3)?;
    let gap = (2.0 * yield_stress_pa * volume_m3.powf(1.5) / (3.0 * PI.sqrt() * force_n)).powf(0.4);
    Ok((gap, (volume_m3 / (PI * gap)).sqrt()))
}

/// Gap at which a wholly wetted rectangle stops: `Y B^2 (3 L - B) / (6 F)`, B the shorter side.
///
/// # Model
/// The pressure is a roof of slope `2 Y / h` over the rectangle, like dry sand heaped on it.
///
/// # Errors
/// A value out of range.
pub fn rectangle_constant_area_m(
    yield_stress_pa: f64,
    force_n: f64,
    one_m: f64,
    other_m: f64,
) -> Result<f64, Refusal> {
    checked(yield_stress_pa, force_n)?;
    positive("plate length", one_m)?;
    positive("plate width", other_m)?;
    let (long, short) = (one_m.max(other_m), one_m.min(other_m));
    Ok(yield_stress_pa * short * short * (3.0 * long - short) / (6.0 * force_n))
}
