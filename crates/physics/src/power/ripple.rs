//! Ripple of N interleaved step-down phases.

use crate::refusal::{Refusal, positive, within};

/// The switching circuit, as far as ripple needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phases {
    /// Number of phases.
    pub count: f64,
    /// Input voltage.
    pub input_v: f64,
    /// Output voltage.
    pub output_v: f64,
    /// Inductance of one phase.
    pub inductance_h: f64,
    /// Switching frequency of one phase.
    pub frequency_hz: f64,
}

/// Ripple currents.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ripple {
    /// Peak to peak in one inductor.
    pub phase_a: f64,
    /// Peak to peak of all together.
    pub total_a: f64,
    /// Root mean square in the input capacitors.
    pub input_rms_a: f64,
}

impl Phases {
    /// The circuit, if it can work.
    ///
    /// # Errors
    /// No phases or a part of one, a value that is not above zero, or an output not below the input.
    pub fn checked(self) -> Result<Self, Refusal> {
        let whole = self.count.fract() == 0.0 && (1.0..=64.0).contains(&self.count);
        within("phases", self.count, whole, "a whole number from 1 to 64")?;
        positive("input voltage", self.input_v)?;
        let below = self.output_v > 0.0 && self.output_v < self.input_v;
        within("output voltage", self.output_v, below, "above zero and below the input voltage")?;
        positive("inductance", self.inductance_h)?;
        positive("switching frequency", self.frequency_hz)?;
        Ok(self)
    }

    /// Share of the time in which the upper switch is on, without losses.
    pub fn duty(&self) -> f64 {
        self.output_v / self.input_v
    }

    /// Peak to peak current in one inductor: `(Vin - Vout) D / (L f)`.
    pub fn phase_ripple_a(&self) -> f64 {
        (self.input_v - self.output_v) * self.duty() / (self.inductance_h * self.frequency_hz)
    }
}

/// Peak to peak of the sum of `count` interleaved inductor currents at a duty.
///
/// # Source
/// `Vin / (N L f) (m + 1 - N D) (N D - m)`, m = floor(N D); equal to the product form of user's guide
/// SLUU195, 2004, eq. 3.
pub fn interleaved_a(count: f64, input_v: f64, duty: f64, inductance_h: f64, frequency_hz: f64) -> f64 {
    let (_, x) = split(count * duty);
    input_v / (inductance_h * frequency_hz * count) * (1.0 - x) * x
}

/// Whole and broken part of N D; a product that rounding left a hair below a whole number is that number.
fn split(phases_on: f64) -> (f64, f64) {
    let m = (phases_on + 1e-12).floor();
    (m, (phases_on - m).max(0.0))
}

/// Ripple of the output and of the input capacitors.
///
/// # Model
/// Ideal switches, equal phases evenly spaced, triangular inductor currents.
///
/// # Source
/// User's guide SLUU195, 2004, eqs. 3 and 6.
///
/// # Errors
/// A circuit that cannot work, or a load that is not above zero.
pub fn ripple(phases: &Phases, output_a: f64) -> Result<Ripple, Refusal> {
    let phases = phases.checked()?;
    positive("output current", output_a)?;
    let duty = phases.duty();
    let phase_a = phases.phase_ripple_a();
    let (m, _) = split(phases.count * duty);
    let u = (duty - m / phases.count).max(0.0);
    let v = (m + 1.0) / phases.count - duty;
    let ratio = phase_a / output_a;
    let wave = phases.count / (12.0 * duty * duty)
        * ratio
        * ratio
        * ((m + 1.0).powi(2) * u.powi(3) + m * m * v.powi(3));
    Ok(Ripple {
        phase_a,
        total_a: interleaved_a(phases.count, phases.input_v, duty, phases.inductance_h, phases.frequency_hz),
        input_rms_a: output_a * (u * v + wave).sqrt(),
    })
}
