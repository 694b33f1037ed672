//! A heat path as a few uniform layers.
//!
//! A ladder of lumps has as many steps as the data have time constants, whether the path is lumped or
//! distributed, and its structure function is a staircase about the true curve. Layers follow it; [`crate::network::search`]
//! finds them.

/// A uniform layer that the heat passes in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Resistance in kelvin per watt.
    pub resistance_k_w: f64,
    /// Capacitance in joules per kelvin.
    pub capacitance_j_k: f64,
}

/// Answer of layers at a real rate, and its slopes over the logarithms of each layer's resistance and capacitance.
///
/// # Model
/// Each layer is a uniform RC line; at the real rate s, with `a = sqrt(s R C)`:
/// `Z' = (Z + R tanh(a)/a) / (1 + Z a tanh(a)/R)`, from the air upwards.
///
/// # Source
/// H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, section 3.7 (a slab between its
/// faces); from memory.
pub fn answer_k_w(layers: &[Layer], rate_1_s: f64, slopes: &mut [[f64; 2]]) -> f64 {
    let mut z = 0.0;
    let mut through = [1.0; MOST];
    for ((layer, slope), through) in layers.iter().zip(slopes.iter_mut()).zip(&mut through).rev() {
        let r = layer.resistance_k_w;
        let a = (rate_1_s * r * layer.capacitance_j_k).sqrt().max(1e-9);
        // Beyond this the hyperbolic tangent is one in doubles.
        let t = if a > 20.0 {
            1.0
        } else {
            let e = (-2.0 * a).exp_m1();
            -e / (2.0 + e)
        };
        let narrow = (1.0 - t) * (1.0 + t);
        let (u, v) = (r * t / a, a * t / r);
        let (top, bottom) = (z + u, 1.0 + z * v);
        // Both by the logarithm of a, of which each logarithm moves one half.
        let (du, dv) = (0.5 * r * (narrow - t / a), 0.5 * a * (t + a * narrow) / r);
        let moved = |du: f64, dv: f64| (du * bottom - top * z * dv) / (bottom * bottom);
        *slope = [moved(u + du, dv - v), moved(du, dv)];
        *through = narrow / (bottom * bottom);
        z = top / bottom;
    }
    // A layer moves the surface's answer through all layers above it.
    let mut passed = 1.0;
    for (slope, through) in slopes.iter_mut().zip(&through) {
        slope[0] *= passed;
        slope[1] *= passed;
        passed *= through;
    }
    z
}

/// Most layers of a path.
pub const MOST: usize = 12;
/// Corner points of the cumulative structure function of layers: sums of resistance and capacitance, with the
/// origin.
pub fn corners(layers: &[Layer]) -> Vec<(f64, f64)> {
    let mut at = (0.0, 0.0);
    let mut out = vec![at];
    for layer in layers {
        at = (at.0 + layer.resistance_k_w, at.1 + layer.capacitance_j_k);
        out.push(at);
    }
    out
}

/// Resistance at which a capacitance is reached; the whole where it never is.
pub fn resistance_at_k_w(layers: &[Layer], capacitance_j_k: f64) -> f64 {
    let mut left = capacitance_j_k;
    let mut sum = 0.0;
    for layer in layers {
        if left <= layer.capacitance_j_k {
            return sum + layer.resistance_k_w * (left / layer.capacitance_j_k).max(0.0);
        }
        left -= layer.capacitance_j_k;
        sum += layer.resistance_k_w;
    }
    sum
}

/// Capacitance met up to a resistance.
pub fn capacitance_at_j_k(layers: &[Layer], resistance_k_w: f64) -> f64 {
    let mut left = resistance_k_w;
    let mut sum = 0.0;
    for layer in layers {
        sum += layer.capacitance_j_k * (left / layer.resistance_k_w).clamp(0.0, 1.0);
        left -= layer.resistance_k_w;
    }
    sum
}
