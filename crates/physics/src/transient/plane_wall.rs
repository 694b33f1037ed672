//! A plane wall that is cooled on both sides from one moment on.

use crate::refusal::{Refusal, not_negative, positive, within};
use crate::transient::roots::wall_roots;

/// Temperature against its first value, and what the first term alone gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// Rise left over first rise.
    pub ratio: f64,
    /// The same by the first term, as textbooks do.
    pub first_term: f64,
    /// First five eigenvalues.
    pub eigenvalues: Vec<f64>,
}

/// Series long enough for any time from a Fourier number of 1e-5 on.
const TERMS: usize = 400;

/// Cooling of a wall at a place between its middle (0) and its face (1).
///
/// # Model
/// `sum C exp(-z^2 Fo) cos(z x)`, `z tan z = Bi`, `C = 4 sin z / (2 z + sin 2 z)`.
///
/// # Source
/// F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, eqs. 5.42 and 5.43.
///
/// # Errors
/// A Biot number that is not above zero, a negative time, a place outside the wall.
pub fn cooling(biot: f64, fourier: f64, place: f64) -> Result<Cooling, Refusal> {
    positive("Biot number", biot)?;
    not_negative("Fourier number", fourier)?;
    within("place", place, (0.0..=1.0).contains(&place), "from 0 in the middle to 1 at the face")?;
    let roots = wall_roots(biot, TERMS);
    let term =
        |z: f64| 4.0 * z.sin() / (2.0 * z + (2.0 * z).sin()) * (-z * z * fourier).exp() * (z * place).cos();
    Ok(Cooling {
        ratio: roots.iter().map(|z| term(*z)).sum(),
        first_term: roots.first().map_or(0.0, |z| term(*z)),
        eigenvalues: roots.into_iter().take(5).collect(),
    })
}
