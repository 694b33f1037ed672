//! Sums of products of single-precision arrays.

/// Products of one array with two others: in single precision over a few hundred cells, then in double.
pub(crate) fn pair(a: &[f32], b: &[f32], c: &[f32]) -> (f64, f64) {
    let (mut with_b, mut with_c) = (0.0, 0.0);
    for ((a, b), c) in a.chunks(256).zip(b.chunks(256)).zip(c.chunks(256)) {
        with_b += f64::from(strands(a, b));
        with_c += f64::from(strands(a, c));
    }
    (with_b, with_c)
}

/// Product of two arrays.
pub(crate) fn single(a: &[f32], b: &[f32]) -> f64 {
    a.chunks(256).zip(b.chunks(256)).map(|(a, b)| f64::from(strands(a, b))).sum()
}

/// In sixteen strands, so that the compiler can use the machine's wide registers.
fn strands(a: &[f32], b: &[f32]) -> f32 {
    let ((a, a_rest), (b, b_rest)) = (a.as_chunks::<16>(), b.as_chunks::<16>());
    let mut strands = [0.0_f32; 16];
    for (a, b) in a.iter().zip(b) {
        for ((strand, a), b) in strands.iter_mut().zip(a).zip(b) {
            *strand += a * b;
        }
    }
    let rest: f32 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    strands.iter().sum::<f32>() + rest
}
