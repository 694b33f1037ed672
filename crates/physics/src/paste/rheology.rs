//! How a paste flows between two walls: the stress at the wall for a flux.

use crate::refusal::{Refusal, not_negative, positive, within};

/// Flow law of a paste: stress = yield stress + consistency x (shear rate)^index.
///
/// Newtonian: no yield stress, index 1. Bingham: index 1. Otherwise Herschel-Bulkley.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowLaw {
    /// Yield stress.
    pub yield_stress_pa: f64,
    /// Consistency, Pa s^index; the viscosity where the index is 1.
    pub consistency: f64,
    /// Flow index, 0.2 to 2; below 1 the paste thins with shear.
    pub index: f64,
}

impl FlowLaw {
    /// A paste without yield stress.
    pub const fn newtonian(viscosity_pa_s: f64) -> Self {
        Self { yield_stress_pa: 0.0, consistency: viscosity_pa_s, index: 1.0 }
    }

    /// A paste with yield stress and plastic viscosity.
    pub const fn bingham(yield_stress_pa: f64, viscosity_pa_s: f64) -> Self {
        Self { yield_stress_pa, consistency: viscosity_pa_s, index: 1.0 }
    }

    /// The law, if its numbers mean anything.
    ///
    /// # Errors
    /// A value out of range.
    pub fn checked(self) -> Result<Self, Refusal> {
        not_negative("yield stress", self.yield_stress_pa)?;
        positive("consistency", self.consistency)?;
        within("flow index", self.index, (0.2..=2.0).contains(&self.index), "a number from 0.2 to 2")?;
        Ok(self)
    }
}

/// Wall stresses of one flow law, quick to ask many times.
#[derive(Debug, Clone)]
pub(crate) struct Walls {
    law: FlowLaw,
    /// `ln(w - 1)` at even steps of `ln n` for an index other than 1, w = wall stress / yield stress.
    table: Vec<f64>,
}

const TABLE_LOW: f64 = -60.0;
const TABLE_STEP: f64 = 0.02;
const TABLE_COUNT: usize = 6001;

impl Walls {
    /// Prepares a law.
    pub(crate) fn new(law: FlowLaw) -> Self {
        let table = if law.yield_stress_pa > 0.0 && law.index != 1.0 {
            let mut log_excess = TABLE_LOW / (1.0 / law.index + 1.0);
            (0..TABLE_COUNT)
                .map(|idx| {
                    log_excess = excess_log(TABLE_LOW + TABLE_STEP * idx as f64, 1.0 / law.index, log_excess);
                    log_excess
                })
                .collect()
        } else {
            Vec::new()
        };
        Self { law, table }
    }

    /// Whether the mobility does not depend on the flux.
    pub(crate) fn is_newtonian(&self) -> bool {
        self.law.yield_stress_pa == 0.0 && self.law.index == 1.0
    }

    /// Stress at the wall for a flux (square metres a second) through a gap.
    ///
    /// # Model
    /// `q = h^2 / (2 tw^2 K^m) (X^(m+2)/(m+2) + Y X^(m+1)/(m+1))`, X = tw - Y, m = 1 / index:
    /// the shear rate `((tau - Y) / K)^m` integrated twice over the gap, no slip. For m = 1 it is the
    /// cubic of the Bingham law, `w^3 - (1.5 + n) w^2 + 0.5 = 0` with n = 6 K q / (h^2 Y).
    #[inline]
    pub(crate) fn stress_pa(&self, flux_m2_s: f64, gap_m: f64) -> f64 {
        let FlowLaw { yield_stress_pa, consistency, index } = self.law;
        let gap2 = gap_m * gap_m;
        if index == 1.0 {
            let newtonian = 6.0 * consistency * flux_m2_s / gap2;
            if yield_stress_pa == 0.0 {
                return newtonian;
            }
            return bingham_ratio(newtonian / yield_stress_pa) * yield_stress_pa;
        }
        let m = 1.0 / index;
        if yield_stress_pa == 0.0 {
            return consistency * (2.0 * (m + 2.0) * flux_m2_s / gap2).powf(index);
        }
        // n = 2 q (K / Y)^m / h^2 is a function of w alone.
        let n = 2.0 * flux_m2_s / gap2 * (consistency / yield_stress_pa).powf(m);
        if n <= 0.0 {
            return yield_stress_pa;
        }
        let place = ((n.ln() - TABLE_LOW) / TABLE_STEP).clamp(0.0, (TABLE_COUNT - 2) as f64 + 0.999_999);
        let idx = place as usize;
        let part = place - idx as f64;
        let log = self.table[idx] * (1.0 - part) + self.table[idx + 1] * part;
        yield_stress_pa * (1.0 + log.exp())
    }

