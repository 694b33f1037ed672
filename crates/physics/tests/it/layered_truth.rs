//! Records of known heat paths, for tests and benches: layered columns as fine ladders, whose exact answer comes
//! from eigenvalues, not from the closed form that the identification uses.

use physics::network::cauer::{Rung, to_foster};
use physics::network::foster::Term;

/// Layers of (K/W, J/K) from the heated face on; the last one is a film without capacitance.
pub(crate) const STACKS: [&[(f64, f64)]; 4] = [
    &[(0.03, 0.05), (0.02, 0.005), (0.03, 10.0), (0.08, 0.05), (0.04, 60.0), (0.2, 0.0)],
    &[(0.05, 0.08), (0.015, 0.01), (0.025, 14.0), (0.05, 0.1), (0.05, 300.0), (0.18, 0.0)],
    &[(0.02, 0.02), (0.04, 0.02), (0.05, 30.0), (0.15, 0.3), (0.02, 100.0), (0.1, 0.0)],
    &[(0.0625, 0.12375), (0.0075, 0.0054), (0.01923, 4.14), (0.01667, 0.066), (0.0863, 100.0), (0.13, 0.0)],
];

/// Exponentials of a stack, each layer as forty rungs.
pub(crate) fn terms(stack: &[(f64, f64)]) -> Vec<Term> {
    let mut rungs: Vec<Rung> = Vec::new();
    for (resistance, capacitance) in stack {
        if *capacitance == 0.0 {
            if let Some(last) = rungs.last_mut() {
                last.resistance_k_w += resistance;
            }
            continue;
        }
        rungs.extend([Rung { resistance_k_w: resistance / 40.0, capacitance_j_k: capacitance / 40.0 }; 40]);
    }
    to_foster(&rungs).unwrap_or_default()
}

/// Noise of a standard deviation, uniform, by a linear congruence.
pub(crate) struct Noise(pub(crate) u64);

impl Noise {
    pub(crate) fn next(&mut self, sd: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as f64 / f64::from(1_u32 << 31) - 0.5) * 12.0_f64.sqrt() * sd
    }
}

/// Times, temperatures and powers of a step of 100 W at time zero in air of 25 °C: `count` rows, evenly spread over
/// the logarithm of time from 10 µs to 2,000 s, with one draw of the noise for each seed.
pub(crate) fn step(stack: &[(f64, f64)], count: usize, sd: f64, seed: u64) -> [Vec<f64>; 3] {
    let terms = terms(stack);
    // Neighbouring seeds far apart on the generator's circle; the first stays the first.
    let mut noise = Noise(1 + (seed - 1).wrapping_mul(0x9e37_79b9_7f4a_7c15));
    let times: Vec<f64> =
        (0..count).map(|idx| 1e-5 * 2e8_f64.powf(idx as f64 / (count - 1) as f64)).collect();
    let temperatures = times
        .iter()
        .map(|time| {
            let rise: f64 =
                terms.iter().map(|term| -term.resistance_k_w * (-time / term.time_constant_s).exp_m1()).sum();
            25.0 + 100.0 * rise + noise.next(sd)
        })
        .collect();
    [times, temperatures, vec![100.0; count]]
}
