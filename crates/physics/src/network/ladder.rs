//! The tridiagonal matrix behind a ladder, and its spectrum.

use crate::network::cauer::Rung;
use crate::network::foster::Term;

/// Rates (one over time constants) of a ladder and the squared first components of its eigenvectors.
///
/// The symmetric tridiagonal matrix `C^-1/2 G C^-1/2` is diagonalised by implicit QL steps.
///
/// # Source
/// G. H. Golub, J. H. Welsch, Mathematics of Computation 23, 221-230, 1969 (first components only).
pub fn spectrum(rungs: &[Rung]) -> (Vec<f64>, Vec<f64>) {
    let count = rungs.len();
    let mut diagonal = Vec::with_capacity(count);
    let mut beside = Vec::with_capacity(count);
    let mut above = 0.0;
    for (idx, rung) in rungs.iter().enumerate() {
        let conductance = 1.0 / rung.resistance_k_w;
        diagonal.push((above + conductance) / rung.capacitance_j_k);
        if let Some(next) = rungs.get(idx + 1) {
            beside.push(-conductance / (rung.capacitance_j_k * next.capacitance_j_k).sqrt());
        }
        above = conductance;
    }
    beside.push(0.0);
    let mut first = vec![0.0; count];
    if let Some(top) = first.first_mut() {
        *top = 1.0;
    }
    ql(&mut diagonal, &mut beside, &mut first);
    (diagonal, first.into_iter().map(|component| component * component).collect())
}

/// Implicit QL with Wilkinson's shift; `first` follows the first row of the eigenvectors.
fn ql(d: &mut [f64], e: &mut [f64], first: &mut [f64]) {
    let n = d.len();
    for l in 0..n {
        for _ in 0..60 {
            let m = (l..n.saturating_sub(1))
                .find(|m| e[*m].abs() <= f64::EPSILON * 1e-3 * (d[*m].abs() * d[*m + 1].abs()).sqrt())
                .unwrap_or(n - 1);
            if m == l {
                break;
            }
            let mut g = (d[l + 1] - d[l]) / (2.0 * e[l]);
            let mut r = g.hypot(1.0);
            g = d[m] - d[l] + e[l] / (g + r.copysign(g));
            let (mut s, mut c, mut p) = (1.0, 1.0, 0.0);
            let mut underflow = false;
            for i in (l..m).rev() {
                let mut f = s * e[i];
                let b = c * e[i];
                r = f.hypot(g);
                e[i + 1] = r;
                if r == 0.0 {
                    d[i + 1] -= p;
                    e[m] = 0.0;
                    underflow = true;
                    break;
                }
                s = f / r;
                c = g / r;
                g = d[i + 1] - p;
                r = (d[i] - g) * s + 2.0 * c * b;
                p = s * r;
                d[i + 1] = g + p;
                g = c * r - b;
                f = first[i + 1];
                first[i + 1] = s * first[i] + c * f;
                first[i] = c * first[i] - s * f;
            }
            if underflow {
                continue;
            }
            d[l] -= p;
            e[l] = g;
            e[m] = 0.0;
        }
    }
}

/// The ladder with the given exponentials: the tridiagonal matrix is grown by one eigenvalue at a time
/// with plane rotations, then read off rung by rung.
pub fn from_spectrum(terms: &[Term]) -> Vec<Rung> {
    let n = terms.len();
    // Measure of the first node: weight R/tau at rate 1/tau; its total is 1/C1.
    let weights: Vec<f64> = terms.iter().map(|term| term.resistance_k_w / term.time_constant_s).collect();
    let total: f64 = weights.iter().sum();
    let (alpha, beta) = jacobi(&terms.iter().map(|t| 1.0 / t.time_constant_s).collect::<Vec<_>>(), &weights);
    let mut rungs = Vec::with_capacity(n);
    let mut capacitance = 1.0 / total;
    let mut above = 0.0;
    for idx in 0..n {
        // Row idx: (above + below) / C = alpha; below^2 / (C Cnext) = beta[idx + 1].
        let below = alpha[idx] * capacitance - above;
        rungs.push(Rung { resistance_k_w: 1.0 / below, capacitance_j_k: capacitance });
        if idx + 1 < n {
            capacitance = below * below / (capacitance * beta[idx + 1]);
            above = below;
        }
    }
    rungs
}

/// Recurrence coefficients of the polynomials orthogonal to a discrete measure.
///
/// # Source
/// Gragg and Harrod 1984, algorithm RKPW.
fn jacobi(nodes: &[f64], weights: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let n = nodes.len();
    let mut a: Vec<f64> = nodes.to_vec();
    let mut b = vec![0.0; n];
    if n == 0 {
        return (a, b);
    }
    b[0] = weights[0];
    for idx in 0..n.saturating_sub(1) {
        let mut pn = weights[idx + 1];
        let mut gamma = 1.0;
        let mut sigma = 0.0;
        let mut t = 0.0;
        let node = nodes[idx + 1];
        for k in 0..=idx + 1 {
            let rho = b[k] + pn;
            let tmp = gamma * rho;
            let old_sigma = sigma;
            if rho <= 0.0 {
                gamma = 1.0;
                sigma = 0.0;
            } else {
                gamma = b[k] / rho;
                sigma = pn / rho;
            }
            let tk = sigma * (a[k] - node) - gamma * t;
            a[k] -= tk - t;
            t = tk;
            pn = if sigma <= 0.0 { old_sigma * b[k] } else { t * t / sigma };
            b[k] = tmp;
        }
    }
    (a, b)
}
