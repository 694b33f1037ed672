//! The short closed form: source and block as discs of equal area.

use core::f64::consts::PI;

use crate::refusal::{Refusal, positive, within};

/// Mean and largest resistance of a source on a block of one layer, in kelvin per watt.
///
/// # Model
/// Knows only areas: against the exact rectangle it is -1.3 to +6.7 % off in the mean, more for long
/// sources.
///
/// # Source
/// S. Lee, S. Song, V. Au, K. P. Moran, 4th ASME/JSME Thermal Engineering Joint Conference, vol. 4,
/// 199-206, 1995.
///
/// # Errors
/// A value that is not above zero, or a source larger than the block.
pub fn closed_form(
    source_m2: f64,
    block_m2: f64,
    thickness_m: f64,
    conductivity_w_mk: f64,
    film_w_m2k: f64,
) -> Result<(f64, f64), Refusal> {
    positive("source area", source_m2)?;
    within("block area", block_m2, block_m2 >= source_m2, "at least the source's area")?;
    positive("thickness", thickness_m)?;
    positive("conductivity", conductivity_w_mk)?;
    positive("film coefficient", film_w_m2k)?;
    let (source, block) = ((source_m2 / PI).sqrt(), (block_m2 / PI).sqrt());
    let eps = source / block;
    let tau = thickness_m / block;
    let biot = film_w_m2k * block / conductivity_w_mk;
    let root = PI.sqrt();
    let lambda = PI + 1.0 / (root * eps);
    let tanh = (lambda * tau).tanh();
    let phi = (tanh + lambda / biot) / (1.0 + lambda / biot * tanh);
    let scale = root * conductivity_w_mk * source;
    let film = 1.0 / (film_w_m2k * block_m2);
    let through = eps * tau / root;
    let mean = (through + 0.5 * (1.0 - eps).powf(1.5) * phi) / scale + film;
    let max = (through + (1.0 - eps) * phi / root) / scale + film;
    Ok((mean, max))
}
