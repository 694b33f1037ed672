//! Multiply and add in integers, so that what the vector unit must find is known without a floating-point unit.
//!
//! Numbers are held as whole multiples of 2^-114 in 128 bits; products of two numbers between 2^-6 and 2 fit.

/// Bits below the point.
const BELOW: i32 = 114;

/// A number's whole mantissa with its sign, and the power of two of its last bit.
const fn taken_apart(x: f64) -> (i128, i32) {
    let bits = x.to_bits();
    let power = (bits >> 52 & 0x7FF) as i32;
    let mantissa = (bits & ((1 << 52) - 1) | 1 << 52) as i128;
    (if bits >> 63 == 0 { mantissa } else { -mantissa }, power - 1075)
}

/// The nearest number with 53 bits, ties to the even one.
fn nearest(fixed: i128) -> f64 {
    let size = fixed.unsigned_abs();
    if size == 0 {
        return 0.0;
    }
    let more = (128 - size.leading_zeros() as i32) - 53;
    let (mut mantissa, mut power) = if more <= 0 {
        (size << -more, more)
    } else {
        let (kept, lost) = (size >> more, size & ((1 << more) - 1));
        let half = 1 << (more - 1);
        let up = lost > half || lost == half && kept & 1 == 1;
        (kept + u128::from(up), more)
    };
    if mantissa >> 53 == 1 {
        mantissa >>= 1;
        power += 1;
    }
    let sign = u64::from(fixed < 0) << 63;
    // The mantissa has 53 bits here, and powers stay far from the ends of what a number can hold.
    f64::from_bits(sign | ((power - BELOW + 1075) as u64) << 52 | mantissa as u64 & ((1 << 52) - 1))
}

/// `x * by + plus`, rounded once where `fused`, else after the product and after the sum.
pub(super) fn times_plus(x: f64, by: f64, plus: f64, fused: bool) -> f64 {
    let ((a, a_power), (b, b_power), (c, c_power)) = (taken_apart(x), taken_apart(by), taken_apart(plus));
    let product = (a * b) << (a_power + b_power + BELOW);
    let product = if fused {
        product
    } else {
        let (rounded, power) = taken_apart(nearest(product));
        rounded << (power + BELOW)
    };
    nearest(product + (c << (c_power + BELOW)))
}

#[cfg(test)]
mod tests {
    use super::times_plus;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]
        // The floating-point unit, or the system's mathematics library where it has no fused step, is the outside
        // source here: IEEE 754 leaves one right answer.
        #[test]
        fn agrees_with_the_floating_point_unit(x in 0.03..1.99_f64, by in -1.9..-0.5_f64, plus in 0.5..3.9_f64) {
            prop_assume!((x * by + plus).abs() > 1e-6);
            prop_assert_eq!(times_plus(x, by, plus, true).to_bits(), x.mul_add(by, plus).to_bits());
            prop_assert_eq!(times_plus(x, by, plus, false).to_bits(), (x * by + plus).to_bits());
        }
    }
}
