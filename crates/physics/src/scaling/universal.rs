//! The Universal Scalability Law: contention and coherency.

use crate::refusal::{Refusal, not_negative, within};

/// Relative capacity of `processors`: `N / (1 + a (N - 1) + b N (N - 1))`.
///
/// # Model
/// `a` is the share of work that waits its turn, `b` the cost of keeping data coherent.
///
/// # Source
/// N. J. Gunther, Guerrilla Capacity Planning, Springer 2007, ch. 4.
///
/// # Errors
/// Fewer than one processor, or a negative parameter.
pub fn capacity(contention: f64, coherency: f64, processors: f64) -> Result<f64, Refusal> {
    not_negative("contention", contention)?;
    not_negative("coherency", coherency)?;
    within("processors", processors, processors >= 1.0, "at least 1")?;
    Ok(relative(contention, coherency, processors))
}

/// [`capacity`] without its checks, for parameters that are known to be good.
pub(crate) fn relative(contention: f64, coherency: f64, processors: f64) -> f64 {
    let n = processors;
    n / (1.0 + contention * (n - 1.0) + coherency * n * (n - 1.0))
}

/// Number of processors at which capacity is largest, `sqrt((1 - a) / b)`; none where it never turns.
///
/// # Source
/// As [`capacity`].
///
/// # Errors
/// A negative parameter, or contention above 1.
pub fn peak(contention: f64, coherency: f64) -> Result<Option<f64>, Refusal> {
    within("contention", contention, (0.0..=1.0).contains(&contention), "a share from 0 to 1")?;
    not_negative("coherency", coherency)?;
    Ok((coherency > 0.0).then(|| ((1.0 - contention) / coherency).sqrt()))
}
