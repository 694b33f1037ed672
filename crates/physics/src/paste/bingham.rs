//! The history of the gap under a Bingham paste between discs.

use core::f64::consts::PI;

use crate::paste::yield_limit::{disc_constant_area_m, disc_constant_volume_m};
use crate::refusal::{Refusal, not_negative, within};

/// What stays the same while the gap closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// The disc stays wholly wetted, with this radius.
    Radius(f64),
    /// The blob stays whole, with this volume.
    Volume(f64),
}

/// Steps of the integration at most; real pastes take about a hundred.
const MOST_STEPS: u32 = 400;

/// A Bingham paste under a force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bingham {
    /// Plastic viscosity.
    pub viscosity_pa_s: f64,
    /// Yield stress.
    pub yield_stress_pa: f64,
    /// Force.
    pub force_n: f64,
    /// Gap at the start.
    pub initial_gap_m: f64,
    /// What stays the same.
    pub held: Held,
}

/// Nodes and weights of the 32-point Gauss-Legendre rule on 0 to 1, by Newton's method.
fn gauss_legendre() -> [(f64, f64); 32] {
    let mut rule = [(0.0, 0.0); 32];
    for (idx, slot) in rule.iter_mut().enumerate() {
        let mut x = (PI * (idx as f64 + 0.75) / 32.5).cos();
        let mut slope = 1.0;
        for _ in 0..60 {
            let (mut p0, mut p1) = (1.0, x);
            for k in 2..=32 {
                let k = f64::from(k);
                (p0, p1) = (p1, ((2.0 * k - 1.0) * x * p1 - (k - 1.0) * p0) / k);
            }
            slope = 32.0 * (x * p1 - p0) / (x * x - 1.0);
            let step = p1 / slope;
            x -= step;
            if step.abs() < 1e-15 {
                break;
            }
        }
        *slot = (0.5 * (1.0 - x), 1.0 / ((1.0 - x * x) * slope * slope));
    }
    rule
}

impl Bingham {
    fn checked(&self) -> Result<(), Refusal> {
        // Wide around every paste and press, and narrow enough for the integration to end.
        let range = |name, value: f64, low: f64, high: f64, expected| {
            within(name, value, (low..=high).contains(&value), expected)
        };
        range("viscosity", self.viscosity_pa_s, 1e-6, 1e9, "from 1e-6 to 1e9 Pa s")?;
        range("yield stress", self.yield_stress_pa, 0.0, 1e9, "from 0 to 1e9 Pa")?;
        range("force", self.force_n, 1e-6, 1e7, "from 1e-6 to 1e7 N")?;
        range("initial gap", self.initial_gap_m, 1e-8, 0.1, "from 1e-8 to 0.1 m")?;
        match self.held {
            Held::Radius(radius) => range("plate radius", radius, 1e-5, 10.0, "from 1e-5 to 10 m")?,
            Held::Volume(volume) => range("paste volume", volume, 1e-15, 1.0, "from 1e-15 to 1 m3")?,
        };
        Ok(())
    }

    fn radius_m(&self, gap_m: f64) -> f64 {
        match self.held {
            Held::Radius(radius) => radius,
            Held::Volume(volume) => (volume / (PI * gap_m)).sqrt(),
        }
    }

    /// Gap at which it stops.
    ///
    /// # Errors
    /// A value out of range.
    pub fn limit_m(&self) -> Result<f64, Refusal> {
        self.checked()?;
        if self.yield_stress_pa == 0.0 {
            return Ok(0.0);
        }
        match self.held {
            Held::Radius(radius) => disc_constant_area_m(self.yield_stress_pa, self.force_n, radius),
            Held::Volume(volume) => Ok(disc_constant_volume_m(self.yield_stress_pa, self.force_n, volume)?.0),
        }
    }

    /// Stress at the wall for a flux of this many square metres a second.
    fn wall_stress_pa(&self, flux_m2_s: f64, gap_m: f64) -> f64 {
        let newtonian = 6.0 * self.viscosity_pa_s * flux_m2_s / (gap_m * gap_m);
        if self.yield_stress_pa == 0.0 {
            return newtonian;
        }
        // q = h^2 tw / (6 eta) (1 - 1.5 s + 0.5 s^3), s = Y / tw: with w = tw / Y a cubic,
        // w^3 - (1.5 + n) w^2 + 0.5 = 0, whose root above 1 Newton finds from above.
        let n = newtonian / self.yield_stress_pa;
        let b = 1.5 + n;
        let mut w = b;
        for _ in 0..100 {
            let step = (w * w * (w - b) + 0.5) / (w * (3.0 * w - 2.0 * b));
            w -= step;
            if step.abs() <= 1e-15 * w {
                break;
            }
        }
        w.max(1.0) * self.yield_stress_pa
    }

    /// Force that closes the gap at this speed: `int pi r^2 (2 tw / h) dr`, q = r U / 2.
    fn force_n(&self, speed_m_s: f64, gap_m: f64, rule: &[(f64, f64)]) -> f64 {
        let radius = self.radius_m(gap_m);
        // r = R s^2 takes out the square-root start at small speeds.
        rule.iter()
            .map(|(s, weight)| {
                let r = radius * s * s;
                let stress = self.wall_stress_pa(r * speed_m_s / 2.0, gap_m);
                weight * 2.0 * radius * s * PI * r * r * 2.0 * stress / gap_m
            })
            .sum()
    }

