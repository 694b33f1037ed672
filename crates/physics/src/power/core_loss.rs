//! Loss in the core of an inductor whose current ripples.

use crate::refusal::{Refusal, not_negative, positive, within};

/// Core of one inductor and the material's law of loss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Core {
    /// Volume of the core.
    pub volume_m3: f64,
    /// Turns times cross-section: flux swing is inductance times ripple over this.
    pub turns_area_m2: f64,
    /// Loss of unit volume at 1 Hz and 1 T, in W/m3, before the exponents.
    pub coefficient_w_m3: f64,
    /// Exponent of the frequency.
    pub frequency_exponent: f64,
    /// Exponent of the peak flux density.
    pub flux_exponent: f64,
}

impl Core {
    /// The core, if its figures mean something.
    ///
    /// # Errors
    /// A volume or coefficient below zero, no cross-section, or exponents outside 1 to 3.
    pub fn checked(self) -> Result<Self, Refusal> {
        not_negative("core volume", self.volume_m3)?;
        positive("turns times area of the core", self.turns_area_m2)?;
        not_negative("core loss coefficient", self.coefficient_w_m3)?;
        for (name, exponent) in [
            ("core loss exponent of frequency", self.frequency_exponent),
            ("core loss exponent of flux", self.flux_exponent),
        ] {
            within(name, exponent, (1.0..=3.0).contains(&exponent), "between 1 and 3")?;
        }
        Ok(self)
    }

    /// Loss of one core, in watts.
    ///
    /// # Model
    /// `V k f^a B^b` with B half of the swing `L dI / (N A)`. Ripple of a step-down converter is no
    /// sine: a triangle of small duty loses somewhat more. Bias by the mean current is left out.
    ///
    /// # Source
    /// C. P. Steinmetz, On the law of hysteresis, AIEE Transactions 9 (1892) 3-64, in the form with two
    /// exponents that makers of cores publish.
    pub fn loss_w(&self, inductance_h: f64, frequency_hz: f64, ripple_a: f64) -> f64 {
        if self.coefficient_w_m3 == 0.0 || self.volume_m3 == 0.0 || ripple_a <= 0.0 {
            return 0.0;
        }
        let peak_t = 0.5 * inductance_h * ripple_a / self.turns_area_m2;
        let log = self.frequency_exponent * frequency_hz.ln() + self.flux_exponent * peak_t.ln();
        self.volume_m3 * self.coefficient_w_m3 * log.exp()
    }
}

#[cfg(test)]
mod tests {
    use super::Core;

    /// The law itself: twice the frequency at exponent 1.5 loses 2.83 times, twice the swing at 2.5
    /// loses 5.66 times (C. P. Steinmetz 1892 for the form; powers of two by hand).
    #[test]
    fn doubling_follows_the_exponents() {
        let core = Core {
            volume_m3: 3e-7,
            turns_area_m2: 2e-5,
            coefficient_w_m3: 1.0,
            frequency_exponent: 1.5,
            flux_exponent: 2.5,
        };
        let base = core.loss_w(200e-9, 400e3, 10.0);
        assert!((core.loss_w(200e-9, 800e3, 10.0) / base - 2.828_427).abs() < 1e-5);
        assert!((core.loss_w(200e-9, 400e3, 20.0) / base - 5.656_854).abs() < 1e-5);
        // 0.5 * 200 nH * 10 A / 20 mm2 = 0.05 T.
        let by_hand = 3e-7 * 400e3_f64.powf(1.5) * 0.05_f64.powf(2.5);
        assert!((base / by_hand - 1.0).abs() < 1e-12);
    }
}