    /// Sum of the stresses at the wall for fluxes through gaps, each with its weight; the fluxes are taken `scale` times.
    pub(crate) fn weighted_stress(&self, scale: f64, flux: &[f64], gap: &[f64], weight: &[f64]) -> f64 {
        let FlowLaw { yield_stress_pa, consistency, index } = self.law;
        if index != 1.0 || yield_stress_pa == 0.0 {
            let cells = flux.iter().zip(gap).zip(weight);
            return cells.map(|((flux, gap), weight)| weight * self.stress_pa(scale * flux, *gap)).sum();
        }
        let factor = 6.0 * consistency * scale / yield_stress_pa;
        let mut strands = [0.0; 4];
        let mut add = |flux: &[f64], gap: &[f64], weight: &[f64]| {
            for (((strand, flux), gap), weight) in strands.iter_mut().zip(flux).zip(gap).zip(weight) {
                *strand += weight * bingham_ratio(factor * flux / (gap * gap));
            }
        };
        let ((flux, flux_rest), (gap, gap_rest), (weight, weight_rest)) =
            (flux.as_chunks::<4>(), gap.as_chunks::<4>(), weight.as_chunks::<4>());
        for ((flux, gap), weight) in flux.iter().zip(gap).zip(weight) {
            add(flux, gap, weight);
        }
        add(flux_rest, gap_rest, weight_rest);
        yield_stress_pa * strands.iter().sum::<f64>()
    }
}

/// Wall stress over yield stress of a Bingham paste, n = 6 K q / (h^2 Y). No branch, so that many are computed at once.
#[inline]
fn bingham_ratio(n: f64) -> f64 {
    // A start with both ends right, then Newton's steps; the relative error is below 1e-9.
    let root = (n * (2.0 / 3.0)).sqrt();
    let b = 1.5 + n;
    let mut w = 1.0 + n + root / (1.0 + 2.0 * root);
    for _ in 0..3 {
        // At rest value and slope are both zero: the step is nothing then.
        let slope = (w * (3.0 * w - 2.0 * b)).max(1e-12);
        w -= (w * w * (w - b) + 0.5) / slope;
    }
    w.max(1.0)
}

/// `ln(w - 1)` that solves `X^(m+1) (X/(m+2) + 1/(m+1)) / w^2 = n`, X = w - 1, from a near start.
fn excess_log(log_n: f64, m: f64, start: f64) -> f64 {
    let mut y = start;
    for _ in 0..50 {
        let x = y.exp();
        let inner = x / (m + 2.0) + 1.0 / (m + 1.0);
        let value = (m + 1.0) * y + inner.ln() - 2.0 * (1.0 + x).ln() - log_n;
        let slope = (m + 1.0) + x / (m + 2.0) / inner - 2.0 * x / (1.0 + x);
        let step = value / slope;
        y -= step;
        if step.abs() < 1e-14 * (1.0 + y.abs()) {
            break;
        }
    }
    y
}

#[cfg(test)]
mod tests {
    use super::{FlowLaw, Walls};

    /// Flux by the plain integral `2 int z gamma(tau(z)) dz`, midpoint rule: a different road to the number.
    fn flux_by_quadrature(law: FlowLaw, wall: f64, gap: f64) -> f64 {
        let n = 200_000;
        let dz = gap / 2.0 / f64::from(n);
        (0..n)
            .map(|k| {
                let z = (f64::from(k) + 0.5) * dz;
                let excess = (wall * z / (gap / 2.0) - law.yield_stress_pa).max(0.0);
                2.0 * z * (excess / law.consistency).powf(1.0 / law.index) * dz
            })
            .sum()
    }

    #[test]
    fn wall_stress_inverts_the_integral_of_the_velocity() {
        for law in [
            FlowLaw::newtonian(80.0),
            FlowLaw::bingham(100.0, 80.0),
            FlowLaw { yield_stress_pa: 100.0, consistency: 60.0, index: 0.6 },
            FlowLaw { yield_stress_pa: 0.0, consistency: 60.0, index: 0.6 },
            FlowLaw { yield_stress_pa: 50.0, consistency: 60.0, index: 1.4 },
        ] {
            for wall in [120.0, 500.0, 5e4] {
                let flux = flux_by_quadrature(law, wall, 1e-4);
                let found = Walls::new(law).stress_pa(flux, 1e-4);
                assert!((found / wall - 1.0).abs() < 2e-5, "{law:?} {wall} {found}");
            }
        }
    }
}