    /// Speed at which the gap closes; zero at or below the limiting gap.
    fn speed_m_s(&self, gap_m: f64, rule: &[(f64, f64)]) -> f64 {
        let radius = self.radius_m(gap_m);
        if self.force_n <= 2.0 * PI * self.yield_stress_pa * radius.powi(3) / (3.0 * gap_m) {
            return 0.0;
        }
        let newtonian =
            self.force_n * 2.0 * gap_m.powi(3) / (3.0 * PI * self.viscosity_pa_s * radius.powi(4));
        let (mut low, mut high) = (0.0, newtonian);
        // Illinois false position: the force rises with the speed, steeply near zero.
        let (mut f_low, mut f_high) =
            (self.force_n(0.0, gap_m, rule) - self.force_n, self.force_n(high, gap_m, rule) - self.force_n);
        let mut side = 0;
        for _ in 0..200 {
            if (high - low) <= 1e-13 * high || f_high == 0.0 {
                break;
            }
            // Every few steps halve geometrically: the root may lie many decades below the bound.
            let mut next = (low * f_high - high * f_low) / (f_high - f_low);
            if !(next > low && next < high) || next <= 1e-3 * high {
                next = if low > 0.0 { (low * high).sqrt() } else { 1e-3 * high };
            }
            let value = self.force_n(next, gap_m, rule) - self.force_n;
            if value.abs() <= 1e-13 * self.force_n {
                return next;
            }
            if value > 0.0 {
                high = next;
                f_high = value;
                if side == 1 {
                    f_low *= 0.5;
                }
                side = 1;
            } else {
                low = next;
                f_low = value;
                if side == -1 {
                    f_high *= 0.5;
                }
                side = -1;
            }
            if high < 1e-290 {
                return 0.0;
            }
        }
        0.5 * (low + high)
    }

    /// Gap after a time.
    ///
    /// # Model
    /// Lubrication flow with the Bingham flux law, `q = h^2 tw / (6 eta) (1 - 3/2 s + 1/2 s^3)`, s = Y / tw;
    /// the equation for the gap is integrated in `ln(h - limit)`, in which the slow end is smooth.
    ///
    /// # Source
    /// G. H. Covey, B. R. Stanmore, J. Non-Newtonian Fluid Mech. 8, 1981 (limits of small and large speed).
    ///
    /// # Errors
    /// A value out of range, or a start below the limit.
    pub fn gap_after_m(&self, time_s: f64) -> Result<f64, Refusal> {
        let limit = self.limit_m()?;
        not_negative("time", time_s)?;
        within("initial gap", self.initial_gap_m, self.initial_gap_m > limit, "above the limiting gap")?;
        let rule = gauss_legendre();
        // For a Newtonian paste the gap itself goes down to zero; its own logarithm serves.
        let rate = |log: f64| {
            let above = log.exp();
            -self.speed_m_s(limit + above, &rule) / above
        };
        let mut log = (self.initial_gap_m - limit).ln();
        let mut time = 0.0;
        let mut step = (time_s * 1e-9).max(1e-12);
        let mut slope = rate(log);
        // Dormand-Prince 5(4), local error 1e-9 in the logarithm.
        for _ in 0..MOST_STEPS {
            if time >= time_s {
                return Ok(limit + log.exp());
            }
            step = step.min(time_s - time);
            let (next, next_slope, error) = dormand_prince(&rate, log, slope, step);
            let scaled = error / 1e-9;
            if next.is_finite() && scaled <= 1.0 {
                time += step;
                log = next;
                slope = next_slope;
            }
            let factor = if scaled.is_finite() { 0.9 * scaled.max(1e-8).powf(-0.2) } else { 0.1 };
            step *= factor.clamp(0.2, 5.0);
        }
        let expected = "short enough to be reached in the steps that are taken at most";
        Err(Refusal { name: "time", found: time_s, expected })
    }
}

/// One step of Dormand and Prince's pair: value, slope there, and error estimate.
///
/// # Source
/// J. R. Dormand, P. J. Prince, J. Comput. Appl. Math. 6, 19-26, 1980.
fn dormand_prince(rate: &impl Fn(f64) -> f64, y: f64, k1: f64, h: f64) -> (f64, f64, f64) {
    let k2 = rate(y + h * k1 / 5.0);
    let k3 = rate(y + h * (3.0 / 40.0 * k1 + 9.0 / 40.0 * k2));
    let k4 = rate(y + h * (44.0 / 45.0 * k1 - 56.0 / 15.0 * k2 + 32.0 / 9.0 * k3));
    let k5 = rate(
        y + h
            * (19_372.0 / 6_561.0 * k1 - 25_360.0 / 2_187.0 * k2 + 64_448.0 / 6_561.0 * k3
                - 212.0 / 729.0 * k4),
    );
    let k6 = rate(
        y + h
            * (9_017.0 / 3_168.0 * k1 - 355.0 / 33.0 * k2 + 46_732.0 / 5_247.0 * k3 + 49.0 / 176.0 * k4
                - 5_103.0 / 18_656.0 * k5),
    );
    let next = y + h
        * (35.0 / 384.0 * k1 + 500.0 / 1_113.0 * k3 + 125.0 / 192.0 * k4 - 2_187.0 / 6_784.0 * k5
            + 11.0 / 84.0 * k6);
    let k7 = rate(next);
    let error = h
        * (71.0 / 57_600.0 * k1 - 71.0 / 16_695.0 * k3 + 71.0 / 1_920.0 * k4 - 17_253.0 / 339_200.0 * k5
            + 22.0 / 525.0 * k6
            - k7 / 40.0);
    (next, k7, error.abs())
}
