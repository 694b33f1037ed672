//! Sum of products.

/// Sum of the products of two vectors of one length, in eight strands so that the compiler can use the machine's wide
/// registers; the order of adding depends on the length alone.
///
/// # Example
/// ```
/// assert_eq!(physics::dot::dot(&[1.0, 2.0], &[3.0_f32, 4.0]), 11.0);
/// ```
pub fn dot<B: Copy + Into<f64>>(a: &[f64], b: &[B]) -> f64 {
    let (a_parts, b_parts) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = a_parts.remainder().iter().zip(b_parts.remainder()).map(|(a, b)| a * (*b).into()).sum();
    let mut strands = [0.0; 8];
    for (a, b) in a_parts.zip(b_parts) {
        for ((strand, a), b) in strands.iter_mut().zip(a).zip(b) {
            *strand += a * (*b).into();
        }
    }
    strands.iter().sum::<f64>() + rest
}
