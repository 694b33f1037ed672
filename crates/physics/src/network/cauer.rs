//! Networks as a ladder from the heated node to the air.

use crate::network::foster::Term;
use crate::network::ladder::{from_spectrum, spectrum};
use crate::refusal::{Refusal, positive, within};

/// One rung: a capacitance to ground and the resistance to the next node, the last one to the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rung {
    /// Resistance in kelvin per watt.
    pub resistance_k_w: f64,
    /// Capacitance in joules per kelvin.
    pub capacitance_j_k: f64,
}

/// The ladder as a sum of exponentials, fastest first.
///
/// # Model
/// With `M = C^-1/2 G C^-1/2` and its eigenpairs (w, v): `tau = 1/w`, `R = v1^2 / (C1 w)`.
///
/// # Errors
/// No rungs, or a value that is not above zero.
pub fn to_foster(rungs: &[Rung]) -> Result<Vec<Term>, Refusal> {
    checked(rungs)?;
    let (rates, weights) = spectrum(rungs);
    let first_c = rungs.first().map_or(1.0, |rung| rung.capacitance_j_k);
    let mut terms: Vec<Term> = rates
        .iter()
        .zip(&weights)
        .map(|(rate, weight)| Term { resistance_k_w: weight / (first_c * rate), time_constant_s: 1.0 / rate })
        .collect();
    terms.sort_by(|a, b| a.time_constant_s.total_cmp(&b.time_constant_s));
    Ok(terms)
}

/// The ladder that has these exponentials.
///
/// # Model
/// The first node's measure on the spectrum, with weights `R / tau`, determines the ladder's tridiagonal
/// matrix (inverse eigenvalue problem), built up rotation by rotation, which is stable for hundreds of
/// close time constants where a continued fraction in doubles is not.
///
/// # Source
/// W. B. Gragg, W. J. Harrod, The numerically stable reconstruction of Jacobi matrices from spectral data,
/// Numerische Mathematik 44, 317-335, 1984.
///
/// # Errors
/// No terms, or one that is not above zero.
pub fn from_foster(terms: &[Term]) -> Result<Vec<Rung>, Refusal> {
    crate::network::foster::checked(terms)?;
    Ok(from_spectrum(terms))
}

fn checked(rungs: &[Rung]) -> Result<(), Refusal> {
    within("rungs", rungs.len() as f64, !rungs.is_empty(), "at least one")?;
    for rung in rungs {
        positive("resistance", rung.resistance_k_w)?;
        positive("capacitance", rung.capacitance_j_k)?;
    }
    Ok(())
}

/// Corner points of the cumulative structure function: sums of resistance and of capacitance from the
/// heated node.
pub fn structure(rungs: &[Rung]) -> Vec<(f64, f64)> {
    let mut sum = (0.0, 0.0);
    rungs
        .iter()
        .map(|rung| {
            sum.0 += rung.resistance_k_w;
            sum.1 += rung.capacitance_j_k;
            sum
        })
        .collect()
}
