//! Work of a fixed size, and work that grows with the machine.

use crate::refusal::{Refusal, within};

/// Speed-up of work of fixed size on `processors`, of which a share runs in parallel.
///
/// # Source
/// G. M. Amdahl, AFIPS Spring Joint Computer Conference 30, 483-485, 1967.
///
/// # Errors
/// A share outside 0 to 1, or fewer than one processor.
///
/// # Example
/// ```
/// let speed_up = physics::scaling::fixed_and_scaled::fixed_size(0.9, 4.0)?;
/// assert!((speed_up - 4.0 / 1.3).abs() < 1e-12);
/// # Ok::<(), physics::refusal::Refusal>(())
/// ```
pub fn fixed_size(parallel_share: f64, processors: f64) -> Result<f64, Refusal> {
    let (share, processors) = check(parallel_share, processors)?;
    Ok(1.0 / ((1.0 - share) + share / processors))
}

/// Speed-up of work of fixed size on ever more processors; infinite for wholly parallel work.
///
/// # Source
/// As [`fixed_size`].
///
/// # Errors
/// A share outside 0 to 1.
pub fn fixed_size_limit(parallel_share: f64) -> Result<f64, Refusal> {
    let (share, _) = check(parallel_share, 1.0)?;
    Ok(1.0 / (1.0 - share))
}

/// Speed-up of work whose parallel part grows with the processors.
///
/// # Source
/// J. L. Gustafson, Communications of the ACM 31, 532-533, 1988.
///
/// # Errors
/// A share outside 0 to 1, or fewer than one processor.
pub fn scaled_size(parallel_share: f64, processors: f64) -> Result<f64, Refusal> {
    let (share, processors) = check(parallel_share, processors)?;
    Ok((1.0 - share) + share * processors)
}

fn check(share: f64, processors: f64) -> Result<(f64, f64), Refusal> {
    Ok((
        within("parallel share", share, (0.0..=1.0).contains(&share), "a share from 0 to 1")?,
        within("processors", processors, processors >= 1.0, "at least 1")?,
    ))
}
